"""How does a meeting refuse? Each way has its own name, so that a door can say it in its words."""

from __future__ import annotations

from slackwater.errors import Busy, NotAllowed, NotHere, SlackwaterError
from slackwater.meeting.led import Agreed


class MeetingOver(NotHere):
    """The meeting has ended; nothing moves in it any more."""

    def __init__(self) -> None:
        super().__init__("this meeting has ended")


class MeetingFull(Busy):
    """As many phones are in as a meeting takes."""

    def __init__(self, most: int) -> None:
        super().__init__(f"this meeting is full: {most} phones are in it")


class DoorClosed(NotAllowed):
    """The facilitator lets no further phone in."""

    def __init__(self) -> None:
        super().__init__("the facilitator lets no further phone in just now")


class ChangedMeanwhile(SlackwaterError):
    """Somebody else wrote down what was agreed since; nothing was written over.

    Attributes
    ----------
    agreed : what stands.
    """

    def __init__(self, agreed: Agreed) -> None:
        self.agreed = agreed
        super().__init__("what was agreed was changed meanwhile, so nothing was written")


class PhoneGone(NotHere):
    """The meeting does not know this phone.

    Attributes
    ----------
    dropped : it was sent away; else it may join again.
    """

    def __init__(self, *, dropped: bool) -> None:
        self.dropped = dropped
        super().__init__(
            "this phone was taken out of the meeting"
            if dropped
            else "this meeting does not know this phone; join again"
        )
