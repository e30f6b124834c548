"""Satellite hours in a batch: fetched once for neighbours, not again for what is unchanged, and never unless asked for."""

from __future__ import annotations

from functools import partial

import pytest

from reportgen.batch.build import SolarChain
from reportgen.batch.find import find_batches
from reportgen.batch.make import make_sites
from reportgen.batch.record import FAILED, MADE, UNCHANGED
from reportgen.climate import satellite, satellite_cache
from reportgen.climate.satellite_service import hours_utc
from tests.batch.small_chain import SmallChain, write_house
from tests.batch.test_make import InThisProcess, states
from tests.climate.satellite_stub import service

ASKED = "weather: {source: satellite, years: [2014, 2015]}\n"


class ReadingChain(SmallChain):
    """Really reads the year; computes and renders nothing."""

    read_year = SolarChain.read_year


@pytest.fixture
def stub(tmp_path, monkeypatch):
    with service() as found:
        monkeypatch.setattr(satellite_cache, "folder", lambda: tmp_path / "cache")
        monkeypatch.setattr(satellite, "hours_utc", partial(hours_utc, url=found.url, pause=lambda s: None))
        yield found


@pytest.fixture
def make(tmp_path):
    def make(satellites=("elm", "oak")):
        for slug in ("ash", "elm", "oak"):
            path = write_house(tmp_path / "sites" / "demo", slug)
            if slug in satellites:
                path.write_text(path.read_text(encoding="utf-8") + ASKED, encoding="utf-8")
        (outcome,) = make_sites(find_batches([tmp_path / "sites"]), tmp_path / "output", False, lambda *_: None,
                                ReadingChain(tmp_path / "diary"), InThisProcess, workers=1)
        return outcome
    return make


def test_two_neighbours_cause_one_fetch(stub, make):
    assert states(make()) == {"ash": MADE, "elm": MADE, "oak": MADE}
    assert len(stub.asked) == 2                      # one request for each of the two years


def test_what_is_unchanged_is_neither_built_nor_fetched_again_even_with_an_emptied_cache(stub, make, tmp_path):
    make()
    for path in (tmp_path / "cache").iterdir():
        path.unlink()
    assert set(states(make()).values()) == {UNCHANGED}
    assert len(stub.asked) == 2


def test_a_house_that_is_switched_to_satellite_hours_is_built_again(stub, make):
    make(satellites=())
    assert stub.asked == []
    assert states(make(satellites=("elm",))) == {"ash": UNCHANGED, "elm": MADE, "oak": UNCHANGED}
    assert len(stub.asked) == 2


def test_a_service_that_fails_stops_no_neighbour(stub, make):
    stub.reply = lambda _: (b"", 500)
    outcome = make(satellites=("elm",))
    assert states(outcome) == {"ash": MADE, "elm": FAILED, "oak": MADE}
    assert "satellite service was asked three times" in outcome.records["elm"].failures[0]


def test_make_opens_no_connection_unless_satellite_hours_are_asked_for(make, monkeypatch):
    for name in ("connect", "connect_ex", "sendto"):
        monkeypatch.setattr(f"socket.socket.{name}", lambda *_: pytest.fail("a connection was opened"))
    monkeypatch.setattr("socket.getaddrinfo", lambda *_: pytest.fail("a name was looked up"))
    assert set(states(make(satellites=())).values()) == {MADE}
