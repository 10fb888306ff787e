"""What else does the agency know of each offtake: people, power, filters, status?"""

from collections.abc import Sequence
from typing import Any

import geopandas as gpd
import numpy as np
from shapely import Polygon, points
from shapely.strtree import STRtree

from .districts import DISTRICTS
from .draws import metered_sites, months_of_use, night_shares
from .frame import INVENTED, random_stream, to_degrees
from .hydrology import Hydrology
from .offtakes import Offtake

_LABELS = (
    "Wick Lane pump", "Old Lamphouse pump", "Moth Flat pump", "Glassblower's channel",
    "Cinder Paddock pump", "Tallow Shed pump", "Lower Bellows pump", "Snuffbox pump",
    "Candlemaker's pump", "Long Match pump", "Beaconside pump", "Flue Bend pump",
    "Soot Island pump", "Halfwick pump", "Nightwatch pump",
)  # fmt: skip


def offtake_ids(offtakes: list[Offtake]) -> list[str]:
    """Public codes, from the head of the main river down."""
    return [f"LN-{number:03d}" for number in range(1, len(offtakes) + 1)]


def offtakes_layer(
    offtakes: list[Offtake],
    reach_ids: Sequence[str],
    hydrology: Hydrology,
    districts: list[Polygon],
) -> gpd.GeoDataFrame:
    """The contract's columns, with gaps where an agency has gaps."""
    rng = random_stream(34)
    ids, uses, nights = offtake_ids(offtakes), months_of_use(offtakes), night_shares(offtakes)
    degrees = to_degrees(np.array([site.at_km for site in offtakes]))
    district = _districts(offtakes, districts)
    partly = set(
        rng.choice([i for i, u in enumerate(uses) if u is not None], 2, replace=False).tolist()
    )
    licences = rng.choice(np.arange(10_000, 99_999), len(offtakes), replace=False)
    metered = set(metered_sites(offtakes))
    labelled = rng.choice(len(offtakes), len(_LABELS), replace=False).tolist()
    labels = dict(zip(labelled, _LABELS, strict=True))
    rows = []
    for i, site in enumerate(offtakes):
        is_channel = site.kind == "gravity_channel"
        label = labels.get(i)
        row: dict[str, Any] = {
            "offtake_id": ids[i],
            "label": label.replace("pump", "channel")
            if label and is_channel
            else label.replace("channel", "pump")
            if label
            else None,
            "landholder": f"Holder {int(rng.integers(1, 161)):03d}",
            "licence": f"0{licences[i]}",
            "contact": f"contact {i + 1:03d}",
            "reach_id": None if rng.random() < 0.06 else reach_ids[site.reach],
            "chainage_m": round(site.chainage_m, 0) if rng.random() < 0.45 else None,
            "kind": site.kind,
            "capacity_m3s": site.capacity_m3s,
        }
        if row["reach_id"] is None:
            row["chainage_m"] = None
        shares = uses[i]
        for month in range(1, 13):
            row[f"use_{month:02d}"] = shares[month - 1] if shares is not None else None
        if i in partly:
            row["use_06"] = row["use_07"] = None
        row["cease_flow_m3s"] = site.cease_flow_m3s or None
        row["night_use_share"] = nights[i]
        row.update(_place(rng, hydrology, site))
        row["district"] = DISTRICTS[district[i]]
        row.update(_filters(rng, site))
        row["basis"] = (
            "measured" if i in metered else str(rng.choice(("estimated", "assumed"), p=(0.7, 0.3)))
        )
        year, month, day = (
            int(rng.integers(2017, 2022)),
            int(rng.integers(1, 13)),
            int(rng.integers(1, 29)),
        )
        row["observed_on"] = f"{year}-{month:02d}-{day:02d}" if rng.random() < 0.8 else None
        row["source"] = f"{INVENTED}; " + (
            "meter and plate" if i in metered else "licence register"
        )
        rows.append(row)
    _decide(rng, rows)
    return gpd.GeoDataFrame(rows, geometry=gpd.points_from_xy(*degrees.T), crs="EPSG:4326")


