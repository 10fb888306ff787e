"""What is 1 a year worth, by a printed table?"""

from __future__ import annotations

import pytest

from slackwater.screens.cost import annuity_factor

SOURCE = "Blocher et al., Cost Management, 9th ed., McGraw-Hill"
WHERE = "chapter 12, table 2: present value of an annuity of 1"
KNOWN = "text read"

PRINTED = [(0.07, 10, 7.024), (0.07, 15, 9.108), (0.07, 20, 10.594), (0.10, 20, 8.514),
           (0.05, 20, 12.462)]  # fmt: skip


@pytest.mark.parametrize(("rate", "years", "printed"), PRINTED)
def test_printed_factors(rate: float, years: int, printed: float, agrees) -> None:
    """The factor agrees to the three places printed."""
    agrees(f"{rate:.0%}, {years} years", printed, float(annuity_factor(years, rate)), within=5e-4)
