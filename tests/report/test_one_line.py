"""The one-line diagram: every rating that is known, "not known" for the rest, and where the array would join."""

from __future__ import annotations

import dataclasses
import re
from xml.etree import ElementTree

import pytest

from reportgen.interconnection.result import DOES_NOT_FIT, Check
from reportgen.report import palette
from reportgen.report.charts import draw_charts
from reportgen.report.charts.lettering import PHONE_SIZE, SIZE
from reportgen.report.drawings import draw_drawings
from tests.report.connection_sample import HOUSES, connected, new, old, panel, share
from tests.report.text_boxes import SVG, sheet, text_boxes, troubles

PAGE = 620.0     # height that a page holds beside its caption: US Letter less the page's margins, in points


def drawn(name: str) -> str:
    return draw_drawings(HOUSES[name]())["one-line"]


def said(svg: str) -> str:
    """All words from top to foot; a number stays tied to its unit by a no-break space, which is a space here."""
    return " ".join(box.words for box in text_boxes(svg)).replace("\u00a0", " ")


@pytest.fixture(scope="module", params=HOUSES)
def one_line(request) -> str:
    return drawn(request.param)


@pytest.mark.parametrize("size", [SIZE, PHONE_SIZE])
def test_no_text_leaves_the_sheet_or_meets_another_or_a_shape(one_line, size):
    assert troubles(one_line, size) == []


def test_it_can_stand_in_a_page_and_a_page_holds_it(one_line):
    root = ElementTree.fromstring(one_line)
    assert (root.get("class"), root.get("role"), root.get("width")) == ("chart", "img", "124mm")
    assert root[0].tag == SVG + "title" and ":" in root[0].text
    assert "style" not in one_line and "<g" not in one_line and "id=" not in one_line
    assert all(node.get("font-size") == f"{SIZE:g}" for node in root.iter(SVG + "text"))
    assert set(re.findall(r'(?:fill|stroke)="(#[^"]+)"', one_line)) <= set(palette.ALL)
    assert sheet(one_line).foot <= PAGE and len(one_line) < 40_000


def test_it_says_that_nothing_is_built_from_it(one_line):
    assert "For discussion, not for construction." in [box.words for box in text_boxes(one_line)]


def test_what_is_new_stands_out_without_colour(one_line):
    """A black and white print keeps the width of lines: new wires are drawn more than twice as wide as those there today."""
    widths = {color: {float(node.get("stroke-width", 1)) for node in ElementTree.fromstring(one_line).iter(SVG + "path")
                      if node.get("stroke") == color} for color in (palette.SUN, palette.INK)}
    assert 1.8 in widths[palette.SUN] and 0.8 in widths[palette.INK]
    assert {"new", "there today", "busbar", "one panel"} <= {box.words for box in text_boxes(one_line)}


def test_the_same_house_gives_the_same_bytes():
    for name in ("chain of three", "units on three branches"):
        assert drawn(name) == drawn(name)


