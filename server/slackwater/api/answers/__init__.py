"""What does each endpoint answer? The typed shapes of the JSON the page reads.

Whole numbers stand for fractions where the name says so: ``lon``, ``lat`` in 1e-5 degree, shares
and criteria in millionths, the score in billionths. A key is absent where the viewer may not see
the column, a value null where there is none or where that one row may not be seen.
"""

from slackwater.api.answers.asked import Id
from slackwater.api.answers.cases import Case, CaseAsked, Cases, Compared, SharedCases
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
from slackwater.api.answers.meeting_shown import LeadAnswer, MeetingAnswer, NowAnswer
from slackwater.api.answers.meetings import (
    AgreedAsked,
    DoorAsked,
    HoldAsked,
    JoinAsked,
    Joined,
    MeetingAsked,
    MeetingClosed,
    MeetingMade,
    Meetings,
    Mine,
    MineAsked,
    MineKept,
    PlacesAsked,
    StepAsked,
    TrialShownAsked,
)
from slackwater.api.answers.notes import (
    ChoiceAsked,
    ChoiceKept,
    NotesAsked,
    NotesKept,
    NotesOfRun,
    PhotoKept,
)
from slackwater.api.answers.offers import OfferKept, Offers, OfferStepAsked, ReserveAsked
from slackwater.api.answers.offtakes import Losses, Offtakes, Routes
from slackwater.api.answers.pack import Pack
from slackwater.api.answers.pages import GuidePages
from slackwater.api.answers.people import (
    LinkAsked,
    LinkMade,
    Links,
    Me,
    PasswordAsked,
    People,
    PersonAnswer,
    PersonAsked,
    PersonChangeAsked,
    ShortText,
    SignInAsked,
    TokenAsked,
    TokenMade,
    Tokens,
)
from slackwater.api.answers.proposals import (
    AcceptNotesAsked,
    NotesRefused,
    Proposals,
    RefuseNotesAsked,
)
from slackwater.api.answers.rows import Row
from slackwater.api.answers.uploads import AcceptAsked
from slackwater.api.answers.visits import (
    Depots,
    OrderAsked,
    RunAsked,
    RunKept,
    RunOrderAsked,
    Runs,
    VisitAsked,
)
from slackwater.api.answers.why import Why

__all__ = [
    "AcceptAsked",
    "AcceptNotesAsked",
    "AgreedAsked",
    "Case",
    "CaseAsked",
    "Cases",
    "CatchmentFacts",
    "ChoiceAsked",
    "ChoiceKept",
    "Compared",
    "Depots",
    "DoorAsked",
    "EditAsked",
    "EditKept",
    "Edition",
    "ErrorAnswer",
    "Findings",
    "FundAsked",
    "GuidePages",
    "History",
    "HoldAsked",
    "Id",
    "JoinAsked",
    "Joined",
    "Land",
    "LeadAnswer",
    "LinkAsked",
    "LinkMade",
    "Links",
    "Losses",
    "Me",
    "MeetingAnswer",
    "MeetingAsked",
    "MeetingClosed",
    "MeetingMade",
    "Meetings",
    "Mine",
    "MineAsked",
    "MineKept",
    "NotesAsked",
    "NotesKept",
    "NotesOfRun",
    "NotesRefused",
    "NowAnswer",
    "OfferKept",
    "OfferStepAsked",
    "Offers",
    "Offtakes",
    "OrderAsked",
    "Pack",
    "PasswordAsked",
    "PasteAsked",
    "PastePreview",
    "People",
    "PersonAnswer",
    "PersonAsked",
    "PersonChangeAsked",
    "PhotoKept",
    "PlaceAsked",
    "PlaceFound",
    "Places",
    "PlacesAsked",
    "Proposals",
    "Reaches",
    "RefuseNotesAsked",
    "ReserveAsked",
    "Roads",
    "Routes",
    "Row",
    "RunAsked",
    "RunKept",
    "RunOrderAsked",
    "Runs",
    "SharedCases",
    "ShortText",
    "SignInAsked",
    "SiteAsked",
    "StepAsked",
    "TokenAsked",
    "TokenMade",
    "Tokens",
    "TrialShownAsked",
    "UndoAsked",
    "VisitAsked",
    "Why",
    "WorkAnswer",
]
