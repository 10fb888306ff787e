"""Do the product's warnings and savings fit what the trade and fish keepers commonly see?"""

from __future__ import annotations

import pytest

from slackwater.screens.landholder import landholder_side
from tests.river_builder import river_of, understood_river

SOURCE = "Common practice of irrigators, screen makers and fish hatcheries"
WHERE = "widely held in the trade; no written source is known to us"
KNOWN = "common practice, no source"


@pytest.mark.parametrize(("egg_mm", "larva_mm"), [(0.5, None), (2.0, 2.0), (None, 2.0)])
def test_a_usual_strainer_holds_no_eggs_or_larvae(
    egg_mm: float | None, larva_mm: float | None, agrees
) -> None:
    """Eggs of 0.5-2 mm and larvae of 2 mm pass a strainer with 10 mm holes: efficacy is doubted."""
    understood = understood_river(
        [{"reach_id": "r"}], [{"reach_id": "r"}],
        guilds=[{"egg_mm": egg_mm, "larva_mm": larva_mm}],
        options=[{"name": "punched plate", "opening_mm": 10.0}],
        efficacy=[{"option_id": "s0", "guild_id": "g0", "drifter": 0.6}],
    )  # fmt: skip
    ours = "unsourced_efficacy" in {finding.code for finding in understood.warnings}
    agrees(f"10 mm holes keeping 0.6 of eggs {egg_mm}, larvae {larva_mm} mm: doubted", True, ours)


def test_a_fine_screen_leaves_a_tenth_of_the_filter_work(agrees) -> None:
    """A flush every 45 minutes is 32 a day; a cut of nine tenths saves 28.8 of them and 0.9 of a
    monthly cleaning.

    By hand, water at 1 a litre and labour at 1 an hour, nothing else priced, 6 months of 365/12
    days: 0.9 x (32 x 182.5 flushes x 1 litre + 1 hour x 6 months) = 0.9 x 5846 = 5261.4.
    """
    flushes = 24 * 60 / 45
    catchment = river_of(
        [{"reach_id": "r"}],
        [{"reach_id": "r", "flushes_per_day": flushes, "flush_minutes": 0.0, "flush_litres": 1.0,
          "filter_cleaning_hours_month": 1.0, "pumping_months": 6.0, "pump_head_m": 20.0,
          "pump_efficiency": 0.7}],
        options=[{"filter_cut_share": 0.9, "head_loss_m": 0.0}],
        prices=[{"item": "water_ml", "amount": 1e6}, {"item": "labour_hour", "amount": 1.0}],
    )  # fmt: skip
    side = landholder_side(catchment, 0, 0, capital=0.0, upkeep_per_year=0.0)
    agrees("flushes a day, one every 45 minutes", 32.0, flushes, within=0.0)
    agrees("saved a year of 5846 units of filter work", 5261.4, side.saving_per_year, within=1e-9)
