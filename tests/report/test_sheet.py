"""The electrician's sheet: one page without photos, and everything that the coach found is on it."""

from dataclasses import replace

import pypdf
import pytest

from reportgen.describe.electrical import Electrical
from reportgen.report.pages import render_sheet
from reportgen.report.pdf import write_pdf
from reportgen.report.share import page_size, write_sheet
from reportgen.report.sheet import SheetWay, electrician_sheet
from tests.report.built import HOUSES, assessed
from tests.report.connected import check, connected, way, whole_connection
from tests.report.test_pages import words_of
from tests.report.test_photos import shown
from tests.report.words import FORBIDDEN

PANEL = {"busbar_a": 200, "main": "breaker", "main_breaker_a": 200, "fed_from": "end", "source_position": "far end",
         "sources": [{"name": "battery in the cellar, bought second-hand", "kind": "battery", "breaker_a": 30}],
         "free_two_pole_spaces": 4, "load_breakers_a": [20] * 30, "short_circuit_rating_ka": 10}
FEEDER = {"size": "1/0", "metal": "copper", "insulation_c": 90, "terminals_c": 75, "length_ft": 60, "breaker_a": 150}
MANY = Electrical.model_validate({
    "edition": 2020, "service_v": 240, "phases": "single", "service_a": 200, "meter_socket_a": 200, "fault_current_ka": 9.5,
    "panels": [{**PANEL, "name": f"panel number {n} in a far corner", "feeder": FEEDER} for n in range(7)] + [{**PANEL, "name": "house panel"}],
    "run": {"size": "6", "metal": "copper", "length_ft": 85}, "seen": ["rust", "scorching", "doubled wires under one screw"],
    "working_space": {"wall": "the garage wall beside the freezer", "depth_in": 40, "width_in": 34, "height_in": 80},
    "utility": {"name": "Fork River Power", "needs_outdoor_disconnect": True, "allows_supply_side": False}})


def pages(path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(path).pages]


def crowded():
    """Eight panels, ten ways, and long lists of what is open: more than a page holds."""
    long = "Photograph the label inside the door of the panel in the far corner, straight on and near enough to read it, number "
    c = replace(whole_connection(), ways=tuple(way(f"number_{n}_with_a_rather_long_name") for n in range(10)),
                photos=tuple(f"{long}{n}." for n in range(30)), not_checked=tuple(f"{long}{n}?" for n in range(30)),
                checks=(check("sum_rule", sentence="A sum that has a long story. " * 30, verdict="cannot say"),))
    return replace(connected(), connection=c, house=connected().house.replaced("electrical", MANY))


@pytest.mark.parametrize("name", HOUSES)
def test_alone_it_is_one_page(name, tmp_path):
    write_sheet(assessed(name), tmp_path / "x.pdf", ())
    (text,) = pages(tmp_path / "x.pdf")
    assert len(text) > 400 and assessed(name).house.name.replace("'", "’") in text


@pytest.mark.parametrize("size", ["Letter", "A4"])
def test_the_fullest_house_says_what_was_left_out_and_cuts_nothing(tmp_path, size):
    found = crowded()
    write_pdf(render_sheet(found), tmp_path / "x.pdf", size)
    made, sheet = pages(tmp_path / "x.pdf"), electrician_sheet(found)
    assert len(made) <= 2 and "…" not in " ".join(made)
    assert sheet.left_out > 20 and f"{sheet.left_out} more questions and photos stand in the report" in " ".join(made)
    assert sheet.questions and sheet.photos_wanted and len(sheet.ways) == 10


def test_a_stop_is_never_cut_or_left_out():
    stop = "Stop: " + "a generator whose remedy takes many words to tell. " * 12 + "An electrician decides."
    found = crowded()
    sheet = electrician_sheet(replace(found, connection=replace(found.connection, findings=(stop,))))
    assert sheet.stops[0] == stop


def test_every_text_on_the_sheet_is_whole():
    found = crowded()
    sheet = electrician_sheet(found)
    assert set(sheet.photos_wanted) <= set(found.connection.photos)
    assert all(text.rstrip()[-1] in ".?" for text in (*sheet.questions, *sheet.photos_wanted))


def test_a_check_that_fails_is_asked_about_with_its_verdict():
    thin = check("terminal_ampacity", "does not fit", "wires from the inverter", left=-5.0, sentence="35 A, needed 40 A: 5 A too much.")
    found = replace(connected(), connection=replace(whole_connection(), conductors=(thin,)))
    sheet = electrician_sheet(found)
    assert sheet.questions[0] == "Wires from the inverter: does not fit. 35 A, needed 40 A: 5 A too much."
    assert "does not fit: rule terminal_ampacity" in dict(sheet.facts)["Wires to the new breaker"]


