"""The minutes of a meeting: true to what was tried, silent about what is nobody else's."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from datetime import timedelta
from functools import cache
from itertools import product

import numpy as np
import pytest
from playwright.sync_api import Browser

from slackwater.decisions.by_score import fund_by_score
from slackwater.desk.funding import sites_of
from slackwater.desk.listed import ranked
from slackwater.desk.meeting.minutes import MOST_HEIGHT_MM, WIDTH_MM, counts_told
from slackwater.desk.meeting.minutes_printed import minutes_name, minutes_page
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.ground_shown import ground_shown
from slackwater.desk.visibility import Viewer
from slackwater.reports.drawing_kept import drawing_of, kept_drawing
from slackwater.reports.map_drawing import draw_map
from tests.reports.cases import case_of
from tests.reports.met import ENDED, Met, riverside
from tests.reports.secrets_of import seeded_case
from tests.reports.test_public_page import Read, opened

LOOK, PDF = "/meet/look.css", "/meet/K7RM4P/minutes.pdf"
LEVELS = ((10, 1, 1), (1, 10, 1), (1, 1, 10), (5, 5, 5), (8, 0, 2), (0, 0, 10), (0, 9, 3))
GROUPS = ("irrigator", "", "angler", "irrigator", "irrigator")
WORDS = "We fund it as it stands.\nThe council pays for signs."


@cache
def river() -> CaseShown:
    """A case on which opinions differ."""
    return riverside()


@cache
def agreed() -> Met:
    """Nine phones, seven weightings, the case agreed."""
    return Met(river(), LEVELS, GROUPS, 2, ("case", WORDS, "When to look again."))


def read(met: Met) -> Read:
    """The page's words and the cells of its rows."""
    page = Read(minutes_page(met.kept, LOOK, PDF))
    page.rows = [[cell.split("\n")[0] for cell in row] for row in page.rows]
    return page


def by_largest_remainder(parts: Sequence[int], of: int = 1000) -> list[int]:
    """Whole parts of a thousand, or of so many, equal remainders in order."""
    shares = [divmod(of * part, sum(parts)) for part in parts]
    up = sorted(range(len(parts)), key=lambda i: (-shares[i][1], i))
    return [whole + (i in up[: of - sum(each for each, _ in shares)])
            for i, (whole, _) in enumerate(shares)]  # fmt: skip


def funded(weights: list[int]) -> set[str]:
    """Codes that the list by score funds under weights, at the case's budget."""
    evaluation = river().evaluation
    named = dict(zip(evaluation.ranking.criteria, weights, strict=True))
    sites, options = sites_of(evaluation), evaluation.catchment.table("options").keys
    order = ranked(evaluation.ranking, named)[1]
    picks = fund_by_score(sites, order, options, river().trial["budget"]).picks
    return {sites[position].offtake_id for position, _ in picks}


def test_its_numbers_are_those_of_the_weightings_tried() -> None:
    """Middle, spread, who stays, who turns, under how many and on what, worked out one by one."""
    page, tried = read(agreed()), [by_largest_remainder(each) for each in LEVELS]
    shares, sets = np.array(tried) / 1000, [funded(each) for each in tried]
    middle = by_largest_remainder(
        np.median(2000 * shares, axis=0).round().astype(int).tolist(), 100
    )
    labels = ("Entrainment risk", "Season overlap", "Low cost")
    told = {row[0]: row[2:4] for row in page.rows if row[0] in labels and len(row) == 5}
    for i, label in enumerate(labels):
        numbers = [float(each) for each in re.findall(r"[\d.]+(?=\u00a0%)", "".join(told[label]))]
        assert numbers[0] == middle[i]
        _, low, high = numbers
        assert (low % 5, high % 5) == (0, 0)
        within = (100 * shares[:, i] >= low) & (100 * shares[:, i] <= high)
        assert 2 * within.sum() >= len(shares)
    stays = set.intersection(*sets)
    assert f"{len(stays)} offtakes are inside the budget under every one of the 7" in page.text
    assert (
        f"the list by score puts {len(funded([10 * each for each in middle]))} offtakes inside"
        in page.text
    )
    turns = {row[1]: row for row in page.rows if len(row) == 6 and "weighs" in row[5]}
    counts = {code: sum(code in each for each in sets) for code in set.union(*sets)}
    assert turns.keys() == {code for code, count in counts.items() if 3 <= count <= 4}
    few = len(counts) - len(stays) - len(turns)
    assert f"{few} offtakes are in or out for one or two phones alone" in page.text
    assert f"{len(turns)} offtakes turn on opinion" in page.text
    for code, row in turns.items():
        has = np.array([code in each for each in sets])
        assert row[3] == f"{has.sum()} of 7"
        apart = shares[has].mean(axis=0) - shares[~has].mean(axis=0)
        on = int(np.abs(apart).round(9).argmax())
        assert row[5] == f"{labels[on].lower()} weighs {'more' if apart[on] > 0 else 'less'}"
    listed = {row[1]: row[5] for row in page.rows if len(row) == 6 and "%" in row[3]}
    told = {code: f"{k} of 7" if k in (3, 4, 7) else "–" for code, k in counts.items()}
    assert listed == {row.code: told.get(row.code, "–") for row in river().rows if row.inside}


