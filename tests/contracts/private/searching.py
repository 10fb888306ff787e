"""What of an answer, a page or a file is not for whoever got it?"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Iterator
from typing import Any

from slackwater.people.roles import Role
from tests.contracts.private.agency import OWN_STOP, WRITTEN, Agency
from tests.contracts.seeded import POINTS

UNSAID = re.compile(
    r"\d{4}-\d\d-\d\d(T[\d:.]+)?"  # when
    r"|[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"  # an id
    r"|(?<![\w.])[0-9a-f]{12,64}(?![\w.])"  # a digest
    r"|\"rivers\":\[\{\"path.*?\]"  # drawn
    r"|<svg.*?</svg>|<style.*?</style>|<script(?! type=.application/json).*?</script>",  # drawn
    re.DOTALL,
)
"""Whose digits may be any: they are left out where numbers are looked for, not where texts are."""
OWN_PACK = ("landholder", "contact")
SEARCHED_HEADERS = frozenset({"content-length", "etag", "set-cookie"})


def told_by(answer: Any) -> str:
    """Give all that an answer tells: its headers, its text, what is inside of a workbook."""
    headers = "\n".join(
        f"{name}: {value}" for name, value in answer.headers.items() if name not in SEARCHED_HEADERS
    )
    return f"{headers}\n{text_of(answer.content)}"


def text_of(content: bytes) -> str:
    """Give bytes as text, of a zip file all that is in it."""
    if not content.startswith(b"PK"):
        return content.decode("utf-8", "replace")
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        return "\n".join(packed.read(name).decode("utf-8", "replace") for name in packed.namelist())


def texts_closed_to(agency: Agency, role: Role) -> list[str]:
    """Give all texts that a role may not read."""
    written = [text for text, readers in WRITTEN.items() if role not in readers]
    return [*agency.closed_to(role).texts, *written]


def not_for(agency: Agency, role: Role, told: str, address: str = "") -> list[Any]:
    """Give what is told to a role that is not for it; a field officer's own run may tell more."""
    texts = [text for text in texts_closed_to(agency, role) if text in told]
    numbers = agency.closed_to(role).found_in(UNSAID.sub(" ", told))
    if role is Role.FIELD and agency.ids["run_id"][0] in address:
        texts = [each for each in texts if each not in {f"SECRET-{c}-{OWN_STOP}" for c in OWN_PACK}]
        numbers -= {*POINTS[OWN_STOP]}
    return [*texts, *numbers]


def closed_keys(agency: Agency, role: Role, answer: Any) -> set[str]:
    """Give the closed columns that an answer has by name, whatever they hold; what describes the
    service shows examples of all."""
    if "json" not in answer.headers.get("content-type", "") or "openapi" in answer.text[:20]:
        return set()
    keys = {name for name, value in pairs(answer.json()) if not isinstance(value, dict)}
    return keys & set(agency.closed_to(role).columns)


def pairs(value: Any) -> Iterator[tuple[str, Any]]:
    """Give every key with its value, at any depth."""
    if isinstance(value, dict):
        for key, each in value.items():
            yield key, each
            yield from pairs(each)
    elif isinstance(value, list):
        for each in value:
            yield from pairs(each)


def read_by(told: Iterable[str], texts: Iterable[str]) -> set[str]:
    """Give the texts that stand anywhere in what was told."""
    everything = "\n".join(told)
    return {text for text in texts if text in everything}
