"""In what do the trials of two cases differ? Said in sentences, and as causes of who moves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from slackwater.desk.case_words import joined, percent
from slackwater.desk.data_between import DataBetween
from slackwater.desk.trial import Way
from slackwater.store import Case

Values = Mapping[str, Any]
WAYS = {Way.SCORE.value: "by score", Way.BEST.value: "best set"}
HAND = {"kept_in": "kept in by hand", "left_out": "left out by hand"}


@dataclass(frozen=True)
class Differences:
    """What is another.

    Attributes
    ----------
    sentences : all of it, for people.
    causes : what may move who is inside, in words that follow "since": "the budget is larger".
    """

    sentences: tuple[str, ...]
    causes: tuple[str, ...]


def differences(one: Case, other: Case, data: DataBetween, currency: str) -> Differences:
    """Say in what two cases differ."""
    a, b = one.trial, other.trial
    parts = [_way(a, b), _weights(a, b), _budget(a, b, currency)]
    parts += [*_hand(one, other, currency), *_districts(a, b), _installs(a, b), *_groups(a, b)]
    parts += [*_data(data), *_gone(one, other, currency)]
    told = [part for part in parts if part]
    if one.model_version != other.model_version:
        models = f"{one.model_version} and {other.model_version}"
        told.append((f"The model is another: versions {models}.", "the model is another"))
    return Differences(tuple(s for s, _ in told), tuple(cause for _, cause in told if cause))


_Part = tuple[str, str]
"""A sentence, and a cause ("" where it moves nobody under the way shown)."""


def _counts(a: Values, b: Values, way: Way) -> bool:
    """Whether something that holds for one way alone moves anyone here."""
    return way.value in (a["way"], b["way"])


def _way(a: Values, b: Values) -> _Part | None:
    if a["way"] == b["way"]:
        return None
    before, after = WAYS[a["way"]], WAYS[b["way"]]
    return f"Way to spend: {before} → {after}.", f"it is spent {after}, not {before}"


def _weights(a: Values, b: Values) -> _Part | None:
    names = [*a["weights"], *(name for name in b["weights"] if name not in a["weights"])]
    moved = [
        f"{name.replace('_', ' ')} {_points(a, name)} → {_points(b, name)}"
        for name in names
        if a["weights"].get(name) != b["weights"].get(name)
    ]
    if not moved:
        return None
    counts = _counts(a, b, Way.SCORE)
    inert = "" if counts else " They do not move the best set."
    words = f"Weights: {', '.join(moved)}.{inert}"
    return words, f"the weights are moved ({', '.join(moved)})" if counts else ""


def _points(trial: Values, name: str) -> str:
    weight = trial["weights"].get(name)
    return "none" if weight is None else f"{weight / 1000:g}"


def _budget(a: Values, b: Values, currency: str) -> _Part | None:
    if a["budget"] == b["budget"]:
        return None
    how = "larger" if b["budget"] > a["budget"] else "smaller"
    sums = f"{a['budget']:,.0f} → {b['budget']:,.0f} {currency}".strip()
    return f"Budget: {sums}.", f"the budget is {how}"


def _hand(one: Case, other: Case, currency: str) -> list[_Part]:
    a, b = one.trial, other.trial
    parts = []
    for choice, words in HAND.items():
        for code in sorted({*a[choice], *b[choice]}):
            before, after = a[choice].get(code), b[choice].get(code)
            if before is None:
                money = _money(one, other, code, currency)
                parts.append((f"{code} is {words}: {after}.", f"{code} is {words}{money}"))
            elif after is None:
                money = _money(one, other, code, currency)
                told = f"{code} is no longer {words}"
                parts.append((f"{told} (it was: {before}).", f"{told}{money}"))
            elif before != after:
                parts.append((f"{code} is {words} for another reason: {before} → {after}.", ""))
    return _only_for_best(a, b, parts)


def _money(one: Case, other: Case, code: str, currency: str) -> str:
    """Say what money an offtake frees or takes by moving; "" where it stays on its side."""
    costs = [
        next((row["cost"] for row in case.result["rows"]
              if row["code"] == code and row["state"] == "inside"), None)
        for case in (one, other)
    ]  # fmt: skip
    frees, takes = costs
    if frees is not None and takes is None:
        return f", which frees {frees:,.0f} {currency}".rstrip()
    if takes is not None and frees is None:
        return f", which takes {takes:,.0f} {currency}".rstrip()
    return ""


def _gone(one: Case, other: Case, currency: str) -> list[_Part]:
    """Say who was inside and is not in the round any more, other than by hand."""
    inside = {row["code"] for row in one.result["rows"] if row["state"] == "inside"}
    parts = []
    for row in other.result["rows"]:
        code = row["code"]
        if code in inside and row["state"] == "not_in_round":
            told = f"{code} is not in this round any more"
            parts.append((f"{told}: {row['why_not']}.", told + _money(one, other, code, currency)))
    return parts


def _districts(a: Values, b: Values) -> list[_Part]:
    parts = []
    for rule, edge in (("district_least", "at least"), ("district_most", "at most")):
        for district in sorted({*a[rule], *b[rule]}):
            before, after = a[rule].get(district), b[rule].get(district)
            if before != after:
                words = f"{district} {edge}: {_share(before)} → {_share(after)} of the budget"
                parts.append((f"{words}.", f"the share of {district} is another"))
    return _only_for_best(a, b, parts)


def _share(share: float | None) -> str:
    return "any share" if share is None else percent(share)


def _installs(a: Values, b: Values) -> _Part | None:
    before, after = a["most_installs"], b["most_installs"]
    if before == after:
        return None
    words = ["any number" if each is None else f"{each:,}" for each in (before, after)]
    part = (f"Most installs: {' → '.join(words)}.", "the most installs are another")
    return _only_for_best(a, b, [part])[0]


def _groups(a: Values, b: Values) -> list[_Part]:
    before, after = ({tuple(sorted(group)) for group in trial["together"]} for trial in (a, b))
    parts = [
        (f"{joined(list(group))} go together.", f"{joined(list(group))} go together")
        for group in sorted(after - before)
    ]
    parts += [
        (f"{joined(list(group))} no longer go together.", f"{joined(list(group))} may go apart")
        for group in sorted(before - after)
    ]
    return _only_for_best(a, b, parts)


def _only_for_best(a: Values, b: Values, parts: list[_Part]) -> list[_Part]:
    """Drop the causes where both are by score: hand choices and conditions move the set alone."""
    if _counts(a, b, Way.BEST):
        return parts
    return [(words, "") for words, _ in parts]


def _data(data: DataBetween) -> list[_Part]:
    if data.same:
        return []
    return [(words, "the data is another" if at == 0 else "") for at, words in enumerate(data.told)]
