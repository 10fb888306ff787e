"""Many people at one service: readers that look about, writers that change the same few cells.

Every read and every edit is noted; afterwards it can be said whether an edit was lost.
"""

from __future__ import annotations

import asyncio
import math
import random
import time
from collections.abc import AsyncIterator, Iterable
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

import httpx

TABLE, COLUMN = "offtakes", "wear_cost_year"
PATIENCE_S = 60.0
AGAIN_S = 0.05
MOST_TRIES = 40


@dataclass
class Noted:
    """What came of everything that was asked.

    Attributes
    ----------
    reads : what was read -> seconds of each read.
    acknowledged : ids of edits that were said to be kept -> key, old and new value.
    wrong : whatever was answered that should not have been.
    conflicts : edits that were told that somebody was first.
    """

    reads: dict[str, list[float]] = field(default_factory=dict)
    acknowledged: dict[str, tuple[str, Any, Any]] = field(default_factory=dict)
    edit_s: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    conflicts: int = 0

    @property
    def all_reads(self) -> list[float]:
        """Seconds of every read, shortest first."""
        return sorted(each for listed in self.reads.values() for each in listed)


def share(sorted_values: list[float], part: float) -> float:
    """Give the value below which a part of them lies (nearest rank)."""
    return sorted_values[min(len(sorted_values) - 1, int(part * len(sorted_values)))]


async def turns(until: float, pause_s: float, first_s: float) -> AsyncIterator[None]:
    """Give somebody's turns until a moment, one every ``pause_s`` from ``first_s`` on.

    Whoever is late misses turns and keeps their own beat: people do not fall into step because a
    service once made all of them wait.
    """
    due = time.monotonic() + first_s
    while due < until:
        await asyncio.sleep(max(0.0, due - time.monotonic()))
        yield
        missed = max(0, math.ceil((time.monotonic() - due) / pause_s) - 1)
        due += (1 + missed) * pause_s


class Crowd:
    """People with a token each, at one address.

    Parameters
    ----------
    codes : offtakes that are looked at; the first few are those that all writers change.
    """

    def __init__(self, address: str, codes: list[str], noted: Noted, shared_cells: int = 4) -> None:
        self._address, self._codes, self.noted = address, codes, noted
        self._cells = codes[:shared_cells]

    def reads(self, dice: random.Random) -> tuple[str, str]:
        """Choose what is read next: its kind, and its address."""
        code = dice.choice(self._codes)
        asked = {
            "catchment": "/api/catchment",
            "offtakes": "/api/offtakes",
            "why": f"/api/offtakes/{code}/why",
            "losses": f"/api/losses?year={dice.choice(('mean', 'dry', 'median', 'wet'))}",
            "items": f"/ogc/collections/offtakes/items?limit=100&offset={dice.choice((0, 100))}",
            "edition": "/api/edition",
        }
        kind = dice.choice(list(asked))
        return kind, asked[kind]

    async def read(self, token: str, until: float, pause_s: float, seed: int) -> None:
        """Look about until a moment, one thing every so often."""
        dice = random.Random(seed)
        async with self._client(token) as client:
            async for _ in turns(until, pause_s, dice.uniform(0, pause_s)):
                kind, path = self.reads(dice)
                began = time.perf_counter()
                await self._ask(client, "GET", path)
                self.noted.reads.setdefault(kind, []).append(time.perf_counter() - began)

    async def write(self, token: str, until: float, pause_s: float, seed: int) -> None:
        """Change one of a few cells every so often, again where somebody was first."""
        dice = random.Random(seed)
        async with self._client(token) as client:
            async for _ in turns(until, pause_s, dice.uniform(0, pause_s)):
                await self._edit(client, dice.choice(self._cells), round(dice.uniform(10, 999), 3))

    async def _edit(self, client: httpx.AsyncClient, key: str, new: float) -> None:
        for _ in range(MOST_TRIES):
            row = await self._ask(client, "GET", f"/api/rows/{TABLE}/{key}")
            if row is None:
                return
            old = row.json()["cells"][COLUMN]
            change = {"table": TABLE, "key": key, "column": COLUMN, "old": old, "new": new}
            asked = {"id": str(uuid4()), "changes": [change], "why": "read off the meter"}
            began = time.perf_counter()
            answer = await self._ask(client, "POST", "/api/edits", asked, also=409)
            self.noted.edit_s.append(time.perf_counter() - began)
            if answer is None:
                return
            if answer.status_code == 200:
                self.noted.acknowledged[asked["id"]] = (key, old, new)
                return
            self.noted.conflicts += 1
            await asyncio.sleep(AGAIN_S)
        self.noted.wrong.append(f"an edit of {key} found no turn in {MOST_TRIES} tries")

    async def _ask(
        self, client: httpx.AsyncClient, method: str, path: str, body: Any = None, also: int = 0
    ) -> httpx.Response | None:
        try:
            answer = await client.request(method, path, json=body)
        except httpx.HTTPError as failure:
            self.noted.wrong.append(f"{method} {path}: {failure!r}")
            return None
        if answer.status_code not in (200, also):
            self.noted.wrong.append(f"{method} {path}: {answer.status_code} {answer.text[:200]}")
            return None
        return answer

    def _client(self, token: str) -> httpx.AsyncClient:
        return httpx.AsyncClient(
            base_url=self._address,
            headers={"Authorization": f"Bearer {token}"},
            timeout=PATIENCE_S,
            trust_env=False,
            verify=False,  # plain HTTP; to read certificates sixty times would hold all of them up
        )


async def together(
    crowd: Crowd, readers: Iterable[str], writers: Iterable[str], lasts_s: float,
    read_every_s: float = 1.0, write_every_s: float = 5.0,
) -> None:  # fmt: skip
    """Let all read and write at once for a while."""
    until = time.monotonic() + lasts_s
    everyone = [crowd.read(each, until, read_every_s, at) for at, each in enumerate(readers)]
    everyone += [
        crowd.write(each, until, write_every_s, 1000 + at) for at, each in enumerate(writers)
    ]
    await asyncio.gather(*everyone)


def lost(address: str, token: str, noted: Noted) -> list[str]:
    """Give what is wrong with the history: an edit that was acknowledged and is not in it, or one
    made on another value than the one before it left."""
    found: dict[str, Any] = {}
    with httpx.Client(
        base_url=address, headers={"Authorization": f"Bearer {token}"}, trust_env=False
    ) as client:
        before = ""
        while True:
            told = client.get(f"/api/edits?table={TABLE}&limit=200{before}").json()
            found |= {each["id"]: each for each in told["edits"]}
            if not told["more"]:
                break
            before = f"&before={min(each['seq'] for each in told['edits'])}"
        wrong = [
            f"{each} is not in the history" for each in noted.acknowledged if each not in found
        ]
        stands: dict[str, Any] = {}
        for edit in sorted(found.values(), key=lambda each: each["seq"]):
            for change in edit["changes"]:
                if change["column"] != COLUMN:
                    continue
                key = change["key"]
                if key in stands and stands[key] != change["old"]:
                    wrong.append(f"{edit['id']} was made on {change['old']}, not {stands[key]}")
                stands[key] = change["new"]
        for key, value in stands.items():
            cell = client.get(f"/api/rows/{TABLE}/{key}").json()["cells"][COLUMN]
            if cell != value:
                wrong.append(f"{key} is {cell}, and was last set to {value}")
    return wrong