def test_it_says_what_was_agreed_shown_and_by_how_many() -> None:
    """Case, day, times with their zone, steps, phones, words, what is open, cautions, data."""
    text = read(agreed()).text
    for words in (
        "Minutes: Round 2027", "meeting K7R M4P",
        "Agreed: the case as it stands. It puts 7 offtakes",
        "opened at 19:02 on 29 November 2026 and closed at 20:31; times are UTC+10:00",
        "9 phones joined. 7 weightings were tried",
        "We fund it as it stands.", "When to look again.",
        "irrigators by 3 phones and anglers by fewer than 3 phones",
        "Not in the room, as far as phones tell: traditional owners, councils and agencies",
        "Agreed: the case 7 60 %", "Beside the steps: 20:22 the case agreed.",
        "The river 19:02 1 6 min", "The list 19:17 2 31 min", "The choice 20:22 1 9 min",
        "it does not design", "a suction and a drowning hazard", "cultural heritage",
        f"Data {river().case['data_version']}",
    ):  # fmt: skip
        assert words in text, words


def test_an_agreed_trial_stands_beside_the_case() -> None:
    """Its name, its own weights, who joins and who leaves; ranks stay those of the case shown."""
    middle = agreed().kept["weighed"]
    weights = {name: round(1000 * of["middle"]) for name, of in
               zip(river().trial["weights"], middle, strict=True)}  # fmt: skip
    trial = case_of(river().shown, 200_000.0, name="Agreed at K7R M4P", weights=weights)
    met = Met(river(), LEVELS, GROUPS, 2, ("trial", "", ""), trial)
    before, after = ({row.code for row in of.rows if row.inside} for of in (river(), trial))
    page, facts = read(met), met.kept["agreed"]
    assert (set(facts["joins"]), set(facts["leaves"])) == (after - before, before - after)
    assert facts["joins"]
    assert "kept as the case “Agreed at K7R M4P”" in page.text
    assert "As it stood, the case puts 7 offtakes inside and avoids 60 %" in page.text
    assert f"Agreed: the trial {len(after)} " in page.text
    assert "20:22 a trial shown, the middle of the weights; 20:22 the trial agreed." in page.text
    rank = {row.code: str(row.rank) for row in river().rows}
    listed = [row for row in page.rows if len(row) == 6 and row[0].isdigit() and "%" in row[3]]
    assert {row[1] for row in listed} == after
    assert [row[0] for row in listed] == [rank[row[1]] for row in listed]
    assert [int(row[0]) for row in listed] == sorted(int(row[0]) for row in listed)


@pytest.mark.parametrize("way", ["score", "best"])
def test_no_secret_is_told(way: str) -> None:
    """W17: no closed column, hand reason, note, maker or place marked is kept or printed."""
    changed = {"kept_in": {"B": "SECRET-REASON"}} if way == "best" else {}
    made = seeded_case(way, **changed)
    case = CaseShown(
        {**made.case.case, "note": "SECRET-NOTE", "by": "SECRET-MAKER"}, made.case.shown
    )
    met = Met(case, LEVELS, GROUPS, 2, ("case", "", ""))
    drawing = met.kept["drawing"]
    words = json.dumps({name: each for name, each in met.kept.items() if name != "drawing"})
    for told in (words, minutes_page(met.kept, LOOK, PDF), json.dumps(drawing)):
        assert "SECRET" not in told
    assert made.told_by(read(met).text) == []
    assert made.told_by(words) == []
    assert [name for name in made.closed.columns if f'"{name}"' in words] == []
    assert [each.why_not for each in case.rows if each.why_not and each.why_not in words] == []
    public = draw_map(ground_shown(case, Viewer.PUBLIC), WIDTH_MM, MOST_HEIGHT_MM)
    assert drawing_of(drawing).signs == drawing_of(kept_drawing(public)).signs
    assert not {"x_mm", "places", "unsaid", "inside_of", "spent"} & set(
        re.findall(r'"(\w+)":', words)
    )


