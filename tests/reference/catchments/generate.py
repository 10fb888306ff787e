"""One invented catchment for a seed."""

from __future__ import annotations

from pathlib import Path

from .days import invent_daily
from .draft import begin
from .features import features_of
from .fish import invent_guilds, invent_production
from .river import invent_river
from .shop import invent_options, invent_prices, invent_settings
from .sites import invent_offtakes
from .writing import write_folder


def generate(folder: Path, seed: int) -> frozenset[str]:
    """Writes a small random catchment into the folder; gives the features that occur and matter in
    it.
    """
    draft = begin(seed)
    invent_guilds(draft)
    invent_river(draft)
    invent_daily(draft)
    invent_production(draft)
    invent_options(draft)
    invent_offtakes(draft)
    invent_prices(draft)
    invent_settings(draft)
    write_folder(draft, folder)
    return features_of(folder)
