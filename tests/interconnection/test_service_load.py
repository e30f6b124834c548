"""The load on the service: which method holds when, what is said where something is missing, and what holds for any house."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.interconnection.code_tables import editions, has_clause, table_rows
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.service_load import service_load
from tests.interconnection.demand_houses import demand_house, figure, method, text_of
from tests.report.words import FORBIDDEN

WHOLE = {"floor_area_ft2": 2000, "appliances_complete": True, "cooling_va": 4000,
         "appliances": [{"name": "range", "rating_va": 12000}, {"name": "dryer", "rating_va": 5000}]}
YEAR = {"measured_peak_kw": 9.6, "measured_over": "15 minutes", "measured_days": 365}
HEAT_PUMP = {"name": "heat pump", "kind": "heat pump", "rating_va": 6000}
CAR = {"name": "car charger", "kind": "car charger", "rating_va": 9600}


def test_nothing_is_said_where_nothing_is_written_about_the_demand():
    assert service_load(demand_house(None, service_a=200)) is None


@pytest.mark.parametrize("facts, piece", [
    ({"edition": None}, "edition is not known"), ({"edition": 2026}, "2026 is not in the tables"),
    ({"phases": "three"}, "single-phase")])
def test_outside_the_rules_no_method_is_tried(facts, piece):
    load = service_load(demand_house(WHOLE, service_a=200, **facts))
    assert load.methods == () and load.load_a is load.least_main_a is load.room_a is None
    assert piece in load.cautions[0]


def test_an_unfinished_list_shows_the_load_so_far_and_no_main_breaker():
    load = service_load(demand_house({**WHOLE, "appliances_complete": False}, service_a=200))
    whole = service_load(demand_house(WHOLE, service_a=200))
    assert load.load_a is load.least_main_a is load.room_a is None
    for so_far, finished in zip(load.methods[:2], whole.methods[:2], strict=True):
        assert not so_far.applies and "can only be too low" in so_far.why_not and "nameplate" in so_far.ask
        assert so_far.load_va.value == finished.load_va.value and "as far as it is listed" in so_far.load_va.label


def test_an_unfinished_list_can_show_that_a_load_does_not_fit_and_never_that_it_does():
    demand = {**WHOLE, "appliances_complete": False, "planned": [CAR]}
    assert service_load(demand_house(demand, service_a=200)).planned[0].verdict == CANNOT_SAY
    assert service_load(demand_house(demand, service_a=70)).planned[0].verdict == DOES_NOT_FIT


def test_the_largest_method_that_applies_is_taken_and_the_others_are_shown():
    load = service_load(demand_house({**WHOLE, **YEAR}, service_a=200))
    assert all(m.applies for m in load.methods)
    assert load.load_a.value == max(m.load_a.value for m in load.methods)
    assert "largest is taken" in text_of(load.cautions)
    assert load.room_a.value == pytest.approx(200 - load.load_a.value)


def test_a_measured_year_stands_alone_where_nothing_else_applies():
    load = service_load(demand_house({**YEAR, "floor_area_ft2": 2000}, service_a=200))
    assert load.load_a.value == 50 and load.least_main_a.value == 100
    bigger = service_load(demand_house({**YEAR, **WHOLE, "appliances_complete": False}, service_a=200))
    assert bigger.load_a.value == 50
    assert "already gives" in text_of(bigger.cautions)


@pytest.mark.parametrize("facts, piece", [
    ({"measured_days": 29}, "at the least 30 days"),
    ({"measured_days": 100, "measured_over": "1 hour"}, "only where it was recorded by 15 minutes"),
    ({"measured_with_solar": True}, "already has an array")])
def test_a_measured_demand_that_does_not_count_gives_no_number(facts, piece):
    measured = method(demand_house({**YEAR, **facts}), "measured")
    assert not measured.applies and measured.load_va is None
    assert piece in measured.why_not and measured.ask


@pytest.mark.parametrize("facts, piece", [
    ({"measured_over": "1 hour"}, "understates a 15-minute peak"), ({"measured_days": 30}, "lived in meanwhile"),
    ({}, "Once the new array runs")])
def test_a_measured_demand_carries_its_cautions(facts, piece):
    assert piece in text_of(method(demand_house({**YEAR, **facts}), "measured").cautions)


@pytest.mark.parametrize("edition, applies", [(2017, False), (2020, False), (2023, True)])
def test_a_battery_may_have_shaved_the_peaks(edition, applies):
    battery = [{"name": "battery", "kind": "battery", "breaker_a": 30}]
    assert method(demand_house(YEAR, edition=edition, sources=battery), "measured").applies is applies
    assert not method(demand_house({**YEAR, "measured_days": 40}, edition=edition, sources=battery), "measured").applies


def test_the_optional_calculation_needs_240_v_100_a_and_one_dwelling():
    assert method(demand_house(WHOLE, service_a=100), "optional").applies
    assert not method(demand_house(WHOLE, service_a=90), "optional").applies
    assert not method(demand_house(WHOLE, service_a=200, service_v=208), "optional").applies
    two = demand_house({**WHOLE, **YEAR}, service_a=200, kind="two families")
    assert [m.applies for m in service_load(two).methods] == [False, False, True]
    assert service_load(two).load_a.value == 50 and service_load(two).least_main_a is None


def test_at_208_v_the_same_volt_amperes_are_more_amperes():
    at_208, at_240 = (method(demand_house(WHOLE, service_a=200, service_v=v), "existing") for v in (208, 240))
    assert at_208.load_va.value == at_240.load_va.value
    assert at_208.load_a.value == pytest.approx(at_240.load_a.value * 240 / 208)
    assert "208 V" in text_of(service_load(demand_house(WHOLE, service_a=200, service_v=208)).cautions)


@pytest.mark.parametrize("heating, load_va", [
    ({"cooling_va": 5000}, 5000), ({"heat_pump_va": 5000}, 5000), ({"heat_pump_va": 5000, "strips_va": 10000}, 11500),
    ({"strips_va": 10000}, 6500), ({"electric_heat_va": 10000, "electric_heat_controls": 3}, 6500),
    ({"electric_heat_va": 10000, "electric_heat_controls": 4}, 4000), ({"storage_heat_va": 10000}, 10000),
    ({"cooling_va": 7000, "electric_heat_va": 10000, "electric_heat_controls": 1}, 7000), ({}, 0)])
def test_the_optional_calculation_adds_the_largest_of_heating_and_cooling(heating, load_va):
    """NEC 220.82(C): NFPA 70-2017 and 2023 transcriptions, 2022 California Electrical Code."""
    bare = {"floor_area_ft2": 2000, "appliances_complete": True}
    without, with_it = (method(demand_house({**bare, **more}, service_a=200), "optional") for more in ({}, heating))
    assert with_it.load_va.value - without.load_va.value == load_va


def test_an_added_heat_pump_counts_in_full_beside_the_rest_with_what_is_there():
    """NEC 220.83(B): NFPA 70-2023 transcription, one source. 6000 + 4500 + 17,000 = 27,500 VA of other loads make
    8000 + 0.4 × 19,500 = 15,800 VA; cooling 4000 + 6000 beats heating 6000."""
    check = service_load(demand_house({**WHOLE, "planned": [HEAT_PUMP]}, service_a=125)).planned[0]
    assert "15,800 VA + 10,000 VA = 25,800 VA" in text_of(check.sentence)
    assert "NEC 2020, 220.83(B)" in check.clause and "one public source" in check.caution
    # By 220.82 as well: 10,000 + 0.4 × 17,500 = 17,000 VA, and 100 % of cooling with the pump, 10,000 VA: 112.5 A, the larger.
    assert "17,000 VA + 10,000 VA = 27,000 VA" in text_of(check.sentence) and "the larger counts" in check.sentence
    assert check.verdict == FITS and check.margin_a.value == pytest.approx(125 - 112.5)


def test_several_planned_loads_are_held_against_the_service_alone_and_together():
    load = service_load(demand_house({**WHOLE, "planned": [HEAT_PUMP, CAR]}, service_a=115))
    assert [c.key for c in load.planned] == ["planned_1", "planned_2", "planned_all"]
    assert [c.verdict for c in load.planned] == [FITS, FITS, DOES_NOT_FIT]


def test_a_planned_load_is_added_in_full_to_a_measured_demand():
    check = service_load(demand_house({**YEAR, "planned": [CAR]}, service_a=100)).planned[0]
    assert "12,000 VA + 9,600 VA = 21,600 VA" in text_of(check.sentence)
    assert check.verdict == FITS and check.margin_a.value == pytest.approx(10)


def test_where_two_methods_part_the_verdict_is_cannot_say():
    check = service_load(demand_house({**WHOLE, **YEAR, "planned": [HEAT_PUMP]}, service_a=100)).planned[0]
    assert check.verdict == CANNOT_SAY and check.margin_a.value < 0
    assert "12,000 VA + 6,000 VA = 18,000 VA" in text_of(check.sentence) and "18,000 VA / 240 V = 75 A" in text_of(check.sentence)
    assert "the inspector says which" in check.sentence


def test_a_house_without_electric_heating_or_cooling_is_asked_about_it():
    bare = {**WHOLE, "cooling_va": None}
    assert "No electric heating" in text_of(service_load(demand_house(bare, service_a=200)).cautions)
    assert "No electric heating" not in text_of(service_load(demand_house(WHOLE, service_a=200)).cautions)


def test_without_a_rating_or_a_load_a_planned_load_cannot_be_said():
    assert service_load(demand_house({**WHOLE, "planned": [CAR]})).planned[0].verdict == CANNOT_SAY
    unknown = service_load(demand_house({"planned": [CAR]}, service_a=200)).planned[0]
    assert unknown.verdict == CANNOT_SAY and any("floor area" in text for text in unknown.conditions)


def test_the_service_is_rated_by_the_main_nearest_the_meter_where_nothing_else_is_said():
    chain = [{"name": "garage", "busbar_a": 100, "main": "lugs", "feeder": {"breaker_a": 60}},
             {"name": "house", "busbar_a": 200, "main_breaker_a": 150}]
    assert figure(demand_house(WHOLE, panels=chain), "service_a").value == 150
    assert figure(demand_house(WHOLE, panels=chain, service_a=200), "service_a").value == 200


def test_a_load_above_the_service_is_said_plainly():
    load = service_load(demand_house({**WHOLE, "storage_heat_va": 30000}, service_a=100))
    assert load.room_a.value < 0 and "more than its rating" in text_of(load.cautions)
    assert load.least_main_a.value > 100


def test_every_clause_of_the_load_stands_in_every_edition():
    rules = {row["rule"] for row in table_rows("code_clauses_load.csv")} - {"load_car_charger"}   # new in 2023
    assert all(has_clause(rule, edition) for rule in rules for edition in editions())
    for name in ("code_clauses_load.csv", "code_factors_load.csv"):
        assert all(row["source"] and row["seen_on"] and row["checked"] for row in table_rows(name))


# What holds for any house ---------------------------------------------------------------------------------------------

VA = st.integers(100, 20000)
DEMANDS = st.fixed_dictionaries(
    {"floor_area_ft2": st.integers(300, 6000), "appliances_complete": st.booleans(),
     "appliances": st.lists(VA.map(lambda va: {"name": "appliance", "rating_va": va}), max_size=4)},
    optional={"cooling_va": VA, "heat_pump_va": VA, "strips_va": VA, "storage_heat_va": VA, "car_charger_va": VA,
              "measured_peak_kw": st.integers(2, 40)})
HOUSES = st.fixed_dictionaries({"service_a": st.sampled_from([None, 60, 100, 125, 200]),
                                "edition": st.sampled_from(editions()), "service_v": st.sampled_from([240, 208])})
ADDED = st.sampled_from(["appliances", "cooling_va", "heat_pump_va", "strips_va", "storage_heat_va", "car_charger_va",
                         "electric_heat_va", "measured_peak_kw"])
ORDER = (FITS, CANNOT_SAY, DOES_NOT_FIT)
QUICK = settings(max_examples=60, deadline=None)
CLAUSE = re.compile(r"\b(?:220|230|240)\.\d+\b(?!\sA\b)|Article \d+")   # 240.4 A is a current, not a clause


def _demand(demand: dict, **changed) -> dict:
    out = {**demand, **changed, "planned": [HEAT_PUMP, CAR]}
    if "measured_peak_kw" in out:
        out |= {"measured_over": "15 minutes", "measured_days": 365}
    return out | ({"electric_heat_controls": 3} if "electric_heat_va" in out else {})


def _more(demand: dict, key: str, va: int) -> dict:
    if key == "appliances":
        return {"appliances": [*demand["appliances"], {"name": "one more", "rating_va": va}]}
    if key == "measured_peak_kw":
        return {key: demand[key] + va / 1000} if key in demand else {}
    return {key: demand.get(key, 0) + va}


@QUICK
@given(DEMANDS, HOUSES, ADDED, VA)
def test_a_load_more_never_lowers_the_load_nor_leaves_more_room(demand, facts, key, va):
    before = service_load(demand_house(_demand(demand), **facts))
    after = service_load(demand_house(_demand(demand, **_more(demand, key, va)), **facts))
    for one, other in zip(before.methods, after.methods, strict=True):
        assert one.applies == other.applies
        if one.load_va is not None:
            assert other.load_va.value >= one.load_va.value - 1e-9
    if before.load_a is not None:
        assert after.load_a.value >= before.load_a.value - 1e-9
    if before.least_main_a is not None and after.least_main_a is not None:
        assert after.least_main_a.value >= before.least_main_a.value
    if before.room_a is not None:
        assert after.room_a.value <= before.room_a.value + 1e-9
    for one, other in zip(before.planned, after.planned, strict=True):
        assert ORDER.index(other.verdict) >= ORDER.index(one.verdict)
        if one.margin_a is not None and other.margin_a is not None:
            assert other.margin_a.value <= one.margin_a.value + 1e-9


@QUICK
@given(DEMANDS, HOUSES)
def test_every_figure_has_its_sum_and_every_clause_its_edition(demand, facts):
    load = service_load(demand_house(_demand(demand), **facts))
    keys = [f.key for f in load.figures]
    assert len(keys) == len(set(keys)) and all(f.formula and f.sources for f in load.figures)
    assert (load.load_a is None) == (not any(m.applies for m in load.methods))
    assert all(m.applies == (not m.why_not) for m in load.methods)
    for text in _texts(load):
        for clause in CLAUSE.finditer(text):
            assert text[:clause.start()].endswith(f"NEC {facts['edition']}, "), text
        assert not any(phrase in text.lower() for phrase in FORBIDDEN)


def _texts(thing):
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from _texts(part)
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from _texts(getattr(thing, field.name))
