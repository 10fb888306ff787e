"""How much do two distributions over the same classes overlap?"""

from __future__ import annotations

import numpy as np

from slackwater.river.overlap import overlap_coefficient

SOURCE = "Schoener's index (1970)"
WHERE = "sum of the smaller shares; p (.1,.4,.4,.1), q (.4,.4,.1,.1)"
KNOWN = "computed from the stated formula"


def test_four_classes(agrees) -> None:
    """Shares .1 .4 .4 .1 and .4 .4 .1 .1 overlap by 0.7, and the same by 1 - half the distance."""
    p, q = np.array([[0.1, 0.4, 0.4, 0.1]]), np.array([[0.4, 0.4, 0.1, 0.1]])
    ours = float(overlap_coefficient(p, q)[0])
    agrees("overlap", 0.700, ours, within=1e-12)
    agrees("1 - sum |p - q| / 2", 1 - float(np.abs(p - q).sum()) / 2, ours, within=1e-12)


def test_totals_do_not_matter(agrees) -> None:
    """Shares of the year are compared, not amounts: seven times the draw overlaps the same."""
    p, q = np.array([[0.7, 2.8, 2.8, 0.7]]), np.array([[0.4, 0.4, 0.1, 0.1]])
    agrees("overlap", 0.700, float(overlap_coefficient(p, q)[0]), within=1e-12)
