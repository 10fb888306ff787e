"""Which inputs have a range, and what is the catchment where they are as drawn?

Section 11 of the methods page. One draw an efficacy (option and guild), one a guild, one a site.
Metered draw is not drawn anew: those days were measured. Nor is a quote.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.table import Table
from slackwater.decisions.triangular import DOUBLE, HALF, triangular
from slackwater.desk.evaluation import Evaluation
from slackwater.river.adults import worth_of
from slackwater.river.river import prepare
from slackwater.screens.cost import Costs
from slackwater.screens.efficacy import efficacy_of

Numbers = NDArray[np.float64]

BY_GUILD = ("encounter", "drift_days", "production", "adult_per_settler")
BY_SITE = ("draw", "night_use_share", "position")


@dataclass(frozen=True)
class InputRange:
    """The range of one input, (rows,) each; multiples of the value, but shares for efficacy.

    Attributes
    ----------
    assumed : (rows,) bool, no range was given: half to double.
    """

    low: Numbers
    value: Numbers
    high: Numbers
    assumed: NDArray[np.bool_]

    def at(self, share: Numbers) -> Numbers:
        """(rows,) what these shares of all draws lie below."""
        return triangular(self.low, self.value, self.high, share)


def ranges_of(catchment: Catchment) -> dict[str, InputRange]:
    """Give the range of every input but cost, by its name; see `capital_at` for that."""
    given, rows = catchment.settings.ranges, len(catchment.table("guilds"))
    found = {name: _multiples(given.get(name), rows) for name in BY_GUILD}
    rows = len(catchment.table("offtakes"))
    found |= {name: _multiples(given.get(name), rows) for name in BY_SITE}
    efficacy = catchment.table("efficacy")
    value, low, high = (efficacy.number(name) for name in ("drifter", "low", "high"))
    found["efficacy"] = InputRange(
        np.where(np.isnan(low), value * HALF, low),
        value,
        np.where(np.isnan(high), np.minimum(1.0, value * DOUBLE), high),
        np.isnan(low) | np.isnan(high),
    )
    return found


def _multiples(given: tuple[float, float] | None, rows: int) -> InputRange:
    low, high = given or (HALF, DOUBLE)
    one = np.ones(rows)
    return InputRange(low * one, one, high * one, np.full(rows, given is None))


def assumed_ranges(catchment: Catchment) -> tuple[str, ...]:
    """Name the inputs for which nobody gave a range, so that half to double was used."""
    found = ranges_of(catchment)
    names = [name for name in (*BY_GUILD, *BY_SITE) if found[name].assumed.any()]
    lacking = int(found["efficacy"].assumed.sum())
    if lacking:
        names.append(f"efficacy ({lacking} of {len(found['efficacy'].assumed)} pairs)")
    if "cost" not in catchment.settings.ranges and not _priced_with_range(catchment):
        names.append("cost")
    return tuple(names)


def _priced_with_range(catchment: Catchment) -> bool:
    prices, options = catchment.table("prices"), catchment.table("options")
    columns = [
        *(prices.number(end) for end in ("low", "high")),
        *(options.number(f"unit_price_{end}") for end in ("low", "high")),
    ]
    return any(not np.isnan(column).all() for column in columns)


def with_inputs(catchment: Catchment, values: Mapping[str, Numbers]) -> Catchment:
    """Give the catchment with some inputs multiplied (efficacy: replaced), names as in the ranges.

    Shares stay within 0..1; the resident's share is scaled as the drifter's is.
    """
    guilds, offtakes, production, efficacy = (
        catchment.table(name) for name in ("guilds", "offtakes", "production", "efficacy")
    )
    guild_of = np.array([guilds.index[g] for g in production.text("guild_id")], np.int64)
    use_share, changed = catchment.use_share, dict(catchment.tables)
    for name, value in values.items():
        if name == "efficacy":
            efficacy = _with_efficacy(efficacy, value)
        elif name == "draw":
            use_share = use_share * value[:, None]
        elif name == "production":
            production = _times(production, name, value[guild_of])
        elif name in BY_GUILD:
            guilds = _times(guilds, name, value)
        else:
            offtakes = _times(offtakes, name, value)
    changed |= {t.name: t for t in (guilds, offtakes, production, efficacy)}
    return replace(catchment, tables=changed, use_share=use_share)


def _times(table: Table, column: str, by: Numbers) -> Table:
    """Multiply a column; a share of draw at night stays a share."""
    values = table.number(column) * by
    if column == "night_use_share":
        values = np.clip(values, 0.0, 1.0)  # NaN, where none is known, stays so
    return replace(table, columns={**table.columns, column: values})


def _with_efficacy(table: Table, drifter: Numbers) -> Table:
    before = table.number("drifter")
    times = np.divide(drifter, before, out=np.ones_like(before), where=before > 0)
    columns = {
        **table.columns,
        "drifter": drifter,
        "resident": np.clip(table.number("resident") * times, 0.0, 1.0),
    }
    return replace(table, columns=columns)


def capital_at(evaluation: Evaluation, share: Numbers) -> Numbers:
    """(offtakes, options) capital where each site's cost lies at a share of its range.

    The range of the settings, else item by item as shown beside every cost; a quote has none.

    Parameters
    ----------
    share : (offtakes,) 0..1, or (offtakes, options).
    """
    costs = evaluation.costs
    low, high = costs.capital_low, costs.capital_high
    given = evaluation.catchment.settings.ranges.get("cost")
    if given:
        low, high = (np.where(costs.quoted, 1.0, times) * costs.capital for times in given)
    at = share if share.ndim == 2 else share[:, None]
    return triangular(low, costs.capital, high, at)


def with_values(
    evaluation: Evaluation, values: Mapping[str, Numbers], capital: Numbers | None = None
) -> Evaluation:
    """Give what sets are chosen by where some inputs are other: river, worth, efficacy, costs.

    What was measured and ranked stays that of the evaluation given: it is not to be read here.
    """
    catchment = with_inputs(evaluation.catchment, values)
    only_efficacy = set(values) <= {"efficacy"}
    river = evaluation.river if only_efficacy else prepare(catchment)
    costs = evaluation.costs if capital is None else _costs_at(evaluation.costs, capital)
    return replace(
        evaluation,
        catchment=catchment,
        river=river,
        worth=evaluation.worth if only_efficacy else worth_of(river),
        efficacy=efficacy_of(catchment),
        costs=costs,
    )


def _costs_at(costs: Costs, capital: Numbers) -> Costs:
    """Give the costs at another capital; mobilisation stays the same share of it."""
    times = np.divide(capital, costs.capital, out=np.ones_like(capital), where=costs.capital > 0)
    return replace(costs, capital=capital, mobilisation=costs.mobilisation * times)


def drawn(
    evaluation: Evaluation, ranges: Mapping[str, InputRange], rng: np.random.Generator
) -> Evaluation:
    """Draw every input from its range; see `with_values` for what may be read."""
    values = {name: each.at(rng.random(len(each.value))) for name, each in ranges.items()}
    capital = capital_at(evaluation, rng.random(len(evaluation.costs.capital)))
    return with_values(evaluation, values, capital)
