"""Numbers as people read them."""

from __future__ import annotations

import pytest

from slackwater.reports.figures import (
    count_of,
    figures,
    listed,
    long_date,
    money,
    ordinal,
    percent,
    sentence,
    short_money,
    tidy,
    whole_money,
)
from tests.reports.printed import plain


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (percent(0.7149), "71 %"),
        (percent(0.00423), "0.42 %"),
        (percent(0.00005), "below 0.01 %"),
        (percent(0.9961), "100 %"),
        (percent(0), "0 %"),
        (percent(None), "–"),
        (figures(0.996, 2), "1.0"),
        (figures(12345.6, 3), "12,346"),
        (figures(float("nan")), "–"),
        (tidy(0.060, 2), "0.06"),
        (tidy(23.0, 3), "23"),
        (tidy(-0.5, 2), "−0.5"),
        (money(68_413, "CDL"), "68,400 CDL"),
        (money(1_243_000, "CDL"), "1.24 million CDL"),
        (money(None), "–"),
        (whole_money(24_091.4, "CDL"), "24,091 CDL"),
        (whole_money(0.5), "1"),
        (short_money(2_480_000), "2.48 M"),
        (short_money(248_449), "248,400"),
        (long_date("2021-06-30T10:00:00+00:00"), "30 June 2021"),
        (count_of(0, "offtake"), "no offtake"),
        (count_of(1, "offtake"), "1 offtake"),
        (count_of(1041, "offtake"), "1,041 offtakes"),
        (ordinal(1), "1st"),
        (ordinal(12), "12th"),
        (ordinal(113), "113th"),
        (ordinal(22), "22nd"),
        (listed(["cod"]), "cod"),
        (listed(["cod", "perch", "gudgeon"]), "cod, perch and gudgeon"),
        (sentence("the channel closes"), "The channel closes."),
        (sentence("why?"), "Why?"),
    ],
)
def test_a_number_is_written_as_people_read_it(told: str, words: str) -> None:
    """Unit by its number, no exponent, no false precision."""
    assert plain(told) == words
