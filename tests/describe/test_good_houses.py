"""What a house file without faults gives."""

from pathlib import Path

import pytest

from reportgen.describe.assumptions import complete
from reportgen.describe.load import load_house, slug_of

DEMO = Path(__file__).parents[2] / "sites"


def test_the_needed_facts_alone_make_a_house(batch, good):
    described = batch.load(good)
    assert described.problems == ()
    assert described.house.roof[0].facing_deg == 180.0
    assert described.house.use.year_kwh == 9000
    assert described.needed() is described.house


def test_the_house_is_as_said_and_the_assumptions_are_listed_beside_it(batch, good):
    described = batch.load(good)
    assert described.house.array.module_w is None
    assert described.assumptions == complete(described.house)[1] != ()


def test_every_value_knows_its_place(batch, good):
    where = batch.load(good).where
    assert where["name"] == ("elm.yaml", 1, 1)
    assert where["place.longitude"] == ("elm.yaml", 3, 25)
    assert where["roof.0"] == ("elm.yaml", 5, 5)
    assert where["roof.0.slope_deg"] == ("elm.yaml", 6, 5)
    assert where["tariff.export"] == ("elm.yaml", 12, 3)


def test_a_section_of_comments_alone_says_nothing(batch, good):
    described = batch.load(good + "electrical:\n  # busbar_a: 200\nmoney:\n")
    assert described.house.electrical.busbar_a is None
    assert "electrical" not in described.where


def test_html_and_template_marks_in_quotes_pass_as_they_are(batch, good):
    name = "<b onclick='x()'>Elm</b> {{ 7 * 7 }} & co"
    described = batch.load(good.replace("name: Elm", f'name: "{name}"'))
    assert described.problems == ()
    assert described.house.name == name


@pytest.mark.parametrize(("written", "kwh"), [("9e3", 9000), ("9000.0", 9000), ("+9000", 9000), (".5e4", 5000), ("9.0E+3", 9000)])
def test_decimal_numbers_are_read_in_every_usual_spelling(batch, good, written, kwh):
    assert batch.load(good.replace("9000", written)).house.use.annual_kwh == kwh


def test_a_whole_number_with_an_exponent_is_whole(batch, good):
    assert batch.load(good + "array: {module_count: 2e1}\n").house.array.module_count == 20


def test_a_byte_order_mark_is_no_fault(batch, good):
    assert batch.load(b"\xef\xbb\xbf" + good.encode()).problems == ()


def test_windows_line_ends_are_no_fault(batch, good):
    assert batch.load(good.replace("\n", "\r\n").encode()).problems == ()


def test_one_number_of_shade_stands_for_twelve_months(batch, good):
    assert batch.load(good.replace("slope_deg: 25", "slope_deg: 25\n    shade_percent: 4")).house.roof[0].shade_percent == [4.0] * 12


def test_days_stay_days_and_codes_stay_text(batch, good):
    house = batch.load(good.replace("country: US", 'country: "NO"').replace("use:", "array: {array_kw: 6}\nmoney: {currency: NOK, installed_price: 1e5}\nuse:")).house
    assert house.place.country == "NO"
    assert house.report_day.isoformat() == "2026-11-25"


def test_slugs_are_plain_ascii():
    assert slug_of(Path("sites/x/São Paulo, n.º 2.yaml")) == "sao-paulo-n-o-2"
    assert slug_of(Path("東京.yaml")) == "house"
    assert slug_of(Path("../../<script>.yaml")) == "script"


@pytest.mark.parametrize("path", sorted(p for p in DEMO.glob("*/*.yaml") if p.name != "batch.yaml"), ids=lambda p: p.stem)
def test_the_houses_that_come_with_the_project_are_without_faults(path):
    assert load_house(path).problems == ()
