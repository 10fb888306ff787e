"""Invents offtakes: where they stand, what they draw, what is fitted, and how far their funding has
come.
"""

from __future__ import annotations

from datetime import timedelta

from pyproj import Geod

from ..network import geodesic_length_m, geodesic_m
from .draft import Draft, Row

KINDS = ["rail_suction", "fixed_suction", "floating_suction", "gravity_channel"]
STATUSES = [
    None,
    None,
    None,
    None,
    "candidate",
    "candidate",
    "offered",
    "accepted",
    "accepted",
    "built",
    "declined",
]
WGS84 = Geod(ellps="WGS84")


def invent_offtakes(draft: Draft) -> None:
    """Two to seven offtakes; some pairs are alike, on twin arms or drawing nothing."""
    rng, reaches = draft.rng, {r["reach_id"]: r for r in draft.tables["reaches"]}
    arms = [split["to_reach"] for split in draft.tables["splits"]] if "twins" in draft.aims else []
    places = [reach_id for reach_id in reaches if reach_id not in arms]
    ids = draft.names("T-", rng.randint(2, 7))
    offtakes: list[Row] = []
    for n, offtake_id in enumerate(ids):
        reach_id = rng.choice(places)
        if offtakes and "shared_reach" in draft.aims and draft.chance(50):
            reach_id = rng.choice(offtakes)["reach_id"]
        offtake = new_offtake(draft, offtake_id, reaches[reach_id], whole_year=n == 0)
        offtakes.append(offtake)
    if arms and len(offtakes) >= 3:
        make_alike(draft, offtakes[1], offtakes[2], arms, reaches)
    elif "idle_pair" in draft.aims and len(offtakes) >= 3:
        for offtake in offtakes[-2:]:
            offtake.update({f"use_{month:02d}": 0 for month in range(1, 13)})
            offtake.pop("quote", None)
    if "criterion" in draft.aims:
        add_criterion(draft, offtakes)
    rng.shuffle(offtakes)
    draft.tables["offtakes"] = offtakes
    invent_metered(
        draft,
        offtakes,
        idle=set(ids[1:3] if arms else ids[-2:] if "idle_pair" in draft.aims else []),
    )


def usual_flow_m3s(draft: Draft, reach: Row) -> float:
    """About what flows in the reach, from its gauge's rows."""
    flows = [
        r["flow_m3s"]
        for r in draft.tables["daily"]
        if r["gauge_id"] == reach["gauge_id"] and r["flow_m3s"]
    ]
    return float(reach.get("flow_scale", 1) * sum(flows) / len(flows))


def new_offtake(draft: Draft, offtake_id: str, reach: Row, whole_year: bool) -> Row:
    """One offtake on a reach."""
    rng = draft.rng
    flow_m3s = usual_flow_m3s(draft, reach)
    offtake: Row = {
        "offtake_id": offtake_id,
        "kind": rng.choice(KINDS),
        "capacity_m3s": max(
            0.01, round(flow_m3s * (1.5 if draft.chance(12) else draft.spread(0.003, 0.4)), 3)
        ),
        "reach_id": reach["reach_id"],
        "power": rng.choice(["yes", "no", None]),
        "access": rng.choice(["good", "fair", "poor", None]),
        "willing": rng.choice(["yes", "yes", "unknown", "unknown", None, None, "no"]),
        "status": rng.choice(STATUSES),
        "district": rng.choice(["East", "West", None]),
    }
    place_on_line(draft, offtake, reach)
    offtake.update(months_of_use(draft, whole_year))
    if "cease_flow" in draft.aims and draft.chance(45):
        offtake["cease_flow_m3s"] = round(flow_m3s * rng.uniform(0.3, 1.1), 2)
    if "night" in draft.aims and draft.chance(65):
        offtake["night_use_share"] = draft.between(0, 1, 2)
    if draft.chance(35):
        offtake["position"] = draft.between(0.3, 1.8, 1)
    if draft.chance(50):
        offtake["intake_depth_m"] = draft.between(0.3, 2.5, 1)
    if "fitted" in draft.aims and draft.chance(40):
        offtake["fitted"] = rng.choice([o["option_id"] for o in draft.tables["options"]])
    if "quote" in draft.aims and draft.chance(45):
        offtake["quote_option"] = rng.choice([o["option_id"] for o in draft.tables["options"]])
        if draft.chance(85):
            offtake["quote"] = draft.between(15000, 250000, 0)
    return offtake


