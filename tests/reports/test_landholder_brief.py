"""The brief for one landholder: pump, money, fish; nothing made up, nothing told to the wrong."""

from __future__ import annotations

import re
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Browser

from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.landholder_brief import landholder_facts, print_landholder_brief
from slackwater.desk.paper.payback import payback
from slackwater.desk.visibility import Viewer
from slackwater.errors import NotHere
from slackwater.reports.landholder_brief import LandholderBrief
from tests.reports.cases import case_of, demo_by_score, demo_shown, small_shown
from tests.reports.printed import plain, print_to_pdf
from tests.reports.secrets_of import seeded_case

NOW = datetime(2026, 11, 29, 16, 0, tzinfo=UTC)
BOTH = pytest.mark.parametrize("viewer", [Viewer.LEAD, Viewer.PUBLIC])


def small_case(way: str = "score", **cells: str) -> CaseShown:
    """A case on the small catchment with some cells of offtake A changed."""
    return case_of(small_shown(cells), 90_000.0, way)


def brief(case: CaseShown, code: str = "A", viewer: Viewer = Viewer.LEAD) -> LandholderBrief:
    return landholder_facts(case, code, viewer, NOW)


def answer(of: LandholderBrief, question: str) -> str:
    return plain(" ".join(next(a for a in of.answers if a.question == question).sentences))


def words_of(html: str) -> str:
    """The text of a page without its markup."""
    return plain(re.sub(r"<[^>]+>", " ", html))


@BOTH
def test_the_pump_comes_first_then_money_then_fish(browser: Browser, viewer: Viewer) -> None:
    """Questions a landholder asks stand in the order they are asked; the correction box is last."""
    html = print_landholder_brief(demo_by_score(), "LN-118", viewer, NOW)
    printed = print_to_pdf(browser, html)
    order = ["Your pump", "What goes on it?", "Does it still get its water?",
             "How many days off water?", "Who looks after it?", "What if it blocks?", "Money",
             "Fish", "Cautions", "This is not my pump, or something here is wrong"]  # fmt: skip
    places = [printed.text.index(words) for words in order]
    assert places == sorted(places)
    assert len(printed.pages) <= 3


def test_the_suction_margin_is_depth_less_what_the_screen_needs() -> None:
    """A: 1 m there, the cone needs 0.5 m: 0.5 m to spare; 0.05 m of head is 5 % of a metre, and of
    the 20 m lifted 0.25 %."""
    said = answer(brief(small_case()), "Does it still get its water?")
    assert "at least 0.5 m" in said
    assert "1 m at the intake (measured, 1 May 2020): 0.5 m to spare" in said
    assert (
        "0.05 m of head: 5 % of a metre of suction lift, 0.25 % of the 20 m the pump lifts" in said
    )


def test_a_depth_that_is_not_known_is_said_and_not_made_up() -> None:
    """Where neither intake nor reach has a depth it is to be measured; a reach's is called so."""
    of_reach = answer(brief(small_case(intake_depth_m="")), "Does it still get its water?")
    assert "1 m in its reach (taken from there, not measured at the intake)" in of_reach
    unknown = answer(brief(small_case(intake_depth_m="", reach_depth="")),
                     "Does it still get its water?")  # fmt: skip
    assert "is not known: it is to be measured" in unknown
    assert "to spare" not in unknown


def test_days_off_water_are_asked_for_and_never_invented() -> None:
    """No number of days is said; the months without draw are, where the data has them."""
    said = answer(brief(small_case()), "How many days off water?")
    assert said.startswith("Not known")
    assert "nothing is drawn in June and July" in said
    assert not re.search(r"\d", said)


def test_payback_over_its_range_is_what_is_worked_by_hand() -> None:
    """A with the cone, landholder_share 0.2. Capital (20,000 + 5,000) x 1.1 = 27,500; low (15,000 +
    4,000) x 1.1 = 20,900; high (30,000 + 8,000) x 1.1 = 41,800; upkeep 3 % a year of each. Nothing
    is priced but wear (100 a year): the saving is half of it, 50, and a quarter, 25."""
    case = small_case()
    found = payback(case.evaluation, 0, 0)
    assert found.pays_once == pytest.approx((4180, 8360))
    assert found.likely.pays_once == pytest.approx(5500)
    assert found.upkeep_per_year == pytest.approx((627, 1254))
    assert found.saving_per_year == pytest.approx((25, 50))
    assert (found.best_years, found.worst_years) == (None, None)
    assert "Savings do not pay it back" in " ".join(brief(case).money_sentences)
    # wear of 6,000 a year: saves 3,000 to 1,500; 4,180 / (3,000 - 627); 8,360 / (1,500 - 1,254)
    worn = small_case(wear_cost_year="6000")
    found = payback(worn.evaluation, 0, 0)
    assert found.best_years == pytest.approx(4180 / 2373)
    assert found.worst_years == pytest.approx(8360 / 246)
    assert "Savings pay it back in 1.8 to 34 years." in " ".join(brief(worn).money_sentences)
    # of 3,000: 1,500 to 750; the dear end stays below its upkeep
    half = " ".join(brief(small_case(wear_cost_year="3000")).money_sentences)
    assert "4.8 years at best; at the other end of the range they stay below its upkeep" in half


def test_a_missing_input_is_named_and_no_payback_told() -> None:
    """Without pump head and flushes neither saving nor payback is a number."""
    of = brief(small_case(pump_head_m="", flushes_per_day=""))
    said = " ".join(of.money_sentences)
    assert "cannot be told" in said
    assert "head the pump lifts" in said
    assert "filter back-flushes" in said
    assert "years" not in said
    assert "You may save a year" not in dict(of.money)
    known = {fact.meaning: fact.basis for fact in of.used}
    assert known["Head the pump lifts"] == "not given"


