"""What follows from the roof's sun where the house file leaves the size open."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.describe.assumptions import complete
from reportgen.sizing import dc_kw, module_total, most_modules, resized, size
from tests.houses import house


def _sized(yields, **changed):
    filled, _ = complete(house(**changed))
    return size(filled, lambda _, face: yields[face])


def _face(**more):
    return {"facing": "south", "slope_deg": 30, "shade_percent": 0, **more}


def test_the_default_module_has_400_w():
    """Common practice, no source."""
    assert _sized([500]).house.array.module_w == 400


def test_without_a_size_the_array_covers_the_years_use():
    sized = _sized([500], use={"annual_kwh": 9100})
    assert module_total(sized.house) == 19   # 9,100 / 500 = 18.2, rounded up
    assert sized.assumptions[0].path == "array.module_count"


OPEN = {"fire_access": {"apply": False, "reason": "a test"}}


def _small(**more):
    """4 × 2 upright modules of 1.134 × 1.722 m, 20 mm apart, take 4.596 × 3.464 m; lying 2 × 3."""
    return _face(width_m=4.6, depth_m=3.5, edge_margin_m=0.0, **more)


def test_the_size_is_capped_by_what_the_drawing_holds():
    sized = _sized([500], roof=[_small()], use={"annual_kwh": 9100}, building=OPEN)
    assert module_total(sized.house) == most_modules(sized.house) == 8
    assert "as far as the faces hold them" in sized.assumptions[0].source


def test_ways_for_the_fire_service_come_off_the_size():
    """4.6 m less a pathway of 0.91 m leaves three columns, 3.5 m less 0.91 m at the ridge one row upright or two lying."""
    sized = _sized([500], roof=[_small()], use={"annual_kwh": 9100})
    assert module_total(sized.house) == 4


def test_the_sunniest_face_is_filled_first():
    sized = _sized([300, 500], roof=[_small(), _small(facing="west")], use={"annual_kwh": 5000}, building=OPEN)
    assert [face.module_count for face in sized.house.roof] == [4, 8]   # (5,000 − 8 × 500) / 300 = 3.3


def test_a_written_number_is_put_where_there_is_room():
    sized = _sized([300, 500], roof=[_small(), _face(width_m=2.3, depth_m=3.5, edge_margin_m=0.0)],
                   array={"module_count": 12}, building=OPEN)
    assert [face.module_count for face in sized.house.roof] == [8, 4]


def test_a_written_size_is_left_alone():
    sized = _sized([500], array={"module_count": 11})
    assert module_total(sized.house) == 11
    assert all(a.path != "array.module_count" for a in sized.assumptions)
    assert dc_kw(sized.house) == pytest.approx(4.4)


def test_a_data_sheet_current_gives_the_inverters_power():
    sized = _sized([500], array={"module_count": 20, "inverter_a": 32.0})
    assert sized.house.array.inverter_kw == pytest.approx(7.68)   # 32 A × 240 V


def test_no_dollar_price_is_assumed_outside_the_united_states():
    place = {"latitude": 52.0, "longitude": 5.3, "country": "NL"}
    sized = _sized([400], place=place, money={"currency": "EUR", "installed_price": 5000}, array={"module_count": 9})
    units = {a.path: a.unit for a in sized.assumptions}
    assert units["money.inverter_replacement"] == "EUR"
    assert units["money.upkeep_per_kw_year"] == "EUR/kW"
    assert sized.house.money.inverter_replacement == pytest.approx(500)


@given(total=st.integers(1, 200), first=st.integers(1, 40), second=st.integers(0, 40))
def test_a_resized_array_has_exactly_the_wanted_modules(total, first, second):
    faces = [_face(module_count=first), _face(facing="west", module_count=second)]
    changed = resized(house(roof=faces), total)
    assert module_total(changed) == total
    assert all(face.module_count >= 0 for face in changed.roof)
