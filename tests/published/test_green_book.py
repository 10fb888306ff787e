"""What is a payment in the thirtieth year worth at the UK's public discount rate?"""

from __future__ import annotations

from slackwater.screens.cost import annuity_factor

SOURCE = "HM Treasury, The Green Book, annex A6"
WHERE = "3.5 % for years 0-30; the factor of year 30 in its table is remembered"
KNOWN = "from memory"


def test_the_thirtieth_payment(agrees) -> None:
    """Thirty years of 1 less twenty-nine leave 0.3563; four places printed."""
    ours = float(annuity_factor(30, 0.035) - annuity_factor(29, 0.035))
    agrees("discount factor of year 30 at 3.5 %", 0.3563, ours, within=5e-5)
