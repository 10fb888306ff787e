"""How often may one caller ask? Counted here in memory, over the minute that has just gone by."""

from __future__ import annotations

import ipaddress
import math
import time
from collections import OrderedDict
from threading import Lock

from limits import RateLimitItemPerMinute
from limits.storage import MemoryStorage
from limits.strategies import MovingWindowRateLimiter
from starlette.types import Scope

from slackwater.people.roles import Caller

SIGNING_IN = RateLimitItemPerMinute(10, namespace="signing in")
WITH_ACCOUNT = RateLimitItemPerMinute(1200, namespace="account")
WITHOUT_ACCOUNT = RateLimitItemPerMinute(900, namespace="address")
"""One address may stand for a whole office, or for a GIS that asks for ten rows at a time."""
TRIES_A_PASSWORD = frozenset({"/api/sign-in", "/api/password"})
MOST_WATCHED = 1000
"""Callers counted at once, some tens of megabytes at the very most; the quietest is forgotten."""


class Limits:
    """Counts the requests of each account, and of each address for those without one."""

    def __init__(self, most_watched: int = MOST_WATCHED) -> None:
        self._storage = MemoryStorage()
        self._window = MovingWindowRateLimiter(self._storage)
        self._most = most_watched
        self._watched: OrderedDict[str, None] = OrderedDict()
        self._lock = Lock()

    def wait_s(self, method: str, path: str, caller: Caller, address: str) -> int:
        """Count a request; gives 0, or after how many seconds it may be sent again."""
        if method == "POST" and path in TRIES_A_PASSWORD:
            wait_s = self.count(SIGNING_IN, address)
            if wait_s:
                return wait_s
        if caller.name:
            return self.count(WITH_ACCOUNT, caller.name)
        return self.count(WITHOUT_ACCOUNT, address)

    def count(self, limit: RateLimitItemPerMinute, who: str) -> int:
        """Count one of a kind; gives 0, or after how many seconds it may come again."""
        self._watch(limit.key_for(who))
        if self._window.hit(limit, who):
            return 0
        return self._wait_s(limit, who)

    def spent(self, limit: RateLimitItemPerMinute, who: str) -> int:
        """Count nothing; gives 0, or after how many seconds one of the kind may come again."""
        return 0 if self._window.test(limit, who) else self._wait_s(limit, who)

    def _wait_s(self, limit: RateLimitItemPerMinute, who: str) -> int:
        reset_s = self._window.get_window_stats(limit, who).reset_time
        return max(1, math.ceil(reset_s - time.time()))

    def _watch(self, key: str) -> None:
        """Note that a key is counted; where it is full, forget the one that was quiet longest."""
        with self._lock:
            self._watched[key] = None
            self._watched.move_to_end(key)
            while len(self._watched) > self._most:
                self._forget(self._watched.popitem(last=False)[0])

    def _forget(self, key: str) -> None:
        with self._storage.locks[key]:  # the storage sweeps by a thread of its own
            self._storage.clear(key)


def address_of(scope: Scope) -> str:
    """Give where a request comes from; of IPv6 the network, for one caller has all of it."""
    host = (scope.get("client") or ("",))[0]
    try:
        address = ipaddress.ip_address(host)
    except ValueError:
        return host
    if address.version == 4:
        return host
    if address.ipv4_mapped:
        return str(address.ipv4_mapped)
    return str(ipaddress.ip_network((address.packed, 64), strict=False))
