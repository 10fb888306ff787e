"""What does a certificate claim? Its content, read into plain typed values."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from slackwater.errors import UsageError

ByChoice = dict[tuple[str, str], float]
"""(offtake id, option id) -> a number."""


@dataclass(frozen=True)
class CutClaim:
    """One order of installs: the sets it passes through, and the bound it gives.

    Attributes
    ----------
    order : each offtake id -> option id; none where it passes through today's screens.
    """

    order: tuple[dict[str, str], ...]
    constant: float
    weights: ByChoice


@dataclass(frozen=True)
class SeasonClaim:
    """What one guild in one season-year stands for in the numbers."""

    year_share: float
    adults_per_settler: float
    cohorts: int
    produced: float
    benefit_adults: float


@dataclass(frozen=True)
class Claim:
    """A certificate as read; money in the catchment's currency, adults a year.

    Attributes
    ----------
    together : groups of offtake ids, all in or none; a certificate that names none has none.
    chosen : offtake id -> option id; ``chosen_costs`` what each costs the fund.
    choices : every selectable choice with its cost.
    seasons : by (guild id, season-year).
    """

    data_version: str
    model_version: str
    budget: float
    kept_in: dict[str, str]
    left_out: dict[str, str]
    district_least: dict[str, float]
    district_most: dict[str, float]
    most_installs: float | None
    together: tuple[tuple[str, ...], ...]
    chosen: dict[str, str]
    chosen_costs: ByChoice
    spent: float
    benefit_adults: float
    upper_bound_adults: float
    gap: float
    seasons: dict[tuple[str, int], SeasonClaim]
    choices: ByChoice
    cuts: tuple[CutClaim, ...]


def read_claim(certificate: Mapping[str, Any]) -> Claim:
    """Read a certificate's content.

    Raises
    ------
    UsageError
        Where it is no certificate: something is missing or of the wrong kind.
    """
    try:
        return _read(certificate)
    except KeyError as missing:
        raise UsageError(f"this is no certificate: it lacks {missing.args[0]!r}") from None
    except (TypeError, ValueError, AttributeError) as wrong:
        raise UsageError(f"this is no certificate that can be read: {wrong}") from None


def _read(c: Mapping[str, Any]) -> Claim:
    conditions = c["conditions"]
    most = conditions["most_installs"]
    return Claim(
        data_version=str(c["data_version"]),
        model_version=str(c["model_version"]),
        budget=_number(c["budget"]),
        kept_in=_texts(conditions["kept_in"]),
        left_out=_texts(conditions["left_out"]),
        district_least=_numbers(conditions["district_least"]),
        district_most=_numbers(conditions["district_most"]),
        most_installs=None if most is None else _number(most),
        together=tuple(tuple(map(str, group)) for group in conditions.get("together", ())),
        chosen={str(row["offtake_id"]): str(row["option_id"]) for row in c["chosen"]},
        chosen_costs={
            (str(row["offtake_id"]), str(row["option_id"])): _number(row["cost"])
            for row in c["chosen"]
        },
        spent=_number(c["spent"]),
        benefit_adults=_number(c["benefit_adults"]),
        upper_bound_adults=_number(c["upper_bound_adults"]),
        gap=_number(c["gap"]),
        seasons={(str(s["guild_id"]), int(s["year"])): _season(s) for s in c["seasons"]},
        choices=_by_choice(c["choices"]),
        cuts=tuple(
            CutClaim(
                order=tuple(_texts(picks) for picks in cut["order"]),
                constant=_number(cut["constant"]),
                weights=_by_choice(cut["weights"]),
            )
            for cut in c["cuts"]
        ),
    )


def _season(row: Mapping[str, Any]) -> SeasonClaim:
    return SeasonClaim(
        year_share=_number(row["year_share"]),
        adults_per_settler=_number(row["adults_per_settler"]),
        cohorts=int(row["cohorts"]),
        produced=_number(row["produced"]),
        benefit_adults=_number(row["benefit_adults"]),
    )


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ValueError(f"{value!r} is no number")
    return float(value)


def _numbers(values: Mapping[str, Any]) -> dict[str, float]:
    return {str(name): _number(value) for name, value in values.items()}


def _texts(values: Mapping[str, Any]) -> dict[str, str]:
    return {str(name): str(value) for name, value in values.items()}


def _by_choice(values: Mapping[str, Mapping[str, Any]]) -> ByChoice:
    return {
        (str(offtake), str(option)): _number(value)
        for offtake, options in values.items()
        for option, value in options.items()
    }
