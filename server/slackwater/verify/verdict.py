"""What came of checking a certificate: it holds, or which numbers do not."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

SHOWN_OF_ONE_KIND = 5


@dataclass(frozen=True)
class Disagreement:
    """One thing a certificate says, and what was found instead.

    Attributes
    ----------
    what : which number or statement, in words a person can look up in the certificate.
    claimed, recomputed : both sides; numbers in the certificate's own units.
    """

    what: str
    claimed: object
    recomputed: object

    def __str__(self) -> str:
        """Give one line."""
        return f"{self.what}: claimed {self.claimed}, recomputed {self.recomputed}"


@dataclass(frozen=True)
class Verdict:
    """All disagreements found; none means that the certificate holds."""

    disagreements: tuple[Disagreement, ...]

    @property
    def holds(self) -> bool:
        """Whether everything agrees."""
        return not self.disagreements


@dataclass
class Findings:
    """Collects disagreements while a certificate is checked.

    Attributes
    ----------
    tolerance : relative; two numbers within it agree.
    noise_adults : adults below which a difference of two worths is rounding.
    """

    tolerance: float
    noise_adults: float = 0.0
    found: list[Disagreement] = field(default_factory=list)

    def say(self, what: str, claimed: object, recomputed: object) -> None:
        """Add a disagreement."""
        self.found.append(Disagreement(what, claimed, recomputed))

    def agree(self, claimed: float, recomputed: float, noise: float = 0.0) -> bool:
        """Whether two numbers are the same."""
        return math.isclose(claimed, recomputed, rel_tol=self.tolerance, abs_tol=noise)

    def compare(self, what: str, claimed: float, recomputed: float, noise: float = 0.0) -> None:
        """Say so where two numbers are not the same."""
        if not self.agree(claimed, recomputed, noise):
            self.say(what, claimed, recomputed)

    def compare_all(
        self,
        what: str,
        claimed: Mapping[str, float],
        recomputed: Mapping[str, float],
        noise: float = 0.0,
    ) -> None:
        """Compare numbers by name; a name on one side only is a disagreement too.

        Of many that differ the first few are said, and how many there are.
        """
        names = [*recomputed, *(name for name in claimed if name not in recomputed)]
        wrong = [
            name
            for name in names
            if name not in claimed
            or name not in recomputed
            or not self.agree(claimed[name], recomputed[name], noise)
        ]
        for name in wrong[:SHOWN_OF_ONE_KIND]:
            self.say(
                f"{what} {name}", claimed.get(name, "nothing"), recomputed.get(name, "nothing")
            )
        if len(wrong) > SHOWN_OF_ONE_KIND:
            self.say(f"{what}, how many differ", 0, len(wrong))
