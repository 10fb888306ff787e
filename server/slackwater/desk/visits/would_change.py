"""What would a measurement there do to the set? Shown for a few sites, each found again in full.

For planned stops what changes the set; for sites left out, that neither end of any range does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from slackwater.decisions.options import NONE
from slackwater.desk.best_funding import FundingAnswer
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.trial_draws import InputRange
from slackwater.desk.visits.found_otherwise import Found, evaluation_found, set_found, value_of
from slackwater.desk.visits.site_worth import SiteWorth
from slackwater.desk.within import Within
from slackwater.errors import NoSetPossible
from slackwater.progress import Progress
from slackwater.units import flow_in

CHANGES, CANNOT = 3, 2
"""So many stops that change the set, and so many sites left out that cannot, are shown."""
ENDS = ("low", "high")


@dataclass(frozen=True)
class Shown:
    """What a measurement at one site would do, or that none would do anything."""

    site: int
    words: str


@dataclass(frozen=True, eq=False)
class WouldChange:
    """Asks for the set once an input was found otherwise.

    Attributes
    ----------
    answer : the set as things stand.
    """

    evaluation: Evaluation
    ranges: Mapping[str, InputRange]
    answer: FundingAnswer
    worth: SiteWorth

    def changes(self, stops: Sequence[int], progress: Progress) -> Iterator[Shown]:
        """Give stops at which a measurement would change the set; ``progress`` counts finds."""
        shown = 0
        for site in stops:
            tried = (self._change(found, progress) for found in self._promising(site))
            words = next(filter(None, tried), "")
            if words:
                yield Shown(site, words)
                shown += 1
            if shown == CHANGES:
                return

    def cannot(
        self, sites: Sequence[int], words: Mapping[int, str], progress: Progress
    ) -> Iterator[Shown]:
        """Give sites at which no input at either end of its range would change the set."""
        shown = 0
        for site in sites:
            ends = [
                Found(site, name, self._nearest_end(site, name))
                for name, unknown in self.worth.unknown.items()
                if unknown[site]
            ]
            if all(self._set(each, progress) == self._now for each in ends):
                yield Shown(
                    site,
                    f"{words[site]}; found again with each input at the end that speaks most for a "
                    "change, the set is the same",
                )
                shown += 1
            if shown == CANNOT:
                return

    def _nearest_end(self, site: int, name: str) -> int:
        """Give the end of a range that brings a site nearest to the other side of the line."""
        low, high = self.worth.ends_pay[name][site].tolist()
        return int(high > low) if site not in self._now else int(high < low)

    def _promising(self, site: int) -> Iterator[Found]:
        """Give what by the price of money would change the choice at a site."""
        now = self._now.get(site, NONE)
        for name in self.worth.inputs[site]:
            for end, option in enumerate(self.worth.ends[name][site].tolist()):
                if option != now:
                    yield Found(site, name, end)

    def _change(self, found: Found, progress: Progress) -> str:
        """Say what happens to the site then; "" where nothing does."""
        then, now = self._set(found, progress), self._now
        was, will = now.get(found.site, NONE), then.get(found.site, NONE)
        if was == will:
            return ""
        names = self.evaluation.catchment.table("options").text("name")
        if will == NONE:
            does = "it would go out of the set"
        elif was == NONE:
            does = f"it would come into the set, with “{names[will]}”"
        else:
            does = f"it would have “{names[will]}” in place of “{names[was]}”"
        others = {s for s in now.keys() ^ then.keys() if s != found.site}
        too = (
            f"; {len(others)} other{'s' * (len(others) != 1)} would change sides" if others else ""
        )
        return f"{self._found_words(found)} {does}{too}"

    def _found_words(self, found: Found) -> str:
        value, end = value_of(self.evaluation, self.ranges, found), ENDS[found.end]
        if found.input == "depth_m":
            return f"Found {value:.2g} m deep, the {end} end,"
        if found.input == "draw":
            offtakes = self.evaluation.catchment.table("offtakes")
            now_ls = flow_in(float(offtakes.number("capacity_m3s")[found.site]), "L/s")
            return (
                f"Found to draw {value * now_ls:,.0f} L/s at most where {now_ls:,.0f} stand in the "
                f"register, the {end} end,"
            )
        times = f"{value:.2g} times"
        if found.input == "position":
            return (
                f"Found where {times} the drifters pass that are counted there now (its position), "
                f"the {end} end,"
            )
        return f"Found to draw by night {times} the share counted now, the {end} end,"

    def _set(self, found: Found, progress: Progress) -> dict[int, int]:
        progress.expect(1)
        progress.advance()
        made = evaluation_found(
            self.evaluation, found, value_of(self.evaluation, self.ranges, found)
        )
        try:
            return set_found(made, self.answer, Within(progress))
        except NoSetPossible:
            return {}

    @property
    def _now(self) -> dict[int, int]:
        return dict(self.answer.certificate.picks)
