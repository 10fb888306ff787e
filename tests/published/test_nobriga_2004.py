"""How many fewer fish did screened siphons take than unscreened ones beside them?"""

from __future__ import annotations

from tests.paired_intakes import fewer_drifters

SOURCE = "Nobriga, Matica, Hymanson 2004, AFS Symposium 39"
WHERE = "paired siphons: at least 99 % fewer of each of four species, many fish below 25 mm"
KNOWN = "text read"


def test_paired_siphons(agrees) -> None:
    """A pair like theirs, with efficacy 0.99, differs by 99 %; exact."""
    agrees("fewer taken with efficacy 0.99", 0.99, fewer_drifters(0.99), within=1e-12)
