"""What may be written of a house's use, and one sentence for what can't be."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from reportgen.describe.bill_periods import day_of_year
from reportgen.describe.use import Bill, Use


def monthly_bills(first="2025-10-04", count=12, kwh=700.0, days=30):
    """Bills of `days` days each, one after another."""
    begins, bills = date.fromisoformat(first), []
    for number in range(count):
        ends = begins + timedelta(days=days - 1)
        bills.append({"begins": begins.isoformat(), "ends": ends.isoformat(), "kwh": kwh + number})
        begins = ends + timedelta(days=1)
    return bills


def refusal(use: dict) -> str:
    with pytest.raises(ValidationError) as failed:
        Use.model_validate(use)
    messages = [error["msg"] for error in failed.value.errors()]
    assert len(messages) == 1
    return messages[0]


def test_exactly_one_way_to_say_it():
    assert "give one of annual_kwh, monthly_kwh, bills or meter_file" in refusal({"shape": "home by day"})
    assert "give only one of" in refusal({"annual_kwh": 9000.0, "bills": monthly_bills()})


def test_twelve_bills_of_thirty_days_make_a_year_with_five_days_filled_from_those_beside_them():
    use = Use.model_validate({"bills": monthly_bills(kwh=600.0)})
    # 12 bills of 600 to 611 kWh, 360 days; the 5 days before the first carry the mean day of the last and the first.
    assert use.year_kwh == pytest.approx(12 * 600 + 66 + 5 * (611 / 30 + 600 / 30) / 2)


def test_the_latest_twelve_months_count_and_the_oldest_bill_in_part():
    bills = monthly_bills(first="2024-10-09", count=24, kwh=300.0)
    use = Use.model_validate({"bills": bills})
    # The last bill ends on 2026-09-28, so the year begins on 2025-09-29: of bill 11, counted from 0, the last 5 of 30 days are in it.
    assert (bills[11]["begins"], bills[11]["ends"], bills[-1]["ends"]) == ("2025-09-04", "2025-10-03", "2026-09-28")
    assert use.year_kwh == pytest.approx(sum(b["kwh"] for b in bills[12:]) + 311 * 5 / 30)


def test_the_order_of_the_bills_does_not_matter():
    bills = monthly_bills()
    assert Use.model_validate({"bills": bills[::-1]}).year_kwh == Use.model_validate({"bills": bills}).year_kwh


def test_bills_of_two_months_will_do_and_a_leap_day_loses_no_kwh():
    bills = [{"begins": b, "ends": e, "kwh": 1000.0} for b, e in (
        ("2023-11-01", "2023-12-31"), ("2024-01-01", "2024-02-29"), ("2024-03-01", "2024-04-30"), ("2024-05-01", "2024-06-30"),
        ("2024-07-01", "2024-08-31"), ("2024-09-01", "2024-10-31"))]
    assert Use.model_validate({"bills": bills}).year_kwh == pytest.approx(6000)


@settings(max_examples=30, deadline=None)
@given(st.dates(date(2001, 1, 1), date(2090, 1, 1)), st.lists(st.integers(25, 70), min_size=15, max_size=20),
       st.lists(st.integers(0, 3), min_size=20, max_size=20))
def test_every_day_of_the_year_lies_in_exactly_one_period(first, lengths, gaps):
    from reportgen.describe.bill_periods import year_of_bills
    begins, bills = first, []
    for length, gap in zip(lengths, gaps, strict=False):
        bills.append(Bill(begins=begins, ends=begins + timedelta(days=length - 1), kwh=100.0))
        begins += timedelta(days=length + gap)
    taken = year_of_bills(bills)
    assert sorted(day for period in taken.periods for day in period.days) == list(range(365))


def test_an_overlap_names_the_bill_and_the_day_of_the_reading():
    bills = monthly_bills()
    bills[3]["begins"] = bills[2]["ends"]
    assert (f"the bill that begins on {bills[3]['begins']} overlaps the one before, which ends on {bills[2]['ends']}; the day of the "
            "reading belongs to one of the two") in refusal({"bills": bills})


def test_a_gap_of_three_days_is_filled_and_one_of_four_is_refused():
    bills = monthly_bills(count=13)
    bills[4]["begins"] = (date.fromisoformat(bills[4]["begins"]) + timedelta(days=3)).isoformat()
    Use.model_validate({"bills": bills})
    bills[4]["begins"] = (date.fromisoformat(bills[4]["begins"]) + timedelta(days=1)).isoformat()
    assert f"4 days are missing before the bill that begins on {bills[4]['begins']}" in refusal({"bills": bills})


def test_under_335_days_are_refused():
    assert "the bills cover 330 days of the year that ends on 2026-08-29; at least 335 days are expected" in refusal(
        {"bills": monthly_bills(count=11)})
    Use.model_validate({"bills": monthly_bills(count=11, days=31)})   # 341 days


def test_a_bill_that_ends_before_it_begins_is_named():
    bills = monthly_bills()
    bills[5]["ends"] = "2024-01-01"
    assert f"the bill that begins on {bills[5]['begins']} ends on 2024-01-01; a later day is expected" in refusal({"bills": bills})


def test_a_bill_below_zero_needs_an_array_that_sent_power_out():
    bills = monthly_bills()
    bills[8]["kwh"] = -120.0
    assert "below zero needs existing_solar with counts: net" in refusal({"bills": bills})
    use = Use.model_validate({"bills": bills, "existing_solar": {"counts": "net", "generated_kwh": 4000.0}})
    assert use.year_kwh > 4000


def test_use_with_an_existing_array_is_import_plus_generation_less_export():
    taken = {"annual_kwh": 5000.0, "existing_solar": {"counts": "import only", "generated_kwh": 4000.0, "exported_kwh": 2500.0}}
    assert Use.model_validate(taken).year_kwh == 5000 + (4000 - 2500)
    net = {"annual_kwh": 2500.0, "existing_solar": {"counts": "net", "generated_monthly_kwh": [4000.0 / 12] * 12}}
    assert Use.model_validate(net).year_kwh == pytest.approx(2500 + 4000)


@pytest.mark.parametrize(("solar", "said"), [
    ({"counts": "net"}, "can't be known from these kWh alone: the existing array's own kWh are needed"),
    ({"counts": "import only", "generated_kwh": 4000.0}, "can't be known: with counts: import only also write exported_kwh"),
    ({"generated_kwh": 4000.0}, "existing_solar needs counts"),
    ({"counts": "import only", "generated_kwh": 4000.0, "exported_kwh": 4500.0}, "sent out 4,500 kWh but made only 4,000 kWh"),
    ({"counts": "net", "generated_kwh": 4000.0, "exported_kwh": 10.0}, "leave the exported kWh out"),
    ({"counts": "whole use", "generated_kwh": 4000.0}, "nothing is added to the kWh")])
def test_use_that_an_existing_array_hides_is_refused(solar, said):
    assert said in refusal({"annual_kwh": 5000.0, "existing_solar": solar})


@pytest.mark.parametrize(("change", "said"), [
    ({"what": "electric car", "kwh_per_year": -2000.0}, "electric car takes power"),
    ({"what": "somebody leaves", "kwh_per_year": 900.0}, "write -900"),
    ({"what": "other", "kwh_per_year": 0.0}, "changes nothing")])
def test_a_change_has_the_sign_of_what_it_is(change, said):
    assert said in refusal({"annual_kwh": 5000.0, "changes": [{"begins": "2027-04-01", **change}]})


def test_a_meter_file_leaves_nothing_to_be_modelled():
    assert "shape says how hours are modelled" in refusal({"meter_file": {"file": "a.xml"}, "shape": "home by day"})
    assert "leave counts and the exported kWh out" in refusal(
        {"meter_file": {"file": "a.xml"}, "existing_solar": {"counts": "net", "generated_kwh": 4000.0}})


def test_half_as_much_use_is_half_of_every_bill():
    use = Use.model_validate({"bills": monthly_bills(), "existing_solar": {"counts": "net", "generated_kwh": 4000.0}})
    assert use.scaled(0.5).year_kwh == pytest.approx(use.year_kwh / 2)


def test_the_leap_day_goes_with_the_day_before():
    assert day_of_year(date(2024, 2, 29)) == day_of_year(date(2024, 2, 28)) == 58
    assert day_of_year(date(2024, 3, 1)) == day_of_year(date(2023, 3, 1)) == 59
