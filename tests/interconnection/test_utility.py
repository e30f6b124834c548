"""The utility's review: nothing assumed, caps checked only when given, old rows say that they are old."""

from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.describe.review_rules import known_review_rules
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.utility import utility_review
from tests.interconnection.houses import panel_house


def _review(inverter_kw=7.6, year_kwh=9300.0, country="US", **utility):
    house = panel_house(200, 200, 24, country=country)
    for key, value in utility.items():
        house = house.replaced(f"electrical.utility.{key}", value)
    return utility_review(house, inverter_kw, year_kwh)


def _checks(review):
    return {c.key: c for c in review.checks}


def test_without_named_rules_no_class_and_no_days_are_assumed():
    review = _review()
    text = " ".join(review.sentences)
    assert "ask the utility" in text and "business days" not in text and "class:" not in text
    assert "permission to operate" in text and "meter" in text and "disconnect outdoors" in text
    assert {c.verdict for c in review.checks} == {CANNOT_SAY}
    assert all(c.sentence.startswith("Not checked") for c in review.checks)


def test_every_row_says_how_old_it_is_and_where_it_was_read():
    for key, rules in known_review_rules().items():
        review = _review(review_rules=key)
        text = " ".join(review.sentences)
        assert rules.seen_on in text and rules.checked in text and "Ask the utility what holds today" in text
        assert rules.source in review.source
        assert rules.as_of in text or "without a date" in text


def test_above_the_class_a_longer_review_holds():
    assert _checks(_review(10.0, review_rules="pennsylvania-level-1"))["utility_class"].verdict == FITS
    check = _checks(_review(10.1, review_rules="pennsylvania-level-1"))["utility_class"]
    assert check.verdict == DOES_NOT_FIT and "longer review" in check.conditions[0]


def test_a_cap_of_the_house_file_goes_before_the_row():
    own = _checks(_review(review_rules="colorado-investor-owned", size_cap_percent_of_use=100))["utility_cap_percent"]
    row = _checks(_review(review_rules="colorado-investor-owned"))["utility_cap_percent"]
    assert (own.verdict, row.verdict) == (DOES_NOT_FIT, FITS)     # 9,300 of 9,100 kWh is 102 %
    assert own.caution == "" and "2021" in row.caution
    assert "9,300 kWh / 9,100 kWh = 102 %" in own.sentence


def test_a_cap_against_an_unclear_base_is_not_computed():
    check = _checks(_review(review_rules="arizona"))["utility_cap_percent"]
    assert check.verdict == CANNOT_SAY and "125 % of demand" in check.sentence


def test_a_cap_in_kw():
    assert _checks(_review(7.6, size_cap_kw=7.6))["utility_cap_kw"].verdict == FITS
    assert _checks(_review(7.7, size_cap_kw=7.6))["utility_cap_kw"].verdict == DOES_NOT_FIT
    assert _checks(_review(None, size_cap_kw=7.6))["utility_cap_kw"].verdict == CANNOT_SAY
    assert _checks(_review(11.0, review_rules="colorado-cooperative"))["utility_cap_kw"].verdict == DOES_NOT_FIT


def test_what_the_house_file_says_about_the_utility_is_said_with_its_day():
    review = _review(name="Marlow Fork Power", needs_outdoor_disconnect=True, shares_transformer=True,
                     read_on="its leaflet, May 2026", size_cap_kw=10)
    text = " ".join(review.sentences)
    assert "Marlow Fork Power wants a disconnect outdoors" in text and "its leaflet, May 2026" in text
    assert any(d.startswith("Several houses") for d in review.delays)
    assert "its leaflet, May 2026" in _checks(review)["utility_cap_kw"].clause


def test_outside_the_us_no_us_row_is_used():
    review = _review(country="DE", review_rules="federal-10-kw", size_cap_kw=10)
    text = " ".join((review.name, *review.sentences))
    assert "federal" not in text and "grid operator" in text
    assert _checks(review)["utility_cap_kw"].verdict == FITS


@given(st.floats(0.5, 30), st.floats(0, 10))
@settings(max_examples=15, deadline=None)
def test_a_larger_inverter_never_fits_where_a_smaller_does_not(inverter_kw, more_kw):
    small, large = (_checks(_review(kw, size_cap_kw=10))["utility_cap_kw"].verdict for kw in (inverter_kw, inverter_kw + more_kw))
    assert large != FITS or small == FITS
