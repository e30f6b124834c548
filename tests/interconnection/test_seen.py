"""What is found by eye, each with its consequence, and the ratings beside it."""

import pytest

from reportgen.describe.electrical import SEEN, Panel
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.seen import _table, seen_by_eye
from tests.interconnection.houses import panel_house

STOPS = {"fuse box", "scorching", "rust", "obsolete panel", "recalled panel", "water in the panel", "worn service drop"}


def _seen(**facts):
    house = panel_house(200, facts.pop("main_breaker_a", 200), 24, country=facts.pop("country", "US"))
    for key, value in facts.items():
        house = house.replaced(f"electrical.{key}", value)
    return {s.what: s for s in seen_by_eye(house)}


def test_every_sight_of_the_house_file_has_its_consequence():
    assert [*(row["what"] for row in _table()["sights"]), _table()["nothing"]["what"]] == list(SEEN)
    found = _seen(seen=list(SEEN[:-1]))
    assert {what for what in SEEN[:-1] if found[what].stops} == STOPS
    assert all(found[what].consequence and found[what].verdict == "" for what in SEEN[:-1])


def test_nothing_seen_is_not_the_same_as_nobody_looked():
    assert "only an electrician sees" in _seen(seen=["nothing of these"])["nothing of these"].consequence
    looked = _seen()["the panel by eye"]
    assert looked.verdict == CANNOT_SAY and "cover stays on" in looked.consequence and "Photo to take" in looked.consequence


@pytest.mark.parametrize("socket_a, service_a, verdict", [
    (200, 200, FITS), (400, 200, FITS), (100, 200, DOES_NOT_FIT), (150, 200, DOES_NOT_FIT),
    (320, 400, CANNOT_SAY), (160, 200, CANNOT_SAY)])
def test_the_meter_socket_against_the_service(socket_a, service_a, verdict):
    """A 320 A socket with a 400 A service is usual, its number being for steady current: common practice, no source."""
    found = _seen(meter_socket_a=socket_a, service_a=service_a)["meter socket"]
    assert found.verdict == verdict and found.stops is (verdict == DOES_NOT_FIT)


def test_without_a_service_rating_the_main_breaker_nearest_the_meter_stands_for_it():
    assert _seen(meter_socket_a=100)["meter socket"].verdict == DOES_NOT_FIT
    assert _seen(meter_socket_a=100, main_breaker_a=None)["meter socket"].verdict == CANNOT_SAY


@pytest.mark.parametrize("rating_ka, fault_ka, verdict", [
    (None, None, CANNOT_SAY), (10, None, CANNOT_SAY), (None, 8, CANNOT_SAY), (10, 8, FITS), (10, 10, FITS),
    (10, 14, DOES_NOT_FIT)])
def test_the_short_circuit_rating_is_compared_only_when_both_are_given(rating_ka, fault_ka, verdict):
    found = _seen(short_circuit_rating_ka=rating_ka, fault_current_ka=fault_ka)["short-circuit rating"]
    assert found.verdict == verdict and found.stops is (verdict == DOES_NOT_FIT)
    assert ("Ask the utility" in found.consequence) is (fault_ka is None)
    assert ("Photo to take" in found.consequence) is (rating_ka is None)


def test_only_the_panel_nearest_the_meter_sees_the_full_fault_current():
    panels = [Panel(name="garage subpanel", short_circuit_rating_ka=10), Panel(name="main panel", short_circuit_rating_ka=22)]
    found = _seen(panels=panels, fault_current_ka=14)
    assert found["short-circuit rating of the garage subpanel"].verdict == CANNOT_SAY
    assert found["short-circuit rating of the main panel"].verdict == FITS


def test_outside_the_us_only_what_was_written_is_repeated():
    assert _seen(country="DE") == {}
    assert list(_seen(country="DE", seen=["scorching"])) == ["scorching"]
