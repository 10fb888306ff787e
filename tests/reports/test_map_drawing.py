"""The map on paper: its scale, its widths, its signs and where names may stand."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from slackwater.reports.ground import Dot, Ground, River, Town
from slackwater.reports.map_drawing import draw_map, river_width, scale_bar
from slackwater.reports.names_placed import (
    FALL,
    RISE,
    Box,
    Wanted,
    crosses,
    place_names,
    text_width,
)
from slackwater.reports.signs import Sign, legend_of, sign_of

LAT = -36.0


def ground(dots: tuple[Dot, ...] = ()) -> Ground:
    """One river along a parallel, a tributary, a town."""
    along = np.column_stack((np.linspace(92, 93, 50), np.full(50, LAT)))
    down = np.column_stack((np.full(50, 92.5), np.linspace(LAT + 0.5, LAT, 50)))
    return Ground((River("Main", along, 40.0), River("Arm", down, 10.0)),
                  (Town("Ford", 4, 92.2, LAT + 0.2),), dots)  # fmt: skip


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    """Within a hundredth of the geodesic length at the middle of the map."""
    drawing = draw_map(ground(), 182, 118)
    main = max(drawing.rivers, key=lambda river: river.width_mm)
    points = [tuple(map(float, each.split())) for each in main.path[1:].split("L")]
    length_mm = points[-1][0] - points[0][0]
    _, _, metres = Geod(ellps="WGS84").inv(92, LAT, 93, LAT)
    assert drawing.scale_bar.mm / drawing.scale_bar.km == pytest.approx(
        length_mm / (metres / 1000), rel=0.01
    )


@given(st.floats(0.001, 100))
def test_a_scale_bar_is_round_and_fits(mm_per_km: float) -> None:
    """1, 2 or 5 times a power of ten, and more than a third of the room."""
    bar = scale_bar(mm_per_km, 50)
    assert float(f"{bar.km:.0e}") == pytest.approx(bar.km)
    assert f"{bar.km:e}"[0] in "125"
    assert 50 / 3 < bar.mm <= 50 + 1e-9


def test_four_times_the_flow_is_twice_as_wide() -> None:
    """Above the finest line: channel width goes with the root of flow."""
    assert river_width(10, 40, 0, 2) == pytest.approx(river_width(40, 40, 0, 2) / 2)
    assert river_width(0, 40, 0.1, 2) == 0.1
    assert river_width(5, 0, 0.1, 2) == 0.1


def test_everything_lies_on_the_sheet() -> None:
    """Rivers, towns, signs and names, whatever the shape of the catchment."""
    dots = tuple(
        Dot(f"T-{i:03d}", Sign.INSIDE, i, 92 + i / 40, LAT + 0.01 * (i % 7)) for i in range(41)
    )
    drawing = draw_map(ground(dots), 182, 118)
    for sign in drawing.signs:
        assert 0 <= sign.x_mm <= drawing.width_mm
        assert 0 <= sign.y_mm <= drawing.height_mm
    for name in drawing.names:
        assert name.x_mm >= 0
        assert name.x_mm + text_width(name.text, name.size_mm) <= drawing.width_mm
    assert drawing.height_mm <= 118
    assert len(drawing.signs) == 41


@given(
    st.lists(st.tuples(st.floats(5, 95), st.floats(5, 95)), min_size=2, max_size=40, unique=True)
)
def test_no_name_touches_another_or_a_sign(places: list[tuple[float, float]]) -> None:
    """And no line that leads to a name runs through another name."""
    taken = [Box(x - 1, y - 1, x + 1, y + 1) for x, y in places]
    wanted = [Wanted(f"N-{i}", x, y, 2.4, 1.1, "code", True) for i, (x, y) in enumerate(places)]
    placed = place_names(wanted, taken, Box(0, 0, 100, 100))
    assert placed
    boxes = [
        Box(n.x_mm, n.y_mm - RISE * n.size_mm, n.x_mm + text_width(n.text, n.size_mm),
            n.y_mm + FALL * n.size_mm)
        for n in placed
    ]  # fmt: skip
    for one, other in combinations(boxes, 2):
        assert not one.touches(other)
    for box in boxes:
        assert not any(box.touches(sign) for sign in taken)
    for name in placed:
        if name.leader:
            assert not any(
                crosses(name.leader, b) for b in boxes if b is not boxes[placed.index(name)]
            )


@pytest.mark.parametrize(
    ("state", "by_hand", "close_call", "sign"),
    [
        ("inside", "", False, Sign.INSIDE),
        ("inside", "", True, Sign.CLOSE_IN),
        ("inside", "kept_in", True, Sign.HAND_IN),
        ("outside", "", False, Sign.OUTSIDE),
        ("outside", "", True, Sign.CLOSE_OUT),
        ("outside", "left_out", False, Sign.HAND_OUT),
        ("not_in_round", "left_out", False, Sign.HAND_OUT),
        ("not_in_round", "", True, Sign.NOT_IN_ROUND),
    ],
)
def test_each_standing_has_its_sign(state: str, by_hand: str, close_call: bool, sign: Sign) -> None:
    """Disc, ring, dot, square, dash as the page draws them."""
    assert sign_of(state=state, by_hand=by_hand, close_call=close_call) is sign


def test_a_legend_counts_what_is_there_and_nothing_else() -> None:
    """In a fixed order, whatever order they come in."""
    legend = legend_of([Sign.OUTSIDE, Sign.INSIDE, Sign.OUTSIDE])
    assert [(entry.sign, entry.count) for entry in legend] == [(Sign.INSIDE, 1), (Sign.OUTSIDE, 2)]
