"""What does a cell say? Columns of cells as read become typed columns, bad cells apart.

A column is first read in one go; only where that fails is it read cell by cell, so that a
million daily rows take a second or two and a bad cell is still named.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.dates import parse_dates, parse_days
from slackwater.catchment.fields import Field, Kind
from slackwater.catchment.findings import did_you_mean
from slackwater.catchment.numerals import parse_numbers
from slackwater.catchment.remembered import Remembered
from slackwater.catchment.wording import Trouble, needs, plain_text

TEXT_AT_MOST = 10_000
ID_AT_MOST = 200
FORBIDDEN = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]")
"""Control characters (Unicode Cc), and halves of a surrogate pair, which no file can hold."""


@dataclass(frozen=True)
class Parsed:
    """A typed column.

    Attributes
    ----------
    values : (n,) float64, datetime64[D] or object of str; the default (or NaN, NaT, "") where a
        cell is empty or bad.
    troubles : bad cells by position.
    """

    values: NDArray[np.generic]
    troubles: dict[int, Trouble]


COLUMNS_REMEMBERED = 1_000
_PARSED: Remembered[Parsed] = Remembered(COLUMNS_REMEMBERED)


def parse_cells(field: Field, cells: Sequence[Any], *, in_key: bool = False) -> Parsed:
    """Understand a column of cells as its field says; what was understood before is remembered.

    Parameters
    ----------
    cells : str, int, float, bool, date, datetime or None; None and blank text are empty.
    in_key : the column is part of its table's key, so blanks about it are not kept.
    """
    return _PARSED.of((cells,), lambda: _parse(field, cells, in_key), field, in_key)


def _parse(field: Field, cells: Sequence[Any], in_key: bool) -> Parsed:
    values: NDArray[np.generic]
    if field.is_number:
        values, troubles = parse_numbers(field, cells)
        empty = np.isnan(values)
        if field.default is not None:
            values[empty] = float(field.default)
    elif field.kind is Kind.DATE:
        values, troubles = parse_dates(field, cells)
        empty = np.isnat(values)
    else:
        read = parse_days if field.kind is Kind.DAY else _parse_texts
        texts, troubles = read(field, cells)
        if in_key or field.kind is Kind.ID:
            texts = [text.strip() for text in texts]
        values = np.array(texts, dtype=object)
        empty = np.fromiter((not text for text in texts), bool, len(texts))
        if field.default is not None:
            values[empty] = field.default
    if field.needed:
        for position in np.flatnonzero(empty):
            troubles.setdefault(int(position), ("empty_cell", f"fill it: {needs(field)}"))
    values.flags.writeable = False
    return Parsed(values, troubles)


def _parse_texts(field: Field, cells: Sequence[Any]) -> tuple[list[str], dict[int, Trouble]]:
    """Read text, ids and words."""
    texts = list(cells) if set(map(type, cells)) <= {str} else [plain_text(cell) for cell in cells]
    if field.kind in (Kind.WORD, Kind.WORDS):
        return _words(field, texts)
    at_most = ID_AT_MOST if field.kind is Kind.ID else TEXT_AT_MOST
    troubles: dict[int, Trouble] = {}
    if FORBIDDEN.search("".join(texts)) or max(map(len, texts), default=0) > at_most:
        for position, text in enumerate(texts):
            trouble = _text_trouble(text, at_most)
            if trouble:
                troubles[position] = trouble
                texts[position] = ""
    return [text if text.strip() else "" for text in texts], troubles


def _text_trouble(text: str, at_most: int) -> Trouble | None:
    """Say what is wrong with a text, if anything."""
    if FORBIDDEN.search(text):
        return "control_character", "take out tabs, line ends and other control characters"
    if len(text) > at_most:
        return "too_long", f"at most {at_most:,} characters; it has {len(text):,}"
    return None


def _words(field: Field, texts: list[str]) -> tuple[list[str], dict[int, Trouble]]:
    """Hold words against the closed list; several are parted by semicolons."""
    several = field.kind is Kind.WORDS
    known: dict[str, tuple[str, Trouble | None]] = {}
    words: list[str] = []
    troubles: dict[int, Trouble] = {}
    for position, text in enumerate(texts):
        if text not in known:
            parts = [part.strip(" ") for part in (text.split(";") if several else [text])]
            parts = [part for part in parts if part]
            strange = next((part for part in parts if part not in field.words), None)
            trouble = None if strange is None else _unknown_word(field, strange)
            known[text] = ("" if trouble else ";".join(parts), trouble)
        word, trouble = known[text]
        words.append(word)
        if trouble:
            troubles[position] = trouble
    return words, troubles


def _unknown_word(field: Field, strange: str) -> Trouble:
    return "unknown_word", needs(field) + did_you_mean(strange, field.words)
