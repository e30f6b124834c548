"""Hours of a published tariff, counted by the calendar that every bill is computed with."""

import numpy as np

from reportgen.bills.calendar import bill_calendar, day_kinds
from reportgen.describe import tariff_days as days
from tests.bills.tariffs import river_falls_time_of_day


def test_july_2026_has_264_on_peak_hours():
    """City of River Falls (Wisconsin), "time-of-day rates", 2020-09-29: on-peak 8 to 20 h Monday to Friday except Independence
    Day "or the day designated to be celebrated". July 2026 has 23 weekdays; July 4 is a Saturday, celebrated on Friday
    July 3: 22 days of 12 hours. The count is our own."""
    calendar = bill_calendar(river_falls_time_of_day(), "America/Chicago", -6, 2026)
    assert int(((calendar.window == 0) & (calendar.month == 6)).sum()) == 264
    july = day_kinds(None, 2026)[181:212]
    assert int((july == days.WEEKDAY).sum()) == 23


def test_the_six_holidays_of_2026_take_six_weekdays():
    """The same page names six holidays; in 2026 each lies, or is celebrated, on a weekday."""
    kinds = day_kinds(river_falls_time_of_day().holidays, 2026)
    assert np.flatnonzero(kinds == days.HOLIDAY).tolist() == [days.day_of_year(day) for day in (
        "January 1", "May 25", "July 3", "September 7", "November 26", "December 25")]
