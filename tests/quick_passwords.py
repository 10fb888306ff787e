"""Passwords kept quickly, for tests that are about something else.

How they are kept in earnest is held against RFC 9106 in `tests/published`.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from argon2 import PasswordHasher
from argon2.profiles import CHEAPEST

from slackwater.desk import passwords


@pytest.fixture(scope="package", autouse=True)
def quick_passwords() -> Iterator[None]:
    """Keep passwords with the least parameters there are."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(passwords, "_hasher", PasswordHasher.from_parameters(CHEAPEST))
        passwords.nobodys_hash.cache_clear()
        yield
    passwords.nobodys_hash.cache_clear()
