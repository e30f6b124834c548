"""Defaults of a batch under its houses, tariffs by name, and paths that stay inside."""

import pytest

from reportgen.describe.batch_file import read_batch

TARIFF = "price_per_kwh: 0.2\nfixed_per_month: 8\nexport: one-to-one\nreset_month: March\n"
HOUSE = "name: Elm\nroof:\n  - {facing: south, slope_deg: 25}\nuse: {annual_kwh: 9000}\n"
SHARED = """\
title: Test Lane
report_day: 2026-11-25
defaults:
  place: {latitude: 41.7, longitude: -86.2, country: US}
  tariff: plan
  losses:
    dirt_percent: 3
    snow_percent: 1
"""


@pytest.fixture
def lane(batch):
    batch.write("batch.yaml", SHARED)
    batch.write("tariffs/plan.yaml", TARIFF)
    return batch


def test_a_house_takes_from_its_batch_what_it_does_not_say(lane):
    described = lane.load(HOUSE + "losses: {snow_percent: 5}\n")
    assert described.problems == ()
    assert (described.house.losses.dirt_percent, described.house.losses.snow_percent) == ([3] * 12, [5] * 12)
    assert described.house.report_day.isoformat() == "2026-11-25"
    assert described.house.tariff.reset_month == "March"


def test_a_merged_value_keeps_the_place_it_came_from(lane):
    where = lane.load(HOUSE + "losses: {snow_percent: 5}\n").where
    assert where["losses.dirt_percent"] == ("batch.yaml", 7, 5)
    assert where["losses.snow_percent"] == ("elm.yaml", 5, 10)
    assert where["tariff.reset_month"] == ("tariffs/plan.yaml", 4, 1)
    assert where["report_day"] == ("batch.yaml", 2, 1)


def test_every_file_read_is_an_input(lane):
    lane.write("weather/town.csv", "x")
    described = lane.load(HOUSE + "weather: {source: file, file: weather/town.csv}\n")
    assert {p.relative_to(lane.folder).as_posix() for p in described.inputs} == {
        "elm.yaml", "batch.yaml", "tariffs/plan.yaml", "weather/town.csv"}


def test_a_list_of_the_house_replaces_the_list_of_the_batch(lane):
    lane.write("batch.yaml", SHARED + "  roof:\n    - {facing: north, slope_deg: 5}\n    - {facing: east, slope_deg: 5}\n")
    described = lane.load(HOUSE)
    assert [face.facing for face in described.house.roof] == ["south"]
    assert "roof.1" not in described.where


@pytest.mark.parametrize(("section", "shared", "own"), [
    ("use", "annual_kwh: 5000", f"monthly_kwh: {[100] * 12}"), ("use", f"monthly_kwh: {[100] * 12}", "annual_kwh: 5000"),
    ("array", "array_kw: 5", "module_count: 12"), ("array", "module_count: 12", "array_kw: 5"),
    ("money", "installed_price: 9000", "price_per_w: 3"), ("money", "price_per_w: 3", "installed_price: 9000"),
    ("tariff", "price_per_kwh: 0.1, fixed_per_month: 1, export: one-to-one, reset_month: March",
     "export: net billing, export_price_per_kwh: 0.04")])
def test_a_house_that_says_it_its_own_way_drops_the_default(batch, good, section, shared, own):
    house = "".join(line for line in good.splitlines(keepends=True))
    if section in ("use", "tariff"):
        start = house.index(f"{section}:")
        rest = house[start:].split("\n")
        block = [rest[0]] + [line for line in rest[1:] if line.startswith(" ")][:3 if section == "tariff" else 1]
        house = house.replace("\n".join(block) + "\n", "")
    house += "array: {array_kw: 4}\n" if section == "money" else ""   # a price is for a size
    described = batch.load(house + f"{section}: {{{own}}}\n", batch=f"defaults:\n  {section}: {{{shared}}}\n")
    assert [p.text() for p in described.problems] == []
    assert f"{section}.{shared.split(':')[0]}" not in described.where or section == "tariff"