SHOWN = {
    "one panel, string inverter": ("21 modules, 8.4 kW DC", "2 strings of 7 and 1 of 7", "7.6 kW AC, 32 A", "8 AWG copper, 60 ft",
                                   "new breaker 40 A, at the far end", "busbar 200 A", "7 load breakers, 190 A together",
                                   "2 free two-pole spaces", "main breaker 200 A", "120/240 V, single-phase"),
    "two inverters, existing source": ("12 modules, 4.8 kW DC: back", "south side: 5 kW AC, 20.8 A", "its breaker: 30 A",
                                       "9 modules, 3.6 kW DC: porch", "west side: 3.8 kW AC, 16 A", "its breaker: 20 A",
                                       "36.8 A together", "new breaker 50 A, beside the main", "busbar 225 A",
                                       "old array in the garage breaker 20 A, output 16 A, at the far end"),
    "chain of three": ("Workshop subpanel: busbar 125 A", "main lugs", "feeder: 6 AWG copper, 60 A breaker, 80 ft",
                       "Garage subpanel: busbar 125 A", "breaker for the feeder 60 A, beside the main", "main breaker 100 A",
                       "feeder: 1/0 AWG aluminum, 100 A breaker, 60 ft", "Main panel: busbar 200 A",
                       "breaker for the feeder 100 A", "battery under the stairs breaker 30 A, output 24 A, place not known",
                       "4/0 AWG aluminum, 30 ft", "socket 200 A", "service 200 A", "10 kA", "Lakeside Electric",
                       "AC disconnect, outdoors: 40 A or more", "emergency disconnect outdoors"),
    "fed at the centre": ("busbar 200 A, fed at its centre", "at an end of a busbar fed at its centre"),
    "split busbar": ("Main panel: lower busbar 125 A", "breaker ahead of the lower busbar: 60 A",
                     "upper busbar rating not known, up to six mains, taken as the service disconnect"),
    "supply side": ("new disconnect, breaker or fuses 40 A", "Drawn for: Ahead of the main breaker (fits by arithmetic).",
                    "To change: a disconnect beside the meter.", "old array in the garage breaker 20 A, output 16 A",
                    "main breaker 100 A"),
    "busbar not known": ("busbar rating not known", "new breaker rating not known, place not known", "main breaker rating not known",
                         "free spaces not known", "load breakers not listed", "socket rating not known", "fault current not known",
                         "service wires: not known", "strings: not known"),
    "units on three branches": ("30 modules, 12 kW DC", "30 units, one under each module: 290 W, 1.21 A each",
                                "3 branch circuits, at most 13 units on each", "10 × 1.21 A = 12.1 A, on a 20 A breaker",
                                "36.3 A together", "new breaker 50 A"),
    "units on seven branches": ("7 branch circuits (3 drawn)",),
    "208 V": ("120/208 V, single-phase", "7.6 kW AC, 36.5 A", "new breaker 50 A"),
    "smaller main chosen": ("Drawn for: A smaller main breaker", "To change: a 150 A main breaker in place of the one of 200 A.",
                            "new main breaker 150 A in place of 200 A, taken as the service disconnect"),
    "larger panel chosen": ("Main panel: new busbar 225 A", "new main breaker 200 A, taken as the service disconnect"),
    "moved breaker chosen": ("new breaker 40 A, at the far end",),
    "power control chosen": ("new power control system, set to 160 A", "watches the main and every source"),
    "two inverters on one face": ("large one: 5 kW AC, 20.8 A", "modules: split between inverters not known"),
    "generator and monitor": ("breaker 30 A, not counted", "breaker 15 A, not counted"),
    "six panels": ("3 more on the way, not drawn: panel 1, panel 2, panel 3",),
}


@pytest.mark.parametrize("name", SHOWN)
def test_every_rating_is_shown_and_what_is_missing_is_called_not_known(name):
    words = said(drawn(name))
    assert [part for part in SHOWN[name] if part not in words] == []


def _new_wide_lines(svg: str) -> int:
    """Wide lines in the colour of what is new: new busbars."""
    return sum(node.get("stroke") == palette.SUN and float(node.get("stroke-width", 1)) > 3
               for node in ElementTree.fromstring(svg).iter(SVG + "path"))


def test_what_the_chosen_way_changes_is_drawn_as_new():
    assert _new_wide_lines(drawn("larger panel chosen")) > 0
    assert _new_wide_lines(drawn("smaller main chosen")) == _new_wide_lines(drawn("one panel, string inverter")) == 0
    assert "main breaker 200 A, taken" not in said(drawn("smaller main chosen"))


def test_the_bar_of_a_new_combiner_is_drawn_as_new():
    assert _new_wide_lines(drawn("two inverters, existing source")) == 1


def test_a_split_that_nobody_named_is_never_divided_into_kilowatts():
    words = said(drawn("two inverters on one face"))
    assert words.count("split between inverters not known") == 2 and "kW DC" not in words


def test_a_breaker_beside_the_main_is_drawn_beside_it():
    at = _heights(drawn("two inverters, existing source"))
    loads = next(y for words, y in at.items() if "load breakers" in words)
    assert loads < at["new breaker 50 A, beside the main"] < at["main breaker 200 A, taken as the service disconnect"]
    far = _heights(drawn("one panel, string inverter"))
    assert far["new breaker 40 A, at the far end"] < next(y for words, y in far.items() if "load breakers" in words)


def test_a_split_busbar_is_drawn_in_two_parts_with_the_breaker_between():
    at = _heights(drawn("split busbar"))
    names = ("Main panel: lower busbar 125 A", "breaker ahead of the lower busbar: 60 A")
    upper = next(y for words, y in at.items() if words.startswith("upper busbar"))
    assert at[names[0]] < at[names[1]] < upper


