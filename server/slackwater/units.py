"""The only unit conversions. Inside everything is SI; people read the unit they choose."""

from __future__ import annotations

FLOW_PER_M3S: dict[str, float] = {
    "m3/s": 1.0,
    "L/s": 1000.0,
    "ML/d": 86.4,
    "cfs": 1 / 0.028316846592,
}
"""How many of a unit one m3/s is; a cubic foot is 0.3048**3 m3 by definition."""

LENGTH_PER_M: dict[str, float] = {"m": 1.0, "cm": 100.0, "mm": 1000.0, "ft": 1 / 0.3048}
"""How many of a unit one metre is; the foot by definition."""

M3_PER_ML = 1000.0
"""Cubic metres in a megalitre."""


def flow_in(flow_m3s: float, unit: str) -> float:
    """Give a flow in a unit of `FLOW_PER_M3S`.

    Raises
    ------
    KeyError
        For a unit that is not in the list.
    """
    return flow_m3s * FLOW_PER_M3S[unit]
