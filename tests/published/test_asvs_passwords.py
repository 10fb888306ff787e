"""Which passwords are taken?"""

from __future__ import annotations

import pytest

from slackwater.desk.passwords import require_sound_password
from slackwater.errors import UsageError

SOURCE = "OWASP Application Security Verification Standard 4.0.3"
WHERE = "V2.1.1, 2.1.2, 2.1.4, 2.1.7, 2.1.9"
KNOWN = "text read"

CASES = {
    "V2.1.1 11 characters": ("elevenchar1", False),
    "V2.1.1 12 characters": ("twelvechars1", True),
    "V2.1.1 12 with spaces counted once": ("a b      cde", False),
    "V2.1.2 64 characters": ("0123456789abcdef" * 4, True),
    "V2.1.4 letters of any script, signs, spaces": ("ключ 鍵 🐟 schlüssel", True),
    "V2.1.9 small letters alone": ("plainlettersonly", True),
    "V2.1.9 digits alone": ("840271956372", True),
    "V2.1.7 among the first guessed": ("Password1234", False),
    "V2.1.7 one letter again and again": ("aaaaaaaaaaaaaaaa", False),
    "V2.1.7 the name itself": ("INES of the Brook", False),
}


def is_taken(password: str) -> bool:
    """Whether a password may be chosen by somebody."""
    try:
        require_sound_password(password, "Ines of the brook")
    except UsageError:
        return False
    return True


@pytest.mark.parametrize("which", CASES)
def test_a_password_is_taken_or_not(which: str, agrees) -> None:
    """Length counts, kinds of characters do not, and the first guesses are refused."""
    password, wanted = CASES[which]
    agrees(which, wanted, is_taken(password))


def test_a_password_has_an_end() -> None:
    """Up to 200 characters, so that nobody makes the service hash a book."""
    assert is_taken("ab" * 100)
    assert not is_taken("ab" * 100 + "c")
