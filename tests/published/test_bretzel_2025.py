"""How many fewer juveniles do screened pumps take?"""

from __future__ import annotations

import pytest

from tests.paired_intakes import fewer_residents

SOURCE = "Bretzel et al. 2025, ASFB conference abstract"
WHERE = "abstract: 93-100 % fewer juveniles at screened pumps"
KNOWN = "text read"


@pytest.mark.parametrize("fewer", [0.93, 1.0])
def test_juveniles(fewer: float, agrees) -> None:
    """A resident efficacy of 0.93 or 1 gives a loss of residents 93 or 100 % lower; exact."""
    agrees(f"fewer residents with efficacy {fewer}", fewer, fewer_residents(fewer), within=1e-12)
