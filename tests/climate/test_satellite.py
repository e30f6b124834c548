"""Satellite hours against a stand-in service on this machine that answers well, slowly, wrongly, or not at all."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from functools import partial

import numpy as np
import pytest

from reportgen.climate import satellite, satellite_cache, satellite_service
from reportgen.climate.clock import clock_error_min, closure_rms_w_m2
from reportgen.climate.errors import ClimateError
from reportgen.climate.read import read_year
from reportgen.climate.satellite import default_years, satellite_year
from reportgen.climate.satellite_cache import kept_hours
from reportgen.climate.satellite_service import hours_utc
from reportgen.production.chain import produce
from tests.climate.satellite_stub import LEVELS, answer, service
from tests.houses import house
from tests.production.years import filled, greensboro

HERE = (36.12, -79.83)
DAY = date(2026, 11, 20)


@pytest.fixture(autouse=True)
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(satellite_cache, "folder", lambda: tmp_path / "cache" / "satellite")
    return tmp_path / "cache" / "satellite"


@pytest.fixture
def stub():
    with service() as found:
        yield found


def asked(stub, years=(2014, 2018), place=HERE, pauses=None, timeout_s=20.0):
    pause = (lambda s: None) if pauses is None else pauses.append
    fetch = partial(hours_utc, url=stub.url, timeout_s=timeout_s, pause=pause)
    return satellite_year(*place, 250.0, -5.0, years,
                          read=lambda *key: kept_hours(*key, fetch=fetch, today=lambda: DAY))


def test_good_hours_become_a_year_whose_energy_is_the_mean_of_the_years(stub):
    year = asked(stub)
    one = asked(stub, years=(2014, 2014))
    levels = list(LEVELS.values())
    for key in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2"):
        assert getattr(year, key).sum() == pytest.approx(getattr(one, key).sum() * np.mean(levels), rel=2e-3), key
    assert year.year_to_year_sigma == pytest.approx(np.std(levels, ddof=1), abs=0.002)
    assert "measured" in year.year_to_year_is
    assert year.figures[0].key == "climate.year_to_year_percent"
    assert (year.latitude, year.longitude, year.utc_offset_h) == (36.1, -79.8, -5.0)
    assert "2014 to 2018" in year.sources[0] and "retrieved on 2026-11-20" in year.sources[0]
    assert any("inverter's limit" in note for note in year.notes)


def test_the_sun_stands_in_the_middle_of_hours_that_the_service_stamps_at_their_start(stub):
    """Its stamps are UTC; the year's hours are local standard time."""
    year = asked(stub, years=(2014, 2014))
    assert abs(clock_error_min(year)) < 5.0
    assert closure_rms_w_m2(year) < 3.0 < closure_rms_w_m2(year, 30.0)


def test_ten_years_of_shuffled_days_give_the_mean_output_of_the_ten():
    """Days of the TMY3 file of Greensboro, shuffled within a fortnight or so: each month's energy is kept exactly, and the
    output of the typical year is within 1 % of the mean of the ten (the mean of each hour was 2.0 and 2.7 % too high)."""
    year, rng, years = greensboro(), np.random.default_rng(1), []
    for _ in range(10):
        order = np.concatenate([rng.permutation(np.arange(a, min(a + 15, 365))) for a in range(0, 365, 15)])
        years.append([array.reshape(365, 24)[order].ravel() for array in
                      (year.ghi_w_m2, year.dni_w_m2, year.dhi_w_m2, year.air_c, year.wind_m_s)])
    typical = satellite._typical(np.stack([np.stack(one, axis=1) for one in years]))
    assert typical[0].sum() == pytest.approx(year.ghi_w_m2.sum(), rel=1e-9)
    assert typical[2].sum() == pytest.approx(year.dhi_w_m2.sum(), rel=1e-9)

    def made(arrays, limit_kw):
        keys = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "air_c", "wind_m_s")
        return produce(filled(array={"inverter_kw": limit_kw}), replace(year, **dict(zip(keys, arrays, strict=True)))).year.value

    for limit_kw in (6.67, 5.93):
        assert made(typical, limit_kw) == pytest.approx(np.mean([made(one, limit_kw) for one in years]), rel=0.01)


def test_under_five_years_the_usual_spread_stands(stub):
    year = asked(stub, years=(2014, 2016))
    assert year.year_to_year_sigma == 0.039 and year.figures == ()


def test_a_second_call_asks_nothing_and_gives_the_same_bits(stub, cache):
    first = asked(stub)
    count = len(stub.asked)
    stub.reply = lambda _: (b"", 500)
    again = asked(stub, place=(36.07, -79.78))       # another house in the same tenth of a degree
    assert len(stub.asked) == count == 5             # one request a year
    assert np.array_equal(first.ghi_w_m2, again.ghi_w_m2)
    assert [path.suffix for path in sorted(cache.iterdir())].count(".gz") == 1


def test_other_years_and_other_places_are_asked_for(stub):
    asked(stub, years=(2014, 2014))
    asked(stub, years=(2015, 2015))
    asked(stub, years=(2014, 2014), place=(36.3, -79.8))
    assert len(stub.asked) == 3


def test_a_rounded_place_and_dates_are_all_that_is_sent(stub):
    asked(stub, years=(2014, 2015), place=(36.1234, -79.8371))
    assert {(a["latitude"], a["longitude"]) for a in stub.asked} == {("36.1", "-79.8")}
    assert [(a["start"], a["end"]) for a in stub.asked] == [("20131231", "20141231"), ("20150101", "20160101")]
    assert set(stub.asked[0]) == {"latitude", "longitude", "start", "end", "community", "parameters", "format", "header",
                                  "time-standard"}


