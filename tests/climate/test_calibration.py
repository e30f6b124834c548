"""What is known of the sun nearby sets the level of the year, within limits, by the rule that `calibration` states."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from reportgen.chain import assess
from reportgen.climate.calibration import calibrated, modelled_kwh
from reportgen.climate.errors import ClimateError
from reportgen.climate.read import read_year
from tests.houses import house

ARRAY = {"power_kw": 6.2, "azimuth_deg": 200, "slope_deg": 25, "year": 2024}


@pytest.fixture(scope="module")
def plain():
    return read_year(house(), None)


def described(*arrays, level=None, **changed):
    return house(weather={"nearby_arrays": list(arrays), "annual_horizontal_kwh_m2": level}, **changed)


@pytest.fixture(scope="module")
def usual_kwh(plain):
    """What the model says of the array nearby."""
    asked = described(ARRAY | {"year_kwh": 1})
    return modelled_kwh(asked.weather.nearby_arrays[0], asked, plain)


def with_ratio(usual_kwh, ratio, **changed):
    return ARRAY | {"year_kwh": ratio * usual_kwh} | changed


def test_without_anything_known_the_year_is_the_very_same(plain):
    assert calibrated(plain, house()) is plain


def test_one_array_moves_the_sun_by_its_weight_and_narrows_the_range(plain, usual_kwh):
    """By hand: sigma of the calibration √(3.9² + 5²) = 6.341 %; weights 1/8.5² and 1/6.341² give 0.358 and 0.642;
    ratio 1.10 moves the sun by 6.42 %; sigma 1/√(1/8.5² + 1/6.341²) = 5.083 %."""
    year = read_year(described(with_ratio(usual_kwh, 1.10)), None)
    assert year.ghi_w_m2.sum() / plain.ghi_w_m2.sum() == pytest.approx(1.0642, abs=2e-4)
    assert year.weather_sigma == pytest.approx(0.05083, abs=2e-5)
    assert year.year_to_year_sigma == plain.year_to_year_sigma
    assert "calibrated nearby" in year.name


def test_the_calibration_is_printed_as_such(usual_kwh):
    year = read_year(described(with_ratio(usual_kwh, 1.10, name="the school")), None)
    (figure,) = [f for f in year.figures if f.key == "climate.calibration"]
    assert figure.value == pytest.approx(106.42, abs=0.02) and figure.low < figure.value < figure.high
    for words in ("the school made", "in 2024", "ratio 1.100", "0.36 × 1.000 + 0.64 × 1.100 = 1.064"):
        assert words in figure.formula, words
    assert any("the school made" in note and "8.5 % to 5.1 %" in note for note in year.notes)


def test_a_second_year_of_one_array_tells_less_than_a_second_array_in_a_second_year(plain, usual_kwh):
    one = with_ratio(usual_kwh, 1.0)
    sigma = {key: read_year(described(*arrays), None).weather_sigma for key, arrays in {
        "one": (one,), "its second year": (one, one | {"year": 2023}),
        "another, same year": (one, one | {"name": "another"}),
        "another, another year": (one, one | {"name": "another", "year": 2023})}.items()}
    assert sigma["one"] > sigma["its second year"] > sigma["another, another year"]
    assert sigma["one"] > sigma["another, same year"] > sigma["another, another year"]


def test_a_known_year_on_level_ground_counts_with_4_percent(plain):
    """By hand: weights 1/8.5² and 1/4² give 0.181 and 0.819; sigma 3.619 %."""
    level = 1.05 * plain.ghi_w_m2.sum() / 1000
    year = read_year(described(level=level), None)
    assert year.ghi_w_m2.sum() / plain.ghi_w_m2.sum() == pytest.approx(1 + 0.05 * 0.8187, abs=2e-4)
    assert year.weather_sigma == pytest.approx(0.03619, abs=2e-5)


def test_what_agrees_with_the_year_leaves_the_sun_and_narrows_the_range_all_the_same(plain, usual_kwh):
    year = read_year(described(with_ratio(usual_kwh, 1.0), level=plain.ghi_w_m2.sum() / 1000), None)
    assert np.allclose(year.ghi_w_m2, plain.ghi_w_m2, rtol=1e-9)
    assert year.weather_sigma < 0.035


@pytest.mark.parametrize("ratio", [0.7, 1.3])
def test_a_ratio_that_no_sky_explains_is_refused_with_what_to_check(usual_kwh, ratio):
    with pytest.raises(ClimateError, match=rf"a ratio of {ratio:.2f}.*Check power_kw"):
        read_year(described(with_ratio(usual_kwh, ratio)), None)
    with pytest.raises(ClimateError, match="a whole year on level ground"):
        read_year(described(level=600), None)


def test_the_houses_own_shade_losses_and_size_say_nothing_of_the_neighbours_array(usual_kwh):
    entry = with_ratio(usual_kwh, 1.1)
    plain_house = read_year(described(entry), None)
    other = read_year(described(entry, losses={"dirt_percent": 20}, array={"module_count": 3},
                                roof=[{"facing": "north", "slope_deg": 40, "shade_percent": 60}]), None)
    assert np.array_equal(plain_house.ghi_w_m2, other.ghi_w_m2)


def test_the_report_has_the_calibrated_sun_the_narrower_range_and_the_figure(usual_kwh):
    asked = described(with_ratio(usual_kwh, 1.1))
    before, after = assess(house(), read_year(house(), None)), assess(asked, read_year(asked, None))
    assert after.figures["climate.calibration"].value > 100
    per_kw = [a.production.specific_yield for a in (before, after)]
    assert per_kw[1].value > per_kw[0].value * 1.04
    assert (per_kw[1].high - per_kw[1].low) / per_kw[1].value < (per_kw[0].high - per_kw[0].low) / per_kw[0].value


def test_a_sure_source_moves_less_than_an_unsure_one(plain, usual_kwh):
    asked = described(with_ratio(usual_kwh, 1.1))
    sure, unsure = (calibrated(replace(plain, weather_sigma=s), asked).ghi_w_m2.sum() for s in (0.02, 0.12))
    assert plain.ghi_w_m2.sum() < sure < unsure < 1.1 * plain.ghi_w_m2.sum()