def place_on_line(draft: Draft, offtake: Row, reach: Row) -> None:
    """A point near the reach; its chainage, or none, or neither chainage nor reach."""
    rng, line = draft.rng, reach["line"]
    bend = rng.randrange(len(line) - 1)
    start, end = line[bend], line[bend + 1]
    azimuth, _, distance_m = WGS84.inv(*start, *end)
    along_m = distance_m * rng.uniform(0.3, 0.7)
    lon, lat, _ = WGS84.fwd(start[0], start[1], azimuth, along_m)
    lon, lat, _ = WGS84.fwd(lon, lat, azimuth + rng.choice([-90, 90]), rng.uniform(0, 90))
    offtake["lonlat"] = (round(lon, 6), round(lat, 6))
    geodesic_line_m = geodesic_length_m(line)
    length_m = reach.get("length_m", geodesic_line_m)
    passed_m = sum(geodesic_m(line[k], line[k + 1]) for k in range(bend)) + along_m
    if "mid_length" in draft.aims and "length_m" in reach and draft.chance(60):
        offtake["chainage_m"] = length_m / 2
    elif "snapped" not in draft.aims or draft.chance(45):
        offtake["chainage_m"] = round(length_m * passed_m / geodesic_line_m, 1)
    elif draft.chance(50):
        offtake["snap"] = True  # written without reach_id


def months_of_use(draft: Draft, whole_year: bool) -> Row:
    """Twelve shares; or some missing; or none."""
    months = [f"use_{month:02d}" for month in range(1, 13)]
    use: Row = {month: 0 if draft.chance(8) else draft.between(0.05, 1, 2) for month in months}
    if whole_year:
        return use
    if "use_borrowed" in draft.aims and draft.chance(40):
        return {}
    if "use_missing" in draft.aims and draft.chance(45):
        for month in draft.rng.sample(months, draft.rng.randint(1, 4)):
            del use[month]
    return use


def make_alike(
    draft: Draft, one: Row, other: Row, arms: list[str], reaches: dict[str, Row]
) -> None:
    """Puts two offtakes that differ in nothing but id on the two twin arms."""
    chainage_m = round(reaches[arms[0]]["length_m"] * draft.rng.uniform(0.1, 0.9), 1)
    own_id = other["offtake_id"]
    for key in ("night_use_share", "snap", "quote"):
        one.pop(key, None)
    if draft.chance(50) or not any(key.startswith("use_") for key in one):
        one.update({f"use_{month:02d}": draft.between(0.2, 1, 2) for month in range(1, 13)})
    one["capacity_m3s"] = max(
        0.01, round(usual_flow_m3s(draft, reaches[arms[0]]) * draft.spread(0.02, 0.3), 3)
    )
    other.clear()
    other.update({**one, "offtake_id": own_id})
    for offtake, arm in zip((one, other), arms, strict=False):
        place_on_line(draft, offtake, reaches[arm])
        offtake.pop("snap", None)
        offtake["reach_id"], offtake["chainage_m"] = arm, chainage_m


def add_criterion(draft: Draft, offtakes: list[Row]) -> None:
    """One or two further criteria, over a column of the contract or one of the agency's own."""
    rng, criteria = draft.rng, []
    if draft.chance(60):
        column = rng.choice(["capacity_m3s", "position", "intake_depth_m", "chainage_m"])
        worst, best = rng.choice([(0.5, 2.0), (2.5, 0.1)]) if column != "chainage_m" else (0, 30000)
        criteria.append(
            {"column": column, "weight": draft.between(0.05, 0.6, 2), "worst": worst, "best": best}
        )
    if not criteria or draft.chance(40):
        shared = rng.choice([0, 3, 7])
        for offtake in offtakes:
            offtake["heritage_score"] = (
                shared if draft.chance(40) else rng.choice([None, 1, 4.5, 9, 12])
            )
        offtakes[0]["heritage_score"] = shared
        criteria.append(
            {
                "column": "heritage_score",
                "weight": draft.between(0.05, 0.6, 2),
                "worst": 0,
                "best": 10,
            }
        )
    draft.settings["criterion"] = criteria


def invent_metered(draft: Draft, offtakes: list[Row], idle: set[str]) -> None:
    """Metered draws around the spawning of a year or two, with days missing."""
    rng, rows = draft.rng, []
    if "zero" in draft.aims:
        draft.settings["metered_missing"] = "zero"
    choice = [o for o in offtakes if o["offtake_id"] not in idle] if "metered" in draft.aims else []
    for offtake in rng.sample(choice, min(len(choice), rng.choice([1, 1, 2]))):
        for year in rng.sample(draft.years, rng.randint(1, min(2, len(draft.years)))):
            start = draft.centre(year) - timedelta(days=rng.randint(5, 25))
            for k in range(rng.randint(10, 45)):
                if draft.chance(75):
                    draw = (
                        0
                        if draft.chance(10)
                        else round(offtake["capacity_m3s"] * rng.uniform(0.1, 1.1), 4)
                    )
                    day = (start + timedelta(days=k)).isoformat()
                    rows.append(
                        {"offtake_id": offtake["offtake_id"], "date": day, "draw_m3s": draw}
                    )
    draft.tables["metered"] = rows
