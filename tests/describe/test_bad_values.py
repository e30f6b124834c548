"""Values that can't be: each is named with its line and column, what was found and what is expected."""

import math

import pytest
from pydantic import ValidationError

from reportgen.describe.models import House
from reportgen.describe.problems import HouseFileError
from reportgen.describe.sentences import sentence


def test_a_wrong_type_is_told_with_unit_and_range(batch, good):
    assert batch.texts(good.replace("slope_deg: 25", "slope_deg: steep")) == [
        "elm.yaml:6:5: roof.0.slope_deg: found 'steep'; a number of degrees from 0 to 90 is expected"]


def test_latitude_95_does_not_exist(batch, good):
    assert batch.texts(good.replace("41.7", "95")) == [
        "elm.yaml:3:9: place.latitude: found 95; a number of degrees from -90 to 90 is expected"]


def test_negative_use_is_refused(batch, good):
    assert batch.texts(good.replace("9000", "-5")) == [
        "elm.yaml:8:3: use.annual_kwh: found -5; a number of kWh from 100 to 1,000,000 is expected"]


def test_one_negative_month_is_found_in_its_place(batch, good):
    months = "[300, 300, 300, 300, 300, 300, 300, 300, 300, 300, -1, 300]"
    assert batch.texts(good.replace("annual_kwh: 9000", f"monthly_kwh: {months}")) == [
        "elm.yaml:8:67: use.monthly_kwh.10 (November): found -1; a number of kWh, at least 0, is expected"]


def test_eleven_months_are_counted(batch, good):
    assert batch.texts(good.replace("annual_kwh: 9000", f"monthly_kwh: {[300] * 11}")) == [
        "elm.yaml:8:3: use.monthly_kwh: found 11 months; twelve are expected, January first"]


@pytest.mark.parametrize("written", [".nan", ".NaN", ".inf", "-.inf"])
def test_what_is_no_number_is_refused(batch, good, written):
    assert batch.texts(good.replace("9000", written)) == [
        (f"elm.yaml:8:15: use.annual_kwh: found {written}, which is no number to reckon with; write a number, "
        "or leave the key out if it is not known")]


@pytest.mark.parametrize("written", ["nan", "NaN", "inf", "Infinity"])
def test_words_for_no_number_are_text(batch, good, written):
    assert batch.texts(good.replace("9000", written)) == [
        f"elm.yaml:8:3: use.annual_kwh: found '{written}'; a number of kWh from 100 to 1,000,000 is expected"]


def test_a_number_that_overflows_is_refused(batch, good):
    assert "too long or too large" in batch.texts(good.replace("9000", "1e999"))[0]
    assert "too long or too large" in batch.texts(good.replace("9000", "9" * 5000))[0]


@pytest.mark.parametrize(("written", "hint"), [
    ("12 kWh", ": write the number alone, 12"), ('"9000"', ": write 9000 without the quotes"), ("9,000", ": write 9000"),
    ("90%", ": write the number alone, 90"), ("true", ""), ("[1]", "")])
def test_numbers_in_disguise_come_with_the_remedy(batch, good, written, hint):
    (text,) = batch.texts(good.replace("9000", written))
    assert text.startswith("elm.yaml:8:3: use.annual_kwh: found ")
    assert text.endswith("is expected" + hint)


def test_an_unknown_key_comes_with_the_nearest(batch, good):
    assert batch.texts(good + "electrical: {buzbar_a: 200}\n") == [
        "elm.yaml:13:14: electrical.buzbar_a: 'buzbar_a' is not a key here; the nearest is busbar_a"]


def test_a_key_without_its_unit_comes_with_both_spellings(batch, good):
    assert batch.texts(good.replace("slope_deg: 25", "slope_deg: 25\n    width: 9")) == [
        "elm.yaml:7:5: roof.0.width: 'width' is not a key here; the nearest is width_m or width_ft"]


def test_a_key_in_the_wrong_section_is_sent_to_the_right_one(batch, good):
    assert batch.texts(good + "busbar_a: 200\n") == [
        "elm.yaml:13:1: busbar_a: 'busbar_a' is not a key here; it belongs to electrical"]


def test_a_key_like_no_other_gets_the_list(batch, good):
    (text,) = batch.texts(good.replace("annual_kwh: 9000", "annual_kwh: 9000\n  qqq: 1"))
    assert text == ("elm.yaml:9:3: use.qqq: 'qqq' is not a key here; the keys are annual_kwh, monthly_kwh, "
                    "bills, meter_file, shape, heating, cooling, existing_solar, changes")


