"""Incentives in a house file: a whole one is read, each slip gets one sentence with its line."""

import pytest

REBATE = """\
incentives:
  - name: city rebate
    kind: rebate
    amount: 2100
    source: the city's page
    read_on: 2026-11-20
"""
AT_END = 13   # lines of the house before it


def _texts(batch, good, written):
    return batch.texts(good + written)


def test_a_rebate_is_read(batch, good):
    house = batch.load(good + REBATE).house
    assert (house.incentives[0].amount, house.incentives[0].paid_in_year, house.incentives[0].taxed) == (2100, 1, "ask")


@pytest.mark.parametrize(("old", "new", "says"), [
    ("amount: 2100", "percent: 130", "percent: found 130; a number (percent) from 0 to 100 is expected"),
    ("amount: 2100", "amount: -5", "amount: found -5; a number (money) from 0 to 1,000,000,000 is expected"),
    ("    source: the city's page\n", "", 'the key source is missing; write source: "the city\'s page on rebates"'),
    ("    read_on: 2026-11-20\n", "", "the key read_on is missing; write read_on: 2026-11-20"),
    ("read_on: 2026-11-20", "read_on: 2026-12-20", "2026-12-20 lies after report_day 2026-11-25"),
    ("kind: rebate", "kind: rebates", "found 'rebates'; one of rebate, credit, certificates at once"),
    ("kind: rebate", "kind: rebates", "certificates per MWh is expected; the nearest is rebate"),
    ("amount: 2100", "amount: 2100\n    percent: 10", "give only one of amount, percent; found amount and percent"),
    ("    amount: 2100\n", "", "give one of amount or percent"),
    ("amount: 2100", "amount: 2100\n    cap: 500", "cap limits a percent; an amount is its own cap"),
    ("amount: 2100", "amount: 2100\n    finished_from: 2027-01-01\n    finished_to: 2026-01-01",
     "2026-01-01 lies before finished_from 2027-01-01; swap the two days"),
    ("amount: 2100", "amount: 2100\n    finished_to: 2150-01-01", "a day between the years 2000 and 2100 is expected"),
    ("amount: 2100", "amount: 2100\n    carry_years: 5", "carry_years belongs to a credit; this is of kind rebate"),
    ("amount: 2100", "amount: 2100\n    years: 5", "years belongs to certificates quarterly and certificates per MWh"),
    ("amount: 2100", "amount: 2100\n    tax_percent: 20", "tax_percent goes with taxed: taxed"),
    ("kind: rebate", "kind: credit", "a credit needs the tax it is taken off; write against: state income tax"),
    ("kind: rebate", "kind: certificates quarterly", "certificates quarterly need years"),
    ("kind: rebate", "kind: certificates per MWh\n    years: 15", "2100 for each MWh is above every price seen"),
    ("amount: 2100\n", "percent: 10\n", None),
    ("kind: rebate\n    amount: 2100", "kind: certificates at once\n    percent: 10", "certificates are paid in money; write amount"),
])
def test_each_slip_gets_one_sentence(batch, good, old, new, says):
    assert old in REBATE
    found = _texts(batch, good, REBATE.replace(old, new))
    assert len(found) == (0 if says is None else 1)
    assert says is None or says in found[0]


def test_a_slip_is_named_with_its_line(batch, good):
    texts = _texts(batch, good, REBATE.replace("amount: 2100", "percent: 130"))
    assert texts[0].startswith(f"elm.yaml:{AT_END + 3}:5: incentives.0.percent: ")


def test_two_of_one_name_are_refused(batch, good):
    entry = REBATE.partition("\n")[2]
    assert "two incentives are called city rebate" in _texts(batch, good, REBATE + entry)[0]


def test_thirteen_are_too_many(batch, good):
    entry = REBATE.partition("\n")[2]
    many = "incentives:\n" + "".join(entry.replace("city rebate", f"rebate {n}") for n in range(13))
    assert "found 13 entries; at most 12 are expected" in _texts(batch, good, many)[0]


def test_certificates_can_not_be_both_kept_and_sold(batch, good):
    sold = REBATE.replace("kind: rebate", "kind: certificates at once") + "money:\n  certificates_kept: true\n"
    assert "money.certificates_kept says that you keep them" in _texts(batch, good, sold)[0]


@pytest.mark.parametrize(("key", "value", "says"), [
    ("federal_tax_owed_per_year", -1, "a number (money a year) from 0"), ("state_tax_owed_per_year", -1, "a number (money a year) from 0"),
    ("property_tax_percent", -1, "a number (percent) from 0 to 100"), ("sales_tax_percent", 140, "a number (percent) from 0 to 100"),
    ("federal_credit_percent", 130, "a number (percent) from 0 to 100"), ("certificate_price_per_mwh", -2, "money per MWh"),
])
def test_a_negative_tax_and_a_credit_over_100_percent_are_refused(batch, good, key, value, says):
    found = _texts(batch, good, f"money:\n  {key}: {value}\n")
    assert len(found) == 1 and says in found[0]


def test_a_finishing_day_in_2150_is_refused(batch, good):
    assert "a day between the years 2000 and 2100 is expected" in _texts(batch, good, "finish_day: 2150-01-01\n")[0]


def test_an_array_is_not_both_exempt_and_taxed(batch, good):
    both = "money:\n  property_tax_exempt: true\npaying:\n  property_tax_per_year: 120\n"
    assert "money.property_tax_exempt says that the array is exempt" in _texts(batch, good, both)[0]


def test_those_of_a_batch_do_not_follow_a_house_to_another_place(batch, good):
    shared = "defaults:\n  place: {latitude: 40.0, longitude: -75.0, country: US}\n" + "".join(
        f"  {line}\n" for line in REBATE.splitlines())
    assert batch.load(good, batch=shared).house.incentives == []
    here = good.replace("place: {latitude: 41.7, longitude: -86.2, country: US}\n", "")
    assert len(batch.load(here, batch=shared).house.incentives) == 1
