"""The ways to connect: what each says, what it costs, which one enters the cash, and what holds for any house."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.source_circuit import source_circuit
from reportgen.interconnection.ways import chosen_way, not_checked, ways_to_connect
from tests.interconnection.ways_houses import EXAM_DEMAND, PRICES, SERVICE_WIRE, plain, ways_house, ways_of

FULL = {"demand": EXAM_DEMAND, "service_conductor": SERVICE_WIRE, "prices": PRICES}
QUICK = settings(max_examples=30, deadline=None)


def _chosen(described):
    return chosen_way(described, tuple(ways_of(described).values()))


def test_a_full_busbar_is_solved_in_three_ways_and_the_cheapest_enters_the_cash():
    described = ways_house(200, 200, 48.0, **FULL)
    ways = ways_of(described)
    for key in ("smaller_main", "supply_side", "larger_panel"):
        assert ways[key].verdict == FITS and ways[key].price
    chosen = _chosen(described)
    assert chosen.key == "smaller_main" and chosen.price.middle == 1200 and chosen.price.source == "letter"


def test_the_house_chooses_its_way_and_a_choice_that_does_not_fit_brings_none():
    assert _chosen(ways_house(200, 200, 48.0, way="supply side", **FULL)).key == "supply_side"
    assert _chosen(ways_house(200, 200, 48.0, way="breaker on the busbar", **FULL)) is None
    assert _chosen(ways_house(200, 200, 48.0, way="smaller inverter", **FULL)).key == "smaller_inverter"


def test_nothing_to_change_goes_before_everything_and_costs_nothing_unless_priced():
    chosen = _chosen(ways_house(200, 200, 32.0, **FULL))
    assert chosen.key == "rule_120" and (chosen.price.low, chosen.price.high) == (0, 0)
    priced = [*PRICES, {"way": "breaker on the busbar", "low": 150, "high": 250}]
    assert _chosen(ways_house(200, 200, 32.0, **{**FULL, "prices": priced})).price.middle == 200


def test_a_smaller_inverter_and_ways_without_a_price_are_never_chosen_unasked():
    priced = [{"way": "smaller inverter", "low": 0, "high": 0}]
    assert _chosen(ways_house(200, 200, 48.0, **{**FULL, "prices": priced})) is None


def test_equal_prices_go_by_the_order_of_the_table():
    priced = [{"way": way, "low": 1000, "high": 2000} for way in ("larger panel", "supply side")]
    assert _chosen(ways_house(200, 200, 48.0, **{**FULL, "prices": priced})).key == "supply_side"


def test_no_price_is_given_where_none_was_named():
    assert {way.price for way in ways_of(ways_house()).values()} == {None}


def test_a_smaller_main_with_a_moved_breaker_needs_both_prices():
    facts = {**FULL, "prices": [*PRICES, {"way": "move the breaker", "low": 100, "high": 300}]}
    way = ways_of(ways_house(200, 200, 48.0, position="beside the main", **facts))["smaller_main"]
    assert way.verdict == FITS and "175 A" in plain(way.change) and "far end" in way.change
    assert (way.price.low, way.price.high) == (1000, 1800)
    unpriced = ways_of(ways_house(200, 200, 48.0, position="beside the main", **FULL))["smaller_main"]
    assert unpriced.price is None


def test_where_moving_alone_is_enough_no_smaller_main_is_made_of_it():
    way = ways_of(ways_house(125, 100, 32.0, position="beside the main", demand=EXAM_DEMAND))["smaller_main"]
    assert way.verdict == DOES_NOT_FIT


def test_modules_keep_the_proportion_of_this_house_and_are_rounded_down():
    way = ways_of(ways_house(200, 200, 48.0, array={"module_count": 25}))["rule_120"]
    assert way.largest_modules.value == 16                       # 32 A × 25 / 48 A = 16.67
    assert "32 A × 25 modules / 48 A = 16" in plain(way.largest_modules.formula)
    assert way.largest_a.value == pytest.approx(32) and way.largest_kw.value == pytest.approx(7.68)


def test_the_smaller_inverter_is_the_largest_that_passes_as_it_is():
    way = ways_of(ways_house(200, 200, 48.0))["smaller_inverter"]
    assert way.verdict == FITS and "40 A breaker" in plain(way.reason)
    assert (way.largest_a.value, way.margin.value) == (pytest.approx(32), pytest.approx(0, abs=1e-9))
    assert "smaller_inverter" not in ways_of(ways_house(200, 200, 32.0))
    old = {"name": "old array", "breaker_a": 60, "output_a": 40.0, "position": "far end"}
    full = ways_house(200, 200, 20.0, sources=[old])
    assert ways_of(full)["smaller_inverter"].verdict == DOES_NOT_FIT


@pytest.mark.parametrize("word, verdict, said", [
    (None, FITS, "Ask the utility first"), (True, FITS, "The utility allows it"),
    (False, DOES_NOT_FIT, "The utility does not allow it"),
])
def test_the_utility_has_the_first_word_on_the_supply_side(word, verdict, said):
    utility = {} if word is None else {"allows_supply_side": word}
    way = ways_of(ways_house(200, 200, 48.0, service_conductor=SERVICE_WIRE, utility=utility))["supply_side"]
    assert way.verdict == verdict and said in way.reason and way.decides.startswith("the utility first")
    assert (way.largest_a is None) == (word is False)
    assert any("utility" in photo for photo in way.photos) == (word is None)


def test_existing_sources_count_on_the_supply_side_too_but_a_monitor_does_not():
    old = {"name": "old array", "breaker_a": 30, "output_a": 20.0, "position": "far end"}
    monitor = {"name": "monitor", "kind": "monitoring", "breaker_a": 15}
    by_breakers = ways_of(ways_house(200, 200, 48.0, edition=2017, sources=[old, monitor]))["supply_side"]
    assert by_breakers.margin.value == pytest.approx(200 - 30 - 60)
    by_wires = ways_of(ways_house(200, 200, 48.0, service_conductor=SERVICE_WIRE, sources=[old, monitor]))["supply_side"]
    assert by_wires.margin.value == pytest.approx(180 - 20 - 48)


def test_an_unread_busbar_is_asked_for_but_a_new_panel_has_a_known_one():
    ways = ways_of(ways_house(None, 200, 48.0))
    assert {ways[key].verdict for key in ("sum_rule", "rule_120", "smaller_main", "smaller_inverter")} == {CANNOT_SAY}
    assert any("label" in photo for photo in ways["rule_120"].photos)
    assert ways["larger_panel"].verdict == FITS and "225 A" in plain(ways["larger_panel"].change)


def test_a_split_busbar_can_be_replaced_where_the_service_is_known():
    facts = {"main": "split bus", "lower_busbar_a": 100, "lower_breaker_a": 60}
    known, unknown = ways_house(None, None, 32.0, service_a=200, **facts), ways_house(None, None, 32.0, **facts)
    replaced = ways_of(known)["larger_panel"]
    assert replaced.verdict == FITS and "200 A busbar" in plain(replaced.change)
    assert ways_of(unknown)["larger_panel"].verdict == CANNOT_SAY


def test_two_families_leave_the_least_main_to_an_electrician():
    way = ways_of(ways_house(200, 200, 48.0, demand=EXAM_DEMAND, building={"kind": "two families"}))["smaller_main"]
    assert way.verdict == CANNOT_SAY and "electrician says" in way.reason


def test_without_a_size_the_largest_of_each_way_is_still_given():
    ways = ways_of(ways_house(200, 200, None, array={"module_count": 20}))
    assert ways["rule_120"].verdict == CANNOT_SAY and ways["rule_120"].largest_a.value == pytest.approx(32)


def test_an_edition_that_is_not_tabulated_has_no_ways():
    described = ways_house()
    circuit = source_circuit(described)
    for edition in (None, 2026):
        assert ways_to_connect(described.replaced("electrical.edition", edition), circuit, None) == ()


def test_figures_of_all_ways_have_keys_of_their_own():
    ways = ways_of(ways_house(200, 200, 48.0, position="beside the main", **FULL)).values()
    figures = [f for w in ways for f in (w.margin, w.largest_a, w.largest_kw, w.largest_modules) if f is not None]
    keys = [f.key for f in figures]
    assert len(set(keys)) == len(keys) and all(key.startswith("interconnection.way_") for key in keys)
    assert all(f.formula and f.sources for f in figures)


def test_what_is_not_checked_is_said_only_for_a_known_edition():
    assert not_checked(None) == () and all(text.endswith(".") for text in not_checked(2020))


HOUSES = st.fixed_dictionaries({
    "main_breaker_a": st.sampled_from([100, 125, 150, 200]), "edition": st.sampled_from([2017, 2020, 2023]),
    "position": st.sampled_from(["far end", "beside the main"]),
    "demand": st.sampled_from([EXAM_DEMAND, None]), "service_conductor": st.sampled_from([SERVICE_WIRE, None]),
    "load_breakers_a": st.sampled_from([None, [20, 20, 30, 15], [60, 50, 40, 30, 20, 20]]),
})


def _fitting(ways):
    """Ways that fit; a way that is left out because nothing needs it counts as fitting."""
    found = {key for key, way in ways.items() if way.verdict == FITS}
    as_is = any(way.verdict == FITS and way.changes_nothing for way in ways.values())
    return found | ({"larger_panel", "smaller_inverter", "smaller_main", "move_breaker"} if as_is else set())


@QUICK
@given(HOUSES, st.sampled_from([100, 125, 150, 200, 225]), st.sampled_from([125, 150, 200, 225, 300, 400]),
       st.floats(1, 120))
def test_a_larger_busbar_never_turns_a_way_that_fits_into_one_that_does_not(facts, small_a, large_a, inverter_a):
    if large_a < small_a:
        small_a, large_a = large_a, small_a
    before, after = (ways_of(ways_house(busbar_a=b, inverter_a=inverter_a, **facts)) for b in (small_a, large_a))
    assert _fitting(before) <= _fitting(after)


@QUICK
@given(HOUSES, st.sampled_from([100, 125, 200, 225]), st.floats(1, 120), st.floats(0.1, 60))
def test_a_larger_inverter_never_turns_a_way_that_does_not_fit_into_one_that_does(facts, busbar_a, inverter_a, more_a):
    less, more = (ways_of(ways_house(busbar_a=busbar_a, inverter_a=a, **facts))
                  for a in (inverter_a, inverter_a + more_a))
    assert _fitting(more) - {"smaller_inverter"} <= _fitting(less)


@QUICK
@given(HOUSES, st.sampled_from([100, 125, 200, 225]), st.floats(1, 120))
def test_the_largest_array_of_a_way_that_changes_nothing_really_passes(facts, busbar_a, inverter_a):
    described = ways_house(busbar_a=busbar_a, inverter_a=inverter_a, **facts)
    for key, way in ways_of(described).items():
        if way.changes_nothing and way.largest_a is not None and way.largest_a.value > 0.01:
            again = ways_of(described.replaced("array.inverter_a", way.largest_a.value))
            assert again[key].verdict == FITS
            assert way.largest_modules.value * inverter_a / 24 <= way.largest_a.value + 1e-6


def test_nothing_is_claimed_beyond_arithmetic():
    described = ways_house(200, 200, 48.0, position="beside the main", **FULL)
    text = repr(tuple(ways_of(described).values())).lower()
    for phrase in ("meets code", "code-compliant", "code compliant", "is approved", "is safe", "guaranteed"):
        assert phrase not in text
