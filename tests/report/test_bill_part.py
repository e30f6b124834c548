"""The part on the bill, for one house of each kind of tariff: bills that add up, and what the reader is told of them."""

import re
from dataclasses import replace
from decimal import Decimal
from xml.etree import ElementTree

import pytest

from reportgen.bills.result import BillLine, MonthBill, YearBill
from reportgen.report.bill_parts import MOST_WINDOWS, bill_parts, parts_tables
from reportgen.report.charts import draw_charts
from reportgen.report.charts.lettering import PHONE_SIZE, SIZE
from reportgen.report.pages import render_house
from tests.report.bill_houses import BILL_HOUSES, bill_assessed, bill_charts, bill_page_of
from tests.report.test_pages import Read, words_of
from tests.report.text_boxes import SVG, text_boxes, troubles
from tests.report.words import FORBIDDEN

PICTURES = ("bills", "bank", "day", "hours-grid", "bill-years")


@pytest.fixture(params=BILL_HOUSES)
def name(request):
    return request.param


def part_of(name: str) -> str:
    return re.search(r'<section aria-labelledby="bill">.*?</section>', bill_page_of(name), re.DOTALL)[0]


def said(name: str) -> str:
    return words_of(part_of(name))


def tables(name: str) -> dict[str, list[list[str]]]:
    """Caption to rows of cells."""
    found = {}
    for table in re.findall(r"<table.*?</table>", part_of(name), re.DOTALL):
        rows = [[words_of(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)] for row in re.findall(r"<tr.*?</tr>", table, re.DOTALL)]
        found[words_of(re.search(r"<caption>(.*?)</caption>", table, re.DOTALL)[1])] = rows
    return found


def table(name: str, begins: str) -> list[list[str]]:
    return next(rows for caption, rows in tables(name).items() if caption.startswith(begins))


def money(text: str) -> Decimal:
    return Decimal(text.replace("−", "-").replace(",", ""))


@pytest.mark.parametrize("side", ["before", "after"])
def test_each_months_parts_sum_to_its_bill_and_the_months_to_the_year(name, side):
    head, *months, year = table(name, f"The bill {side} in its parts")
    assert len(months) == 12 and head[-1] == "Due"
    for row in months:
        assert sum(map(money, row[1:-1])) == money(row[-1]), row
    for column in range(1, len(head)):
        assert sum(money(row[column]) for row in months) == money(year[column]), head[column]
    assert money(year[-1]) == getattr(bill_assessed(name).bills, side).total


def test_one_month_is_printed_line_by_line_and_adds_up(name):
    lines = table(name, "One month line by line")[1:]
    for side in ("Before", "After"):
        own = [row for row in lines if row[0].startswith(f"{side}: ")]
        assert own[-1][0] == f"{side}: due" and len(own) > 2
        assert sum(money(row[2]) for row in own[:-1]) == money(own[-1][2])
        assert all(row[1] for row in own)


@pytest.mark.parametrize("size", [SIZE, PHONE_SIZE])
def test_no_text_of_a_picture_meets_another_or_a_shape(name, size):
    charts = {key: svg for key, svg in bill_charts(name).items() if key in PICTURES}
    assert {"bills", "day", "hours-grid"} <= set(charts)
    assert {key: troubles(svg, size) for key, svg in charts.items() if troubles(svg, size)} == {}
    assert all(len(svg) < 40_000 for svg in charts.values())


