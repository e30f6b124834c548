"""The pictures: what each shows, that nothing collides, and that a page can carry them."""

from __future__ import annotations

import dataclasses
import re
from xml.etree import ElementTree

import matplotlib
import pytest

from reportgen.report import palette
from reportgen.report.charts import draw_charts
from reportgen.report.charts.lettering import PHONE_SIZE, SIZE, width
from tests.report.built import HOUSES as DEMO
from tests.report.built import assessed
from tests.report.chart_sample import EFFECTS, MONITOR, OLD_ARRAY, STEPS, not_judged, sample
from tests.report.money_houses import every_way
from tests.report.text_boxes import SVG, text_boxes, text_width, troubles

LONG = "the old array on the carport behind the workshop, south-south-west, put up by the owner before last"
HOUSES = {
    "plain": lambda: sample(),
    "tiny array": lambda: sample(year_kwh=310, use_kwh=2600, worth=40, price=900),
    "huge array, five-digit months": lambda: sample(year_kwh=310_000, use_kwh=260_000, worth=31_000, price=280_000),
    "never paid back": lambda: sample(growth=(0.0, 0.1, 0.3)),
    "paid back in the favourable case alone": lambda: sample(growth=(0.2, 0.45, 1.4)),
    "paid back in one year in all cases": lambda: sample(growth=(1.0, 1.0, 1.0)),
    "months without sun": lambda: sample(latitude=69.5, dark_months=(11, 12, 1)),
    "no sun at all in the unfavourable case": lambda: sample(growth=(-0.2, 0.6, 1.0)),
    "Swedish crowns": lambda: sample(currency="SEK", latitude=59.3, worth=15_000, price=184_000, worth_middle=-123_400,
                                     effects=tuple((a, b, c, d, 40 * e, 40 * f) for a, b, c, d, e, f in EFFECTS)),
    "southern": lambda: sample(southern=True),
    "tropics": lambda: sample(latitude=-3.1),
    "bills below zero": lambda: sample(net_billing=True, year_kwh=15_000),
    "sources on the busbar": lambda: sample(busbar_a=225, source_position="beside the main",
                                            sources=[OLD_ARRAY, MONITOR]),
    "many sources with long names": lambda: sample(sources=[{**OLD_ARRAY, "name": LONG}] * 14),
    "no edition known": lambda: sample(edition=None),
    "busbar below its main": lambda: sample(busbar_a=125),
    "a gain on the stair": lambda: sample(steps=(*STEPS[:4], ("Cold air", 1.031), *STEPS[4:])),
    "long words": lambda: sample(effects=[(f"Share of {LONG}", LONG, LONG, LONG, -900, 400), *EFFECTS]),
    "effects on one side": lambda: sample(effects=[("Dirt", "2 %", "0.5 %", "5 %", 700, 200),
                                                   ("Price", "$3", "$4", "$5", -800, -90)]),
    "many windows and every part": lambda: sample(net_billing=True, windows=tuple(f"{LONG} {k}" for k in range(6)), other_parts=True),
    "four windows": lambda: sample(windows=("on-peak", "mid-peak", "off-peak", "night"), other_parts=True),
    "a bank of kWh": lambda: sample(bank_kwh=12_345),
    "a bank of money": lambda: sample(bank_money=0.72, currency="SEK"),
    "use that grows": lambda: sample(use_growth=0.04),
    "use that falls": lambda: sample(use_growth=-0.039, currency="SEK", worth=21_000),
    "five years": lambda: sample(horizon=5),
    "forty years": lambda: sample(horizon=40),
}


@pytest.fixture(scope="module", params=HOUSES)
def charts(request) -> dict[str, str]:
    return draw_charts(HOUSES[request.param]())


@pytest.mark.parametrize("size", [SIZE, PHONE_SIZE])
def test_no_text_leaves_its_sheet_or_meets_another_or_a_shape(charts, size):
    assert {name: troubles(svg, size) for name, svg in charts.items() if troubles(svg, size)} == {}


@pytest.mark.parametrize("size", [SIZE, PHONE_SIZE])
@pytest.mark.parametrize("house", [*DEMO, "every way to pay"])
def test_the_pictures_of_money_keep_their_texts_apart(house, size):
    drawn = draw_charts(every_way() if house == "every way to pay" else assessed(house))
    money = {name: drawn[name] for name in ("ways", "offers", "joint", "movers", "cash") if name in drawn}
    assert len(money) >= 3
    assert {name: troubles(svg, size) for name, svg in money.items() if troubles(svg, size)} == {}


def test_ways_that_end_close_together_keep_their_names_in_the_order_of_their_ends():
    words = _words(draw_charts(every_way())["ways"])
    ways = sorted(every_way().payback.ways_to_pay, key=lambda way: -sum(way.net_by_year[1]))
    names = [way.name[:1].upper() + way.name[1:] for way in ways]
    assert [word for word in words if word in names] == names and "Doing nothing: 0" in words


def test_each_picture_can_stand_in_a_page(charts):
    ids = []
    for svg in charts.values():
        root = ElementTree.fromstring(svg)
        assert (root.get("class"), root.get("role"), root.get("width")) == ("chart", "img", "124mm")
        assert root[0].tag == SVG + "title" and ":" in root[0].text
        assert "style" not in svg and "<g" not in svg and "xlink" not in svg and "metadata" not in svg
        ids += re.findall(r'id="([^"]+)"', svg)
        assert all(used in ids for used in re.findall(r"url\(#([^)]+)\)", svg))
        assert all(node.get("font-size") == f"{SIZE:g}" for node in root.iter(SVG + "text"))
        assert len(svg) < 40_000
    assert len(ids) == len(set(ids))


