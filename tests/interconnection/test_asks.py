"""What to find out: each line says whom it is for, what decides comes first, and nobody's hands come near live parts."""

import re

import pytest

from reportgen.interconnection.asks import WHOM, addressed
from reportgen.interconnection.connect import connect
from tests.interconnection.houses import chain_house, main_panel, panel_house, subpanel
from tests.interconnection.ways_houses import EXAM_DEMAND
from tests.interconnection.wired_houses import wired

HOUSES = (
    panel_house(None, None, None), panel_house(200, 200, 48.0), panel_house(200, 200, 32.0), panel_house(200, 200, 32.0, edition=None),
    panel_house(None, None, 32.0, main="split bus", lower_busbar_a=100, lower_breaker_a=60), wired({"size": "8"}, inverter_a=32),
    panel_house(200, 200, 32.0, kind="two families"), panel_house(200, 200, 48.0, demand=EXAM_DEMAND, feed_through="lugs"),
    panel_house(200, 200, 10.0, conversion="module-level", module_count=20), chain_house(subpanel(), main_panel()),
    chain_house(subpanel(feeder={"size": None}), main_panel(position=None), edition=2023))


@pytest.mark.parametrize("ask, said", [
    ("Ask the seller for the data sheet of it: the largest breaker.", "Ask the seller: the data sheet of it: the largest breaker."),
    ("Ask the utility first whether it may.", "Ask the utility: whether it may."),
    ("Ask the building office: which edition?", "Ask the building office: which edition?"),
    ("Take a photo of the label.", "You: take a photo of the label."),
    ("An electrician calculates the load.", "Ask an electrician: to calculate the load."),
    ("Feeder of the garage: ask the electrician for its size.", "Ask an electrician: its size (feeder of the garage)."),
    ("You: look.", "You: look.")])
def test_an_ask_starts_with_whom_it_is_for(ask, said):
    assert addressed(ask) == said


@pytest.mark.parametrize("number", range(len(HOUSES)))
def test_every_line_of_every_house_is_addressed_and_ends_plainly(number):
    for line in connect(HOUSES[number]).photos:
        assert line.startswith(tuple(f"{who}: " for who in WHOM)), line
        assert line.endswith((".", "?")) and not re.match(r"\w+( \w+)*: (ask|Ask) ", line), line


@pytest.mark.parametrize("number", range(len(HOUSES)))
def test_nobody_is_sent_to_live_parts_or_up_a_ladder(number):
    for line in connect(HOUSES[number]).photos:
        if not line.startswith("You: "):
            continue
        assert "service's wires" not in line and "print on" not in line, line
        assert not re.search(r"(open|remove|take off|lift) the (cover|pipe|box|meter)", line), line
        if "breakers in" in line:
            assert "cover on" in line, line
        if "attic" in line or "roof" in line:
            assert "no ladder, no attic" in line, line
        if "nameplate" in line:
            assert "nothing" in line and "opened" in line, line


def test_what_decides_the_verdict_comes_first():
    assert "label inside the door" in connect(panel_house(None, 200, 32.0)).photos[0]
    assert "free at the far end" in connect(panel_house(200, 200, 32.0)).photos[0]


def test_whether_the_free_space_is_at_the_far_end_is_asked_only_where_a_rule_needs_it():
    assert any("free at the far end" in line for line in connect(panel_house(200, 200, 32.0)).photos)
    assert not any("free at the far end?" in line for line in connect(panel_house(125, 125, 32.0)).photos)
    assert not any("free at the far end" in line for line in connect(panel_house(200, 200, 32.0, free_two_pole_spaces=0)).photos)


def test_make_and_model_of_every_panel_are_asked_for():
    lines = connect(chain_house(subpanel(), main_panel())).photos
    for name in ("garage subpanel", "main panel"):
        assert any(name in line and "make" in line for line in lines)
    assert any("main panel" in line and "breaker of the feeder" in line for line in lines)


def test_a_recording_of_demand_is_made_before_the_array_runs():
    lines = connect(panel_house(200, 200, 32.0, demand=EXAM_DEMAND)).photos
    assert any("30 days" in line and "before the array runs" in line for line in lines)
