"""How much energy does lifting a megalitre take?"""

from __future__ import annotations

import pytest

from slackwater.screens.landholder import landholder_side
from tests.river_builder import river_of

SOURCE = "Hydraulic power"
WHERE = "rho g Q H / efficiency: 9.81 x 1000 / 3600 = 2.725 kWh per ML and metre"
KNOWN = "computed from the stated formula"


@pytest.mark.parametrize(("head_m", "efficiency", "kwh"), [(1.0, 1.0, 2.725), (10.0, 0.70, 38.93)])
def test_energy_a_megalitre(head_m: float, efficiency: float, kwh: float, agrees) -> None:
    """A screen that loses 1 m costs 2.725 kWh a ML; 10 m at 0.70, 38.93; places as given.

    A pump of 1 ML/d for twelve months of 365/12 days lifts 365 ML; energy at 1 a kWh.
    """
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r", "capacity_m3s": 1 / 86.4, "flushes_per_day": 0.0, "flush_minutes": 0.0,
          "flush_litres": 0.0, "filter_cleaning_hours_month": 0.0, "pumping_months": 12.0,
          "pump_head_m": 10.0, "pump_efficiency": efficiency}],
        options=[{"filter_cut_share": 0.0, "head_loss_m": head_m}],
        prices=[{"item": "energy_kwh", "amount": 1.0}],
    )  # fmt: skip
    side = landholder_side(catchment, 0, 0, capital=0.0, upkeep_per_year=0.0)
    agrees(f"kWh/ML, {head_m} m at {efficiency}", kwh, -side.saving_per_year / 365, within=5e-3)
