"""Is it said beside farm savings how little is known of them?"""

from __future__ import annotations

from slackwater.screens.landholder import CAVEAT

SOURCE = "FRDC 2022-003"
WHERE = 'evidence of savings on farm is "largely anecdotal"'
KNOWN = "text read"


def test_caveat(agrees) -> None:
    """The words that go with every such figure quote the report and name it."""
    agrees("quoted", True, "largely anecdotal" in CAVEAT)
    agrees("named", True, "FRDC 2022-003" in CAVEAT)
