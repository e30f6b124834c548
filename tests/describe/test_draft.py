"""The drafted file is a house that loads, and says with each key what the models say."""

import re

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen.describe.draft import OPTIONAL, QUESTIONS, DraftError, collect_answers, draft_text
from reportgen.describe.expected import node_at
from reportgen.describe.load import load_house
from reportgen.describe.yaml_reader import read_yaml_text

US = {"report_day": "2026-11-25", "name": "Elm", "town": "Greensboro, NC", "facing": "south-west", "slope": "6:12",
      "annual_kwh": "9000", "price_per_kwh": "0.15", "fixed_per_month": "12", "export": "one-to-one"}
SWEDEN = US | {"town": "Lund, Sweden", "facing": "190", "slope": "30", "export": "net billing", "export_price_per_kwh": "0.4",
               "array_kw": "8", "installed_price": "120,000"}
JAPAN = SWEDEN | {"town": "Kyoto", "currency": "jpy"}
ANSWERS = collect_answers(US)
PLACES = pytest.mark.parametrize("given", [US, SWEDEN, JAPAN], ids=["US", "Sweden", "Japan"])


@PLACES
def test_a_draft_is_a_house(batch, given):
    described = batch.load(draft_text(collect_answers(given)))
    assert described.problems == ()
    house = described.house
    assert house.name == "Elm"
    assert house.report_day.isoformat() == "2026-11-25"
    assert house.finish_day is None
    assert house.use.annual_kwh == 9000
    assert (house.money.currency, house.money.installed_price) == {
        "US": (None, None), "SE": ("SEK", 120000), "JP": ("JPY", 120000)}[house.place.country]


def test_place_roof_and_prices_are_as_answered(batch):
    house = batch.load(draft_text(collect_answers(SWEDEN))).house
    assert (house.place.latitude, house.place.longitude, house.place.time_zone) == (55.7, 13.2, "Europe/Stockholm")
    assert (house.roof[0].facing_deg, house.roof[0].slope_deg) == (190, 30)
    assert (house.tariff.export, house.tariff.export_price_per_kwh) == ("net billing", 0.4)
    assert batch.load(draft_text(collect_answers(US))).house.place.state == "North Carolina"


def _hidden(text):
    return [i for i, line in enumerate(text.splitlines()) if re.match(r" *# [a-z_]+:   # for example ", line)]


@PLACES
def test_every_commented_key_can_be_opened_alone_with_its_example(batch, given):
    lines = draft_text(collect_answers(given)).splitlines()
    hidden = _hidden("\n".join(lines))
    assert len(hidden) > 15
    for i in hidden:
        opened = re.sub(r"# ([a-z_]+:)   # for example ", r"\1 ", lines[i])
        if "leftover_price_per_kwh" in opened:   # means nothing without the month in which it is paid
            opened = "  reset_month: March\n" + opened
        before = lines[:i]
        if "installed_price" in opened:   # a price is for a size
            before = ["array: {array_kw: 8}" if line == "array:" else line for line in before]
        described = batch.load("\n".join([*before, opened, *lines[i + 1:]]))
        assert described.problems == (), opened
        (key,) = re.findall(r"([a-z_]+):", opened)[:1]
        assert any(path.endswith(key) for path in described.where), opened


@PLACES
def test_opening_every_key_without_writing_a_value_says_nothing(batch, given):
    text = draft_text(collect_answers(given))
    lines = text.splitlines()
    for i in _hidden(text):
        lines[i] = lines[i].replace("# ", "", 1)
    assert batch.load("\n".join(lines)).house == batch.load(text).house


def test_comments_are_the_models_own_sentences():
    flat = " ".join(line.strip(" #") for line in draft_text(collect_answers(US)).splitlines() if line.strip().startswith("#"))
    for section, (_, keys, _) in OPTIONAL.items():
        for key, _ in keys:
            path = ("roof", 0, key) if section == "roof" else (section, key)
            assert node_at(path)["description"] in flat


