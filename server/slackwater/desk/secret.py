"""What does a browser, a program or a link show, and what of it is kept here?

Sessions, tokens and public links are random words; only their SHA-256 is kept, so whoever reads
the database or a backup cannot come in with what they find. They are long enough that no slow hash
is needed.
"""

from __future__ import annotations

import hashlib
import secrets

SECRET_BYTES = 32


def new_secret() -> str:
    """Give a new secret: 32 random bytes, written so that an address can hold them."""
    return secrets.token_urlsafe(SECRET_BYTES)


def digest_of(secret: str) -> str:
    """Give what is kept of a secret."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