def test_a_misspelt_needed_key_is_one_problem_and_not_two(batch, good):
    assert batch.texts(good.replace("tariff:", "tarif:")) == [
        "elm.yaml:9:1: tarif: 'tarif' is not a key here; the nearest is tariff"]


def test_a_missing_key_is_told_at_its_section_with_an_example(batch, good):
    assert batch.texts(good.replace("  fixed_per_month: 12\n", "")) == [
        "elm.yaml:9:1: tariff.fixed_per_month: the key fixed_per_month is missing; write fixed_per_month: 12"]


def test_a_needed_key_with_nothing_after_it_is_told_at_the_key(batch, good):
    assert batch.texts(good.replace("9000", "").replace("annual_kwh", "annual_kwh").replace("price_per_kwh: 0.15", "price_per_kwh:")) == [
        "elm.yaml:7:1: use: give one of annual_kwh, monthly_kwh, bills or meter_file",
        "elm.yaml:10:3: tariff.price_per_kwh: nothing is written after price_per_kwh; write price_per_kwh: 0.16"]


def test_a_choice_lists_the_choices_and_the_nearest(batch, good):
    assert batch.texts(good.replace("one-to-one", "one to one")) == [
        "elm.yaml:12:3: tariff.export: found 'one to one'; one of one-to-one, net billing is expected; the nearest is one-to-one"]


def test_a_number_in_quotes_where_a_choice_of_numbers_stands(batch, good):
    assert batch.texts(good + 'electrical: {service_v: "240"}\n') == [
        "elm.yaml:13:14: electrical.service_v: found '240'; one of 240, 208 is expected: leave the quotes out, 240"]


def test_an_edition_in_quotes_or_of_a_year_in_which_none_came_out(batch, good):
    assert batch.texts(good + 'electrical: {edition: "2020"}\n') == [
        ("elm.yaml:13:14: electrical.edition: found '2020'; an edition of the Code such as 2017, 2020 or 2023 is expected: "
        "write 2020 without the quotes")]
    assert "three years" in batch.texts(good + "electrical: {edition: 2021}\n")[0]


def test_a_text_that_is_too_long_is_measured(batch, good):
    assert batch.texts(good.replace("Elm", "E" * 500)) == [
        "elm.yaml:1:1: name: found a text of 500 characters; a text of 1 to 120 characters is expected"]


def test_an_empty_text_and_a_text_of_the_wrong_kind(batch, good):
    assert batch.texts(good.replace("Elm", '""')) == [
        "elm.yaml:1:1: name: found an empty text; a text of 1 to 120 characters is expected"]
    assert batch.texts(good.replace("Elm", "12")) == ["elm.yaml:1:1: name: found 12; a text of 1 to 120 characters is expected"]


def test_a_country_in_words_is_asked_for_as_code(batch, good):
    assert batch.texts(good.replace("country: US", "country: usa")) == [
        'elm.yaml:3:43: place.country: found \'usa\'; a code of two capital letters in quotes, such as "US", is expected']


@pytest.mark.parametrize(("written", "said"), [
    ("25/11/2026", "a day is written year-month-day"), ("20261125", "a day is written year-month-day"),
    ('"2026-W48-3"', "a day is written year-month-day"), ("2026-02-30", "there is no such day"),
    ("1026-11-25", "between the years 2000 and 2100")])
def test_days_that_are_none(batch, good, written, said):
    (text,) = batch.texts(good.replace("2026-11-25", written))
    assert text.startswith("elm.yaml:2:1: report_day: found ")
    assert said in text


def test_two_ways_to_say_one_thing_are_not_both_taken(batch, good):
    assert batch.texts(good.replace("facing: south", "facing: south\n    azimuth_deg: 180")) == [
        "elm.yaml:5:5: roof.0: give only one of facing, azimuth_deg; found facing and azimuth_deg"]


def test_outside_the_united_states_price_and_currency_are_asked_for(batch, good):
    assert batch.texts(good.replace("country: US", "country: SE")) == [
        ("elm.yaml:3:43: outside the United States also write money.currency and money.installed_price or money.price_per_w: "
        "no price is assumed there")]


def test_a_section_of_the_wrong_shape(batch, good):
    texts = batch.texts(good.replace("place: {latitude: 41.7, longitude: -86.2, country: US}", "place: Lund")
                        .replace("roof:\n  - facing: south\n    slope_deg: 25", "roof: {facing: south}"))
    assert texts == [
        "elm.yaml:3:1: place: found 'Lund'; a section with keys such as latitude, longitude, country below it is expected",
        'elm.yaml:4:1: roof: found a section with the keys facing; a list, each entry starting with "- ", is expected']


