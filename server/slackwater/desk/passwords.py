"""How is a password kept and compared, and which are good enough?

Source: argon2id with the second recommended parameters of RFC 9106, section 4 (the library's own
default). Length alone is asked for, no kinds of characters, and letters are compared in one form
(NFKC): NIST SP 800-63B, 5.1.1.2, and OWASP ASVS 4.0.3, V2.1.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from slackwater.desk.secret import new_secret
from slackwater.errors import Busy, UsageError
from slackwater.people.names import key_of

LEAST_OF_PASSWORD, MOST_OF_PASSWORD = 12, 200
AT_ONCE = 4
"""Passwords compared at the same time: each takes 64 MiB while it is."""
PATIENCE_S = 10

TRIED_FIRST = frozenset({
    "123123123123", "123456123456", "1234567890123", "123456789012", "1q2w3e4r5t6y",
    "1qaz2wsx3edc", "abcdefghijkl", "administrator", "changemechangeme", "iloveyouiloveyou",
    "letmeinletmein", "password1234", "password12345", "password123456", "passwordpassword",
    "qwerty123456", "qwertyqwerty", "qwertyuiop12", "qwertyuiop123", "qwertyuiopasdf",
    "slackwater12", "slackwater123", "slackwater1234", "slackwaterslackwater", "welcome12345",
})  # fmt: skip
"""What is tried first by whoever guesses, as far as it is long enough (from memory)."""

_hasher = PasswordHasher()
_turns = BoundedSemaphore(AT_ONCE)


def require_sound_password(password: str, name: str) -> None:
    """Refuse a password that is too short, too long, or guessed first.

    Raises
    ------
    UsageError
        With what would be right.
    """
    length = len(re.sub(r"\s+", " ", _written(password)))  # many spaces in a row are no length
    if length < LEAST_OF_PASSWORD:
        raise UsageError(
            f"a password has at least {LEAST_OF_PASSWORD} characters; a few words in a row will do"
        )
    if length > MOST_OF_PASSWORD:
        raise UsageError(f"a password has at most {MOST_OF_PASSWORD} characters")
    plain = key_of(password)
    if plain in TRIED_FIRST or plain == key_of(name) or len(set(plain)) == 1:
        raise UsageError("this password would be guessed among the first; take another")


def hash_of(password: str) -> str:
    """Give what is kept of a password; takes a while, on purpose."""
    with _turn():
        return _hasher.hash(_bytes(password))


def matches(password_hash: str, password: str) -> bool:
    """Whether a password is the one that was kept; takes as long where none is kept ("")."""
    with _turn():
        try:
            _hasher.verify(password_hash or nobodys_hash(), _bytes(password))
        except (VerificationError, InvalidHashError):
            return False
    return bool(password_hash)


def is_outdated(password_hash: str) -> bool:
    """Whether it was kept in an older way than is used now."""
    return _hasher.check_needs_rehash(password_hash)


@cache
def nobodys_hash() -> str:
    """Give a hash that no password meets, to compare with where there is none."""
    return _hasher.hash(new_secret())


@contextmanager
def _turn() -> Iterator[None]:
    """Wait for one of the few turns.

    Raises
    ------
    Busy
        Where that takes too long.
    """
    if not _turns.acquire(timeout=PATIENCE_S):
        raise Busy("many are signing in just now; try again in a moment")
    try:
        yield
    finally:
        _turns.release()


def _written(password: str) -> str:
    """Give a password as it is compared: the same letters, however a keyboard made them."""
    return unicodedata.normalize("NFKC", password)


def _bytes(password: str) -> bytes:
    return _written(password).encode("utf-8", "surrogatepass")
