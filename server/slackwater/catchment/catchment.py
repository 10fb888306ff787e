"""A whole catchment that can be computed with: checked tables and what follows from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.contract.offtakes import USE_COLUMNS
from slackwater.catchment.network import Network
from slackwater.catchment.records import Records
from slackwater.catchment.settings import Settings
from slackwater.catchment.table import Table


@dataclass(frozen=True)
class Catchment:
    """Everything the rooms above compute from; made only where no fault was found.

    Offtakes, reaches, guilds, gauges and options keep the order of their tables; an array
    position (``reach_index``) is a row of that table.

    Attributes
    ----------
    tables : every table of the contract, empty ones included.
    network : who drains to whom, with shares and weirs.
    records : daily flow and temperature at each gauge, gaps filled, season-years found.
    length_m : (reaches,) given or geodesic.
    flow_scale, velocity_coef : (reaches,) given or derived.
    reach_index : (offtakes,) int64, given or nearest.
    chainage_m : (offtakes,) given or snapped.
    latitude_deg : (offtakes,) WGS84.
    use_share : (offtakes, 12) share of capacity by month, borrowed where none was given.
    use_assumed : (offtakes,) bool, true where borrowed from others of its kind.
    data_version : 12 hex digits over the content.
    """

    settings: Settings
    tables: Mapping[str, Table]
    network: Network
    records: Records
    length_m: NDArray[np.float64]
    flow_scale: NDArray[np.float64]
    velocity_coef: NDArray[np.float64]
    reach_index: NDArray[np.int64]
    chainage_m: NDArray[np.float64]
    latitude_deg: NDArray[np.float64]
    use_share: NDArray[np.float64]
    use_assumed: NDArray[np.bool_]
    data_version: str

    @property
    def name(self) -> str:
        """The catchment's name."""
        return self.settings.name

    @cached_property
    def metered_offtake(self) -> NDArray[np.int64]:
        """(rows of ``metered``,) the offtake each recorded draw belongs to."""
        index = self.tables["offtakes"].index
        named = self.tables["metered"].text("offtake_id")
        return np.array([index[str(name)] for name in named], np.int64)

    def offtake_number(self, column: str) -> NDArray[np.float64]:
        """(offtakes,) a numeric column as understood: snapped chainage, borrowed use."""
        if column == "chainage_m":
            return self.chainage_m
        if column in USE_COLUMNS:
            return self.use_share[:, USE_COLUMNS.index(column)]
        return self.tables["offtakes"].number(column)

    def table(self, name: str) -> Table:
        """Give a table by its contract name."""
        return self.tables[name]
