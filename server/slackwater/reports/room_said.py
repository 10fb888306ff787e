"""What did the phones of a hall have in common, and who was there? In whole sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from slackwater.reports.figures import count_of, decimals, inside_a_sentence, listed, sentence
from slackwater.reports.minutes_facts import Minutes, Site

PLURAL = {"irrigator": "irrigators", "angler": "anglers", "traditional owner": "traditional owners",
          "council": "councils", "agency": "agencies", "other": "others"}  # fmt: skip
WEIGHTING = "weighting"
MAY_SAY_NOTHING = "A phone may say for whom it speaks, or nothing."
MAY_BE_HERE = "They may have been here without a phone, or with one that did not say."
TOO_FEW = "Too few phones joined to tell groups."
TOO_FEW_SAID = "Counts are left out: so few said it that single phones could be told apart."


def tried_said(facts: Minutes) -> str:
    """Say how many phones there were and what they tried."""
    joined = sentence(f"{count_of(facts.phones, 'phone')} joined")
    were = "was tried" if facts.tried < 2 else "were tried, one a phone"
    return f"{joined} {sentence(f'{count_of(facts.tried, WEIGHTING)} {were}')}"


def weighed_said(facts: Minutes) -> str:
    """Say how to read the weights, or why those of the room are not told."""
    if facts.room is None:
        return (
            f"What a room weighs is told only from {facts.least_tried} weightings on, so that "
            "nobody’s own can be read off. Here are the weights of the case."
        )
    return (
        f"At least half of the {count_of(facts.tried, WEIGHTING)} tried lie within the spread, "
        "whose ends are told in steps of 5\u00a0%. The middle is the median of each criterion. "
        "To sum to 100\u00a0% a middle is moved a little, at times out of its spread."
    )


def stays_said(facts: Minutes) -> str:
    """Say how many offtakes every weighting funds."""
    if facts.room is None:
        return ""
    stays = {each.code for each in facts.room.stays}
    every = f"inside the budget under every one of the {decimals(facts.tried)} weightings tried"
    if not stays:
        return f"No offtake is {every}."
    among = len(stays & {each.code for each in facts.listed})
    of_them = "all" if among == len(stays) else decimals(among) if among else "none"
    told = f"{count_of(len(stays), 'offtake')} {_are(len(stays))} {every}"
    which = "the agreed set" if facts.agreed.what else "the case"
    return f"{told}; {of_them} of them {_are(among)} in {which}."


def turns_said(facts: Minutes) -> str:
    """Say how many offtakes turn on opinion, and on which."""
    if facts.room is None:
        return ""
    turns, few = facts.room.turns, _few_said(facts.room.few)
    if not turns:
        either = ", three phones at least on either side" if facts.room.few else ""
        return f"No offtake turns on opinion{either}.{few}"
    return (
        f"{count_of(len(turns), 'offtake')} turn{'s' if len(turns) == 1 else ''} on opinion: "
        "inside under three weightings at least, outside under as many. "
        f"{_by_criterion(turns)} The list at the end has the most divided first.{few}"
    )


def _few_said(few: int) -> str:
    """Say how many offtakes one or two phones alone put in or out; they are not named."""
    if not few:
        return ""
    told = f"{count_of(few, 'offtake')} {_are(few)} in or out for one or two phones alone"
    return f" {sentence(told)} {'It is' if few == 1 else 'They are'} not named."


def dash_said(facts: Minutes) -> str:
    """Say what a dash stands for where the set's list tells under how many an offtake is inside."""
    if facts.room is None or all(each.under is not None for each in facts.listed):
        return ""
    return "A dash stands for a count that is not told, as single phones could be told apart by it."


def middle_said(facts: Minutes) -> str:
    """Say what the middle of the weights would fund."""
    if facts.room is None:
        return ""
    return (
        "Under the middle of the weights the list by score puts "
        f"{count_of(facts.room.inside, 'offtake')} inside. Phones spend by score; choices by hand "
        "play no part in theirs."
    )


def share(of_one: float) -> str:
    """Give a weight 0..1 as per cent, to a tenth as it is kept: "45.5 %"."""
    return f"{decimals(100 * of_one, 1)}\u00a0%"


def whole_share(of_one: float) -> str:
    """Give a weight of the room in whole per cent, as it is worked out: "45 %"."""
    return f"{decimals(100 * of_one)}\u00a0%"


def turns_on(site: Site) -> str:
    """Say where an offtake is inside that turns on opinion: "low cost weighs more"."""
    if not site.on:
        return "no one criterion tells"
    return f"{inside_a_sentence(site.on)} weighs {'more' if site.more else 'less'}"


def groups_said(facts: Minutes) -> str:
    """Say for whom phones spoke, small counts not in full."""
    if facts.phones < facts.least_tried:
        return f"{MAY_SAY_NOTHING} {TOO_FEW}"
    if not facts.groups:
        return f"{MAY_SAY_NOTHING} None said it, so who was not in the room cannot be told."
    if not facts.counts_told:
        names = [PLURAL.get(name, name) for name, _ in facts.groups]
        return f"{MAY_SAY_NOTHING} Spoken for: {listed(names)}. {TOO_FEW_SAID}"
    told = [f"{PLURAL.get(name, name)} by {_phones(count)}" for name, count in facts.groups]
    return f"{MAY_SAY_NOTHING} Spoken for: {listed(told)}."


def without_said(facts: Minutes) -> str:
    """Say which groups no phone spoke for."""
    if not facts.groups:
        return ""
    names = [PLURAL.get(name, name) for name in facts.without if name != "other"]
    if not names:
        return "Every group was spoken for."
    return f"Not in the room, as far as phones tell: {listed(names)}. {MAY_BE_HERE}"


def _phones(count: int | None) -> str:
    return "fewer than 3 phones" if count is None else count_of(count, "phone")


def _are(count: int) -> str:
    return "is" if count == 1 else "are"


def _by_criterion(turns: Sequence[Site]) -> str:
    """Say on which criteria offtakes turn: "7 turn on low cost and 2 on entrainment risk"."""
    first, *further = [
        (count, inside_a_sentence(on) if on else "no one criterion")
        for on, count in Counter(each.on for each in turns).most_common()
    ]
    verb = "turns" if first[0] == 1 else "turn"
    told = [f"{decimals(first[0])} {verb} on {first[1]}"]
    return sentence(listed([*told, *(f"{decimals(count)} on {on}" for count, on in further)]))