def test_a_slow_answer_is_given_up_after_two_more_tries_with_pauses(stub):
    stub.reply = lambda asked: (stub.released.wait(10), (b"{}", 200))[1]
    pauses = []
    with pytest.raises(ClimateError, match="no answer within 0.2 seconds.*source: atlas"):
        asked(stub, years=(2014, 2014), pauses=pauses, timeout_s=0.2)
    assert pauses == [3.0, 10.0] and len(stub.asked) == 3


def test_one_bad_answer_is_made_good_by_the_second(stub):
    def reply(asked):
        return (b"<html>busy</html>", 200) if len(stub.asked) == 1 else (json.dumps(answer(asked)).encode(), 200)

    stub.reply = reply
    assert asked(stub, years=(2014, 2014)).ghi_w_m2.sum() > 0
    assert len(stub.asked) == 2


@pytest.mark.parametrize(("body", "status", "words"), [
    (b"{not json", 200, "could not be read"),
    (b"[]", 200, "could not be read"),
    (b'{"properties": {}}', 200, "could not be read"),
    (b'{"messages": ["too many requests"]}', 429, "it refused.*too many requests"),
    (b"<html>", 502, "could not be read"),
])
def test_a_wrong_answer_is_told_in_a_sentence_and_nothing_is_kept(stub, cache, body, status, words):
    stub.reply = lambda _: (body, status)
    with pytest.raises(ClimateError, match=words):
        asked(stub, years=(2014, 2014))
    assert len(stub.asked) == 3 and not list(cache.glob("*.gz"))


def test_no_service_at_all_is_told_in_a_sentence(stub):
    stub.url = "http://127.0.0.1:9/hourly"           # the discard port: nothing listens
    with pytest.raises(ClimateError, match="asked three times for 2013 to 2015.*no connection"):
        asked(stub, years=(2014, 2014))


def _spoilt(change):
    def reply(asked):
        found = answer(asked)
        change(found["properties"]["parameter"], asked)
        return json.dumps(found).encode(), 200
    return reply


def test_a_few_missing_hours_are_filled_from_the_other_years_and_said(stub):
    def change(columns, asked):
        if asked["start"].startswith("2015"):
            columns["ALLSKY_SFC_SW_DWN"]["2015070118"] = -999.0
            for column in columns.values():
                column.pop("2015070119")

    stub.reply = _spoilt(change)
    year = asked(stub)
    assert any(note.startswith("2 of the 43,800 hours were missing") for note in year.notes)
    assert 0 <= year.ghi_w_m2.min() and year.ghi_w_m2.max() < 1200


@pytest.mark.parametrize(("change", "words"), [
    (lambda columns, _: columns["ALLSKY_SFC_SW_DNI"].update(
        {stamp: -999.0 for stamp in columns["ALLSKY_SFC_SW_DNI"] if stamp[4:6] == "02"}), "miss 672 of 8,760"),
    (lambda columns, _: [column.pop(stamp) for column in columns.values() for stamp in list(column)
                         if stamp[4:6] == "02"], "miss 672 of 8,760"),
    (lambda columns, _: columns["ALLSKY_SFC_SW_DWN"].update({"2014070118": 5000.0}), "outside 0 to 1,500"),
    (lambda columns, _: columns["T2M"].update({stamp: -999.0 for stamp in columns["T2M"]}), "miss 8,760"),
])
def test_hours_that_are_missing_or_impossible_are_refused(stub, change, words):
    stub.reply = _spoilt(change)
    with pytest.raises(ClimateError, match=words):
        asked(stub, years=(2014, 2014))


def test_a_damaged_file_in_the_cache_is_fetched_anew(stub, cache):
    asked(stub, years=(2014, 2014))
    (path,) = cache.glob("*.gz")
    path.write_bytes(path.read_bytes()[:500])
    asked(stub, years=(2014, 2014))
    assert len(stub.asked) == 2


def test_south_and_east_of_greenwich_hours_are_local_too(stub):
    fetch = partial(hours_utc, url=stub.url, pause=lambda s: None)
    year = satellite_year(-33.9, 151.2, 20.0, 10.0, (2014, 2014), read=lambda *key: kept_hours(*key, fetch=fetch))
    assert abs(clock_error_min(year)) < 5.0
    half = satellite_year(28.6, 77.2, 200.0, 5.5, (2014, 2014), read=lambda *key: kept_hours(*key, fetch=fetch))
    assert half.utc_offset_h == 5.0 and abs(clock_error_min(half)) < 5.0


def test_ten_whole_years_that_end_two_before_the_reports_are_the_default():
    assert default_years(2026) == (2015, 2024)


def test_a_house_file_that_asks_for_satellite_hours_gets_them(stub, monkeypatch):
    monkeypatch.setattr(satellite, "hours_utc", partial(hours_utc, url=stub.url, pause=lambda s: None))
    year = read_year(house(weather={"source": "satellite", "years": [2014, 2015]}), None)
    assert year.name == "satellite hours of 2014 to 2015"
    assert year.weather_sigma == 0.06
    assert len(stub.asked) == 2


@pytest.mark.parametrize("source", [{}, {"source": "file", "file": "723170TYA.CSV"},
                                    {"annual_horizontal_kwh_m2": 1600}])
def test_no_other_source_ever_asks(monkeypatch, source):
    from tests.climate.files import PVLIB_DATA
    monkeypatch.setattr(satellite_service, "hours_utc", lambda *_: pytest.fail("asked"))
    monkeypatch.setattr(satellite, "hours_utc", lambda *_: pytest.fail("asked"))
    monkeypatch.setattr("socket.socket.connect", lambda *_: pytest.fail("a connection was opened"))
    read_year(house(place={"longitude": -79.9}, weather=source), PVLIB_DATA)