@pytest.mark.parametrize("name", ['a "b"', "a: b", "# a", "{{ x }}", "<b>a</b>", "- a", "NO", "12:30", "a\\nb", "'", "&a", "*a", "!a", "éß"])
def test_any_name_is_quoted_so_that_it_comes_back_as_it_was(batch, name):
    assert batch.load(draft_text(collect_answers(US | {"name": name}))).house.name == name


@settings(max_examples=30, deadline=None)
@given(st.text(min_size=1, max_size=120))
def test_a_name_comes_back_as_it_was_or_is_refused_at_once(name):
    try:
        read = QUESTIONS[0].read(name.strip())
    except DraftError:
        return
    file = read_yaml_text(draft_text(ANSWERS | {"name": read}), "draft")
    assert file.problems == []
    assert file.data["name"] == name.strip()


@pytest.mark.parametrize(("key", "value", "said"), [
    ("name", "", "1 to 120"), ("name", "a\nb", "line break"), ("town", "Xyzzyqq", "no town called"), ("town", "Springfield", "several towns"),
    ("facing", "sout", "the nearest is south"), ("facing", "400", "degrees"), ("slope", "95", "from 0 to 90"), ("slope", "6:10", "rise in 12"),
    ("slope", "x:12", "rise in 12"), ("annual_kwh", "-5", "from 100 to"), ("annual_kwh", "nan", "kWh"), ("annual_kwh", "1,00", "kWh"),
    ("annual_kwh", "much", "kWh"), ("price_per_kwh", "inf", "money per kWh"), ("export", "free", "one-to-one or net billing"),
    ("report_day", "yesterday", "year-month-day"), ("report_day", None, "year-month-day"),
    ("export_price_per_kwh", "5", "no meaning here"), ("name", "House \U0001F3E0", "Latin letters"),
    ("name", "東", "no sign for")])
def test_a_bad_answer_is_one_plain_sentence(key, value, said):
    with pytest.raises(DraftError) as raised:
        collect_answers(US | {key: value})
    assert said in str(raised.value)
    assert "\n" not in str(raised.value)


@pytest.mark.parametrize("key", [q.key for q in QUESTIONS if q.key not in ("currency",)])
def test_a_missing_answer_is_named_where_nobody_can_be_asked(key):
    given = {k: v for k, v in SWEDEN.items() if k != key}
    with pytest.raises(DraftError, match="--" + key.replace("_", "-") + " is missing"):
        collect_answers(given)


def _typing(*answers):
    left = list(answers)
    prompts = []

    def ask(prompt):
        prompts.append(prompt)
        if not left:
            raise EOFError
        return left.pop(0)
    return ask, prompts


def test_what_is_not_given_is_asked_and_a_bad_answer_is_asked_again():
    ask, prompts = _typing("Elm", "Xyzzyqq", "Lund", "south", "30", "9,000", "", "1.5", "50", "net billing", "0.4", "8", "120000")
    answers = collect_answers({"report_day": "2026-11-25"}, ask)
    assert (answers["town"].name, answers["annual_kwh"], answers["currency"]) == ("Lund", 9000, "SEK")
    assert prompts[2].startswith("no town called 'Xyzzyqq' is known")
    assert "[SEK]" in prompts[6]
    assert len(prompts) == 13


def test_in_the_united_states_no_currency_and_no_price_is_asked():
    ask, prompts = _typing("Elm", "Greensboro, NC", "south", "30", "9000", "0.15", "12", "one-to-one")
    collect_answers({"report_day": "2026-11-25"}, ask)
    assert len(prompts) == 8


def test_an_end_of_input_and_endless_bad_answers_end_the_asking():
    with pytest.raises(DraftError, match="no answer to"):
        collect_answers({"report_day": "2026-11-25"}, _typing()[0])
    with pytest.raises(DraftError, match="no answer that can be used"):
        collect_answers({"report_day": "2026-11-25"}, lambda prompt: "")


def test_a_draft_is_plain_yaml_for_any_program(tmp_path):
    text = draft_text(collect_answers(JAPAN))
    assert yaml.safe_load(text)["money"]["currency"] == "JPY"
    path = tmp_path / "elm.yaml"
    path.write_text(text, encoding="utf-8")
    assert load_house(path).problems == ()
