"""How much of the gauge's flow runs in a reach, and how fast? Area ratio and Manning."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]


def flow_scales(
    given: Numbers, area_km2: Numbers, gauge_area_km2: Numbers, area_exponent: float
) -> Numbers:
    """(reaches,) given flow scale, else ``(area / gauge area) ** exponent``; NaN: no way to it.

    ``gauge_area_km2`` is that of each reach's gauge, (reaches,).

    Source: drainage-area ratio method, USGS SIR 2008-5126.
    """
    return np.where(np.isnan(given), (area_km2 / gauge_area_km2) ** area_exponent, given)


def velocity_coefs(
    given: Numbers,
    velocity_exp: Numbers,
    width_m: Numbers,
    slope: Numbers,
    manning_n: Numbers,
    flow_m3s: Numbers,
) -> Numbers:
    """(reaches,) coefficient a of ``v = a Q**b``: given, else Manning at ``flow_m3s``; NaN: no way.

    A wide rectangle: ``h = (Q n / (w sqrt(S)))**(3/5)``, ``v = Q / (w h)``, ``a = v / Q**b``.
    ``flow_m3s`` is the reach's own, at the gauge's median of recorded days above 0.

    Source: Manning's equation for a wide channel; exponent b after Leopold & Maddock 1953.
    """
    depth_m = (flow_m3s * manning_n / (width_m * np.sqrt(slope))) ** 0.6
    velocity_ms = flow_m3s / (width_m * depth_m)
    return np.where(np.isnan(given), velocity_ms / flow_m3s**velocity_exp, given)
