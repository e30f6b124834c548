"""A house's own meter file as its year of use."""

from datetime import date, timedelta

import numpy as np
import pytest

from reportgen.bills.errors import UseError
from reportgen.bills.meter.year import MeterYear
from reportgen.bills.meter_year import METER, read_use, with_readings
from reportgen.bills.months import month_sums
from reportgen.bills.use import use_hours
from reportgen.describe.load import load_house
from tests.bills.weather import plain_year
from tests.describe.conftest import GOOD
from tests.houses import house

YEAR = plain_year()
RNG = np.random.default_rng(5)
TAKEN = RNG.uniform(0.1, 2.0, 8760)


def _readings(first=date(2025, 1, 1), taken=TAKEN, sent=None, year=None):
    """A year of readings whose days are those from `first` on, laid by day of the year; 29 February left out."""
    days = [first + timedelta(days=n) for n in range(366)]
    days = sorted([day for day in days if (day.month, day.day) != (2, 29)][:365], key=lambda day: (day.month, day.day))
    years = [day.year for day in days]
    return MeterYear(taken, sent, year or max(set(years), key=years.count), tuple(days), 2,
                     ("2 hours are missing in the file; the same hour of the days around stands in.",))


def _house(**use):
    return house(use={"annual_kwh": None, "meter_file": {"file": "readings.csv"}, **use})


def test_measured_hours_are_the_use_and_their_year_gives_the_weekdays():
    use = use_hours(_house(), YEAR, _readings())
    assert np.array_equal(use.hours_kwh, TAKEN)
    assert (use.year, use.is_measured, use.self_use_reach) == (2025, True, 0.0)
    assert any("measured by the house's own meter" in note for note in use.notes)
    assert any("2 hours are missing" in note for note in use.notes)


def test_with_its_readings_the_house_knows_its_years_use_and_can_use_more():
    read = with_readings(_house(), _readings())
    assert read.use.year_kwh == pytest.approx(TAKEN.sum())
    more = read.replaced("use", read.use.scaled(1.1))
    assert use_hours(more, YEAR).hours_kwh == pytest.approx(1.1 * TAKEN)
    assert more.use.year_kwh == pytest.approx(1.1 * TAKEN.sum())
    assert more.use.model_dump_json() != read.use.model_dump_json()
    with pytest.raises(ValueError, match="has not been read"):
        _ = _house().use.year_kwh


def test_what_the_house_file_says_of_the_meter_never_reaches_what_is_written_of_the_house():
    read = with_readings(_house(), _readings())
    assert "import_kwh" not in read.model_dump_json()


def test_days_of_two_calendar_years_keep_their_weekdays_and_each_month_its_kwh():
    """October 2024 to September 2025, every day's first hour carrying its true weekday."""
    readings = _readings(date(2024, 10, 1))
    taken = TAKEN.copy().reshape(365, 24)
    taken[:, 0] = [10 + day.weekday() for day in readings.dates]
    read = with_readings(_house(), _readings(date(2024, 10, 1), taken.reshape(-1)))
    assert read.use.calendar_year == 2025
    hours = np.array(read.use.import_kwh)
    assert month_sums(hours) == pytest.approx(month_sums(taken.reshape(-1)), abs=1e-6)
    wanted = np.array([10 + (date(2025, 1, 1) + timedelta(days=d)).weekday() for d in range(365)])
    wrong = np.flatnonzero(hours.reshape(365, 24)[:, 0] != wanted)
    assert len(wrong) <= 3            # one day at the end of each month of 2024
    assert any("stay working days" in note for note in read.use.measured_notes)


def test_a_leap_years_own_weekdays_need_no_moving():
    read = with_readings(_house(), _readings(date(2024, 1, 1)))
    assert read.use.import_kwh == tuple(TAKEN.tolist())