def test_a_wire_that_fails_is_marked_where_it_runs():
    house = HOUSES["one panel, string inverter"]()
    thin = Check("terminal_ampacity", "Terminals", "", DOES_NOT_FIT, "", None, (), where="wires from the inverter")
    found = dataclasses.replace(house, connection=dataclasses.replace(house.connection, conductors=(thin,)))
    assert "8 AWG copper, 60 ft, does not fit" in said(draw_drawings(found)["one-line"])
    assert "does not fit" not in said(drawn("one panel, string inverter"))


def test_a_stop_stands_above_the_drawing():
    house = HOUSES["generator and monitor"]()
    found = dataclasses.replace(house, connection=dataclasses.replace(house.connection, findings=("Stop: a generator.",)))
    assert "An electrician looks at this house before any of it is built" in said(draw_drawings(found)["one-line"])


def _heights(svg: str) -> dict[str, float]:
    """Words to the height of their middle on the sheet."""
    return {box.words.replace("\u00a0", " "): box.top for box in text_boxes(svg)}


def test_the_order_runs_from_the_array_to_the_utility():
    at = _heights(drawn("one panel, string inverter"))
    order = ["21 modules, 8.4 kW DC", "DC disconnect: rating not known", "inverter: 7.6 kW AC, 32 A", "AC disconnect: 40 A or more",
             "Main panel: busbar 200 A", "Point of connection", "new breaker 40 A, at the far end",
             "main breaker 200 A, taken as the service disconnect", "meter, socket rating not known",
             "utility: 120/240 V, single-phase"]
    assert [at[words] for words in order] == sorted(at[words] for words in order)


def test_on_the_supply_side_the_array_joins_between_meter_and_main_and_has_no_breaker_in_the_panel():
    svg = drawn("supply side")
    at = _heights(svg)
    assert at["main breaker 100 A, taken as the service disconnect"] < at["Point of connection"] < at["meter, socket rating not known"]
    assert "new breaker" not in said(svg)


def test_on_the_load_side_the_array_joins_at_its_breaker():
    at = _heights(drawn("one panel, string inverter"))
    assert at["Main panel: busbar 200 A"] < at["Point of connection"] < at["main breaker 200 A, taken as the service disconnect"]


def test_an_array_along_a_feeder_joins_between_the_two_panels():
    svg = drawn("along the feeder")
    at = _heights(svg)
    assert at["Barn subpanel: busbar 125 A"] < at["Point of connection"] < at["Main panel: busbar 200 A"]
    assert "on the feeder between barn subpanel and main panel" in said(svg)


def test_there_is_one_point_of_connection(one_line):
    assert [box.words for box in text_boxes(one_line)].count("Point of connection") == 1


def test_a_source_is_drawn_on_its_own_panel_and_not_again_where_it_is_counted_further_on():
    words = said(drawn("chain of three"))
    assert words.count("old array in the garage") == 1 and words.count("battery under the stairs") == 1


def test_the_new_breaker_is_the_standard_rating_that_was_found_and_not_the_bare_product():
    found = connected((panel(sources=(new(26.25, 21),)),), inverters=[share(output_a=21)], current_a=21, device_a=30)
    assert "new breaker 30 A" in said(draw_drawings(found)["one-line"])


def test_main_lugs_nearest_the_meter_have_their_service_disconnect_ahead():
    found = connected((panel(main="lugs", main_breaker_a=None, protected_by_a=150),))
    assert "service disconnect: 150 A" in said(draw_drawings(found)["one-line"])


def test_a_house_that_is_not_judged_or_names_no_panel_has_no_diagram():
    plain = HOUSES["one panel, string inverter"]()
    for changed in ({"judged": False}, {"panels": ()}):
        assert "one-line" not in draw_charts(dataclasses.replace(plain, connection=dataclasses.replace(plain.connection, **changed)))


def test_house_text_is_data(recwarn):
    hostile = "--><script>$x$ & Dach"
    found = connected((panel(name=hostile, sources=(old(hostile), new())),),
                      electrical={"sources": [{"name": hostile, "breaker_a": 20}]})
    svg = draw_drawings(found)["one-line"]
    assert "<script" not in svg and "<script>$x$ & Dach" in said(svg)
    assert not recwarn.list
