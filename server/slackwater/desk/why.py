"""Why does one offtake stand where it stands? Everything that its rank is made of.

Every value passes the field selector: what a viewer may not see is absent.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slackwater.decisions.score import MILLION
from slackwater.desk.cell_grounds import Grounds
from slackwater.desk.criteria_shown import parts_of_site
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.inputs_of_site import inputs_of_site
from slackwater.desk.loss_of_site import loss_of_site, taken_of_passing
from slackwater.desk.losses import six_digits
from slackwater.desk.months_of_site import months_shown
from slackwater.desk.rests_on import rests_on
from slackwater.desk.screens_of_site import screens_of_site
from slackwater.desk.visibility import Viewer, fields_shown
from slackwater.screens.landholder import CAVEAT


def why(
    evaluation: Evaluation,
    offtake: int,
    viewer: Viewer,
    grounds: Mapping[str, Grounds] | None = None,
) -> dict[str, Any]:
    """Give the why of one offtake.

    Parameters
    ----------
    offtake : row of the offtakes table.
    grounds : column -> how its cell came about, where an edit says so.
    """
    offtakes = evaluation.catchment.table("offtakes")
    return {
        "offtake_id": offtakes.keys[offtake],
        "rank": int(evaluation.ranking.rank[offtake]),
        "of": len(offtakes),
        "sentence_facts": _sentence(evaluation, offtake, viewer),
        "parts": parts_of_site(evaluation, offtake, viewer),
        "loss": loss_of_site(evaluation, offtake, viewer),
        "months": months_shown(evaluation, offtake, viewer),
        "screens": screens_of_site(evaluation, offtake, viewer),
        "caveat": CAVEAT,
        "inputs": inputs_of_site(evaluation, offtake, viewer, grounds or {}),
        "rests_on": rests_on(evaluation, offtake, viewer),
    }


def _sentence(evaluation: Evaluation, offtake: int, viewer: Viewer) -> dict[str, Any]:
    """Give the numbers of the one plain sentence."""
    ranking, total = evaluation.ranking, float(evaluation.loss_adults.sum())
    season = ranking.values_millionths[ranking.criteria.index("overlap"), offtake]
    facts = {
        "taken_of_passing": six_digits(taken_of_passing(evaluation, offtake)),
        "loss_share": six_digits(float(evaluation.loss_adults[offtake]) / total) if total else 0.0,
        "overlap": int(season) / MILLION,
    }
    return fields_shown("sentence", facts, viewer)
