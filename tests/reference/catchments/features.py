"""Which of the model's rules occur in a catchment and matter to its numbers."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from ..scoring import Scored, score_catchment
from . import features_of_ranking as ranking
from . import features_of_river as river
from . import features_of_season as season
from . import features_of_sites as sites

Predicate = Callable[[Scored], bool]

FEATURES: dict[str, Predicate] = {
    "split": river.split,
    "uneven_shares": river.uneven_shares,
    "two_outlets": river.two_outlets,
    "dry_day": river.dry_day,
    "stranding": river.stranding,
    "weir": river.weir,
    "manning": river.manning,
    "area_scale": river.area_scale,
    "nursery_row": river.nursery_row,
    "held_day": river.held_day,
    "lags_differ_by_year": river.lags_differ_by_year,
    "gap": season.gap,
    "trigger": season.trigger,
    "temperature_corner": season.temperature_corner,
    "temperature_gap": season.temperature_gap,
    "temperature_nowhere": season.temperature_nowhere,
    "leap_year": season.leap_year,
    "leap_corner": season.leap_corner,
    "northern": season.northern,
    "southern": season.southern,
    "set_start_month": season.set_start_month,
    "incomplete_year": season.incomplete_year,
    "year_weights": season.year_weights,
    "effort_below_1": season.effort_below_1,
    "stages": season.stages,
    "night": sites.night,
    "two_offtakes_a_reach": sites.two_offtakes_a_reach,
    "mid_length_tie": sites.mid_length_tie,
    "fitted": sites.fitted,
    "metered": sites.metered,
    "metered_zero": sites.metered_zero,
    "allocation": sites.allocation,
    "cease_flow": sites.cease_flow,
    "use_missing": sites.use_missing,
    "use_borrowed": sites.use_borrowed,
    "draw_held_to_flow": sites.draw_held_to_flow,
    "all_taken": sites.all_taken,
    "residents": sites.residents,
    "snapped": sites.snapped,
    "snapped_to_nearest": sites.snapped_to_nearest,
    "quote": ranking.quote,
    "criterion": ranking.criterion,
    "rank_tie": ranking.rank_tie,
    "rank_tie_with_loss": ranking.rank_tie_with_loss,
    "no_best_option": ranking.no_best_option,
    "options_differ": ranking.options_differ,
    "committed": ranking.committed,
    "commitment_left_out": ranking.commitment_left_out,
}


def features_of(folder: Path) -> frozenset[str]:
    """The features that occur and matter in the catchment of a folder."""
    scored = score_catchment(folder)
    return frozenset(name for name, occurs in FEATURES.items() if occurs(scored))
