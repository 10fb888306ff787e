"""Which guilds, screens and criteria have published values to start from? Blank where none has.

Every value stands with its source; "from memory" marks one to be held against its source before
it is used. Nothing here is a recommendation, and no blank was filled by a guess.
"""

from __future__ import annotations

from typing import Any

Row = dict[str, Any]

NMFS = "US NMFS, juvenile fish screen criteria for pump intakes (addendum)"
NMFS_SIZES = "openings and open area NMFS 1997 / 2011, from memory"
STOCKS = "Stocks, Walsh, Rayner, Boys 2024, Mar. Freshw. Res. 75 MF23239 (abstract)"

GUILDS: tuple[Row, ...] = (
    {
        "guild_id": "murray_cod",
        "name": "Murray cod larvae",
        "window_start": "10-01",
        "temp_min": 15,
        "species": "Murray cod",
        "source": "spawning from October above 15 C, larvae adrift from early November for up to "
        "10 weeks, 9.5-14.8 mm long: Koehn & Harrington 2006 (abstract)",
    },
    {
        "guild_id": "pelagic_eggs",
        "name": "Pelagic egg spawners",
        "temp_min": 17,
        "species": "golden perch",
        "source": "spring to summer, 17 C or more in the south, eggs drift: fact sheet on golden "
        "perch",
    },
    {
        "guild_id": "small_gudgeons",
        "name": "Small gudgeons",
        "larva_mm": 1.8,
        "source": "larvae 1.8-2.1 mm at hatch, so a 2 mm slot is unlikely to hold them: Lake 1967 "
        "(quoted)",
    },
    {
        "guild_id": "night_drifters",
        "name": "Drift of a Danube side arm",
        "night_drift_share": 0.86,
        "source": "86 % in darkness: Zitek et al. 2004 (abstract); the pattern is gone in turbid "
        "flood: Reichard et al. 2001 (abstract)",
    },
)

OPTIONS: tuple[Row, ...] = (
    {
        "option_id": "wedge_wire_2mm",
        "name": "Vertical wedge wire, 2 mm",
        "approach_velocity_ms": 0.1,
        "opening_mm": 2,
        "source": f"lowland native species, at most 0.1 m/s: {STOCKS}",
    },
    {
        "option_id": "holes_active",
        "name": "Round or square holes, cleaned by itself",
        "approach_velocity_ms": 0.1219,
        "opening_mm": 2.38,
        "open_share": 0.27,
        "source": f"0.4 ft/s, salmonid fry: {NMFS}; {NMFS_SIZES}",
    },
    {
        "option_id": "holes_passive",
        "name": "Round or square holes, not cleaned by itself",
        "approach_velocity_ms": 0.061,
        "opening_mm": 2.38,
        "open_share": 0.27,
        "cleaning": "none",
        "source": f"0.2 ft/s, salmonid fry: {NMFS}; {NMFS_SIZES}",
    },
    {
        "option_id": "slots_active",
        "name": "Slots, cleaned by itself",
        "approach_velocity_ms": 0.1219,
        "opening_mm": 1.75,
        "open_share": 0.27,
        "source": f"0.4 ft/s, salmonid fry: {NMFS}; {NMFS_SIZES}",
    },
)

EFFICACY: tuple[Row, ...] = (
    {
        "option_id": "wedge_wire_2mm",
        "high": 0.84,
        "at_approach_ms": 0.1,
        "source": "larvae at most 84 % fewer taken at 0.1 m/s or less, no significant effect at "
        f"0.125 m/s or more: {STOCKS}",
    },
    {
        "resident": 0.93,
        "source": "juveniles at screened pumps, 93-100 % fewer, the least of it here: Bretzel et "
        "al. 2025, ASFB conference abstract",
    },
    {
        "resident": 0.99,
        "source": "paired screened and unscreened siphons, at least 99 % fewer of each of four "
        "species, many below 25 mm: Nobriga, Matica, Hymanson 2004, AFS Symposium 39",
    },
)

CRITERIA_COLUMNS = (
    "name", "approach_velocity_ms", "approach_velocity_passive_ms", "max_opening_mm",
    "least_life_years", "source",
)  # fmt: skip

CRITERIA: tuple[Row, ...] = (
    {
        "name": "Salmonid fry, round or square holes",
        "approach_velocity_ms": 0.1219,
        "approach_velocity_passive_ms": 0.061,
        "max_opening_mm": 2.38,
        "source": f"0.4 and 0.2 ft/s: {NMFS}; {NMFS_SIZES}",
    },
    {
        "name": "Salmonid fry, slots",
        "approach_velocity_ms": 0.1219,
        "approach_velocity_passive_ms": 0.061,
        "max_opening_mm": 1.75,
        "source": f"0.4 and 0.2 ft/s: {NMFS}; {NMFS_SIZES}",
    },
    {
        "name": "Lowland native species",
        "approach_velocity_ms": 0.1,
        "max_opening_mm": 2,
        "source": f"at most 0.1 m/s with 2 mm vertical wedge wire: {STOCKS}",
    },
)
