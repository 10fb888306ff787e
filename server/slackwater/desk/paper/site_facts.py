"""What may one viewer know of one offtake in a case? Every fact of a brief passes through here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from slackwater.decisions.options import NONE
from slackwater.desk.offtake_columns import band_of
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.visibility import Column, Viewer, of_contract, of_result, sees
from slackwater.reports.figures import money

KINDS = {
    "rail_suction": "pump on rails",
    "fixed_suction": "fixed pump",
    "floating_suction": "floating pump",
    "gravity_channel": "gravity channel",
}


@dataclass(frozen=True)
class SiteFacts:
    """One offtake of a case, as one viewer may see it."""

    case: CaseShown
    row: CaseRow
    viewer: Viewer

    @property
    def option(self) -> int:
        """The screen it is about: the one in the case, else its best; -1 where none can go on it.

        Which option was quoted is not public, so the public hears of the best one there.
        """
        evaluation, offtake = self.case.evaluation, self.row.position
        best, option = int(evaluation.best_option[offtake]), self.row.option
        if option == NONE:
            return best
        quoted = bool(evaluation.costs.quoted[offtake, option])
        hidden = quoted and not sees(self.viewer, of_contract("offtakes", "quote_option"))
        return best if hidden else option

    @cached_property
    def why(self) -> Mapping[str, Any]:
        """Why it stands where it stands, as far as the viewer may see it."""
        return self.case.shown.why(self.row.position, self.viewer)

    @cached_property
    def screen(self) -> Mapping[str, Any]:
        """The screen's size, cost and gain; empty where none can go on it."""
        screens = self.why["screens"]
        return screens[self.option] if self.option != NONE else {}

    @cached_property
    def inputs(self) -> Mapping[str, Mapping[str, Any]]:
        """Column -> input of the offtake: value, unit, meaning, basis, date."""
        return {each["column"]: each for each in self.why["inputs"]}

    def given(self, column: str) -> Any:
        """Give an input of the offtake; None where it is empty or closed."""
        return self.inputs.get(column, {}).get("value")

    def of_option(self, column: str) -> Any:
        """Give a cell of the screen's row; None where it is empty, closed or there is none."""
        if self.option == NONE or not sees(self.viewer, of_contract("options", column)):
            return None
        cell = self.case.evaluation.catchment.table("options").columns[column][self.option]
        if isinstance(cell, str):
            return cell or None
        return None if np.isnan(float(cell)) else float(cell)

    @property
    def cost_band_words(self) -> str:
        """That band as people read it, "" where there is none to tell."""
        band = self.cost_band
        return f"{money(band[0])} to {money(band[1])}" if band else ""

    @property
    def cost_band(self) -> tuple[float, float] | None:
        """Band of the screen's cost; None where it is made from a quote the viewer may not see."""
        if self.option == NONE:
            return None
        costs, at = self.case.evaluation.costs, (self.row.position, self.option)
        hidden = costs.quoted[at[0], at[1] : at[1] + 1]
        bands = Column(
            "capital_band",
            [band_of(float(costs.capital[at]))],
            of_result("screen.capital_band"),
            hidden,
        )
        band = bands.shown_to(self.viewer)[0] if sees(self.viewer, bands.visibility) else None
        return (band[0], band[1]) if band else None

    @property
    def option_name(self) -> str:
        """Generic name of the screen, "" where none can go on it."""
        return str(self.of_option("name") or "")

    @property
    def is_pump(self) -> bool:
        """Whether water is pumped here, not led off by gravity."""
        return bool(self.given("kind") != "gravity_channel")
