"""What holds for any tariff and any house."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from reportgen.bills.bank import Bank
from reportgen.bills.bill import bill_flows, settled_year
from reportgen.bills.rounding import cents
from reportgen.describe.tariff_rules import rule_on
from tests.bills.any_tariff import PRICE, array_hours, household_hours, rules, tariffs
from tests.bills.billed import flat, flows, settled, year
from tests.bills.hours import in_hours, sun_hours

FEW = settings(max_examples=20, deadline=None)
KWH = st.lists(st.integers(0, 2000), min_size=12, max_size=12)
YEAR_KWH = st.integers(500, 20_000)
SEED = st.integers(0, 50)
NIGHT = np.zeros(8760)
KW = (5.0, 4.0)


@FEW
@given(tariffs(), SEED, YEAR_KWH, YEAR_KWH)
def test_every_bill_is_the_sum_of_its_lines_and_no_bank_is_below_zero(tariff, seed, load, made):
    for bills in settled(tariff, household_hours(seed, load), array_hours(seed, made), KW)[:2]:
        assert bills.total == sum(m.total for m in bills.months)
        for month in bills.months:
            assert month.total == sum((line.amount for line in month.lines), Decimal(0))
            assert all(line.amount == cents(line.amount) for line in month.lines)
            assert min(month.bank_kwh, month.lost_kwh, month.bank_money, month.lost_money, month.billed_kwh) >= 0


@FEW
@given(tariffs(export_rules=rules(lasting=False)), rules(lasting=False), SEED, YEAR_KWH)
def test_the_bill_without_the_sun_does_not_depend_on_the_export_rule(tariff, other, seed, load):
    use = household_hours(seed, load)
    changed = tariff.model_copy(update={"export_rule": flat(export_rule=other).export_rule})
    (bills, bank), (under_other, other_bank) = year(tariff, use, NIGHT), year(changed, use, NIGHT)
    assert [m.lines for m in bills.months] == [m.lines for m in under_other.months]
    assert bank.total_kwh == other_bank.total_kwh == bank.money == other_bank.money == 0


@FEW
@given(tariffs(), PRICE, SEED, YEAR_KWH)
def test_an_array_that_makes_nothing_changes_nothing_but_charges_on_the_array(tariff, price, seed, load):
    plain = tariff.model_copy(update={"array": [], "minimum": None, "taxes": []})
    charged = plain.model_copy(update={"array": flat(array=[{"price_per_kw": price, "rating": "DC"}]).array})
    use = household_hours(seed, load)
    without, _ = year(plain, use, NIGHT)
    assert year(charged, use, NIGHT, array_kw=KW)[0].total - without.total == 12 * cents(Decimal(str(price)) * 5)
    assert year(charged, use, NIGHT)[0].months == without.months


@FEW
@given(tariffs(), SEED, YEAR_KWH, YEAR_KWH)
def test_import_less_export_is_use_less_generation(tariff, seed, load, made):
    use, sun = household_hours(seed, load), array_hours(seed, made)
    counted = flows(tariff, use, sun)
    for period in counted:
        assert period.taken - period.sent == pytest.approx(period.used - period.made, abs=1e-6)
    assert sum(p.used.sum() - p.made.sum() for p in counted) == pytest.approx(use.sum() - sun.sum(), abs=1e-6)
    for period, month in zip(counted, year(tariff, use, sun)[0].months, strict=True):
        assert month.import_kwh - month.export_kwh == pytest.approx((period.used - period.made).sum(), abs=1e-6)


def test_one_hour_with_more_sun_than_use_is_sent_and_another_is_taken():
    use, sun = NIGHT.copy(), NIGHT.copy()
    use[10:12], sun[10:12] = (1.0, 3.0), (2.0, 0.5)
    january = flows(flat(), use, sun)[0]
    assert (january.taken.sum(), january.sent.sum()) == (2.5, 1.0)


@FEW
@given(PRICE, KWH, KWH)
def test_one_to_one_without_fixed_charge_or_reset_saves_the_price_of_what_is_used_or_made(price, load, sun):
    """In the second and every later identical year. Twelve lines, each off by half a cent and 0.05 kWh at most, twice."""
    tariff, bank = flat(price, 0, export_rule={"rule": "one-to-one"}), Bank.empty()
    use, made = in_hours(load, 0, 24), sun_hours(sun)
    before, _ = year(tariff, use, NIGHT)
    for number in range(4):
        after, bank = year(tariff, use, made, bank=bank)
        if number >= 1:
            saved = float(before.total - after.total)
            assert saved == pytest.approx(price * min(sum(load), sum(sun)), abs=24 * (0.005 + 0.05 * price))


@FEW
@given(tariffs(), PRICE, SEED, YEAR_KWH, YEAR_KWH)
def test_a_higher_export_price_never_raises_a_bill(tariff, more, seed, load, made):
    """In any month of the first and the second year, credit carried. A tax that names the minimum alone is left out: credit
    that meets the floor makes that line longer."""
    rule = rule_on(tariff, tariff.export_rule.ends) if tariff.export_rule.ends else tariff.export_rule
    assume(rule.rule in ("net billing", "buy-all sell-all"))
    assume(all(tax.lines is None or "Minimum charge" not in tax.lines for tax in tariff.taxes))
    dearer = rule.model_copy(update={"price_per_kwh": None, "prices": None, "prices_by_month_and_hour": None} | _raised(rule, more))
    use, sun = household_hours(seed, load), array_hours(seed, made)
    bank = dearer_bank = Bank.empty()
    for _ in range(2):
        low, bank = year(tariff, use, sun, KW, bank, rule)
        high, dearer_bank = year(tariff, use, sun, KW, dearer_bank, dearer)
        assert all(h.total <= m.total for h, m in zip(high.months, low.months, strict=True))


def _raised(rule, more):
    if rule.price_per_kwh is not None:
        return {"price_per_kwh": round(rule.price_per_kwh + more, 4)}
    if rule.prices is not None:
        return {"prices": [p.model_copy(update={"price_per_kwh": round(p.price_per_kwh + more, 4)}) for p in rule.prices]}
    return {"prices_by_month_and_hour": [[price + more for price in row] for row in rule.prices_by_month_and_hour]}


@FEW
@given(tariffs(), SEED, YEAR_KWH, YEAR_KWH)
def test_a_settled_year_repeats(tariff, seed, load, made):
    counted = flows(tariff, household_hours(seed, load), array_hours(seed, made))
    _, repeated, growth = settled_year(tariff, counted, KW)
    bank = Bank.empty()
    for _ in range(8):
        later, bank = bill_flows(tariff, counted, KW, bank)
    assert later.total == repeated.total
    assert growth.kwh >= -1e-6
    assert growth.money >= 0
