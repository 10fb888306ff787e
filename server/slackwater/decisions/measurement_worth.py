"""What is knowing an input worth before money is spent on a site?

Section 11 of the methods page. Without the measurement one option (or none) is taken for all that
the input may be; with it the best for each. What that gains on average is never negative, and 0
where the same option is best throughout. Both means are over the same draws: where the middle of
a range is not its mean, to hold the value itself against the mean would find worth in nothing.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
ROUNDING = 1e-12


def worth_of_knowing(payoff: Numbers) -> Numbers:
    """(...,) the mean of the best payoffs less the best of the mean payoffs.

    Parameters
    ----------
    payoff : (..., draws, options) of equally likely draws; to do nothing pays 0 and need not be
        among the options.
    """
    told = np.maximum(payoff.max(axis=-1, initial=0.0), 0.0).mean(axis=-1)
    untold = np.maximum(payoff.mean(axis=-2).max(axis=-1, initial=0.0), 0.0)
    gained = told - untold
    worth: Numbers = np.where(gained > ROUNDING * np.abs(told), gained, 0.0)
    return worth
