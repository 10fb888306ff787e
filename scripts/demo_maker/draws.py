"""In which months, days and hours does each offtake run?"""

import numpy as np
import pandas as pd

from .frame import Floats, random_stream
from .hydrology import Hydrology
from .offtakes import Offtake

METERED = 26
# Share of capacity over each month, January first, by what is grown.
_CROPS = {
    "summer crop": (0.88, 0.8, 0.5, 0.15, 0.0, 0.0, 0.0, 0.0, 0.1, 0.4, 0.7, 0.85),
    "pasture": (0.75, 0.7, 0.6, 0.4, 0.1, 0.0, 0.0, 0.1, 0.35, 0.55, 0.65, 0.75),
    "vines": (0.8, 0.7, 0.4, 0.15, 0.0, 0.0, 0.0, 0.05, 0.2, 0.4, 0.6, 0.8),
    "filling dams": (0.05, 0.0, 0.0, 0.1, 0.35, 0.6, 0.75, 0.8, 0.75, 0.6, 0.3, 0.1),
    "winter crop": (0.05, 0.05, 0.2, 0.5, 0.35, 0.15, 0.1, 0.3, 0.7, 0.75, 0.4, 0.1),
}
_CHANCES = (0.34, 0.26, 0.2, 0.12, 0.08)


def months_of_use(offtakes: list[Offtake]) -> list[tuple[float, ...] | None]:
    """Twelve shares an offtake; None where nobody has told; channels never fill farm dams."""
    rng = random_stream(31)
    uses: list[tuple[float, ...] | None] = []
    for site in offtakes:
        crop = str(rng.choice(list(_CROPS), p=_CHANCES))
        if site.kind == "gravity_channel":
            crop = ("summer crop", "pasture")[int(rng.integers(2))]
        level, shake = rng.uniform(0.7, 1.08), rng.normal(1.0, 0.08, 12)
        shares = np.clip(np.array(_CROPS[crop]) * level * shake, 0.0, 1.0)
        told = rng.random() > 0.1 or site.kind == "gravity_channel"
        uses.append(tuple(round(float(share), 2) for share in shares) if told else None)
    return uses


def night_shares(offtakes: list[Offtake]) -> list[float | None]:
    """Cheap power draws many pumps into the night, solar power others into the day."""
    rng = random_stream(32)
    shares: list[float | None] = []
    for site in offtakes:
        habit, value = rng.random(), rng.random()
        if site.kind == "gravity_channel":
            shares.append(None if habit < 0.6 else 0.45)
        elif habit < 0.3:
            shares.append(round(0.68 + 0.27 * value, 2))
        elif habit < 0.55:
            shares.append(round(0.05 + 0.2 * value, 2))
        elif habit < 0.75:
            shares.append(round(0.35 + 0.2 * value, 2))
        else:
            shares.append(None)
    return shares


def metered_sites(offtakes: list[Offtake]) -> list[int]:
    """Positions of the channels and the largest pumps, in order."""
    by_size = sorted(
        range(len(offtakes)),
        key=lambda i: (offtakes[i].kind != "gravity_channel", -offtakes[i].capacity_m3s),
    )
    return sorted(by_size[:METERED])


def metered_table(
    offtakes: list[Offtake],
    ids: list[str],
    uses: list[tuple[float, ...] | None],
    hydrology: Hydrology,
) -> pd.DataFrame:
    """Days with a draw in the last seasons; a day without a row is a day without a draw."""
    rng = random_stream(33)
    days = hydrology.climate.days
    frames = []
    for position in metered_sites(offtakes):
        first_year = int(rng.choice((2018, 2018, 2019)))
        opened, closed = pd.Timestamp(f"{first_year}-08-15"), pd.Timestamp("2022-05-15")
        window = np.asarray((days >= opened) & (days <= closed))
        draw = _daily_draw(rng, offtakes[position], uses[position], hydrology)
        taken = window & (draw > 0.02 * offtakes[position].capacity_m3s)
        frames.append(
            pd.DataFrame(
                {
                    "offtake_id": ids[position],
                    "date": days[taken].strftime("%Y-%m-%d"),
                    "draw_m3s": [float(f"{value:.3g}") for value in draw[taken]],
                }
            )
        )
    return pd.concat(frames, ignore_index=True)


def _daily_draw(
    rng: np.random.Generator,
    site: Offtake,
    use: tuple[float, ...] | None,
    hydrology: Hydrology,
) -> Floats:
    """Turns of some days on and some off; some stop when it rains, some wait for the rise."""
    days, flow = hydrology.climate.days, hydrology.flow_m3s(site.reach)
    shares = np.array(use if use is not None else _CROPS["pasture"])[days.month - 1]
    on_days, off_days = int(rng.integers(2, 7)), int(rng.integers(2, 6))
    if site.kind == "gravity_channel":
        on_days, off_days = int(rng.integers(5, 12)), int(rng.integers(1, 4))
    running = ((np.arange(len(days)) + int(rng.integers(9))) % (on_days + off_days)) < on_days
    before = pd.Series(flow).shift(1).rolling(7, min_periods=1).mean().bfill().to_numpy()
    rising = flow > 1.15 * before
    for _ in range(4):
        rising = rising | np.r_[False, rising[:-1]]
    habit = rng.random()
    factor = np.where(running, 1.0, 0.0)
    if habit < 0.4:
        factor = np.where(rising, 0.0, factor)
    elif habit < 0.75:
        factor = np.where(rising, 1.0, 0.55 * factor)
    full = site.capacity_m3s * np.clip(shares * 1.35, 0.0, 1.0)
    draw = full * factor * rng.uniform(0.75, 1.0, len(days))
    draw = np.where(flow < site.cease_flow_m3s, 0.0, draw)
    return np.asarray(np.minimum(np.minimum(draw, site.capacity_m3s), 0.22 * flow))