def test_a_count_below_three_cannot_be_worked_out() -> None:
    """From phones and counts told, two counts at least are possible for a group that is small."""
    for counts in product(range(7), repeat=3):
        groups = {name: count for name, count in zip("abc", counts, strict=True) if count}
        small = [name for name, count in groups.items() if count < 3]
        for phones in range(sum(counts), sum(counts) + 4):
            if not small or not counts_told(groups, phones):
                continue
            rest = phones - sum(count for count in groups.values() if count >= 3)
            possible = [each for each in product((1, 2), repeat=len(small)) if sum(each) <= rest]
            assert all(len({each[i] for each in possible}) == 2 for i in range(len(small)))
    kept = Met(river(), LEVELS[:5], ("angler",)).kept
    assert kept["groups"] == [["angler", None]]
    alone = Met(river(), (), ("angler", "council", "agency", "irrigator", "other"))
    assert alone.kept["counts_told"] is False
    assert "fewer than" not in read(alone).text


def test_of_few_phones_no_group_is_told() -> None:
    """Neither who was there nor who was not: four phones are too few to tell groups."""
    met = Met(river(), LEVELS[:4], ("angler", "council", "angler", "agency"))
    assert (met.kept["groups"], met.kept["without"]) == ([], [])
    text = read(met).text
    assert "Too few phones joined to tell groups." in text
    assert not [name for name in ("angler", "council", "agenc", "irrigator") if name in text]


def test_below_five_weightings_nothing_of_the_room_is_told() -> None:
    """Two phones' weights are in no figure, kept or printed; that there were two is."""
    met = Met(river(), ((10, 3, 1), (2, 9, 4)), ("", ""), 3)
    assert met.kept["room"] is None
    assert [set(each) for each in met.kept["weighed"]] == [{"label", "of_case"}] * 3
    assert {each["under"] for each in met.kept["listed"]} == {None}
    text = read(met).text
    assert "told only from 5 weightings on" in text
    assert "lie within the spread" not in text
    assert "None said it, so who was not in the room cannot be told." in text


def test_nothing_agreed_may_still_leave_something_open() -> None:
    """What is open stands there, the headline says that nothing was agreed, midnight is told."""
    met = Met(
        river(),
        (),
        (),
        0,
        ("", "We keep the list.", "Who pays for power."),
        ended_at=ENDED + timedelta(hours=4),
    )
    text = read(met).text
    assert "Nothing was agreed. The case as it stands puts 7 offtakes inside" in text
    assert "Nothing was agreed. The facilitator adds We keep the list." in text
    assert "In the facilitator’s words" not in text
    assert "Who pays for power." in text
    assert "closed at 00:31 on 30 November 2026" in text
    assert "No phone joined. No weighting was tried." in text


def test_what_was_written_never_becomes_markup() -> None:
    """Words, case name and what is open are shown as they were typed, in any script."""
    words = '<script>alert(1)</script> & "{{ 7 * 7 }}" Ελλάδα Україна 河流 نهر'
    named = CaseShown({**river().case, "name": "<img src=x onerror=alert(1)>"}, river().shown)
    met = Met(named, (), (), 0, ("case", words, f"{words}\n<b>"))
    html = minutes_page(met.kept, LOOK, PDF)
    page = Read(html)
    assert not {"script", "img", "b", "form", "style", "iframe"} & set(page.tags)
    assert not [name for name, _ in page.attributes if name.startswith("on") or name == "style"]
    assert page.text.count(words) == 2
    assert "<img src=x onerror=alert(1)>" in page.text
    addresses = [value for name, value in page.attributes if name in ("href", "src")]
    assert sorted(addresses) == sorted([LOOK, PDF])
    assert minutes_name(met.kept, "pdf") == "minutes-img-src-x-onerror-alert-1-2026-11-29.pdf"


def test_a_phone_need_not_scroll_sideways(browser: Browser) -> None:
    """WCAG 2.2, 1.4.10: map, strips and lists stand within 320 px."""
    page = opened(browser, minutes_page(agreed().kept, "/print/look.css", PDF), 320)
    width = page.evaluate("document.documentElement.scrollWidth")
    page.context.close()
    assert width == 320