def test_money_says_who_pays_what() -> None:
    """The fund's and the landholder's share sum to the cost; a range stands beside it."""
    money = {plain(term): plain(value) for term, value in brief(small_case()).money}
    assert money["Cost of the screen, fitted"] == "27,500 CDL (20,900 to 41,800)"
    assert money["The fund pays, 80 %"] == "22,000 CDL"
    assert money["You pay once, 20 %"] == "5,500 CDL (4,200 to 8,400)"


def test_a_quote_has_no_range() -> None:
    """B is quoted: its cost is the quote and is called so."""
    money = {plain(term): plain(value) for term, value in brief(small_case(), "B").money}
    assert money["Cost of the screen, fitted, as quoted"] == "51,200 CDL"


def test_fish_are_shares_where_production_is_an_index_and_numbers_where_counted() -> None:
    """An index gives no number of fish; a count gives larvae and adult equivalents with range."""
    index = brief(small_case())
    assert not any("adult" in column for column in index.fish_columns)
    assert any("no numbers" in said for said in index.fish_sentences)
    counted = brief(small_case(production_basis="counted"))
    assert counted.fish_columns[:2] == ("eggs and larvae taken a year", "adult equivalents a year")
    row = counted.fish[0]
    assert re.fullmatch(r"[\d.,]+ \([\d.,]+ to [\d.,]+\)", row.numbers[1])
    assert row.numbers[-1] == "60\u00a0% (40 to 80)"


def test_what_blocks_is_common_practice_and_says_so() -> None:
    """No source is claimed, and the built screen has its own relief by an engineer."""
    said = words_of(print_landholder_brief(small_case(), "A", Viewer.LEAD, NOW))
    assert "Common practice, no source:" in said
    assert "relief of its own, designed by an engineer" in said
    for caution in ("suction and a drowning hazard", "licensed electricians", "rated gear",
                    "Local codes decide", "before ground is broken"):  # fmt: skip
        assert caution in said


def test_a_channel_is_not_called_a_pump() -> None:
    """A draws by gravity: no suction lift, and the questions are about its channel."""
    case = small_case(kind="gravity_channel")
    said = words_of(print_landholder_brief(case, "A", Viewer.LEAD, NOW))
    assert "Your channel" in said
    assert "This is not my channel" in said
    assert "suction lift" not in said
    assert "less water comes into the channel" in said


def test_where_no_screen_can_go_the_lead_is_told_why() -> None:
    """A in 0.1 m of water: each screen with what stands against it; the public hears no reason."""
    case = small_case(intake_depth_m="0.1")
    said = words_of(print_landholder_brief(case, "A", Viewer.LEAD, NOW))
    assert "No screen of the library can go on this intake" in said
    assert "Cone screen: the water is too shallow." in said
    assert "There is no screen to price." in said
    public = words_of(print_landholder_brief(case, "A", Viewer.PUBLIC, NOW))
    assert "too shallow" not in public


def test_pumps_taken_together_say_that_mobilisation_is_paid_once() -> None:
    """The demo's LN-118 with LN-127: the fund pays one mobilisation less for one of them."""
    case = case_of(demo_shown(), 300_000.0, "best", together=[["LN-118", "LN-127"]],
                   kept_in={"LN-118": "asked for", "LN-127": "asked for"})  # fmt: skip
    said = [
        " ".join(landholder_facts(case, code, Viewer.LEAD, NOW).money_sentences)
        for code in ("LN-118", "LN-127")
    ]
    assert any("mobilisation is paid once" in each for each in said)
    assert "LN-118 and LN-127: all or none." in case.conditions


@pytest.mark.parametrize("way", ["score", "best"])
@pytest.mark.parametrize("code", ["A", "B", "C"])
def test_the_public_version_tells_no_secret(way: str, code: str) -> None:
    """No private or agency cell, and no number made from one, in any rendering."""
    seeded = seeded_case(way)
    html = print_landholder_brief(seeded.case, code, Viewer.PUBLIC, NOW)
    assert "SECRET" not in html
    assert seeded.told_by(words_of(html)) == []
    assert not re.search("declined|unwilling|not willing|lead", words_of(html))


def test_the_private_version_tells_the_landholder_what_is_known() -> None:
    """The search finds what is told: name, licence, draw, costs."""
    seeded = seeded_case()
    said = words_of(print_landholder_brief(seeded.case, "A", Viewer.LEAD, NOW))
    assert {"SECRET-landholder-0", "SECRET-licence-0"} <= set(seeded.told_by(said))


def test_the_public_hears_a_band_and_no_cost() -> None:
    """A costs 27,500: the band 20,000 to 50,000; of B, quoted, nothing but who pays which share."""
    case = small_case()
    cost = "Cost of the screen, fitted"
    told = plain(dict(brief(case, "A", Viewer.PUBLIC).money)[cost])
    assert told == "20,000 to 50,000 CDL, a band"
    assert dict(brief(case, "B", Viewer.PUBLIC).money)[cost] == "not told"


def test_not_in_this_round_has_a_reason_for_the_lead_alone() -> None:
    """C was refused by its landholder; the public is not told."""
    case = small_case()
    assert brief(case, "C", Viewer.PUBLIC).opening == "Not in this round."
    assert brief(case, "C").opening == "Not in this round: the landholder is not willing."


def test_an_offtake_that_is_not_there_is_refused() -> None:
    """By its code, in words."""
    with pytest.raises(NotHere, match="'Z'"):
        brief(small_case(), "Z")
