"""Dirt and snow by month, by rain days, and by measured snow."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.describe.equipment import Losses
from reportgen.production.chain import MONTH_STARTS, produce
from reportgen.production.dirt_and_snow import dirt_months, snow_months
from tests.production.years import face, filled, greensboro

FEW = settings(max_examples=20, deadline=None)
SNOW = {"source": "a station (invented)", "snow_cm": [40, 30, 20, 5, 0, 0, 0, 0, 0, 0, 5, 25],
        "snow_days": [5, 4, 3, 1, 0, 0, 0, 0, 0, 0, 1, 4], "relative_humidity_percent": 70}
RAIN = {"percent_per_dry_day": 0.1, "rainy_days": [4] * 12, "source": "invented"}


def _made(roof=None, **losses):
    return produce(filled(roof=[roof or face()], losses=losses), greensboro())


@pytest.mark.parametrize("key", ["dirt_percent", "snow_percent"])
def test_one_number_is_twelve_equal_months(key):
    one, twelve = (_made(**{key: value}) for value in (4.0, [4.0] * 12))
    assert np.array_equal(one.hours_kwh, twelve.hours_kwh)
    assert all(not step.month_percent for step in one.losses)


@FEW
@given(month=st.integers(0, 11), more=st.floats(0.1, 90), key=st.sampled_from(["dirt_percent", "snow_percent"]))
def test_more_in_a_month_lowers_that_months_hours_and_no_other(month, more, key):
    before, after = [3.0] * 12, [3.0] * 12
    after[month] += more
    less, base = (_made(**{key: months}).hours_kwh for months in (after, before))
    hours = np.zeros(8760, dtype=bool)
    hours[MONTH_STARTS[month]:(MONTH_STARTS[month + 1] if month < 11 else 8760)] = True
    assert np.array_equal(less[~hours], base[~hours])
    assert (less[hours] <= base[hours]).all()
    assert less[hours].sum() < base[hours].sum()


def test_months_that_differ_are_told_one_by_one_and_weigh_by_their_light():
    months = [8.0, 6.0, 2.0] + [0.0] * 8 + [5.0]
    step = next(s for s in _made(snow_percent=months).losses if s.key == "snow")
    assert step.month_percent == pytest.approx(months)
    assert 0 < 1 - step.factor < np.mean(months) / 100      # dim months carry the snow


def test_no_snow_measured_is_no_loss():
    none = SNOW | {"snow_cm": [0] * 12, "snow_days": [0] * 12}
    assert np.array_equal(_made(snowfall=none).hours_kwh, _made(snow_percent=0).hours_kwh)


def test_inches_and_centimetres_are_the_same_snow():
    inches = {k: v for k, v in SNOW.items() if k != "snow_cm"} | {"snow_in": [cm / 2.54 for cm in SNOW["snow_cm"]]}
    assert _made(snowfall=inches).hours_kwh == pytest.approx(_made(snowfall=SNOW).hours_kwh, rel=1e-9)


def test_snow_slides_off_a_steep_face():
    flat, steep = (1 - next(s.factor for s in _made(face(slope_deg=slope), snowfall=SNOW).losses if s.key == "snow")
                   for slope in (10, 50))
    assert flat > steep > 0


def test_each_face_has_its_own_snow():
    house = filled(roof=[face(slope_deg=10), face(slope_deg=50)], losses={"snowfall": SNOW})
    sun, air = np.full(12, 100.0), np.full(12, 0.0)
    low, high = (snow_months(house, f, sun, air) for f in house.roof)
    assert (low >= high).all() and low[0] > high[0]


@FEW
@given(month=st.integers(0, 11), cm=st.floats(1, 200))
def test_more_measured_snow_never_loses_less(month, cm):
    more = SNOW | {"snow_cm": [v + (cm if i == month else 0) for i, v in enumerate(SNOW["snow_cm"])],
                   "snow_days": [max(v, 1) for v in SNOW["snow_days"]]}
    base = SNOW | {"snow_days": more["snow_days"]}
    less, kept = (_made(snowfall=snow).hours_kwh for snow in (more, base))
    assert (less <= kept + 1e-12).all()
    assert (less >= 0).all()


def test_a_month_without_sun_loses_nothing_to_snow():
    house = filled(losses={"snowfall": SNOW})
    sun = np.array([0.0] + [50.0] * 11)
    assert snow_months(house, house.roof[0], sun, np.full(12, -5.0))[0] == 0.0


def test_the_paper_and_the_station_are_named():
    step = next(s for s in _made(snowfall=SNOW).losses if s.key == "snow")
    assert "Townsend" in step.source and "a station (invented)" in step.source
    assert len(step.month_percent) == 12


def _dirt(**changed):
    return dirt_months(Losses.model_validate({"dirt_buildup": RAIN | changed}))


def test_a_dry_place_rests_at_the_cap():
    assert _dirt(rainy_days=[0] * 12, highest_percent=5.0) == pytest.approx([0.05] * 12)


def test_rain_every_day_leaves_nothing():
    assert _dirt(rainy_days=[31] * 12) == pytest.approx([0.0] * 12)


def test_one_rain_a_month_leaves_half_a_months_growth():
    """By arithmetic: from 0 to about 30 days at 0.1 %, so about 1.5 % in the mean."""
    assert _dirt(rainy_days=[1] * 12) == pytest.approx([0.015] * 12, abs=0.001)


def test_a_dry_summer_grows_dirtier_and_a_cleaning_helps():
    rain = [6, 6, 6, 4, 0, 0, 0, 0, 0, 4, 6, 6]
    left, cleaned = _dirt(rainy_days=rain), _dirt(rainy_days=rain, cleaned_in=["August"])
    assert (np.diff(left[4:9]) > 0).all()
    assert cleaned[7] < left[7] - 0.05
    assert np.array_equal(cleaned[:7], left[:7])


@FEW
@given(month=st.integers(0, 11), rain=st.lists(st.integers(0, 28), min_size=12, max_size=12))
def test_one_more_cleaning_never_makes_any_month_dirtier(month, rain):
    from reportgen.describe.fields import MONTHS
    left, cleaned = _dirt(rainy_days=rain), _dirt(rainy_days=rain, cleaned_in=[MONTHS[month]])
    assert (cleaned <= left + 1e-12).all()


def test_the_build_up_takes_the_place_of_the_assumption():
    house = filled(losses={"dirt_buildup": RAIN})
    assert house.losses.dirt_percent is None
    step = next(s for s in produce(house, greensboro()).losses if s.key == "dirt")
    assert "0.1 % more with each dry day" in step.reason and "Kimber" in step.source