def test_a_roof_without_faces_and_one_with_too_many(batch, good):
    face = "  - facing: south\n    slope_deg: 25\n"
    assert batch.texts(good.replace("\n" + face, " []\n")) == ["elm.yaml:4:1: roof: found 0 entries; at least 1 is expected"]
    assert batch.texts(good.replace(face, face * 25)) == ["elm.yaml:4:1: roof: found 25 entries; at most 24 are expected"]


def test_shade_out_of_range_is_one_problem_and_not_twelve(batch, good):
    assert batch.texts(good.replace("slope_deg: 25", "slope_deg: 25\n    shade_percent: 150")) == [
        ("elm.yaml:7:5: roof.0.shade_percent: found 150; one number or a list of twelve numbers (percent) from 0 to 100, "
        "January first, is expected")]


def test_all_problems_of_a_file_at_once_each_in_its_place(batch, good):
    bad = (good.replace("41.7", "95").replace("slope_deg: 25", "slope_deg: steep").replace("9000", "-5")
           .replace("fixed_per_month: 12", "fixed_per_month: 012").replace("name: Elm", "name: Elm\nname: Oak"))
    assert [text.split(": ")[0] + " " + text.split(": ")[1] for text in batch.texts(bad + "array: {modul_w: 400}\n")] == [
        "elm.yaml:2:1 name", "elm.yaml:4:9 place.latitude", "elm.yaml:7:5 roof.0.slope_deg", "elm.yaml:9:3 use.annual_kwh",
        "elm.yaml:12:20 tariff.fixed_per_month", "elm.yaml:14:9 array.modul_w"]


def test_needed_raises_one_error_with_all_problems(batch, good):
    with pytest.raises(HouseFileError) as raised:
        batch.load(good.replace("41.7", "95").replace("9000", "-5")).needed()
    assert len(raised.value.problems) == 2
    assert str(raised.value).count("\n") == 1


def _failures(data):
    with pytest.raises(ValidationError) as raised:
        House.model_validate(data)
    return raised.value.errors()


def test_no_wording_of_the_validator_comes_through():
    """Every kind of fault that data can have, against the phrases the library itself would use."""
    odd = [None, True, 3, -1, 1e12, math.nan, math.inf, "x", "", "y" * 200, [], [1] * 11, [1] * 13, ["a"] * 12, {}, {"a": 1}, 1.5]
    shape = {"place": ("latitude", "country", "state"), "use": ("annual_kwh", "monthly_kwh", "shape"),
             "tariff": ("price_per_kwh", "read_on", "reset_month"), "array": ("module_count", "array_kw"),
             "electrical": ("edition", "sources", "busbar_a"), "money": ("currency", "inverter_years")}
    kinds = set()
    for value in odd:
        data = {section: dict.fromkeys(keys, value) for section, keys in shape.items()} | {"name": value, "roof": [
            {"facing": value, "slope": value, "shade_percent": value}], "report_day": value}
        for error in [*_failures(data), *_failures(dict.fromkeys((*shape, "roof", "what"), value))]:
            kinds.add(error["type"])
            said = sentence(error, tuple(error["loc"]), True)
            assert error["msg"] not in said
            assert not any(word in said for word in ("Input should", "valid ", "dictionary", "Value error", "items", "pydantic"))
    assert len(kinds) >= 15, kinds


PANEL = "electrical: {busbar_a: 200, main_breaker_a: 200, edition: 2020}\n"


@pytest.mark.parametrize(("more", "said"), [
    (PANEL + "array: {array_kw: 12, inverter_kw: 11.4, inverter_a: 4.8}\n", "array.inverter_a 4.8 A at 240 V makes 1.15 kW"),
    ("money: {installed_price: 19400}\n", "needs the size it is for"),
    ("array: {array_kw: 8}\nmoney: {installed_price: 19.4}\n", "write thousands without a point or comma"),
])
def test_slips_that_would_turn_the_answer_are_refused(batch, good, more, said):
    (text,) = batch.texts(good + more)
    assert said in text


def test_cents_for_dollars_are_refused_in_the_united_states_alone(batch, good):
    (text,) = batch.texts(good.replace("price_per_kwh: 0.15", "price_per_kwh: 14.8"))
    assert "looks like cents" in text


def test_a_data_sheets_rounding_is_no_slip(batch, good):
    assert batch.texts(good + PANEL + "array: {array_kw: 8, inverter_kw: 7.6, inverter_a: 32}\n") == []
