"""What does each endpoint answer? The typed shapes of the JSON the page reads.

Whole numbers stand for fractions where the name says so: ``lon``, ``lat`` in 1e-5 degree, shares
and criteria in millionths, the score in billionths. A key is absent where the viewer may not see
the column, a value null where there is none or where that one row may not be seen.
"""

from slackwater.api.answers.asked import Id
from slackwater.api.answers.cases import Case, CaseAsked, Cases, Compared
from slackwater.api.answers.edits import (
    EditAsked,
    Edition,
    EditKept,
    History,
    PasteAsked,
    PastePreview,
    PlaceAsked,
    PlaceFound,
    UndoAsked,
)
from slackwater.api.answers.errors import ErrorAnswer, Findings
from slackwater.api.answers.facts import CatchmentFacts
from slackwater.api.answers.funding import FundAsked, SiteAsked, WorkAnswer
from slackwater.api.answers.land import Land, Places, Reaches, Roads
from slackwater.api.answers.offers import OfferKept, Offers, OfferStepAsked, ReserveAsked
from slackwater.api.answers.offtakes import Losses, Offtakes, Routes
from slackwater.api.answers.pages import GuidePages
from slackwater.api.answers.rows import Row
from slackwater.api.answers.uploads import AcceptAsked
from slackwater.api.answers.why import Why

__all__ = [
    "AcceptAsked",
    "Case",
    "CaseAsked",
    "Cases",
    "CatchmentFacts",
    "Compared",
    "EditAsked",
    "EditKept",
    "Edition",
    "ErrorAnswer",
    "Findings",
    "FundAsked",
    "GuidePages",
    "History",
    "Id",
    "Land",
    "Losses",
    "OfferKept",
    "OfferStepAsked",
    "Offers",
    "Offtakes",
    "PasteAsked",
    "PastePreview",
    "PlaceAsked",
    "PlaceFound",
    "Places",
    "Reaches",
    "ReserveAsked",
    "Roads",
    "Routes",
    "Row",
    "SiteAsked",
    "UndoAsked",
    "Why",
    "WorkAnswer",
]
