"""What no browser sends: written by hand to the port of the service as it is started.

Source: RFC 9112, 2.2, 3.2, 6.1 and 11.2 (line ends, Host, lengths, smuggling); RFC 9110, 9.3.8
(TRACE); OWASP ASVS 4.0.3, 14.5.1-14.5.4 (methods, Host, forwarded headers); CWE-113, CWE-601.
"""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from urllib.parse import urlsplit

import pytest
import uvicorn

from slackwater.api.listening import address_of, listen
from slackwater.api.serve import Door, config_of
from slackwater.people.roles import Role
from tests.contracts.private.agency import Agency

PATIENCE_S = 20
EVIL = "evil.example.invalid"


@dataclass(frozen=True)
class Port:
    """Where the service listens, and a lead's cookie."""

    host: str
    number: int
    cookie: str

    def send(self, *lines: str | bytes, body: bytes = b"") -> str:
        """Write lines as they are, with an empty one behind them; give all that comes back."""
        head = b"\r\n".join(e if isinstance(e, bytes) else e.encode("latin-1") for e in lines)
        with socket.create_connection((self.host, self.number), timeout=PATIENCE_S) as talk:
            talk.settimeout(PATIENCE_S)
            talk.sendall(head + b"\r\n\r\n" + body)
            told = b""
            try:
                while block := talk.recv(65536):
                    told += block
                    if len(told) > 2_000_000:
                        break
            except (ConnectionResetError, TimeoutError):
                pass
        return told.decode("latin-1")

    def get(self, path: str, *headers: str | bytes, method: str = "GET", host: str = "") -> str:
        """Ask as the lead."""
        return self.send(
            f"{method} {path} HTTP/1.1", f"Host: {host or '127.0.0.1'}", f"Cookie: {self.cookie}",
            "Connection: close", *headers,
        )  # fmt: skip

    def lives(self) -> bool:
        """Whether the next request is answered."""
        return status_of(self.get("/api/me")) == 200


def status_of(told: str) -> int:
    """Give the status of an answer, 0 where the connection was just closed."""
    words = told.partition("\r\n")[0].split(" ")
    return int(words[1]) if len(words) > 1 and words[0].startswith("HTTP/1") else 0


@contextmanager
def listening(served: Agency, door: Door) -> Iterator[Port]:
    """Serve the agency as `slackwater serve` would."""
    browser = served.service.caller(Role.LEAD)
    with listen("127.0.0.1", 0) as listener:
        listener.listen()
        config = config_of(served.service.app, door)
        config.lifespan = "off"  # the app is served more than once here
        server = uvicorn.Server(config)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        while not server.started and thread.is_alive():
            time.sleep(0.01)
        where = urlsplit(address_of(listener))
        cookie = f"slackwater={browser.cookies.get('slackwater')}"
        yield Port(str(where.hostname), int(where.port or 0), cookie)
        server.should_exit = True
        thread.join(timeout=PATIENCE_S)


@pytest.fixture(scope="module")
def port(served: Agency) -> Iterator[Port]:
    with listening(served, Door()) as here:
        yield here


@pytest.mark.parametrize(
    "host",
    [EVIL, f"127.0.0.1.{EVIL}", f"127.0.0.1@{EVIL}", f"{EVIL}#127.0.0.1", f"127.0.0.1:80@{EVIL}",
     "0x7f000001.evil.example.invalid", " ", "[::1", "127.0.0.1,evil.example.invalid",
     "[fe80::1%25lo]",
     "10.0.0.1", "0.0.0.0", "[::ffff:10.0.0.1]"],
)  # fmt: skip
def test_a_forged_host_is_answered_nothing(port: Port, host: str) -> None:
    """421, and the name is written into no address and no header."""
    told = port.get("/api/offers/", host=host)
    assert status_of(told) in (400, 421), told[:200]
    assert EVIL not in told