def test_the_part_keeps_the_pages_rules(name):
    html, found = bill_page_of(name), Read(bill_page_of(name))
    assert not [note for note in (" ".join("".join(parts).split()) for parts in found.notes) if len(note.split()) > 25]
    assert not [phrase for phrase in FORBIDDEN if phrase in words_of(html).lower()]
    ids = [attrs["id"] for _, attrs in found.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    assert {attrs["href"][1:] for tag, attrs in found.tags if tag == "a"} <= set(ids)
    assert html.count("<figcaption>") == html.count('class="chart"')


def test_no_empty_row_of_paragraph_and_note_is_left_behind(name):
    assert not re.search(r'<div class="pair">\s*</div>', part_of(name))


def test_the_opening_sentences_give_both_bills_what_is_saved_and_what_stays_due(name):
    found = bill_assessed(name).bills
    opening = words_of(re.search(r'<div class="pair">.*?</div>', part_of(name), re.DOTALL)[0])
    for total in (found.before.total, found.after.total):
        assert f"{abs(float(total)):,.0f}" in opening
    assert "stays due whatever the sun does" in opening and "less" in opening


def test_a_range_follows_the_bill_where_the_hours_move_it_and_only_there():
    assert "as the hours of use fall" in said("time of use")
    for unmoved in ("one-to-one", "sell all", "measured"):
        assert "as the hours of use fall" not in said(unmoved)


def test_under_plain_one_to_one_modelled_hours_do_not_matter_and_that_is_said():
    assert "under this tariff that does not move the bill at all, since only each month’s sums count" in said("one-to-one")
    assert "here that matters" in said("time of use") and "here that matters" not in said("one-to-one")
    assert "each have a meter of their own" in said("sell all")
    assert "in which of the tariff’s hours the use lies does" in said("money bank")


def test_what_the_rule_costs_against_one_to_one_is_told_or_why_not():
    assert "That is what this rule costs against one-to-one" in said("time of use")
    assert "What a kWh sent out is worth hangs on the rule" not in said("one-to-one")
    assert "one-to-one with a bank that is never emptied" in said("one-to-one")


def test_the_best_month_for_emptying_the_bank_is_named():
    found = bill_assessed("yearly reset")
    figure = found.figures["bills.best_reset_month"]
    best, text = figure.label.split(" of ")[-1], said("yearly reset")
    assert "emptied at the end of April" in text
    as_good = float(found.bills.after.total) <= round(figure.low, 2)
    assert ("none leaves less, and the worst" in text) == as_good and (f"({best}) and the worst" in text) == (not as_good)
    assert "Of the twelve months" not in said("one-to-one")


def test_a_bank_has_its_level_month_by_month_in_kwh_or_in_money():
    assert "Left in the bank, kWh" in table("yearly reset", "Twelve months")[0]
    assert "Credit left, USD" in table("money bank", "Twelve months")[0]
    assert any("$" in words for words in (box.words for box in text_boxes(bill_charts("money bank")["bank"])))
    assert any("kWh" in words for words in (box.words for box in text_boxes(bill_charts("yearly reset")["bank"])))


def test_energy_is_shown_by_window_demand_taxes_and_credit_apart():
    assert table("time of use", "The bill after in its parts")[0][1:-1] == [
        "Fixed", "Energy, on-peak", "Energy, mid-peak", "Energy, off-peak", "Energy at all hours", "Taxes", "Credit for sun sent out"]
    assert {"Demand", "Taxes"} <= set(table("demand", "The bill before in its parts")[0])
    assert "Demand before, kW" in table("demand", "Twelve months")[0]


def test_plans_are_compared_and_the_one_taken_is_named():
    rows = table("two plans and a car", "Plans that the house may be billed under")
    plans = bill_assessed("two plans and a car").bills.plans
    assert [row[0] for row in rows[1:]] == [plan.name for plan in plans] == ["Evening plan", "Demand plan"]
    assert [row[4] == "taken here" for row in rows[1:]] == [plan.is_chosen for plan in plans]
    assert all(row[5] == plan.why for row, plan in zip(rows[1:], plans, strict=True))
    assert money(rows[1][1]) == plans[0].first_year.total and money(rows[1][2]) == plans[0].settled.total
    assert "under Flat plan to" in said("two plans and a car")
    assert not any(caption.startswith("Plans that") for caption in tables("demand"))


def test_both_plans_are_told_in_words_where_another_one_comes_with_the_array():
    captions = [caption for caption in tables("two plans and a car") if caption.endswith("in words")]
    assert captions == ["Before: Flat plan, in words", "With the array: Demand plan, in words"]
    assert [caption for caption in tables("one-to-one") if caption.endswith("in words")] == ["the tariff, in words"]


def test_both_bills_are_drawn_over_the_years_where_use_changes():
    assert "bill-years" in bill_charts("two plans and a car") and "bill-years" not in bill_charts("demand")
    years = bill_assessed("two plans and a car").bills.changing_use
    assert years[-1].before > years[0].before
    assert "What becomes of the bill as use changes?" in said("two plans and a car")


def test_measured_hours_are_called_measured_and_what_was_filled_is_counted():
    assert "The hours of use are measured, so the range of a model is not needed." in said("measured")
    assert "2 hours are missing in the file" in said("measured")
    assert "The hours are modelled" not in said("measured")


def test_where_all_is_sold_the_columns_do_not_speak_of_a_grid_meter():
    head = table("sell all", "Twelve months")[0]
    assert "Sun above the use, kWh" in head and "Sent out, kWh" not in head


def test_prices_by_month_and_hour_stand_in_a_table():
    rows = table("sell all", "What a kWh sent out earns")
    assert [row[0] for row in rows[1:]] == ["0 to 15", "15 to 20", "20 to 24"] and len(rows[0]) == 13


def test_a_plans_name_and_lines_are_data():
    found = bill_assessed("time of use")
    nasty = found.house.replaced("tariff.name", "<b>plan</b>")
    tariff = found.bills.counted.today.plan.tariff.model_copy(update={"name": "<b>plan</b>"})
    assert nasty.tariff.name == tariff.name
    lines = tuple(BillLine("<i>line</i>", line.amount, line.kind, "<u>peak</u>") for line in found.bills.after.months[0].lines)
    months = tuple(MonthBill(m.month, lines, sum((line.amount for line in lines), Decimal(0)), 0, 0, 0, 0, 0) for m in found.bills.after.months)
    year = YearBill(months, sum((m.total for m in months), Decimal(0)))
    html = render_house(replace(found, house=nasty, bills=replace(found.bills, after=year, counted=None)), {})
    assert "&lt;i&gt;line" in html and "&lt;u&gt;peak" in html and "&lt;b&gt;plan" in html
    assert not re.search("<i>line|<u>peak|<b>plan", html)


def test_more_windows_than_can_be_told_apart_are_put_together_and_nothing_is_lost():
    lines = tuple(BillLine(f"w{k}", Decimal(k + 1), "energy", f"w{k}") for k in range(7))
    months = tuple(MonthBill(i + 1, lines, Decimal(28), 0, 0, 0, 0, 0) for i in range(12))
    found = bill_assessed("one-to-one").bills
    bills = replace(found, before=YearBill(months, Decimal(336)), after=YearBill(months, Decimal(336)))
    parts = bill_parts(bills)
    assert len(parts) == MOST_WINDOWS and {part.label for part in parts} == {"energy, w6", "energy, w5", "energy, w4", "energy, other hours"}
    for shown in parts_tables(bills, parts):
        assert all(sum(amounts) == due for amounts, due in shown.months)


def test_a_square_is_filled_as_far_as_the_sun_is_used_at_once():
    found = bill_assessed("one-to-one")
    everything = replace(found, bills=replace(found.bills, use_hours_kwh=found.production.hours_kwh + 1.0))
    nothing = replace(found, bills=replace(found.bills, use_hours_kwh=found.production.hours_kwh * 0.0))
    counts = [_squares(draw_charts(each)["hours-grid"]) for each in (everything, nothing)]
    assert counts[0][0] == counts[0][1] > 100
    assert counts[1][0] == 0 and counts[1][1] == counts[0][1]


def _squares(svg: str) -> tuple[int, int]:
    """(Filled, outlined) squares, without the two of the key."""
    paths = list(ElementTree.fromstring(svg).iterfind(SVG + "path"))
    filled = sum(node.get("d").count("M") for node in paths if node.get("fill") == "#332288")
    outlined = sum(node.get("d").count("M") for node in paths if node.get("fill") == "none" and node.get("stroke") == "#332288")
    return filled - 1, outlined - 1
