"""Are prices named as the contract names them, and do criteria look at numbers?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from slackwater.catchment.contract.offtakes import ACCESS, KINDS
from slackwater.catchment.draft import Draft
from slackwater.catchment.fish_checks import check_low_high
from slackwater.catchment.settings import Criterion
from slackwater.catchment.settings_reading import SettingsReading

KINDS_OF_ITEM = {"mount": KINDS, "access": ACCESS}


def check_prices(drafts: Mapping[str, Draft]) -> None:
    """Report unknown kinds of priced items and ranges that leave out their value."""
    prices = drafts["prices"]
    for position in np.flatnonzero(prices.sound("item", "kind")):
        _check_kind(prices, int(position))
    check_low_high(prices, "amount", "low", "high")
    check_low_high(drafts["options"], "unit_price", "unit_price_low", "unit_price_high")


def _check_kind(prices: Draft, position: int) -> None:
    item, kind = prices.text("item")[position], prices.text("kind")[position]
    words = KINDS_OF_ITEM.get(item, ("",))
    if kind in words:
        return
    told = f"one of {', '.join(words)}" if words[0] else "empty"
    prices.fault(position, "kind", "unknown_word", f"{told} for {item}")


def check_criteria(
    offtakes: Draft, criteria: Sequence[Criterion], reading: SettingsReading
) -> None:
    """Report criteria whose column the offtakes do not have, or which holds no numbers."""
    if not offtakes.readable:
        return
    known = offtakes.spec.by_name
    for number, criterion in enumerate(criteria, 1):
        name, dotted = criterion.column, f"criterion.{number}.column"
        if name in known and not known[name].is_number:
            reading.fault(dotted, name, "not_numeric", "a column of offtakes that holds numbers")
        elif name not in known and name not in offtakes.columns:
            reading.fault(dotted, name, "unknown_column", "a numeric column that offtakes has")
