"""What is everything called? All names are made up, on lanterns, wicks, embers and moths."""

from .reaches import Reach
from .rivers import Network

MAIN = "Lantern River"
ANABRANCH = "Gloaming Anabranch"
_RIVERS = (
    "Tallowmere River",
    "Wickwater River",
    "Glimmerlow River",
    "Tapersong River",
    "Sconcewend River",
)
_FIRST = "Ember Snuff Kindle Moth Sconce Flicker Wane Dusk Cinder Glow Lamp Spill Vesper Halo Flare"
_SECOND = "gleam Tinder Shade Match Lucent Torch Brand Ashen Sooty Pale"
_LAST = ("run", "thread", "fold", "wend", "brake", "spill", "dell", "garth")


def _creek_names() -> list[str]:
    firsts = [*_FIRST.split(), *_SECOND.title().split()]
    return [
        f"{first}{_LAST[(3 * place + turn) % len(_LAST)]} Creek"
        for turn in range(3)
        for place, first in enumerate(firsts)
        if not (first == "Spill" and _LAST[(3 * place + turn) % len(_LAST)] == "spill")
    ]


def river_names(network: Network, reaches: list[Reach]) -> list[str]:
    """A name for each river: the largest after the main one are rivers, the rest creeks."""
    last_runoff = {reach.river: reach.runoff_km2 for reach in reaches}
    others = sorted(range(2, len(network.rivers)), key=lambda r: -last_runoff[r])
    names = {0: MAIN, 1: ANABRANCH}
    for river, name in zip(others, [*_RIVERS, *_creek_names()], strict=False):
        names[river] = name
    return [names[river] for river in range(len(network.rivers))]


def reach_ids(names: list[str], reaches: list[Reach]) -> list[str]:
    """The river's first word and a number that grows downstream."""
    words = [name.split()[0].lower() for name in names]
    return [f"{words[reach.river]}-{reach.number + 1:02d}" for reach in reaches]
