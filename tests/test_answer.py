"""The thresholds of the first page, one test a row of the table in DEVELOPERS.md. Thresholds: common practice, no source."""

from types import SimpleNamespace

import pytest

from reportgen.answer import PERFORMANCE_RATIO_MIN_PERCENT, ROOF_YEARS_LEFT_MIN, answer
from reportgen.assessment import NOT_AS_IT_STANDS, NOT_NOW, YES
from reportgen.figures import Figure
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, PriceRange
from tests.houses import house


def _figure(value, unit, low=None, high=None):
    return Figure("test", "test", value, unit, low, high)


def _decide(roof_years_left=20.0, ratio=80.0, worth=(500, 4000, 8000), verdict=FITS, judged=True, findings=(),
            back=(11, 14, 18), enough=12_300.0, edition=2020, offers=(), effects=()):
    low, middle, high = worth
    production = SimpleNamespace(year=_figure(9000, "kWh", 7800, 10200), performance_ratio=_figure(ratio, "%"))
    ways = tuple(SimpleNamespace(verdict=FITS, changes_nothing=False, change=change, name=change, price=price, key=key,
                                 largest_kw=_figure(7.68, "kW"), largest_a=_figure(32, "A"))
                 for key, change, price in (("smaller_inverter", "a smaller inverter", None),
                                            ("smaller_main", "a 175 A main breaker", PriceRange(900, 1600, "a letter"))))
    connection = SimpleNamespace(judged=judged, verdict=verdict, sentence="200 A + 40 A = 240 A.", findings=findings,
                                 ways=ways, chosen=ways[1])
    payback = SimpleNamespace(net_present_value=_figure(middle, "USD", low, high), horizon_years=25,
                              price=_figure(19_400, "USD"), internal_rate=_figure(5.0, "%", 3.0, 7.0), currency="USD",
                              break_even_price=_figure(enough, "USD"),
                              simple_payback=_figure(back[1], "years", back[0], back[2]))
    described = house(building={"roof_years_left": roof_years_left}, electrical={"edition": edition})
    return answer(described, production, connection, payback, offers, effects)


def _paper(label, kind, price, worth):
    return SimpleNamespace(label=label, kind=kind, price=None if price is None else _figure(price, "USD"),
                           net_present_value=_figure(worth[1], "USD", worth[0], worth[2]), if_rule_changes=None)


def test_a_yes_that_the_export_rule_carries_says_so():
    def rule(worth_if):
        return (SimpleNamespace(key="tariff.export", net_present_value=(worth_if, 4000)),)
    lasting = "while the utility's present rule for what is sent out lasts"
    assert _decide(effects=rule(-9000)).headline == f"Yes, {lasting}: this roof is worth it on the facts given."
    assert _decide(effects=rule(100)).headline == "Yes: this roof is worth it on the facts given."
    assert lasting in _decide(worth=(-500, 4000, 8000), effects=rule(-9000)).headline


def test_the_papers_in_hand_are_told_apart_on_the_first_page():
    papers = (_paper("offer A", "cash", 19_400, (200, 4000, 9000)), _paper("offer B", "loan", 19_400, (-9000, -5000, -1)),
              _paper("offer C", "lease", None, (-9000, -5000, 100)), _paper("offer D", "cash", 20_000, (-10, 500, 900)))
    money, last = _decide(offers=papers).reasons[1], _decide(offers=papers).reasons[-1]
    assert money.startswith("It costs $19,400, the price of offer A, and over 25 years")
    assert last == ("The papers you hold, each at its own price: offer A ends ahead of doing nothing; offer B ends behind doing nothing; "
                    "offer C ends behind doing nothing in the middle case, ahead in the favourable one; offer D ends ahead of doing nothing "
                    "in the middle case, behind in the unfavourable one.")


def test_a_roof_near_its_end_comes_first():
    assert _decide(roof_years_left=ROOF_YEARS_LEFT_MIN - 0.5).rule == "roof_first"
    assert _decide(roof_years_left=float(ROOF_YEARS_LEFT_MIN)).rule == "yes"
    found = _decide(roof_years_left=4.0)
    assert found.verdict == NOT_NOW and "roof first" in " ".join(found.instead)


def test_a_finding_at_the_panel_sends_the_electrician_first():
    found = _decide(verdict=CANNOT_SAY, findings=("The label is perhaps misread.",))
    assert (found.rule, found.verdict) == ("panel_first", NOT_AS_IT_STANDS)


def test_a_loss_even_when_all_goes_well_is_not_now():
    found = _decide(worth=(-9000, -5000, -1))
    assert (found.rule, found.verdict) == ("no_return", NOT_NOW)
    assert _decide(worth=(-9000, -5000, 0)).rule == "depends"


@pytest.mark.parametrize("way_out", ["Saving first", "community array", "Fewer modules"])
def test_not_now_says_what_else_to_do(way_out):
    assert any(way_out in step for step in _decide(worth=(-9000, -5000, -1)).instead)


def test_a_roof_that_loses_most_of_its_sun_is_not_now():
    assert _decide(ratio=PERFORMANCE_RATIO_MIN_PERCENT - 1).rule == "little_sun"
    assert _decide(ratio=PERFORMANCE_RATIO_MIN_PERCENT).rule == "yes"


def test_an_inverter_that_does_not_fit_the_panel_is_not_as_it_stands():
    found = _decide(verdict=DOES_NOT_FIT)
    assert (found.rule, found.verdict) == ("does_not_fit", NOT_AS_IT_STANDS)
    assert found.headline == "Not as it stands: this inverter fits the panel only with a change for $900 to $1,600."
    assert any("The change is in that price" in reason for reason in found.reasons)
    assert "main breaker" not in " ".join(found.instead)      # told with the price, so not again among what else can be done


def test_where_it_does_not_pay_the_price_at_which_it_would_is_said():
    for worth in ((-9000, -5000, -1), (-4000, -1, 5000)):
        assert "At a price of $12,300" in _decide(worth=worth).instead[0]
        assert "No price above zero" in _decide(worth=worth, enough=None).instead[0]


def test_a_middle_loss_is_not_as_it_stands():
    assert _decide(worth=(-4000, -1, 5000)).rule == "depends"


def test_an_unknown_connection_keeps_the_answer_open():
    found = _decide(verdict=CANNOT_SAY)
    assert (found.rule, found.verdict) == ("connection_unknown", NOT_AS_IT_STANDS)


def test_an_unknown_edition_keeps_the_answer_open_too():
    """The edition can be asked for; the rules of another country can't."""
    assert _decide(verdict=CANNOT_SAY, judged=False, edition=None).rule == "connection_unknown"


def test_outside_the_rules_the_connection_does_not_hold_the_answer_up():
    assert _decide(verdict=CANNOT_SAY, judged=False).verdict == YES


def test_yes_needs_a_gain_even_when_all_goes_badly():
    assert _decide(worth=(0, 4000, 8000)).rule == "yes"
    likely = _decide(worth=(-1, 4000, 8000))
    assert (likely.rule, likely.verdict) == ("yes_likely", YES)
    assert "loss" in likely.headline


@pytest.mark.parametrize("back", [(11, 14, 18), (14, 19, None), (None, None, None), (12, 12, 12)])
def test_money_is_told_as_ranges(back):
    sentence = next(r for r in _decide(back=back).reasons if r.startswith("It costs"))
    assert "$500 to $8,000" in sentence and "year" in sentence
    assert ".5 years" not in sentence