def test_more_than_one_host_or_none_is_refused(port: Port) -> None:
    """RFC 9112, 3.2: two hosts, none, or another in the first line never reach what a name
    opens."""
    cookie = f"Cookie: {port.cookie}"
    for lines in (
        ("GET /api/offers HTTP/1.1", cookie),
        ("GET /api/offers HTTP/1.1", f"Host: {EVIL}", "Host: 127.0.0.1", cookie),
        ("GET /api/offers HTTP/1.1", "Host: 127.0.0.1", f"Host: {EVIL}", cookie),
        (f"GET http://{EVIL}/api/offers HTTP/1.1", f"Host: {EVIL}", cookie),
        ("GET /api/offers HTTP/1.1", "Host : 127.0.0.1", f"Host: {EVIL}", cookie),
    ):
        told = port.send(*lines, "Connection: close")
        assert "SECRET" not in told, lines
        assert EVIL not in told, lines


def test_what_a_request_says_of_a_proxy_is_not_believed(port: Port) -> None:
    """Neither host nor scheme of a redirect, a link or a landing page follows from it."""
    for name in ("X-Forwarded-Host", "X-Host", "X-Forwarded-Server", "X-Original-URL",
                 "X-Rewrite-URL",
                 "X-Forwarded-Prefix", "X-Script-Name", "Forwarded"):  # fmt: skip
        for path in ("/api/offers/", "/ogc", "/ogc/collections/offtakes/items?limit=1", "/"):
            told = port.get(path, f"{name}: {EVIL}", "X-Forwarded-Proto: javascript")
            assert EVIL not in told, (name, path)
            assert "javascript:" not in told, (name, path)
    told = port.get("/", "X-Original-URL: /api/offers", "X-Rewrite-URL: /api/offers")
    assert "SECRET" not in told


@pytest.mark.parametrize(
    "path",
    [f"//{EVIL}/", f"//{EVIL}/..;/", f"/\\{EVIL}/", f"/%2f{EVIL}/", f"/%5c{EVIL}/", f"///{EVIL}//",
     f"/api/offers//{EVIL}/", f"/.{EVIL}/", "/%0d%0aLocation:%20https:%2f%2fevil.example.invalid/",
     f"/ogc/?next=//{EVIL}", f"/api/sign-in/oidc/back?next=https://{EVIL}&state=a&code=b",
     f"/api/sign-in/oidc?next=https://{EVIL}&redirect_uri=https://{EVIL}"],
)  # fmt: skip
def test_nothing_leads_to_another_place(port: Port, path: str) -> None:
    """No redirect away from here, whatever the path begins with (CWE-601), no header out of it."""
    told = port.get(path)
    head = told.partition("\r\n\r\n")[0].lower()
    places = [line.partition(": ")[2] for line in head.split("\r\n") if line.startswith("location")]
    assert [each for each in places if urlsplit(each).hostname != "127.0.0.1"] == []
    assert status_of(told) < 500


def test_line_ends_in_headers_make_no_header(port: Port) -> None:
    """CWE-113: bare CR, bare LF, NUL, folded lines, in values that are echoed or compared."""
    for value in (
        b"a\rSet-Cookie: x=y",
        b"a\nSet-Cookie: x=y",
        b"a\x00b",
        b"a\r\n Set-Cookie: x=y",
    ):
        for name in (
            b"Origin",
            b"If-None-Match",
            b"Accept-Encoding",
            b"X-Slackwater-Csrf",
            b"Cookie",
        ):
            told = port.get("/api/offtakes", name + b": " + value)
            assert "set-cookie" not in told.lower(), (name, value)
            assert status_of(told) < 500
    assert port.lives()