def test_a_tariff_named_by_the_house_stands_alone(lane):
    lane.write("tariffs/other.yaml", "price_per_kwh: 0.3\nfixed_per_month: 0\nexport: one-to-one\n")
    described = lane.load(HOUSE + "tariff: other\n")
    assert described.house.tariff.price_per_kwh == 0.3
    assert described.house.tariff.reset_month is None
    assert lane.folder / "tariffs/plan.yaml" not in described.inputs


def test_a_house_may_change_one_line_of_the_shared_tariff(lane):
    tariff = lane.load(HOUSE + "tariff: {price_per_kwh: 0.31}\n").house.tariff
    assert (tariff.price_per_kwh, tariff.fixed_per_month) == (0.31, 8)


def test_nothing_after_a_key_takes_a_default_away(lane):
    assert lane.load(HOUSE + "losses: {dirt_percent: null}\n").house.losses.dirt_percent is None


def test_a_fault_in_the_defaults_is_told_in_the_batch_file(lane):
    lane.write("batch.yaml", SHARED.replace("dirt_percent: 3", "dirt_percent: much").replace("snow_percent", "sno_percent"))
    assert lane.texts(HOUSE) == [
        "batch.yaml:7:5: losses.dirt_percent: found 'much'; one number or a list of twelve numbers (percent) from 0 to 100, January first, is expected",
        "batch.yaml:8:5: losses.sno_percent: 'sno_percent' is not a key here; the nearest is snow_percent"]


def test_a_default_that_a_house_replaces_does_no_harm(lane):
    lane.write("batch.yaml", SHARED.replace("dirt_percent: 3", "dirt_percent: much"))
    assert lane.load(HOUSE + "losses: {dirt_percent: 2}\n").problems == ()


def test_keys_of_the_batch_file(lane):
    lane.write("batch.yaml", SHARED.replace("title", "titel").replace("defaults:", "defaults:\n  name: Elm"))
    assert lane.texts(HOUSE) == [
        "batch.yaml:1:1: titel: 'titel' is not a key here; the nearest is title",
        "batch.yaml:4:3: defaults.name: name belongs in each house file"]


def test_a_batch_file_that_can_not_be_read_does_not_blame_the_house(lane):
    lane.write("batch.yaml", SHARED + "  use: [\n")
    (text,) = lane.texts(HOUSE)
    assert text.startswith("batch.yaml:")


@pytest.mark.parametrize("text", ["- a\n", "x\n", "", "defaults: [a]\n", "title: 5\n", "title: [\n", "\0"])
def test_a_batch_file_of_any_shape_is_a_problem_and_no_crash(lane, text):
    lane.write("batch.yaml", text)
    assert any(t.startswith("batch.yaml") for t in lane.texts(HOUSE))


def test_the_batch_file_alone(lane, tmp_path):
    assert read_batch(lane.folder).title == "Test Lane"
    assert read_batch(tmp_path).path is None


def test_a_fault_in_a_tariff_is_told_in_its_file(lane):
    lane.write("tariffs/plan.yaml", TARIFF.replace("0.2", "dear").replace("fixed_per_month: 8\n", "").replace("March", "NO"))
    assert lane.texts(HOUSE) == [
        "tariffs/plan.yaml:1:1: tariff.price_per_kwh: found 'dear'; a number (money per kWh) from 0 to 1,000,000,000 is expected",
        "tariffs/plan.yaml:1:1: tariff.fixed_per_month: the key fixed_per_month is missing; write fixed_per_month: 12",
        ("tariffs/plan.yaml:3:14: tariff.reset_month: found NO without quotes, which some programs read as yes or no; "
        'write "NO" for text, or true or false')]


@pytest.mark.parametrize("text", ["- a\n", "x\n", "", "a: [\n", "\0", "---\n"])
def test_a_tariff_of_any_shape_is_one_problem(lane, text):
    lane.write("tariffs/plan.yaml", text)
    (found,) = lane.texts(HOUSE)
    assert found.startswith("tariffs/plan.yaml")


def test_a_tariff_that_is_not_there_comes_with_the_nearest(lane):
    assert lane.texts(HOUSE + "tariff: plam\n") == [
        "elm.yaml:5:1: tariff: found 'plam'; there is no tariffs/plam.yaml in the batch; the nearest is plan"]


