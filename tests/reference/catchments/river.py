"""Invents reaches, splits, weirs and gauges."""

from __future__ import annotations

from ..network import geodesic_length_m
from .draft import Draft, Row

Place = tuple[float, float]


def invent_river(draft: Draft) -> None:
    """A stem with tributaries and, sometimes, arms that leave it and come back or go to their own
    outlet.
    """
    rng, (lon, lat) = draft.rng, draft.sea
    stem = rng.choice([2, 3, 3, 4])
    step = rng.uniform(0.12, 0.35)
    nodes = [(lon + k * step, lat + rng.uniform(-0.05, 0.05)) for k in range(stem + 1)]
    names = draft.names("", 8)
    gauges = draft.names("G", 2 if "second_gauge" in draft.aims else 1)
    draft.tables["gauges"] = [
        {
            "gauge_id": g,
            "name": f"Gauge {g}",
            "area_km2": draft.spread(200, 4000),
            "lonlat": rng.choice(nodes),
        }
        for g in gauges
    ]
    reaches: list[Row] = []
    for k in range(stem):
        below = names[k + 1] if k + 1 < stem else None
        reaches.append(new_reach(draft, names[k], below, nodes[k], nodes[k + 1], gauges[0], 0.0))
    for name in names[stem : stem + rng.randint(0, 2)]:
        mouth = rng.randint(1, stem - 1)
        source = (
            nodes[mouth][0] - rng.uniform(0.05, 0.2),
            nodes[mouth][1] + rng.choice([-1, 1]) * 0.3,
        )
        reaches.append(
            new_reach(draft, name, names[mouth], source, nodes[mouth], rng.choice(gauges), 0.0)
        )
    draft.tables["reaches"] = reaches
    draft.tables["splits"] = []
    draft.tables["weirs"] = []
    if "split" in draft.aims or "twins" in draft.aims:
        add_arms(draft, names[6:], stem, nodes, gauges)
    if len(gauges) == 2 and draft.chance(30):
        rng.choice(reaches[1:stem])["gauge_id"] = gauges[1]
    if len(reaches) < 3:
        source = (nodes[1][0] - 0.1, nodes[1][1] - 0.3)
        reaches.append(
            new_reach(draft, names[5], names[1], source, nodes[1], rng.choice(gauges), 0.0)
        )
    if "twins" in draft.aims:
        make_twins(draft)
    if "weir" in draft.aims:
        add_weirs(draft)
    rng.shuffle(reaches)


def new_reach(
    draft: Draft, name: str, below: str | None, start: Place, end: Place, gauge_id: str, bow: float
) -> Row:
    """One reach; `bow` bends its line to the north, in degrees."""
    rng = draft.rng
    bends = rng.randint(2, 4)
    line = [start]
    for k in range(1, bends):
        part = k / bends
        lon = start[0] + part * (end[0] - start[0])
        lat = (
            start[1]
            + part * (end[1] - start[1])
            + bow * 4 * part * (1 - part)
            + rng.uniform(-0.015, 0.015)
        )
        line.append((lon, lat))
    line = [(round(lon, 5), round(lat, 5)) for lon, lat in [*line, end]]
    reach: Row = {
        "reach_id": name,
        "to_reach": below,
        "gauge_id": gauge_id,
        "line": line,
        "name": f"Reach {name}",
    }
    if draft.chance(60):
        reach["length_m"] = round(geodesic_length_m(line) * rng.uniform(1, 1.3), 1)
    area_km2 = next(g["area_km2"] for g in draft.tables["gauges"] if g["gauge_id"] == gauge_id)
    if draft.chance(60):
        reach["area_km2"] = round(area_km2 * rng.uniform(0.4, 1.7), 1)
    if "area_km2" not in reach or "area_scale" not in draft.aims or draft.chance(40):
        reach["flow_scale"] = draft.between(0.4, 1.6)
    if "manning" in draft.aims and draft.chance(60):
        reach["width_m"], reach["slope"] = draft.between(8, 40, 1), draft.between(0.0001, 0.001, 5)
        if draft.chance(40):
            reach["manning_n"] = draft.between(0.025, 0.05)
    else:
        reach["velocity_coef"] = draft.between(0.08, 0.4)
    if draft.chance(25):
        reach["velocity_exp"] = draft.between(0.2, 0.5, 2)
    if draft.chance(60):
        reach["depth_m"] = draft.between(0.4, 3, 1)
    if draft.chance(50):
        reach["nursery"] = draft.between(0, 2, 1)
    return reach


def add_arms(
    draft: Draft, names: list[str], stem: int, nodes: list[Place], gauges: list[str]
) -> None:
    """One or two arms beside a stem reach; shares near a sum of 1, arms with
    their own flow scale.
    """
    rng, reaches = draft.rng, draft.tables["reaches"]
    k = rng.randint(1, max(1, stem - 2))
    head, main = reaches[k - 1], reaches[k]
    arms = [main]
    for n in range(1 if "twins" in draft.aims or draft.chance(75) else 2):
        bow = 0.12 * (n + 1)
        to_sea = draft.chance(25) and "twins" not in draft.aims
        end = (nodes[k + 1][0], nodes[k + 1][1] + 0.4) if to_sea else nodes[k + 1]
        below = None if to_sea else main["to_reach"]
        arm = new_reach(draft, names[n], below, nodes[k], end, rng.choice(gauges), bow)
        reaches.append(arm)
        arms.append(arm)
    shares = [rng.uniform(0.1, 1) for _ in arms]
    if "twins" in draft.aims:
        shares = [1.0, 1.0]
    shares = [round(share / sum(shares), 7) for share in shares]
    if draft.chance(40):
        shares[0] = round(shares[0] - 4e-7, 7)
    for arm, share in zip(arms, shares, strict=False):
        arm.setdefault("flow_scale", draft.between(0.2, 1))
        draft.tables["splits"].append(
            {"from_reach": head["reach_id"], "to_reach": arm["reach_id"], "share": share}
        )
    head["to_reach"] = rng.choice([None, main["reach_id"]])
    rng.shuffle(draft.tables["splits"])


def make_twins(draft: Draft) -> None:
    """Makes the two arms of a split alike in all but their lines and ids."""
    first, second = (
        next(r for r in draft.tables["reaches"] if r["reach_id"] == split["to_reach"])
        for split in draft.tables["splits"]
    )
    first["length_m"] = round(geodesic_length_m(first["line"]) * 1.1, 1)
    own = {key: second[key] for key in ("reach_id", "line", "name")}
    to_reach = second["to_reach"]
    second.clear()
    second.update({**first, **own, "to_reach": to_reach})


def add_weirs(draft: Draft) -> None:
    """Weirs at the lower ends of reaches, some for one guild only, some two on a reach."""
    guild_ids = [guild["guild_id"] for guild in draft.tables["guilds"]]
    arms = (
        {split["to_reach"] for split in draft.tables["splits"]} if "twins" in draft.aims else set()
    )
    places = [
        reach["reach_id"] for reach in draft.tables["reaches"] if reach["reach_id"] not in arms
    ]
    for _ in range(draft.rng.randint(1, 3)):
        draft.tables["weirs"].append(
            {
                "reach_id": draft.rng.choice(places),
                "name": "Weir",
                "guild_id": draft.rng.choice([None, *guild_ids]),
                "survival": draft.between(0.3, 0.98, 2),
            }
        )