def test_every_colour_is_one_of_the_palette_so_that_the_dark_scheme_reaches_it(charts):
    for svg in charts.values():
        used = set(re.findall(r'(?:fill|stroke)="(#[^"]+)"', svg))
        assert used <= set(palette.ALL), used
        assert "black" not in svg and "white" not in svg


def test_coloured_text_takes_a_shade_that_small_text_can_bear(charts):
    """4.5:1 on white: WCAG 2.2, success criterion 1.4.3."""
    for svg in charts.values():
        for node in ElementTree.fromstring(svg).iter(SVG + "text"):
            assert _contrast_on_white(node.get("fill")) >= 4.5


def _contrast_on_white(color: str) -> float:
    """WCAG 2.2, definitions of relative luminance and contrast ratio."""
    parts = [int(color[i:i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 1.05 / (0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2] + 0.05)


def test_vermilion_is_too_pale_for_small_text_and_passes_for_shapes():
    assert 3.0 <= _contrast_on_white(palette.USE) < 4.5 <= _contrast_on_white(palette.USE_TEXT)


def test_the_same_house_gives_the_same_bytes():
    assert draw_charts(sample(sources=[OLD_ARRAY])) == draw_charts(sample(sources=[OLD_ARRAY]))


def test_widths_for_the_layout_agree_with_the_fonts_own_advances():
    for words in ("12,400 kWh", "Hours of service", "−$450 a year"):
        for semibold in (False, True):
            assert width(words, 8.4, semibold) == pytest.approx(text_width(words, 8.4, semibold), rel=0.02)


def _words(svg: str) -> list[str]:
    return [box.words for box in text_boxes(svg)]


def _title(svg: str) -> str:
    return ElementTree.fromstring(svg)[0].text


def test_monthly_sets_the_sun_beside_the_use():
    svg = draw_charts(sample())["monthly"]
    assert {"from the sun: 7,120 kWh a year", "used: 9,100 kWh a year", "Jan", "Dec"} <= set(_words(svg))
    assert "7,120 kWh" in _title(svg) and "6,120 to 8,050 kWh" in _title(svg)


def test_a_month_without_sun_has_no_bar_for_it():
    bars = [draw_charts(sample(latitude=60.0, dark_months=months))["monthly"].count('fill="#332288"')
            for months in ((), (11, 12, 1))]
    assert bars[0] - bars[1] == 3


def test_a_year_without_any_sun_still_has_its_pictures_but_no_stair():
    dark = sample()
    none = dataclasses.replace(dark.production, hours_kwh=dark.production.hours_kwh * 0,
                               month_kwh=dark.production.month_kwh * 0, losses=())
    charts = draw_charts(dataclasses.replace(dark, production=none))
    assert set(charts) == {"monthly", "day", "busbar", "bills", "cash", "movers", "one-line"}   # hours-grid too has nothing to show
    assert not any(troubles(svg) for svg in charts.values())


def test_settings_of_the_machine_change_nothing():
    before = draw_charts(sample())
    with matplotlib.rc_context({"hatch.linewidth": 3.0, "svg.fonttype": "path", "lines.scale_dashes": False}):
        assert draw_charts(sample()) == before


def test_the_day_says_which_clock_it_keeps():
    assert any("local standard time" in words for words in _words(draw_charts(sample())["day"]))


@pytest.mark.parametrize(("latitude", "first"), [(36.1, "Winter, Dec to Feb"), (-33.4, "Summer, Dec to Feb"),
                                                 (-3.1, "December to February")])
def test_seasons_turn_over_at_the_equator_and_have_no_name_in_the_tropics(latitude, first):
    assert first in _words(draw_charts(sample(latitude=latitude))["day"])


def test_the_stair_names_every_step_with_its_loss():
    words = _words(draw_charts(sample())["losses"])
    assert {"Shade", "−7.0 %", "Snow on the modules", "0.0 %", "At the meter", "7,120 kWh"} <= set(words)
    assert "+3.1 %" in _words(draw_charts(HOUSES["a gain on the stair"]())["losses"])


def test_the_electrical_pictures_are_left_out_where_nothing_is_judged():
    charts = draw_charts(dataclasses.replace(sample(), connection=not_judged()))
    assert "busbar" not in charts and "one-line" not in charts


def test_cash_tells_the_years_as_a_span_and_says_nominal():
    words = _words(draw_charts(sample())["cash"])
    assert words[0].startswith("Paid back in 9 to 17 years") and any("nominal" in w for w in words)
    assert {"favourable", "middle", "unfavourable", "−$18,400"} <= set(words)
    assert _words(draw_charts(HOUSES["never paid back"]())["cash"])[0] == "Not paid back within 25 years"


def test_movers_come_largest_first_at_most_eight_and_the_rest_is_left_to_the_table():
    words = _words(draw_charts(sample())["movers"])
    labels = [w for w in words if w.partition(": ")[0] in {e[0] for e in EFFECTS}]
    assert len(labels) == 8 and labels[0].startswith("Growth of the electricity price")
    assert not any(w.startswith("Air temperature") for w in words)
    assert {"1.6 %", "3.2 %"} <= set(words)


def test_nothing_that_moves_the_answer_means_no_picture_of_it():
    assert "movers" not in draw_charts(sample(effects=()))
    assert "movers" not in draw_charts(sample(effects=[("Dirt", "2 %", "1 %", "3 %", 0, 0)]))


def test_house_text_is_data(recwarn):
    hostile = '--><script>$x$ & Dach ]]>'
    svg = draw_charts(sample(sources=[{**OLD_ARRAY, "name": hostile}]))["busbar"]
    assert "<script" not in svg and any("<script>" in words and "Dach" in words for words in _words(svg))
    assert not recwarn.list