def test_the_way_in_the_cash_is_marked():
    assert [way.name for way in electrician_sheet(connected()).ways if way.is_chosen] == ["Way smaller_main"]
    assert "Way smaller_main; the way in the cash" in words_of(render_sheet(connected()))


def test_module_and_inverter_stand_with_what_their_data_sheets_say():
    facts = dict(electrician_sheet(assessed("full-panel")).facts)
    assert facts["Module"].startswith("410 W, Voc 37.4 V, Isc 13.90 A")
    assert "breaker at most 50 A, DC 100 V to 600 V, 2 inputs of 16 A" in facts["Inverters"]
    assert facts["Strings, large inverter"].startswith("south-west, main roof: split between inverters not known; by voltage")


def test_what_was_assumed_is_marked_as_assumed():
    facts = dict(electrician_sheet(assessed("full-panel")).facts)
    assert "single phase (assumed)" in facts["Service"] and "(assumed)" not in facts["Main panel" if "Main panel" in facts else "main panel"]


def test_a_house_with_everything_is_one_page_and_leaves_nothing_out(tmp_path):
    write_pdf(render_sheet(connected()), tmp_path / "x.pdf", "Letter")
    assert len(pages(tmp_path / "x.pdf")) == 1 and electrician_sheet(connected()).left_out == 0


@pytest.mark.parametrize("photos", [1, 2, 4, 12])
@pytest.mark.parametrize("size", [(1400, 1050), (1050, 1400)])
def test_photos_add_at_most_a_second_page(tmp_path, photos, size):
    write_sheet(connected(), tmp_path / "x.pdf", tuple(shown(False, size=size) for _ in range(photos)))
    assert 1 <= len(pages(tmp_path / "x.pdf")) <= 2


def test_it_says_what_was_read_and_what_was_not():
    few = MANY.model_copy(update={"panels": [MANY.panels[0], MANY.panels[-1]]})
    facts = dict(electrician_sheet(replace(connected(), assumptions=(), house=connected().house.replaced("electrical", few))).facts)
    assert facts["Edition"] == "NEC 2020"
    assert facts["Service"] == "200 A, 120/240 V, single phase, wires not read, meter socket 200 A"
    assert facts["house panel"] == ("busbar 200 A, main breaker 200 A, fed from the end, the feeder's breaker, which brings the array's power, at the far end, battery in the cellar, "
                                    "bought second-hand (battery) 30 A, 4 free two-pole spaces, load breakers 600 A in all, short-circuit "
                                    "rating 10 kA")
    assert facts["panel number 0 in a far corner"].endswith("feeder 1/0 AWG copper, 90 °C, terminals 75 °C, 60 ft behind 150 A")
    assert facts["Wires to the new breaker"] == "6 AWG copper, 85 ft; fits by arithmetic: rule terminal_ampacity"
    assert facts["Seen by eye"] == "rust, scorching, doubled wires under one screw"
    assert "lets no array connect ahead of the main" in facts["Utility"] and "fault current 9.5 kA" in facts["Utility"]


def test_what_nobody_read_is_said_to_be_unread():
    bare = connected().house.replaced("electrical", Electrical())
    facts = dict(electrician_sheet(replace(connected(), house=bare)).facts)
    assert facts["Edition"].startswith("not known") and facts["main panel"] == "not read"
    assert facts["Wires to the new breaker"].startswith("not read") and facts["Seen by eye"] == "nobody looked, or nobody said"


def test_nothing_seen_is_said_in_whole_words():
    looked = MANY.model_copy(update={"seen": ["nothing of these"]})
    facts = dict(electrician_sheet(replace(connected(), house=connected().house.replaced("electrical", looked))).facts)
    assert facts["Seen by eye"] == "cover on: no rust, scorching, fuses or other warning sign"


def test_ways_stand_with_their_margins_and_what_stops_everything_comes_first():
    sheet = electrician_sheet(connected())
    assert SheetWay("Way smaller_main", "fits by arithmetic; the stop comes first", "4 A left", "a changed smaller_main", True) in sheet.ways
    assert sheet.stops == ("The label was read twice with two numbers.", "Rust in the panel: An electrician opens it first.")
    assert "The label inside the panel's door." in sheet.photos_wanted


def test_nothing_forbidden_is_said():
    assert not [phrase for phrase in FORBIDDEN if phrase in words_of(render_sheet(connected())).lower()]


def test_the_same_sheet_gives_the_same_bytes(tmp_path):
    for name in ("a.pdf", "b.pdf"):
        write_pdf(render_sheet(connected(), (shown(True),)), tmp_path / name, page_size(connected()))
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