@pytest.mark.parametrize("name", [
    "../plan", "../../etc/passwd", "/etc/passwd", "..\\..\\plan", "~/plan", "C:\\plan", "//host/share", "a/../../b", "sub/plan"])
def test_a_tariff_outside_its_folder_is_refused_with_file_and_line(lane, name):
    (text,) = lane.texts(HOUSE + f"tariff: '{name}'\n")
    assert text.startswith("elm.yaml:5:1: tariff: found ")
    assert any(word in text for word in ("refused", "without a folder"))


@pytest.mark.parametrize("name", ["../secret.csv", "/etc/passwd", "weather/../../secret.csv", "..\\secret.csv", "~root/x", "C:/x"])
def test_a_weather_file_that_climbs_out_is_refused_with_file_and_line(lane, tmp_path, name):
    (tmp_path / "sites" / "secret.csv").write_text("x")
    described = lane.load(HOUSE + f"weather:\n  source: file\n  file: '{name}'\n")
    (problem,) = described.problems
    assert problem.text().startswith("sites/x/elm.yaml:7:3: weather.file: found ")
    assert "refused" in problem.message
    assert all(p.is_relative_to(lane.folder) for p in described.inputs)


@pytest.mark.parametrize("kind", ["file", "folder"])
def test_a_link_that_leads_out_of_the_batch_is_refused(lane, tmp_path, kind):
    secret = tmp_path / "secret"
    secret.mkdir()
    (secret / "s.csv").write_text("x")
    if kind == "file":
        (lane.folder / "s.csv").symlink_to(secret / "s.csv")
        name = "s.csv"
    else:
        (lane.folder / "weather").symlink_to(secret)
        name = "weather/s.csv"
    (text,) = lane.texts(HOUSE + f"weather: {{source: file, file: {name}}}\n")
    assert "link to a file outside the batch folder and is refused" in text


def test_a_tariff_behind_a_link_out_of_the_batch_is_refused(lane, tmp_path):
    (tmp_path / "t.yaml").write_text(TARIFF)
    (lane.folder / "tariffs/linked.yaml").symlink_to(tmp_path / "t.yaml")
    assert "link to a file outside" in lane.texts(HOUSE + "tariff: linked\n")[0]


def test_a_weather_file_that_is_not_there(lane):
    assert lane.texts(HOUSE + "weather: {source: file, file: no.csv}\n") == [
        "elm.yaml:5:25: weather.file: found 'no.csv'; there is no such file in the batch folder"]


def test_a_whole_tariff_of_the_house_takes_nothing_from_the_batchs(lane):
    tariff = lane.load(HOUSE + "tariff: {price_per_kwh: 0.2, fixed_per_month: 5, export: one-to-one}\n").house.tariff
    assert (tariff.name, tariff.reset_month, tariff.leftover_price_per_kwh) == (None, None, None)


def test_a_house_elsewhere_takes_neither_clock_nor_height_nor_money_from_its_batch(batch):
    shared = ("defaults:\n  place: {town: Marlow Fork, latitude: 36.1, longitude: -79.8, country: \"US\", elevation_m: 250,\n"
              "    time_zone: America/New_York}\n  money: {currency: USD, installed_price: 5000, discount_percent: 5}\n")
    text = ("name: Elsewhere\nreport_day: 2026-11-25\nplace: {latitude: 52.0, longitude: 5.3, country: \"NL\"}\n"
            "roof: [{facing: south, slope_deg: 30}]\nuse: {annual_kwh: 3000}\n"
            "tariff: {price_per_kwh: 0.3, fixed_per_month: 5, export: one-to-one}\n")
    assert any("money.currency" in p.text() for p in batch.load(text, batch=shared).problems)
    described = batch.load(text + "array: {array_kw: 4}\nmoney: {currency: EUR, installed_price: 4000}\n", batch=shared)
    place, money = described.house.place, described.house.money
    assert (place.town, place.elevation_m, place.time_zone) == (None, None, None)
    assert (money.installed_price, money.discount_percent) == (4000, 5)
