"""Is it the browser that set out which comes back? A short-lived signed cookie, for one trip.

State, nonce and proof key stay with the browser, so whoever begins many sign-ins fills no memory
here. What is remembered are the trips that have ended, so that none is made twice.
"""

from __future__ import annotations

import hmac
import json
import secrets
import time
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import asdict, dataclass
from hashlib import sha256
from threading import Lock

from slackwater.errors import SignInRefused

LASTS_S = 600
MOST_ENDED = 10_000
BEGIN_AGAIN = "this sign-in was not begun in this browser just now, or is over; begin again"


@dataclass(frozen=True)
class Trip:
    """One sign-in on its way.

    Attributes
    ----------
    state, nonce : what must come back with the answer, and inside the id token.
    verifier : proof key, of which the provider knew the digest first.
    ends_at : seconds since 1970.
    """

    state: str
    nonce: str
    verifier: str
    ends_at: float


class Trips:
    """Trips signed with a key of this process; another process knows none of them."""

    def __init__(self, clock: Callable[[], float] = time.time) -> None:
        self._clock = clock
        self._key = secrets.token_bytes(32)
        self._ended: OrderedDict[str, None] = OrderedDict()
        self._lock = Lock()

    def begin(self) -> tuple[Trip, str]:
        """Give a new trip and the cookie that stands for it."""
        state, nonce, verifier = (secrets.token_urlsafe(32) for _ in range(3))
        trip = Trip(state, nonce, verifier, ends_at=self._clock() + LASTS_S)
        told = urlsafe_b64encode(json.dumps(asdict(trip)).encode()).decode()
        return trip, f"{told}.{self._sign(told)}"

    def end(self, cookie: str, state: str) -> Trip:
        """Give the trip of a cookie that comes back with its state, once.

        Raises
        ------
        SignInRefused
            Where it was not begun here, is over, or was ended before.
        """
        told, _, sign = cookie.partition(".")
        if not hmac.compare_digest(sign.encode(), self._sign(told).encode()):
            raise SignInRefused(BEGIN_AGAIN)
        trip = Trip(**json.loads(urlsafe_b64decode(told)))
        same = hmac.compare_digest(trip.state.encode(), state.encode())
        if not same or trip.ends_at < self._clock() or not self._first_end_of(trip):
            raise SignInRefused(BEGIN_AGAIN)
        return trip

    def _first_end_of(self, trip: Trip) -> bool:
        """Whether the trip had not ended yet; it has now."""
        with self._lock:
            if trip.state in self._ended:
                return False
            self._ended[trip.state] = None
            if len(self._ended) > MOST_ENDED:
                self._ended.popitem(last=False)
            return True

    def _sign(self, told: str) -> str:
        return hmac.new(self._key, told.encode(), sha256).hexdigest()
