"""The load on the service against the Code's own worked examples, a training article and a public question."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from reportgen.interconnection.code_tables import cite, factor, table_rows
from reportgen.interconnection.load_general import general_loads, split
from reportgen.interconnection.result import FITS
from reportgen.interconnection.service_load import service_load
from tests.interconnection.demand_houses import demand_house, method, text_of

FACTS = Path(__file__).resolve().parents[3] / "shared" / "data" / "code" / "load_calc_factors.csv"
EDITIONS = (2017, 2020, 2023)


def appliances(**rating_va: float) -> list[dict]:
    return [{"name": name.replace("_", " "), "rating_va": va} for name, va in rating_va.items()]


ANNEX_D2A = {"floor_area_ft2": 1500, "appliances_complete": True, "electric_heat_va": 9000, "electric_heat_controls": 5,
             "cooling_va": 6 * 230, "appliances": appliances(range=12000, water_heater=2500, dishwasher=1200, dryer=5000)}
ANNEX_D2C = {"floor_area_ft2": 2000, "appliances_complete": True, "heat_pump_va": 24 * 240, "strips_va": 15000,
             "appliances": appliances(range=12000, water_heater=4500, dishwasher=1200, dryer=5000)}
ARTICLE = {"floor_area_ft2": 2800, "appliances_complete": True, "electric_heat_va": 15000, "electric_heat_controls": 1,
           "cooling_va": 29 * 240, "appliances": appliances(range=14000, water_heater=3000, dryer=5000, dishwasher=1500)}
SMALL_HOUSE = {"floor_area_ft2": 1000, "appliances_complete": True, "appliances": appliances(what_is_there=14000)}


@pytest.mark.parametrize("edition", EDITIONS)
def test_annex_d_example_d2a(edition):
    """NFPA 70, Informative Annex D, Example D2(a), as printed in a stored handbook copy."""
    house = demand_house(ANNEX_D2A, service_a=100, edition=edition)
    assert general_loads(house.electrical.demand, edition).va == 29_700
    optional = method(house, "optional")
    assert optional.applies and optional.load_va.value == 21_480
    assert optional.load_a.value == pytest.approx(89.5)
    for step in ("General loads together: 29,700 VA.", "10,000 VA + 0.4 × 19,700 VA = 17,880 VA",
                 "40 % with 5 thermostats: 0.4 × 9,000 VA = 3,600 VA", "17,880 VA + 3,600 VA = 21,480 VA",
                 "21,480 VA / 240 V = 89.5 A"):
        assert step in text_of(optional.steps), step
    assert service_load(house).least_main_a.value == 100


@pytest.mark.parametrize("edition", EDITIONS)
def test_annex_d_example_d2c_heat_pump_with_strips(edition):
    """NFPA 70, Informative Annex D, Example D2(c), as printed in a stored handbook copy."""
    house = demand_house(ANNEX_D2C, service_a=150, edition=edition)
    assert general_loads(house.electrical.demand, edition).va == 33_200
    optional = method(house, "optional")
    assert optional.load_va.value == 34_790
    assert optional.load_a.value == pytest.approx(145.0, abs=0.05)
    for step in ("10,000 VA + 0.4 × 23,200 VA = 19,280 VA", "5,760 VA + 0.65 × 15,000 VA = 15,510 VA"):
        assert step in text_of(optional.steps), step
    assert service_load(house).least_main_a.value == 150


@pytest.mark.parametrize("edition", EDITIONS)
def test_exam_article_central_heat_against_cooling(edition):
    """Exam-training article on the optional method, 18 July 2016 (2014 NEC); it prints 126 A. The main of 150 A for a
    200 A panel is arithmetic on it."""
    house = demand_house(ARTICLE, service_a=200, edition=edition)
    assert general_loads(house.electrical.demand, edition).va == 36_400
    optional = method(house, "optional")
    assert optional.load_va.value == 30_310
    assert optional.load_a.value == pytest.approx(126.3, abs=0.05)
    for step in ("10,000 VA + 0.4 × 26,400 VA = 20,560 VA", "100 % of 6,960 VA = 6,960 VA", "0.65 × 15,000 VA = 9,750 VA",
                 "electric heating, 9,750 VA"):
        assert step in text_of(optional.steps), step
    load = service_load(house)
    assert load.least_main_a.value == 150
    assert load.load_a.value == optional.load_a.value                # the larger of the two that apply
    assert load.room_a.value == pytest.approx(200 - 126.29, abs=0.01)


def test_the_same_example_by_what_is_said_of_2026_reaches_the_same_sum_with_other_numbers():
    """Three secondary summaries of the 2026 Code, its text not seen: figures not double-checked, no table row, no verdict.
    Only the split itself is used here: 2 VA/ft² make 28,200 VA, of which 8,000 VA count in full; with heating, 82.0 A."""
    general = 29_700 - 1500 * (factor("load_floor_va_per_ft2") - 2)
    assert general == 28_200
    counted = split(general, 8000, 0.4)
    assert counted == 16_080
    assert (counted + 3600) / 240 == pytest.approx(82.0)
    assert service_load(demand_house(ANNEX_D2A, service_a=100, edition=2026)).methods == ()


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_load_added_to_an_existing_house(edition):
    """Public question, homeowners' hub 599409: 21,500 VA are there, 11,200 VA come on top, no heating or cooling."""
    house = demand_house({**SMALL_HOUSE, "planned": [{"name": "range and more", "rating_va": 11200}]}, service_a=100,
                         edition=edition)
    existing = method(house, "existing")
    assert existing.load_va.value == 13_400
    assert existing.load_a.value == pytest.approx(55.8, abs=0.05)
    check = service_load(house).planned[0]
    assert check.verdict == FITS
    assert "8,000 VA + 0.4 × 24,700 VA = 17,880 VA" in text_of(check.sentence)
    assert "17,880 VA / 240 V = 74.5 A" in text_of(check.sentence)
    # 220.82 may be used as well and gives more: 10,000 + 0.4 × (21,500 + 11,200 − 10,000) = 19,080 VA, 79.5 A. It counts.
    assert "19,080 VA / 240 V = 79.5 A" in text_of(check.sentence) and "the larger counts" in check.sentence
    assert check.margin_a.value == pytest.approx(20.5)
    assert cite("load_existing_same", edition) == f"NEC {edition}, 220.83(A)" and f"NEC {edition}, 220.83(A)" in check.clause


