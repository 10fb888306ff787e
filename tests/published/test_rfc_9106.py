"""Are passwords kept as the RFC on Argon2 advises, by code that computes what it publishes?"""

from __future__ import annotations

import argon2
from argon2.low_level import ARGON2_VERSION, Type, core, error_to_str, ffi, lib

from slackwater.desk import passwords

SOURCE = "RFC 9106, Argon2 (2021)"
WHERE = "section 4, second recommended option; section 5.3, test vector of Argon2id"
KNOWN = "text read"

TAG = "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"


def test_how_a_password_is_kept(agrees) -> None:
    """Argon2id, 3 passes over 64 MiB on 4 lanes, 128 bits of salt, 256 of tag, version 1.3."""
    kept = passwords.hash_of("four plain words here")
    found = argon2.extract_parameters(kept)
    agrees("variant", Type.ID, found.type)
    agrees("version", 0x13, found.version)
    agrees("passes t", 3, found.time_cost)
    agrees("memory m, KiB", 2**16, found.memory_cost)
    agrees("lanes p", 4, found.parallelism)
    agrees("salt, bits", 128, 8 * found.salt_len)
    agrees("tag, bits", 256, 8 * found.hash_len)


def test_the_same_password_is_never_kept_alike() -> None:
    """The salt is new each time, so equal passwords are not seen to be equal."""
    one, two = (passwords.hash_of("four plain words here") for _ in range(2))
    assert one.split("$")[4] != two.split("$")[4]
    assert passwords.matches(one, "four plain words here")
    assert not passwords.matches(one, "four plain words hers")
    assert not passwords.matches("", "four plain words here")


def test_the_library_computes_the_published_tag(agrees) -> None:
    """Password, salt, secret and associated data of 01, 02, 03 and 04 bytes give the RFC's tag."""
    given = [ffi.new("uint8_t[]", bytes([byte]) * count)
             for byte, count in ((1, 32), (2, 16), (3, 8), (4, 12))]  # fmt: skip
    out = ffi.new("uint8_t[]", 32)
    password, salt, secret, data = given
    context = ffi.new("argon2_context *", {
        "version": ARGON2_VERSION, "flags": lib.ARGON2_DEFAULT_FLAGS, "out": out, "outlen": 32,
        "pwd": password, "pwdlen": 32, "salt": salt, "saltlen": 16, "secret": secret,
        "secretlen": 8, "ad": data, "adlen": 12, "t_cost": 3, "m_cost": 32, "lanes": 4,
        "threads": 4, "allocate_cbk": ffi.NULL, "free_cbk": ffi.NULL,
    })  # fmt: skip
    code = core(context, Type.ID.value)
    assert code == 0, error_to_str(code)
    agrees("tag", TAG, bytes(ffi.buffer(out)).hex())