def _districts(offtakes: list[Offtake], districts: list[Polygon]) -> list[int]:
    tree = STRtree(districts)
    spots = points(np.array([site.at_km for site in offtakes]))
    return [int(index) for index in tree.query_nearest(spots, all_matches=False)[1]]


def _place(rng: np.random.Generator, hydrology: Hydrology, site: Offtake) -> dict[str, Any]:
    mean_m3s = hydrology.mean_flow_m3s(site.reach)
    depth_m = min(0.35 + 0.36 * mean_m3s**0.4, 2.8) * rng.uniform(0.65, 1.35)
    is_placed = rng.random() < 0.5
    return {
        "position": round(float(np.clip(rng.lognormal(0.0, 0.5), 0.5, 2.0)), 2)
        if is_placed
        else None,
        "intake_depth_m": round(float(depth_m), 1) if rng.random() < 0.7 else None,
        "opening_mm": float(rng.choice((20.0, 40.0, 75.0))) if rng.random() < 0.4 else None,
        "fitted": None,
        "power": "yes" if site.kind != "gravity_channel" and rng.random() < 0.72 else "no",
        "access": str(rng.choice(("good", "fair", "poor"), p=(0.45, 0.38, 0.17))),
    }


def _filters(rng: np.random.Generator, site: Offtake) -> dict[str, Any]:
    names = [
        "flushes_per_day",
        "flush_minutes",
        "flush_litres",
        "filter_cleaning_hours_month",
        "pumping_months",
        "pump_head_m",
        "pump_efficiency",
        "wear_cost_year",
    ]
    if site.kind == "gravity_channel" or rng.random() < 0.35:
        return dict.fromkeys(names)
    capacity = site.capacity_m3s
    values = (
        int(rng.integers(2, 16)),
        round(float(rng.uniform(2, 7)), 1),
        round(float(capacity * rng.uniform(9_000, 30_000)), -1),
        round(float(rng.uniform(1, 14)), 1),
        int(rng.integers(5, 10)),
        round(float(rng.uniform(6, 38)), 1),
        round(float(rng.uniform(0.55, 0.8)), 2),
        round(float(2_500 * capacity**0.6 * rng.uniform(0.4, 2.0)), -1),
    )
    return dict(zip(names, values, strict=True))


def _decide(rng: np.random.Generator, rows: list[dict[str, Any]]) -> None:
    """Most are candidates; a few have gone further, with a quote, or have a screen already."""
    for row in rows:
        row["willing"] = str(rng.choice(("yes", "unknown", "no"), p=(0.5, 0.41, 0.09)))
        row["quote"] = row["quote_option"] = None
        row["status"] = "candidate"
    pumps = [
        i
        for i, row in enumerate(rows)
        if row["kind"] != "gravity_channel" and row["capacity_m3s"] > 0.03
    ]
    chosen = rng.choice(pumps, 24, replace=False).tolist()
    steps = (
        ("built",) * 4
        + ("accepted",) * 4
        + ("offered",) * 8
        + ("declined",) * 4
        + ("candidate",) * 4
    )
    for number, (index, status) in enumerate(zip(chosen, steps, strict=True)):
        row = rows[index]
        option = ("drum", "cone")[number % 2]
        row["status"] = status
        if status == "built" or (status == "candidate" and number % 2):
            row["fitted"] = (
                "drum"
                if status == "built" and number % 2 == 0
                else "panel"
                if row["kind"] == "fixed_suction"
                else "drum"
            )
        if status in ("accepted", "offered") and number < 13:
            units = np.ceil(row["capacity_m3s"] / 0.1 / (1.9 if option == "drum" else 3.2))
            price = units * (12_500 if option == "drum" else 27_000) + 14_000
            row["quote"] = round(float(price * rng.uniform(1.05, 1.5)), -2)
            row["quote_option"] = option
            row["power"] = "yes"
            row["intake_depth_m"] = max(row["intake_depth_m"] or 1.0, 0.9)
        row["willing"] = {"accepted": "yes", "offered": "yes", "declined": "no"}.get(
            status, row["willing"]
        )