def test_a_range_counts_by_its_nameplate_and_not_at_8000_va():
    """The same question: the asker put in 8,000 VA for a range, a figure of another method. The nameplate is due."""
    found = {va: method(demand_house({**SMALL_HOUSE, "appliances": appliances(range=va)}, service_a=100), "existing")
             for va in (8000, 12000)}
    assert found[12000].load_va.value - found[8000].load_va.value == pytest.approx(0.4 * 4000)
    assert "Range: 12,000 VA by its nameplate." in text_of(found[12000].steps)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("demand", [ANNEX_D2A, ANNEX_D2C, ARTICLE])
def test_an_array_is_never_taken_off_the_load(demand, edition):
    """Rejected web claim: a contractor's page takes the array's output off the service load. Nothing in Article 220 does."""
    alone = service_load(demand_house(demand, service_a=200, edition=edition))
    old_array = [{"name": "old array", "breaker_a": 30, "output_a": 24}]
    with_array = service_load(demand_house(demand, service_a=200, edition=edition, sources=old_array, inverter_kw=11.4))
    assert with_array.load_a == alone.load_a
    assert with_array.least_main_a == alone.least_main_a
    assert any("never taken off" in caution for caution in with_array.cautions)


YEAR = {"measured_peak_kw": 9.6, "measured_over": "15 minutes", "measured_days": 365}
OLD_ARRAY = [{"name": "old array", "breaker_a": 20}]


@pytest.mark.parametrize("edition", [2017, 2020])
def test_a_measured_demand_is_refused_where_the_house_has_an_array(edition):
    """Rejected web claim: 220.87 with an array on the service. 2022 California Electrical Code (= NEC 2020), 220.87; for 2017
    taken to be the same."""
    assert method(demand_house(YEAR, edition=edition), "measured").applies
    for house in (demand_house(YEAR, edition=edition, sources=OLD_ARRAY),
                  demand_house({**YEAR, "measured_with_solar": True}, edition=edition)):
        measured = method(house, "measured")
        assert not measured.applies and measured.load_va is None
        assert f"NEC {edition}, 220.87" in measured.why_not
        assert service_load(house).load_a is None and service_load(house).least_main_a is None