def test_beside_an_existing_array_use_is_import_and_generation_less_export():
    sent = np.where(np.arange(8760) % 24 == 12, 1.0, 0.0)
    made = [100.0] * 12
    use = use_hours(_house(existing_solar={"generated_monthly_kwh": made}), YEAR, _readings(sent=sent))
    assert month_sums(use.hours_kwh) == pytest.approx(month_sums(TAKEN) + 100 - month_sums(sent), abs=1e-6)
    read = with_readings(_house(existing_solar={"generated_monthly_kwh": made}), _readings(sent=sent))
    assert read.use.year_kwh == pytest.approx(use.hours_kwh.sum())
    assert (use.hours_kwh >= TAKEN - 1e-12).all()


@pytest.mark.parametrize(("solar", "sent", "said"), [
    (None, np.ones(8760), "an array was there: what the house uses can't be known"),
    ({"generated_kwh": 4000}, None, "does not hold what was sent out"),
    ({"generated_kwh": 4000}, np.ones(8760), "made 4,000 kWh, but 8,760 kWh were sent out"),
    ({"generated_monthly_kwh": [10] + [900] * 11}, np.ones(8760), "in January the existing array made 10 kWh, but 744 kWh were sent out")])
def test_use_that_can_not_be_known_is_refused(solar, sent, said):
    with pytest.raises(UseError, match=said):
        use_hours(_house(**({"existing_solar": solar} if solar else {})), YEAR, _readings(sent=sent))


def test_a_trace_of_export_where_no_array_is_named_is_left_aside_and_said():
    sent = np.zeros(8760)
    sent[100] = 3.0
    use = use_hours(_house(), YEAR, _readings(sent=sent))
    assert np.array_equal(use.hours_kwh, TAKEN)
    assert any("3.0 kWh sent out" in note for note in use.notes)


def test_a_meter_that_measured_nothing_is_refused():
    with pytest.raises(UseError, match="no use at all"):
        use_hours(_house(), YEAR, _readings(taken=np.zeros(8760)))


def test_a_change_is_added_to_measured_hours():
    change = {"what": "electric car", "begins": "2026-01-01", "kwh_per_year": 2000}
    use = use_hours(_house(changes=[change]), YEAR, _readings())
    assert use.by_year(0).sum() == pytest.approx(TAKEN.sum() + 2000)


def test_a_house_without_a_meter_file_has_nothing_to_read(tmp_path):
    assert read_use(house(), tmp_path) is None


# The file in the batch folder.

METERED = GOOD.replace("annual_kwh: 9000", "meter_file: {file: readings.csv}")


def test_the_meter_file_is_among_what_the_report_was_made_from(tmp_path):
    (tmp_path / METER).mkdir()
    (tmp_path / METER / "readings.csv").write_text("a")
    path = tmp_path / "elm.yaml"
    path.write_text(METERED)
    described = load_house(path)
    assert described.problems == ()
    assert tmp_path / METER / "readings.csv" in described.inputs


def test_a_meter_file_that_is_not_there_is_named_with_its_folder(tmp_path):
    path = tmp_path / "elm.yaml"
    path.write_text(METERED)
    (problem,) = load_house(path).problems
    assert "found 'readings.csv'; there is no such file in meter/ of the batch" in problem.text()


def test_a_csv_of_the_batch_is_read_by_the_houses_own_clock(tmp_path):
    """An hourly CSV of 2023 in New York's standard time, half a kWh each hour but 2 kWh from 18 to 19."""
    (tmp_path / METER).mkdir()
    lines = ["start,kWh"]
    for day in range(365):
        for hour in range(24):
            moment = date(2023, 1, 1) + timedelta(days=day)
            lines.append(f"{moment.isoformat()} {hour:02d}:00,{2.0 if hour == 18 else 0.5}")
    (tmp_path / METER / "readings.csv").write_text("\n".join(lines))
    a_house = house(use={"annual_kwh": None, "meter_file": {"file": "readings.csv", "time_zone": "Etc/GMT+5", "unit": "kWh",
                                                            "stamps": "start"}})
    use = use_hours(a_house, YEAR, read_use(a_house, tmp_path))
    assert use.hours_kwh.reshape(365, 24)[:, 18] == pytest.approx(np.full(365, 2.0))
    assert use.hours_kwh.sum() == pytest.approx(365 * (23 * 0.5 + 2))
