"""Modules, inverters and losses as the house file may describe them, and what is refused in plain words."""

import pytest
from pydantic import ValidationError

from reportgen.describe.assumptions import complete
from tests.houses import house

FACES = [{"name": name, "facing": name, "slope_deg": 30} for name in ("east", "west")]


def _refused(**changed):
    with pytest.raises(ValidationError) as error:
        house(**changed)
    return str(error.value)


def test_an_inverter_needs_its_limit_and_no_more():
    found = house(array={"inverters": [{"limit_kw": 5}]}).array.inverters[0]
    assert (found.name, found.count, found.faces) == ("inverter", 1, None)


@pytest.mark.parametrize(("array", "said"), [
    ({"inverters": [{"limit_kw": 5}], "inverter_kw": 5}, "give only one of inverters, inverter_kw"),
    ({"inverters": [{"limit_kw": 5}], "inverter_a": 21}, "give only one of inverters, inverter_a"),
    ({"inverters": [{"limit_kw": 5}], "conversion": "module-level"}, "write unit_limit_w"),
    ({"unit_limit_w": 290}, "unit_limit_w belongs to conversion: module-level"),
    ({"unit_limit_w": 290, "inverter_kw": 5, "conversion": "module-level"}, "give only one of inverter_kw, unit_limit_w"),
    ({"module_voc_v": 30, "module_vmp_v": 31}, "the first is never the smaller"),
    ({"module_isc_a": 10, "module_imp_a": 11}, "the first is never the smaller"),
    ({"module_long_mm": 1000, "module_short_mm": 1700}, "the first is never the smaller"),
    ({"module_w": 400, "module_vmp_v": 31, "module_imp_a": 10}, "is 310 W and module_w 400"),
    ({"module": "a brand"}, "mono 400 W"),
])
def test_what_contradicts_itself_is_refused(array, said):
    assert said in _refused(array=array)


@pytest.mark.parametrize(("inverters", "said"), [
    ([{"limit_kw": 3, "faces": ["north"]}], 'names a face "north"; the roof has east, west'),
    ([{"limit_kw": 3, "faces": ["east"]}], 'no inverter takes the face "west"'),
    ([{"limit_kw": 3, "faces": ["east", "west"]}, {"limit_kw": 3}], "has no face left"),
    ([{"limit_kw": 3, "faces": ["east", "east", "west"]}], "names a face twice"),
])
def test_every_face_has_an_inverter_and_every_inverter_a_face(inverters, said):
    assert said in _refused(roof=FACES, array={"inverters": inverters})


def test_a_face_without_modules_needs_no_inverter():
    bare = [FACES[0] | {"module_count": 5}, FACES[1] | {"module_count": 0}]
    assert house(roof=bare, array={"inverters": [{"limit_kw": 3, "faces": ["east"]}]}).array.inverters


def test_faces_that_inverters_name_have_names_of_their_own():
    twins = [FACES[0], FACES[0]]
    assert "several faces are called so" in _refused(roof=twins, array={"inverters": [{"limit_kw": 3, "faces": ["east"]}]})


def test_no_efficiency_is_assumed_where_every_inverter_has_its_own():
    def paths(*inverters):
        return [a.path for a in complete(house(array={"inverters": list(inverters)}))[1]]
    assert "array.inverter_efficiency_percent" not in paths({"limit_kw": 3, "efficiency_percent": 97})
    assert "array.inverter_efficiency_percent" in paths({"limit_kw": 3, "efficiency_percent": 97}, {"limit_kw": 2})


SNOW = {"source": "the airport station (invented)", "snow_in": [4] * 12, "snow_days": [1] * 12,
        "relative_humidity_percent": 70}
RAIN = {"source": "the airport station (invented)", "percent_per_dry_day": 0.1, "rainy_days": [5] * 12}


@pytest.mark.parametrize(("losses", "said"), [
    ({"snowfall": SNOW, "snow_percent": 3}, "give only one of snow_percent, snowfall"),
    ({"dirt_buildup": RAIN, "dirt_percent": 3}, "give only one of dirt_percent, dirt_buildup"),
    ({"snowfall": SNOW | {"snow_cm": [10] * 12}}, "give only one of snow_cm, snow_in"),
    ({"snowfall": {k: v for k, v in SNOW.items() if k != "snow_in"}}, "give one of snow_cm or snow_in"),
])
def test_a_loss_is_said_one_way_alone(losses, said):
    assert said in _refused(losses=losses)


def test_measured_snow_and_a_build_up_take_the_place_of_assumptions():
    completed, made = complete(house(losses={"snowfall": SNOW, "dirt_buildup": RAIN}))
    assert completed.losses.snow_percent is completed.losses.dirt_percent is None
    assert not {"losses.snow_percent", "losses.dirt_percent"} & {a.path for a in made}


def test_one_assumed_number_stands_for_all_months():
    completed, made = complete(house())
    assert completed.losses.dirt_percent == [2.0] * 12
    assert next(a for a in made if a.path == "losses.dirt_percent").value == 2


def test_measured_snow_without_its_source_is_asked_for_it(batch, good):
    text = good + ("losses:\n  snowfall:\n    snow_cm: [9,9,9,0,0,0,0,0,0,0,0,9]\n    snow_days: [1,1,1,0,0,0,0,0,0,0,0,1]\n"
                   "    relative_humidity_percent: 70\n")
    (said,) = batch.texts(text)
    assert "losses.snowfall.source: the key source is missing" in said


def test_snow_as_eleven_months_is_counted(batch, good):
    (said,) = batch.texts(good + f"losses: {{snow_percent: {[1] * 11}}}\n")
    assert said.endswith("losses.snow_percent: found 11 months; twelve are expected, January first")