def test_in_2023_an_array_bars_the_30_day_recording_and_net_metered_data_alone():
    """NFPA 70-2023 public transcription, 220.87: the bar stands inside the exception."""
    assert method(demand_house(YEAR, edition=2023, sources=OLD_ARRAY), "measured").applies
    assert not method(demand_house({**YEAR, "measured_days": 30}, edition=2023, sources=OLD_ARRAY), "measured").applies
    assert method(demand_house({**YEAR, "measured_days": 30}, edition=2023), "measured").applies
    assert not method(demand_house({**YEAR, "measured_with_solar": True}, edition=2023), "measured").applies


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_measured_demand_counts_one_and_a_quarter_times(edition):
    """NFPA 70-2017 and 2023 transcriptions, 2022 California Electrical Code, 220.87: 1.25 × 9.6 kW = 12,000 VA; 50 A."""
    measured = method(demand_house(YEAR, edition=edition), "measured")
    assert measured.load_va.value == 12_000
    assert measured.load_a.value == 50


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_load_is_so_small_that_a_one_family_service_may_go_below_100_a(edition):
    """Rejected web claim: an 80 A service main. 230.79(C): NFPA 70-2023 transcription, Annex D examples."""
    load = service_load(demand_house(SMALL_HOUSE, service_a=100, edition=edition))
    assert load.load_a.value < 80
    assert load.least_main_a.value == 100
    assert f"NEC {edition}, 230.79(C)" in load.least_main_a.sources


@pytest.mark.parametrize("nameplate_va, edition, counted_va", [
    (5760, 2017, 5760), (5760, 2020, 5760), (5760, 2023, 7200), (11520, 2020, 11520), (11520, 2023, 11520)])
def test_a_car_charger_counts_at_least_7200_va_from_2023_on(nameplate_va, edition, counted_va):
    """220.57, NFPA 70-2023 public transcription, one source."""
    without = demand_house(SMALL_HOUSE, service_a=100, edition=edition)
    there = demand_house({**SMALL_HOUSE, "car_charger_va": nameplate_va}, service_a=100, edition=edition)
    assert (general_loads(there.electrical.demand, edition).va
            == general_loads(without.electrical.demand, edition).va + counted_va)
    later = demand_house({**SMALL_HOUSE, "planned": [{"name": "car", "kind": "car charger", "rating_va": nameplate_va}]},
                         service_a=100, edition=edition)
    assert (service_load(later).planned[0].margin_a.value
            == pytest.approx(100 - service_load(there).load_a.value))


# Our key -> a piece of the item's name in the facts, what one unit there is worth here.
ROWS = {
    "load_floor_va_per_ft2": ("220.82 optional", "general lighting", 1), "load_circuit_va": ("220.82 optional", "each small", 1),
    "load_optional_first_va": ("220.82 optional", "first part", 1), "load_optional_rest": ("220.82 optional", "remainder", 0.01),
    "load_cooling": ("220.82(C)(1)", "", 0.01), "load_heat_pump": ("220.82(C)(2)", "", 0.01),
    "load_strips": ("220.82(C)(3)", "", 0.01), "load_heat_few": ("220.82(C)(4)", "", 0.01),
    "load_heat_many": ("220.82(C)(5)", "", 0.01), "load_storage": ("220.82(C)(6)", "", 0.01),
    "load_existing_first_va": ("220.83 existing", "first part", 1), "load_existing_rest": ("220.83 existing", "remainder", 0.01),
    "load_added_heat": ("220.83(B)", "", 0.01), "load_measured": ("220.87 measured", "", 0.01),
    "load_car_charger_va": ("220.57", "", 1), "load_least_service_a": ("230.79(C)", "", 1),
}


def test_the_load_table_agrees_cell_by_cell_with_the_gathered_facts():
    """Rows of 2026 are left out on purpose: its text was not seen, and that edition gets no verdict."""
    if not FACTS.exists():
        pytest.skip(f"the gathered facts are not at hand: {FACTS}")
    facts = [row for row in csv.DictReader(FACTS.read_text(encoding="utf-8").splitlines()) if row["edition"] != "2026"]
    ours = {row["key"]: row for row in table_rows("code_factors_load.csv")}
    used = set()
    for key, (section, piece, worth) in ROWS.items():
        (number, fact), = [(i, f) for i, f in enumerate(facts) if f["method"] == section and piece in f["item"]]
        used.add(number)
        assert float(ours[key]["value"]) == pytest.approx(float(fact["value"]) * worth), key
        assert (ours[key]["checked"] == "two or more public sources") == (fact["double_checked"] == "yes"), key
        assert section.split()[0] in ours[key]["method"], key
        editions = "2017, 2020, 2023" if fact["edition"] == "2017 to 2023" else fact["edition"]
        assert ours[key]["editions"].split() == editions.split(", "), key
    assert used == set(range(len(facts)))
