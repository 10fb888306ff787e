"""Under which addresses does a GIS find things here? Absolute, as whoever asks reaches them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urlencode, urlsplit

from fastapi import Request

from slackwater.api.guards import host_name

ROOT = "/ogc"
CONFORMANCE = f"{ROOT}/conformance"
DESCRIPTION = f"{ROOT}/api"
COLLECTIONS = f"{ROOT}/collections"
COLLECTION = COLLECTIONS + "/{collection_id}"
SCHEMA = f"{COLLECTION}/schema"
ITEMS = f"{COLLECTION}/items"
ITEM = ITEMS + "/{feature_id:path}"
GUIDE = "/guide/gis"

JSON = "application/json"
GEOJSON = "application/geo+json"
OPENAPI = "application/vnd.oai.openapi+json;version=3.0"
JSON_SCHEMA = "application/schema+json"
HTML = "text/html"
AS = "as"
FORM = "f"


@dataclass(frozen=True)
class Door:
    """Where this door is for one request.

    Attributes
    ----------
    origin : scheme and host.
    kept : what every address of an answer carries on: ``as``, where it was asked for.
    """

    origin: str
    kept: tuple[tuple[str, str], ...] = ()

    def to(self, path: str, *parts: str, query: Iterable[tuple[str, str]] = ()) -> str:
        """Give an absolute address; ``parts`` are put in the place of the path's names."""
        for part in parts:
            before, _, rest = path.partition("{")
            path = before + quote(part, safe="") + rest.partition("}")[2]
        asked = [*query, *(pair for pair in self.kept if pair not in query)]
        return f"{self.origin}{path}" + (f"?{urlencode(asked)}" if asked else "")


def door_of(request: Request) -> Door:
    """Give where the door is, from the host the guard let pass."""
    outside: str = request.app.state.entry.outside
    asked = request.query_params.getlist(AS)[-1:]
    return Door(origin_of(request.headers.get("host", ""), outside), tuple((AS, a) for a in asked))


def origin_of(host: str, outside: str) -> str:
    """Give scheme and host as they are reached; a proxy in front speaks HTTPS.

    Of a name of this machine only name and port are taken over, whatever else stands in it.
    """
    if outside and host == outside:
        return f"https://{host}"
    name, port = host_name(host), _port_of(host)
    name = f"[{name}]" if ":" in name else name
    return f"http://{name}" + (f":{port}" if port else "")


def link(href: str, rel: str, media_type: str, title: str) -> dict[str, Any]:
    """Give a link."""
    return {"href": href, "rel": rel, "type": media_type, "title": title}


def _port_of(host: str) -> int | None:
    try:
        return urlsplit(f"//{host}").port
    except ValueError:
        return None
