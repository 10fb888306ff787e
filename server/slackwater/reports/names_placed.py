"""Where can each name stand on a map? Beside its place, where it touches nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, cos, hypot, pi, sin

import numpy as np
from numpy.typing import NDArray

Segment = tuple[tuple[float, float], tuple[float, float]]

WIDE, NARROW, DIGIT, OTHER = 0.68, 0.53, 0.556, 0.36
"""Widths of letters over the letter size, by kind; a sans serif's, from memory."""
RISE, FALL = 0.74, 0.22
"""How far letters reach above and below their line, over the letter size."""
GAP_MM = 0.5
FAR_MM = (3.2, 4.8, 6.6, 8.6)
"""How far from its place a name may stand with a line that leads to it."""
ROUND = 16
"""Directions tried for such a name."""


@dataclass(frozen=True)
class Wanted:
    """A name that asks for room beside a place.

    Attributes
    ----------
    may_stand_off : whether it may stand further away, a fine line leading to it.
    """

    text: str
    x_mm: float
    y_mm: float
    size_mm: float
    away_mm: float
    kind: str
    may_stand_off: bool = False


@dataclass(frozen=True)
class Placed:
    """A name with the start of its line, in millimetres.

    Attributes
    ----------
    leader : ends of a line from the place to the name, None where it stands beside it.
    """

    text: str
    x_mm: float
    y_mm: float
    size_mm: float
    kind: str
    leader: Segment | None = None


@dataclass(frozen=True)
class Box:
    """A rectangle in millimetres, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def touches(self, other: Box) -> bool:
        """Whether two rectangles share any point."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """Whether another rectangle lies within."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and self.right >= other.right
            and self.bottom >= other.bottom
        )


def text_width(text: str, size_mm: float) -> float:
    """Guess how long a line of text is, in millimetres, rather too long than too short."""
    widths = (
        WIDE if c.isupper() else NARROW if c.islower() else DIGIT if c.isdigit() else OTHER
        for c in text
    )
    return size_mm * sum(widths)


def square(x_mm: float, y_mm: float, half_mm: float) -> Box:
    """Give the square around a point."""
    return Box(x_mm - half_mm, y_mm - half_mm, x_mm + half_mm, y_mm + half_mm)


def place_names(wanted: Sequence[Wanted], taken: Sequence[Box], within: Box) -> list[Placed]:
    """Give the names that find room, the first asked first; the others are left out.

    Parameters
    ----------
    taken : what no name may touch.
    """
    signs = np.array([[b.left, b.top, b.right, b.bottom] for b in taken]).reshape(-1, 4).T
    names, leaders, placed = list[Box](), list[Segment](), list[Placed]()
    for name in wanted:
        for box, leader in _spots(name):
            if not within.holds(box) or _touches_any(box, signs):
                continue
            if any(box.touches(other) for other in names):
                continue
            if any(crosses(each, box) for each in leaders):
                continue
            if leader and any(crosses(leader, other) for other in names):
                continue
            names.append(box)
            leaders += [leader] if leader else []
            x, y = box.left + GAP_MM, box.bottom - GAP_MM - FALL * name.size_mm
            placed.append(Placed(name.text, x, y, name.size_mm, name.kind, leader))
            break
    return placed


def _touches_any(box: Box, others: NDArray[np.float64]) -> bool:
    """Whether a rectangle shares a point with any of (4, n) left, top, right, bottom."""
    left, top, right, bottom = others
    apart = (box.left >= right) | (left >= box.right) | (box.top >= bottom) | (top >= box.bottom)
    return not bool(apart.all())


def crosses(line: Segment, box: Box) -> bool:
    """Whether a line passes through a rectangle; looked at every quarter millimetre."""
    (x0, y0), (x1, y1) = line
    steps = max(2, ceil(hypot(x1 - x0, y1 - y0) / 0.25))
    return any(
        box.left < x0 + (x1 - x0) * t / steps < box.right
        and box.top < y0 + (y1 - y0) * t / steps < box.bottom
        for t in range(steps + 1)
    )


def _spots(name: Wanted) -> Iterator[tuple[Box, Segment | None]]:
    """Give the places for a name, best first, with the line that leads there."""
    away = name.away_mm
    slant = 0.6 * away
    for dx, dy in (
        (away, 0.0), (-away, 0.0), (slant, -slant), (slant, slant), (-slant, -slant),
        (-slant, slant), (0.0, -away), (0.0, away),
    ):  # fmt: skip
        yield _box(name, dx, dy), None
    if not name.may_stand_off:
        return
    for far in FAR_MM:
        for step in range(ROUND):
            angle = 2 * pi * step / ROUND
            dx, dy = round(far * cos(angle), 6), round(far * sin(angle), 6)
            end = (name.x_mm + dx, name.y_mm + dy)
            yield _box(name, dx, dy), ((name.x_mm, name.y_mm), end)


def _box(name: Wanted, dx: float, dy: float) -> Box:
    """Give a box whose nearest side or corner lies (dx, dy) from the place."""
    width = text_width(name.text, name.size_mm) + 2 * GAP_MM
    height = (RISE + FALL) * name.size_mm + 2 * GAP_MM
    x, y = name.x_mm + dx, name.y_mm + dy
    steep = abs(dy) > 2 * abs(dx)
    left = x - width / 2 if steep or dx == 0 else x if dx > 0 else x - width
    flat = abs(dx) > 2 * abs(dy)
    top = y - height / 2 if flat or dy == 0 else y if dy > 0 else y - height
    return Box(left, top, left + width, top + height)
