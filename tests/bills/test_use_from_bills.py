"""Hours from bills with read dates, with heating and cooling by the house's own weather, and beside an existing array."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.bills.clock import household_clock
from reportgen.bills.errors import UseError
from reportgen.bills.shapes import laid_out, shapes
from reportgen.bills.use import use_hours
from reportgen.bills.weather_use import heating_weights
from reportgen.describe.assumptions import complete
from reportgen.describe.bill_periods import day_of_year
from tests.bills.weather import plain_year
from tests.houses import house

CLOCK = household_clock("America/New_York", -5, 2023)
YEAR = plain_year()


def _use(place=None, **use):
    return use_hours(house(place=place or {}, use={"annual_kwh": None, **use}), YEAR)


def _month_sums(hours):
    return np.bincount(CLOCK.month, hours)


def _bills(lengths, first=date(2025, 10, 4)):
    bills, begins = [], first
    for number, length in enumerate(lengths):
        bills.append({"begins": begins.isoformat(), "ends": (begins + timedelta(days=length - 1)).isoformat(),
                      "kwh": 700.0 + 10 * number})
        begins += timedelta(days=length)
    return bills


def _sum_of(hours, bill):
    """kWh from a bill's first day to its last, by the household's clock."""
    first, last = date.fromisoformat(bill["begins"]), date.fromisoformat(bill["ends"])
    days = [day_of_year(first + timedelta(days=n)) for n in range((last - first).days + 1)]
    return hours[np.isin(CLOCK.day, days)].sum()


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0, 5000), min_size=12, max_size=12).filter(lambda m: sum(m) > 1),
       st.sampled_from(["evening peak", "home by day", "European household"]),
       st.sampled_from(["electric", "heat pump", "other", None]), st.sampled_from([True, False, None]), st.floats(-30, 40))
def test_months_are_kept_whatever_warms_and_cools_the_house(months, shape, heating, cooling, mean_c):
    a_house = house(use={"annual_kwh": None, "monthly_kwh": months, "shape": shape, "heating": heating, "cooling": cooling})
    use = use_hours(a_house, plain_year(mean_c=mean_c))
    assert use.hours_kwh.min() >= 0
    assert _month_sums(use.hours_kwh) == pytest.approx(months, abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(28, 33), min_size=12, max_size=12).filter(lambda n: 355 <= sum(n) <= 365),
       st.dates(date(2022, 3, 1), date(2022, 12, 28)), st.sampled_from(["electric", "heat pump", None]), st.booleans())
def test_each_bills_hours_sum_to_its_kwh_from_read_day_to_read_day(lengths, first, heating, cooling):
    bills = _bills(lengths, first)
    use = _use(bills=bills, heating=heating, cooling=cooling)
    assert use.hours_kwh.min() >= 0
    for bill in bills:
        assert _sum_of(use.hours_kwh, bill) == pytest.approx(bill["kwh"], abs=1e-6)


def test_a_bill_with_a_leap_day_keeps_its_kwh_on_its_other_days():
    bills = _bills([31, 30, 31, 30, 31, 30, 30, 30, 31, 30, 31, 31], date(2023, 9, 1))   # to 2024-08-31, 366 days
    use = _use(bills=bills)
    assert (bills[5]["begins"], bills[5]["ends"]) == ("2024-02-01", "2024-03-01")
    for bill in bills:
        assert _sum_of(use.hours_kwh, bill) == pytest.approx(bill["kwh"], abs=1e-6)


def test_bills_say_which_twelve_months_were_taken_and_how_many_days_were_filled():
    use = _use(bills=_bills([30] * 12))
    assert any("from 2025-09-29 to 2026-09-28" in note for note in use.notes)
    assert any("No bill covers 5 days of the year: they carry the mean day" in note for note in use.notes)


def test_where_heating_is_electric_the_cold_hours_of_a_month_use_more():
    months = [1500, 1300, 1000, 700, 500, 450, 450, 450, 500, 700, 1000, 1400]
    plain, heated = (_use(monthly_kwh=months, heating=heating).hours_kwh for heating in (None, "electric"))
    january = slice(0, 31 * 24)
    cold = np.argsort(YEAR.air_c[january])[:100]
    assert heated[january][cold].sum() > 1.05 * plain[january][cold].sum()


def test_bills_made_of_a_base_and_degree_hours_give_all_three_back():
    """Made by hand: 12 kWh a day by the shape, 0.2 kW for each degree below 18 °C, 0.1 kW for each above 21 °C."""
    base = laid_out("evening peak", False, CLOCK)
    by_hand = 12 * base + 0.2 * np.maximum(18 - YEAR.air_c, 0) + 0.1 * np.maximum(YEAR.air_c - 21, 0)
    use = _use(monthly_kwh=[float(kwh) for kwh in _month_sums(by_hand)], shape="evening peak", heating="electric", cooling=True)
    assert use.hours_kwh == pytest.approx(by_hand, rel=1e-6)
    assert any("least squares" in note and "below 18 °C" in note and "above 21 °C" in note for note in use.notes)


def test_bills_that_do_not_grow_with_the_cold_show_no_heating():
    use = _use(monthly_kwh=[500, 480, 500, 520, 600, 700, 800, 800, 650, 550, 500, 500], heating="electric")
    assert any("about 0 kWh for heating" in note for note in use.notes)


def test_a_heat_pump_takes_more_for_each_degree_when_it_is_colder():
    cold, mild = heating_weights(np.array([-10.0, 8.0]), "heat pump")
    assert cold / mild > 28 / 10            # degrees below 18
    assert heating_weights(np.array([-10.0, 8.0, 25.0]), "electric") == pytest.approx([28, 10, 0])


def test_of_a_years_sum_alone_two_fifths_stay_the_base():
    use = _use(annual_kwh=3000, heating="electric", cooling=True)
    base = laid_out("evening peak", False, CLOCK)
    assert use.hours_kwh.sum() == pytest.approx(3000)
    assert (use.hours_kwh / base).min() == pytest.approx(0.4 * 3000 / base.sum(), rel=1e-6)
    assert any("how much is assumed" in note for note in use.notes)


def test_the_european_household_is_the_german_standard_profile():
    """Profile H25 of 2025 as carried in demandlib 0.2.2 (MIT), before its yearly curve: of a January workday's 2,476.4 the first
    four quarter-hours have 20.126, 18.915, 17.959 and 17.202; a January Sunday has 2,903.0."""
    table, source = shapes()["European household"]
    assert table[0, 0, 0] / table[0, 0].sum() == pytest.approx((20.126 + 18.915 + 17.959 + 17.202) / 2476.4, rel=1e-4)
    assert table[0, 2].sum() / table[0, 0].sum() == pytest.approx(2903.0 / 2476.4, rel=1e-4)
    assert "MIT" in source


def test_the_european_households_year_has_its_own_seasons():
    months = _month_sums(_use(annual_kwh=3600, shape="European household").hours_kwh)
    assert months.sum() == pytest.approx(3600)
    assert months[0] > 1.15 * months[6]     # January against July


def test_a_house_in_europe_is_taken_to_use_power_as_european_households_do():
    abroad = house(place={"country": "NL", "latitude": 52.1, "longitude": 5.3, "time_zone": "Europe/Amsterdam"},
                   money={"currency": "EUR", "price_per_w": 1.4})
    assert complete(abroad)[0].use.shape == "European household"
    assert complete(house())[0].use.shape == "evening peak"
    metered = house(use={"annual_kwh": None, "meter_file": {"file": "a.xml"}})
    assert complete(metered)[0].use.shape is None


def test_the_days_on_which_clocks_change_have_23_and_25_hours():
    """2023 in New York: clocks were put forward on 12 March and back on 5 November."""
    counts = np.bincount(CLOCK.day)
    assert counts[day_of_year(date(2023, 3, 12))] == 23
    assert counts[day_of_year(date(2023, 11, 5))] == 25
    assert counts.sum() == 8760
    assert list(CLOCK.hour[CLOCK.day == day_of_year(date(2023, 3, 12))][:4]) == [0, 1, 3, 4]
    assert list(CLOCK.hour[CLOCK.day == day_of_year(date(2023, 11, 5))][:4]) == [0, 1, 1, 2]


def test_a_leap_year_gives_its_own_weekdays_without_29_february():
    clock = household_clock("Etc/GMT+5", -5, 2024)
    first_of_march = clock.day == day_of_year(date(2024, 3, 1))
    assert set(clock.weekday[first_of_march]) == {date(2024, 3, 1).weekday()}
    assert len(clock.day) == 8760
    assert list(np.bincount(clock.month)[1:3]) == [28 * 24, 31 * 24]


# An array that was there already.

def test_use_is_what_was_taken_and_what_was_made_less_what_was_sent_out():
    solar = {"counts": "import only", "generated_monthly_kwh": [200] * 12, "exported_monthly_kwh": [150] * 12}
    use = use_hours(house(place={"time_zone": "Etc/GMT+5"}, use={"annual_kwh": None, "monthly_kwh": [400] * 12,
                                                                "existing_solar": solar}), YEAR)
    assert np.bincount(household_clock("Etc/GMT+5", -5, 2023).month, use.hours_kwh) == pytest.approx([450] * 12, abs=1e-6)
    assert any("kWh sent out = 5,400 kWh" in note for note in use.notes)
    assert any("bill without any array" in note for note in use.notes)


def test_net_bills_below_zero_in_summer_come_back_as_use():
    """Use of 500 kWh a month, an array that makes 900 kWh in July: the net bill says −400."""
    made = [300, 400, 500, 600, 700, 800, 900, 800, 600, 500, 300, 200]
    bills = [{"begins": f"2025-{m:02d}-01", "ends": f"2025-{m:02d}-{d}", "kwh": 500.0 - kwh} for m, d, kwh in zip(
        range(1, 13), (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31), made, strict=True)]
    use = use_hours(house(place={"time_zone": "Etc/GMT+5"}, use={"annual_kwh": None, "bills": bills, "existing_solar": {
        "counts": "net", "generated_monthly_kwh": made}}), YEAR)
    assert np.bincount(household_clock("Etc/GMT+5", -5, 2023).month, use.hours_kwh) == pytest.approx([500] * 12, abs=1e-6)


def test_a_net_bill_and_a_years_generation_that_can_not_belong_together_are_refused():
    """A December bill of −900 kWh, while 1,200 kWh were made in the whole year."""
    bills = _bills([30] * 12)
    bills[2]["kwh"] = -900.0
    with pytest.raises(UseError, match="which can't be"):
        _use(bills=bills, existing_solar={"counts": "net", "generated_kwh": 1200})


def test_a_meter_file_that_was_not_read_is_no_year_of_use():
    with pytest.raises(UseError, match="has not been read"):
        _use(meter_file={"file": "a.xml"})