def test_a_request_that_says_two_lengths_is_one_request_or_none(port: Port) -> None:
    """RFC 9112, 6.1 and 11.2: what follows is never read as another's request."""
    hidden = b"GET /api/offers HTTP/1.1\r\nHost: 127.0.0.1\r\nCookie: " + port.cookie.encode()
    hidden += b"\r\n\r\n"
    for lengths in (
        ("Content-Length: 0", "Transfer-Encoding: chunked"),
        (f"Content-Length: {len(hidden)}", "Content-Length: 0"),
        ("Transfer-Encoding: xchunked", f"Content-Length: {len(hidden)}"),
        ("Transfer-Encoding: chunked", "Transfer-Encoding: identity"),
        ("Transfer-Encoding : chunked", "Content-Length: 5"),
        ("Content-Length: +5",), ("Content-Length: 5, 5",), ("Content-Length: -1",),
    ):  # fmt: skip
        told = port.send(
            "POST /api/sign-out HTTP/1.1", "Host: 127.0.0.1", "Connection: close", *lengths,
            body=b"0\r\n\r\n" + hidden,
        )  # fmt: skip
        assert "SECRET" not in told, lengths
        assert status_of(told) < 500, lengths
    assert port.lives()


def test_headers_and_addresses_are_bounded(port: Port) -> None:
    """Of a megabyte, by one or by many: refused, and the next request is answered."""
    for headers in ([f"X-Long: {'a' * 1_000_000}"], [f"X-{n}: a" for n in range(20_000)],
                    [f"Cookie: {'a=b; ' * 100_000}"],
                    [f"Authorization: Bearer {'a' * 500_000}"]):  # fmt: skip
        told = port.get("/api/me", *headers)
        assert status_of(told) in (0, 200, 400, 401, 431), told[:100]
    assert status_of(port.get("/api/me?" + "a" * 1_000_000)) in (0, 400, 414, 431)
    assert port.lives()


@pytest.mark.parametrize("method", ["TRACE", "TRACK", "CONNECT", "DEBUG", "PRI", "G=T", "get", "É"])
def test_no_method_tells_a_request_back(port: Port, method: str) -> None:
    """RFC 9110, 9.3.8: a cookie is never in an answer's body."""
    told = port.get("/api/offers", "X-Mark: mark-of-this-request", method=method)
    assert status_of(told) in (0, 400, 403, 404, 405, 501), told[:100]
    assert "mark-of-this-request" not in told
    assert port.cookie.partition("=")[2] not in told


def test_a_switch_of_protocol_is_refused(port: Port) -> None:
    """No web socket and no HTTP/2 by upgrade: both would pass by what guards a request."""
    for wanted in ("websocket", "h2c"):
        told = port.get("/api/offers", f"Upgrade: {wanted}", "Connection: Upgrade",
                        "Sec-WebSocket-Version: 13", "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
                        f"Origin: https://{EVIL}")  # fmt: skip
        assert status_of(told) in (0, 400, 403, 404, 426), told[:200]
        assert "SECRET" not in told


def test_a_slow_caller_holds_up_nobody(port: Port) -> None:
    """Fifty that never end their request, and the next is answered at once."""
    slow = [socket.create_connection((port.host, port.number)) for _ in range(50)]
    try:
        for each in slow:
            each.sendall(
                b"POST /api/sign-in HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 100\r\n\r\n{"
            )
        began = time.monotonic()
        assert port.lives()
        assert time.monotonic() - began < 5
    finally:
        for each in slow:
            each.close()


def test_behind_a_proxy_the_nearest_is_believed_and_no_one_before_it(served: Agency) -> None:
    """What a caller wrote into X-Forwarded-For before the proxy added to it counts for nothing: an
    address forged anew each time is still one caller, with ten tries of a password a minute."""
    body = b'{"name": "nobody", "password": "guess a few words"}'
    with listening(served, Door(behind=f"https://{EVIL}")) as port:
        told = [
            status_of(port.send(
                "POST /api/sign-in HTTP/1.1", "Host: 127.0.0.1", "Connection: close",
                "Content-Type: application/json", f"Content-Length: {len(body)}",
                f"X-Forwarded-For: 198.51.100.{number}, 203.0.113.9", body=body,
            ))
            for number in range(14)
        ]  # fmt: skip
    assert told.count(429) >= 4, told
