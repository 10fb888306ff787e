"""What becomes of drifters over a stretch of river: the model page, section 4."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, factorial

from scipy.special import gammainc

from .tables import Guild


@dataclass(frozen=True)
class Stretch:
    """Chances, by the stage in which a drifter enters the stretch."""

    drifting_on: list[list[float]]  # [from stage][to stage]
    settled: list[float]
    died: list[float]


def drift_over(guild: Guild, tau_days: float) -> Stretch:
    """The model page, section 4, *Stages*: drift on, settle or die over a travel time.

    Deaths are computed on their own, not as what is left: to die in stage b, a drifter that enters
    in stage a has to get through b - a stages alive, then die before it leaves b: a race of b - a +
    1 steps, each at rate lambda + mu, of which the last is a death and the others are not.
    """
    k, mu = guild.drift_stages, guild.mortality_per_day
    rate = k / guild.drift_days
    both = rate + mu
    drifting_on, settled, died = [], [], []
    for a in range(k):
        row = [0.0] * k
        for b in range(a, k):
            row[b] = exp(-both * tau_days) * (rate * tau_days) ** (b - a) / factorial(b - a)
        drifting_on.append(row)
        settled.append((rate / both) ** (k - a) * float(gammainc(k - a, both * tau_days)))
        deaths = 0.0
        for b in range(a, k):
            deaths += (
                (rate / both) ** (b - a) * (mu / both) * float(gammainc(b - a + 1, both * tau_days))
            )
        died.append(deaths)
    return Stretch(drifting_on, settled, died)
