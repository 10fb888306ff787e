"""What is odd, though not wrong? Every warning about a catchment without fault."""

from __future__ import annotations

from collections.abc import Mapping

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.draft import Draft
from slackwater.catchment.fish_cautions import (
    warn_of_approaches,
    warn_of_distant_offtakes,
    warn_of_missing_pairs,
    warn_of_unsourced_efficacy,
)
from slackwater.catchment.flow_cautions import (
    warn_of_area_ratios,
    warn_of_capacities,
    warn_of_gaps,
    warn_of_long_reaches,
    warn_of_metered_draw,
)
from slackwater.catchment.place_cautions import (
    warn_of_draws_between,
    warn_of_lines_drawn_upstream,
    warn_of_months,
    warn_of_shown_licences,
)


def caution(catchment: Catchment, drafts: Mapping[str, Draft]) -> None:
    """Add every warning to the drafts' findings."""
    warn_of_gaps(catchment, drafts)
    warn_of_lines_drawn_upstream(catchment, drafts)
    warn_of_area_ratios(drafts)
    warn_of_long_reaches(catchment, drafts)
    warn_of_draws_between(catchment, drafts)
    warn_of_shown_licences(drafts)
    warn_of_capacities(catchment, drafts)
    warn_of_months(drafts)
    warn_of_metered_draw(drafts)
    warn_of_distant_offtakes(catchment, drafts)
    warn_of_missing_pairs(drafts)
    warn_of_approaches(catchment, drafts)
    warn_of_unsourced_efficacy(drafts)
