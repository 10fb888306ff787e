"""Who is told where an offer stands? The public hears "not in this round", never why."""

from __future__ import annotations

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.fields import Visibility
from slackwater.desk.visibility import Column, of_contract


def status_column(catchment: Catchment) -> Column:
    """Give the status of every offtake; declined and unwilling ones are for the agency alone.

    Both are hidden alike, so that neither can be told from the other.
    """
    offtakes = catchment.table("offtakes")
    status, willing = offtakes.text("status"), offtakes.text("willing")
    refused = (status == "declined") | ((willing == "no") & (status != "built"))
    return Column(
        "status",
        status.tolist(),
        of_contract("offtakes", "status"),
        refused.astype(bool),
        Visibility.AGENCY,
    )
