"""How does one offtake stand in a case?"""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.reports.signs import Sign, sign_of


@dataclass(frozen=True)
class CaseRow:
    """One offtake's standing in the case.

    Attributes
    ----------
    position : row of the offtakes table.
    option : position of its screen, -1 where it has none.
    cost : to the fund; None where there is none.
    reason : why it was chosen by hand, "" where it was not.
    status : how its offer stood in the data of the case.
    committed : money committed to it by now, for the lead alone; None where none is.
    """

    position: int
    code: str
    rank: int
    score: float
    state: str
    why_not: str
    option: int
    cost: float | None
    gain_share: float
    loss_share: float
    close_call: bool
    by_hand: str
    reason: str
    status: str = ""
    committed: float | None = None

    @property
    def inside(self) -> bool:
        """Whether the money reaches it."""
        return self.state == "inside"

    @property
    def sign(self) -> Sign:
        """Its sign, for those who may know that it was chosen by hand."""
        return sign_of(state=self.state, by_hand=self.by_hand, close_call=self.close_call)

    @property
    def public_sign(self) -> Sign:
        """Its sign without hand choices, whose reasons the public does not hear."""
        return sign_of(state=self.state, by_hand="", close_call=self.close_call)
