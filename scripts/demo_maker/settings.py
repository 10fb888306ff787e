"""Which settings go with the demo catchment?"""

from .climate import ALLOCATION

SETTINGS_TOML = """\
# The Lantern River system is invented: land, rivers, fish, people, prices and every number.
name = "Lantern River"
crs = "EPSG:4326"
currency = "CDL"
time_zone = "UTC"
season_start_month = 7
max_gap_days = 10
metered_missing = "zero"
production_basis = "index"
discount_rate = 0.07
horizon_years = 20
landholder_share = 0.25
snap_limit_m = 250

# Share of the unmetered draw that was allowed in the dry years.
[allocation]
{allocation}

[screen_criteria]
name = "Lamplighters' criteria (invented for the demo)"
approach_velocity_ms = 0.1
approach_velocity_passive_ms = 0.06
max_opening_mm = 3.0
least_life_years = 10

[weights]
risk = 0.6
overlap = 0.1
cost = 0.3

# Multiples of the value, but for depth_m: planning assumptions, without a source.
[ranges]
encounter = [0.5, 2.0]
drift_days = [0.7, 1.4]
production = [0.4, 2.2]
adult_per_settler = [0.4, 2.5]
draw = [0.8, 1.15]
night_use_share = [0.8, 1.2]
position = [0.6, 1.6]
cost = [0.75, 1.5]
depth_m = [0.4, 2.5]
"""


def settings_text() -> str:
    """The file beside the GeoPackage."""
    allocation = "\n".join(f"{year} = {share}" for year, share in ALLOCATION.items())
    return SETTINGS_TOML.format(allocation=allocation)
