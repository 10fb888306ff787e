"""Invents screen options, how well they work, prices, and the settings of a funding round."""

from __future__ import annotations

from .draft import Draft, Row
from .sites import KINDS


def invent_options(draft: Draft) -> None:
    """One to three options and their efficacy by guild, some pairs missing."""
    rng = draft.rng
    options, efficacy = [], []
    for option_id in draft.names("s", rng.choice([1, 2, 3, 3])):
        options.append(new_option(draft, option_id))
        for guild in draft.tables["guilds"]:
            if draft.chance(88):
                drifter = draft.between(0.1, 0.95, 2)
                row: Row = {
                    "option_id": option_id,
                    "guild_id": guild["guild_id"],
                    "drifter": drifter,
                }
                if draft.chance(60):
                    row["resident"] = draft.between(0.5, 1, 2)
                if draft.chance(50):
                    row["low"], row["high"] = round(drifter / 2, 3), round((1 + drifter) / 2, 3)
                efficacy.append(row)
    draft.tables["options"], draft.tables["efficacy"] = options, efficacy


def new_option(draft: Draft, option_id: str) -> Row:
    """One generic screen."""
    rng = draft.rng
    option: Row = {
        "option_id": option_id,
        "name": f"Screen {option_id}",
        "approach_velocity_ms": rng.choice([0.06, 0.1, 0.1, 0.12, 0.15]),
        "opening_mm": rng.choice([1, 1.75, 2, 3, 3]),
        "open_share": draft.between(0.3, 0.6, 2),
        "cleaning": rng.choice(["brush", "water_jet", "air", "manual", "none", None]),
        "needs_power": rng.choice(["yes", "no", None]),
        "unit_area_m2": rng.choice([0.5, 1, 2, draft.between(0.8, 6, 1)]),
        "unit_price": draft.between(8000, 40000, 0),
    }
    if draft.chance(40):
        option["min_depth_m"] = draft.between(0.2, 1.2, 1)
    if draft.chance(50):
        option["upkeep_share_year"] = draft.between(0, 0.06, 3)
    if draft.chance(60):
        option["life_years"] = rng.choice([8, 12, 15, 15, 25, 30])
    if draft.chance(25):
        option["kinds"] = ";".join(rng.sample(KINDS, rng.randint(2, 3)))
    return option


def invent_prices(draft: Draft) -> None:
    """Prices by item, each of them sometimes absent."""
    items: list[tuple[str, str | None, float]] = [
        ("mount", kind, draft.between(2000, 20000, 0)) for kind in KINDS
    ]
    items += [("access", kind, draft.between(0, 9000, 0)) for kind in ("good", "fair", "poor")]
    items += [
        ("power", None, draft.between(0, 30000, 0)),
        ("mobilisation", None, draft.between(1000, 6000, 0)),
    ]
    items += [
        ("design", None, draft.between(0, 0.2, 2)),
        ("contingency", None, draft.between(0, 0.3, 2)),
    ]
    items += [("energy_kwh", None, 0.3)]
    draft.tables["prices"] = [
        {"item": item, "kind": kind, "amount": amount}
        for item, kind, amount in items
        if draft.chance(80)
    ]


def invent_settings(draft: Draft) -> None:
    """What an agency sets for a round."""
    rng, settings = draft.rng, draft.settings
    if draft.chance(60):
        settings["name"] = f"Invented \u00e9tang {rng.randint(1, 99)}"
    if draft.chance(60):
        settings["discount_rate"] = rng.choice([0, 0.03, 0.05, 0.1])
    if draft.chance(50):
        settings["horizon_years"] = rng.choice([10, 15, 25, 40])
    if draft.chance(50):
        settings["landholder_share"] = draft.between(0, 0.7, 2)
    if draft.chance(30):
        settings["area_exponent"] = draft.between(0.7, 1.2, 2)
    if "year_weights" in draft.aims:
        settings["year_weights"] = {
            str(y): draft.between(0.2, 4, 1) for y in draft.years if draft.chance(80)
        }
        settings["year_weights"]["1990"] = 5
    if "allocation" in draft.aims:
        settings["allocation"] = {
            str(y): draft.between(0, 0.95, 2) for y in draft.years if draft.chance(75)
        }
    if "weights" in draft.aims:
        weights = {
            "risk": draft.between(0.1, 1, 2),
            "overlap": draft.between(0, 1, 2),
            "cost": draft.between(0, 1, 2),
        }
        if draft.chance(30):
            del weights[rng.choice(["overlap", "cost"])]
        if draft.chance(20):
            weights = {"risk": 1, "overlap": 1, "cost": 1}
        settings["weights"] = weights
    if "screen_criteria" in draft.aims:
        criteria: Row = {"name": "Invented criteria"}
        if draft.chance(70):
            criteria["approach_velocity_ms"] = rng.choice([0.08, 0.1, 0.12])
        if draft.chance(50):
            criteria["approach_velocity_passive_ms"] = rng.choice([0.05, 0.06])
        if draft.chance(50):
            criteria["max_opening_mm"] = rng.choice([2, 3])
        if draft.chance(40):
            criteria["least_life_years"] = rng.choice([5, 12])
        settings["screen_criteria"] = criteria
