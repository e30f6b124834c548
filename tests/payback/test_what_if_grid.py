"""What if, as plain tables: every cell is what the chain gives for a house with those facts."""

from dataclasses import replace

import pytest

from reportgen.bills.plans import price_factors
from reportgen.payback.cases import case_bills
from reportgen.payback.cash import worth
from reportgen.payback.what_if_grid import USES, what_if_grid
from tests.payback.chained import counted, plans_of


@pytest.fixture(scope="module")
def found():
    house = counted(money={"installed_price": 14_000.0, "price_growth_percent": 2.0})
    return house, what_if_grid(house.house, house.plans, house.cases, house.rule, house.plans_if)


def test_four_growths_three_prices_two_rules_three_uses(found):
    _, grid = found
    assert (len(grid.growths), len(grid.prices), len(grid.tables)) == (4, 3, 6)
    assert all(len(table.rows) == 4 and all(len(row) == 3 for row in table.rows) for table in grid.tables)
    assert grid.growths == ("0 % a year", "1.4 % a year", "2 % a year", "3 % a year")


@pytest.mark.parametrize(("table", "row", "column"), [(0, 0, 0), (1, 2, 1), (2, 3, 2), (3, 1, 0), (5, 2, 2)])
def test_a_cell_is_what_a_house_file_with_those_facts_gives(found, table, row, column):
    """Growth, price, use and rule written into the house, its bills counted anew hour by hour."""
    house, grid = found
    growth, price = (0.0, 1.4, 2.0, 3.0)[row], 14_000.0 * (0.9, 1.0, 1.1)[column]
    base = house.house if table < 3 else house.rule.low
    written = base.replaced("use", base.use.scaled(USES[table % 3])).replaced("money.price_growth_percent", growth)
    written = written.replaced("money.installed_price", price)
    direct = worth(written, house.production, plans_of(written))
    cell = grid.tables[table].rows[row][column]
    assert cell.net_present_value == pytest.approx(direct.net_present_value, abs=1e-6)
    fast, slow = (year or 99 for year in cell.payback_years)
    assert fast <= (direct.simple_payback_years or 99) <= slow


def test_one_cell_is_the_house_as_it_is(found):
    house, grid = found
    (stated,) = [cell for table in grid.tables for row in table.rows for cell in row if cell.is_as_stated]
    assert stated.net_present_value == pytest.approx(worth(house.house, house.production, house.plans).net_present_value, abs=1e-9)


def test_dearer_is_never_worth_more_nor_paid_back_sooner(found):
    _, grid = found
    for table in grid.tables:
        for row in table.rows:
            worths = [cell.net_present_value for cell in row]
            assert worths == sorted(worths, reverse=True)
            for end in (0, 1):
                years = [cell.payback_years[end] or 99 for cell in row]
                assert years == sorted(years)


def test_without_a_rule_to_fear_there_are_three_tables():
    house = counted(tariff={"export": "net billing", "export_price_per_kwh": 0.05})
    assert len(what_if_grid(house.house, house.plans, house.cases, house.rule, house.plans_if).tables) == 3


def test_every_kwh_scales_with_use_exactly():
    """Netting use × u against sun is u times netting use against sun / u: held against a house that uses u times as much."""
    house = counted(tariff={"export": "net billing", "export_price_per_kwh": 0.05}, use={"annual_kwh": 9000})
    for factor in (0.85, 1.3):
        direct = house.house.replaced("use", house.house.use.scaled(factor))
        scaled = case_bills(house.house, house.plans, replace(house.middle, use_factor=factor, used_at_once_shift=0.03))
        anew = case_bills(direct, plans_of(direct), replace(house.middle, used_at_once_shift=0.03))
        prices = price_factors(house.house, 2.0)
        for mine, theirs in ((scaled.before, anew.before), (scaled.after, anew.after)):
            assert mine.bills(prices).total == pytest.approx(theirs.bills(prices).total, rel=1e-9)
