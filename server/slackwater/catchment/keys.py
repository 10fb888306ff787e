"""Does every row have a key of its own, and is every row that another names there?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.contract import TABLES
from slackwater.catchment.draft import Draft
from slackwater.catchment.fields import Field
from slackwater.catchment.findings import nearest_word

LONG_TABLES = ("daily", "metered")
"""Tables of many rows an id; an unknown id is reported once, with the rows counted."""

NOT_FITTED = "none"


def check_keys(drafts: Mapping[str, Draft]) -> None:
    """Report repeated keys, then keys that lead nowhere, over all tables."""
    for draft in drafts.values():
        if draft.spec.key and draft.readable:
            _check_repeated(draft)
    _check_reserved(drafts["options"])
    for name, draft in drafts.items():
        for field in TABLES[name].fields:
            if field.refers_to:
                _link(draft, field, drafts[field.refers_to.split(".")[0]])
    for target in drafts.values():
        _report_dangling(target, drafts)


def _check_repeated(draft: Draft) -> None:
    """Report each row whose key stands in a row before it."""
    names = draft.spec.key
    sound = draft.sound(*names)
    if not sound.any():
        return
    codes = np.column_stack([_as_codes(draft, name) for name in names])[sound]
    order = np.lexsort(codes.T)  # stable: rows of one key stay in the order of the file
    starts = np.concatenate(([True], (codes[order][1:] != codes[order][:-1]).any(axis=1)))
    if starts.all():
        return
    positions = np.flatnonzero(sound)[order]
    first = positions[starts][np.cumsum(starts) - 1]
    repeats = zip(positions[~starts].tolist(), first[~starts].tolist(), strict=True)
    for position, earlier in sorted(repeats):
        _report_repeated(draft, position, int(draft.rows[earlier]))


def _report_repeated(draft: Draft, position: int, earlier_row: int) -> None:
    draft.dropped[position] = True
    if draft.spec.key[-1] == "date":
        draft.fault(
            position, "date", "date_twice", f"row {earlier_row} has this day already; keep one"
        )
        return
    told = " and ".join(draft.spec.key)
    draft.fault(
        position,
        draft.spec.key[0],
        "duplicate_key",
        f"row {earlier_row} has this {told} already; each may stand once",
    )


def _as_codes(draft: Draft, name: str) -> NDArray[np.int64]:
    """(n,) whole numbers, equal where the cells are."""
    values = draft.columns[name]
    if values.dtype.kind == "M":
        return values.astype(np.int64)
    numbers = _Numbering()
    return np.fromiter(map(numbers.__getitem__, values.tolist()), np.int64, len(values))


class _Numbering(dict[str, int]):
    """Numbers each text the first time it is asked for."""

    def __missing__(self, text: str) -> int:
        self[text] = len(self)
        return self[text]


class _Positions(dict[str, int]):
    """Positions of ids, -1 for an unknown one."""

    def __missing__(self, _: str) -> int:
        return -1


def _check_reserved(options: Draft) -> None:
    for position in np.flatnonzero(options.text("option_id") == NOT_FITTED):
        options.fault(
            int(position),
            "option_id",
            "reserved_id",
            "'none' means that nothing is fitted; give the option another id",
        )


def _link(draft: Draft, field: Field, target: Draft) -> None:
    """Find the row that each cell refers to."""
    cells = draft.text(field.name).tolist()
    at = _Positions(target.index)
    draft.links[field.name] = np.fromiter(map(at.__getitem__, cells), np.int64, len(cells))


def _report_dangling(target: Draft, drafts: Mapping[str, Draft]) -> None:
    """Report every reference into ``target`` that leads nowhere."""
    column = f"{target.name}.{target.spec.key[0]}" if target.spec.key else ""
    found: list[tuple[Draft, str, int, str]] = []
    for draft in drafts.values():
        for field in draft.spec.fields:
            if field.refers_to != column or not column:
                continue
            cells = draft.text(field.name)
            unknown = (draft.links[field.name] < 0) & (cells != "")
            if field.default == NOT_FITTED:
                unknown &= cells != NOT_FITTED
            found += [(draft, field.name, int(i), cells[i]) for i in np.flatnonzero(unknown)]
    excused = _excused(target, Counter(each for *_, each in found))
    told: dict[tuple[str, str], int] = {}
    long = Counter((draft.name, each) for draft, _, _, each in found)
    for draft, name, position, each in found:
        draft.mark_bad(position, name)
        if not target.readable or each in excused:
            continue
        if draft.name in LONG_TABLES:
            if (draft.name, each) in told:
                continue
            told[draft.name, each] = position
        remedy = _dangling_remedy(target, each)
        if draft.name in LONG_TABLES and long[draft.name, each] > 1:
            remedy += f"; {long[draft.name, each]:,} rows name it"
        draft.fault(position, name, "dangling_key", remedy)


def _dangling_remedy(target: Draft, each: str) -> str:
    near = nearest_word(each, target.index)
    hint = f"; did you mean {near!r}?" if near else ""
    if not near and len(target.index) <= 12:
        hint = ": " + (", ".join(target.index) or "it has no rows")
    return f"an id of {target.name}{hint}"


def _excused(target: Draft, counts: Counter[str]) -> set[str]:
    """Give unknown ids that most likely are those of rows whose own id is at fault.

    A row without a readable id, or one that repeats another's id but says something else, has
    lost its id: what refers to that id is not a second mistake. Such a row excuses one id, the
    one that most cells name.
    """
    if not target.spec.key or not len(target):
        return set()
    key = target.spec.key[0]
    nameless = int(target.bad.get(key, np.zeros(len(target), bool)).sum())
    copies = sum(_is_copy(target, int(i)) for i in np.flatnonzero(target.dropped))
    return {each for each, _ in counts.most_common(max(0, nameless - copies))}


def _is_copy(target: Draft, position: int) -> bool:
    """Whether a repeated row says the same as the row before it with that id, in every cell."""
    first = target.index[target.text(target.spec.key[0])[position]]
    return all(target.cell(first, name) == target.cell(position, name) for name in target.raw)
