"""What a bought system earns over 25 years, in three cases, and what the same money would do in a deposit."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from reportgen.bills.bank import keeps_kwh
from reportgen.bills.plans import HousePlans
from reportgen.bills.result import Bills
from reportgen.describe.assumptions import row_for
from reportgen.describe.models import House
from reportgen.figures import Figure, show, show_number
from reportgen.interconnection.result import Way
from reportgen.payback.cases import (
    HORIZON_YEARS,
    NO_EXTRA,
    CaseBills,
    CaseInputs,
    CashColumns,
    at_price,
    case_bills,
    cash_case,
    cash_columns,
    output_by_year,
    refit_year,
    replacement_years,
    three_cases,
)
from reportgen.payback.do_nothing import do_nothing
from reportgen.payback.holding import not_counted
from reportgen.payback.incentives import credit_not_counted, find_incentives, incentive_notes
from reportgen.payback.life_cycle import life_cycle_figures
from reportgen.payback.present_value import present_value
from reportgen.payback.result import CashCase, Payback
from reportgen.payback.solve import crossing
from reportgen.payback.ways import ways_to_pay
from reportgen.production.result import Production
from reportgen.sizing import dc_kw, module_total

GROWTHS_PERCENT = (-1.0, 0.0, 1.0, 3.0, 4.0)   # beside the middle; 4 % is above every outlook seen
GROWTH_WARNING_PERCENT = 4.0
BREAK_EVEN_WITHIN = (-10.0, 15.0)             # the growths that a house file may hold
MONEY_BASIS = "All money is nominal: each year in that year's own prices."
METHOD = "net cash by year: bill without − bill with the sun, less what owning costs, plus incentives"


def pay_back(house: House, production: Production, bills: Bills, assumed_paths: frozenset[str] = frozenset(),
             way: Way | None = None) -> Payback:
    """Cash by year for a system paid at once, all money nominal.

    assumed_paths: paths of the house that were not said but assumed; an assumed price widens the range.
    way: the way to connect whose price, where it has one, is paid on top.
    """
    extra = way.price if way is not None and way.price is not None else NO_EXTRA
    inputs = three_cases(house, production, bills.counted, assumed_paths, extra)
    paths = [case_bills(house, bills.counted, case) for case in inputs]
    columns = [cash_columns(house, case, path) for case, path in zip(inputs, paths, strict=True)]
    discount = house.money.discount_percent / 100.0
    cases = [cash_case(case.name, column, discount) for case, column in zip(inputs, columns, strict=True)]
    low, middle, high = cases
    range_is = _range_in_words(house, inputs)
    sources = (METHOD, *_input_sources(house, assumed_paths))
    price = _price(house, inputs, "money.price_per_w" in assumed_paths and house.money.installed_price is None, way)
    value, rate, simple, discounted = _results(house, cases, range_is, sources)
    saving, first_net = _first_year(house, bills, columns, range_is)
    deposit = _array_over_deposit(house, columns, range_is, sources)
    break_even = _break_even(house, inputs[1], paths[1], discount)
    even_price = _break_even_price(house, inputs[1], paths[1], discount)
    incentives = find_incentives(house, inputs[1].price, HORIZON_YEARS, output_by_year(house, inputs[1]))
    figures = [price, value, rate, simple, discounted, saving, first_net, deposit, break_even, even_price,
               *life_cycle_figures(house, inputs[1], columns[1])]
    open_credit = credit_not_counted(house, inputs[1].price)
    if open_credit:
        figures.append(Figure("payback.credit_not_counted", "What a tax credit could add, not counted", open_credit,
                              house.money.currency, 0.0, open_credit, " ".join(f.sentence for f in incentives if f.not_counted),
                              tuple(f.source for f in incentives if f.not_counted),
                              "none of it, and all of it"))
    growths = _growth_table(house, inputs[1], paths[1], discount)
    ways = ways_to_pay(house, columns, inputs, production, way, range_is, sources)
    figures += [figure for one in ways for figure in one.figures]
    nothing = do_nothing((low, middle, high), house.money.currency)
    figures += nothing.figures
    return Payback(HORIZON_YEARS, house.money.currency, low, middle, high, range_is, price, value, rate, simple, discounted,
                   saving, first_net, deposit, even_price, growths, incentives, tuple(figures), MONEY_BASIS,
                   _notes(house, bills.counted, bool(open_credit), way), ways, nothing)


def _results(house: House, cases: list[CashCase], range_is: str, sources: tuple[str, ...]) -> tuple[Figure, ...]:
    low, middle, high = cases
    code, d = house.money.currency, house.money.discount_percent
    last = middle.years[-1]

    def figure(key, label, unit, pick, formula):
        ends = [None if pick(c) is None else float(pick(c)) for c in (low, middle, high)]
        return Figure(f"payback.{key}", label, ends[1], unit, ends[0], ends[2], formula, sources, range_is)

    def years(key, label, pick, what):
        ends = [None if pick(c) is None else float(pick(c)) for c in (high, middle, low)]
        return Figure(f"payback.{key}", label, ends[1], "years", ends[0], ends[2],
                      f"first year from which {what} is never negative again", sources, range_is)

    return (
        figure("net_present_value", f"Worth in today's money over {HORIZON_YEARS} years", code,
               lambda c: c.net_present_value,
               f"{show(middle.years[0].net, code, 0)} + sum over years n = 1 to {HORIZON_YEARS} of net cash / "
               f"(1 + {d:g} %)^n = {show(middle.net_present_value, code, 0)}"),
        figure("internal_rate", "What the money earns a year (internal rate of return)", "%",
               lambda c: None if c.internal_rate is None else 100.0 * c.internal_rate,
               f"the rate r at which {show(middle.years[0].net, code, 0)} + sum of net cash / (1 + r)^n = 0"),
        years("simple_payback", "Paid back in", lambda c: c.simple_payback_years,
              f"the sum of net cash (after {HORIZON_YEARS} years: {show(last.cumulative, code, 0)})"),
        years("discounted_payback", "Paid back in, later money marked down", lambda c: c.discounted_payback_years,
              f"the sum of net cash / (1 + {d:g} %)^n (after {HORIZON_YEARS} years: "
              f"{show(last.discounted_cumulative, code, 0)})"))


def _input_sources(house: House, assumed_paths: frozenset[str]) -> tuple[str, ...]:
    """Where the growths and the discount come from, one line each."""
    made = []
    for path, name in (("money.price_growth_percent", "price growth"), ("money.inflation_percent", "inflation"),
                       ("money.discount_percent", "discount"), ("money.deposit_percent", "deposit")):
        made.append(f"{name}: " + (_source_of(house, path) if path in assumed_paths else "the house file"))
    return tuple(made)


def _source_of(house: House, path: str) -> str:
    return row_for(path, house.place.in_us)["source"]


def _price(house: House, inputs: tuple[CaseInputs, ...], assumed: bool, way: Way | None) -> Figure:
    worst, middle, best = (case.price + case.connecting for case in inputs)
    code, system = house.money.currency, inputs[1].price
    if house.money.installed_price is not None:
        formula = f"{show(system, code, 0)}, as written in the house file"
    else:
        watts = dc_kw(house) * 1000.0
        formula = f"{show(house.money.price_per_w, code + '/W')} × {show_number(watts, 0)} W = {show(system, code, 0)}"
    sources, moved = [_source_of(house, "money.price_per_w") if assumed else "the house file"], []
    if assumed:
        moved.append("no offer yet: the assumed price per watt from low to high")
    if inputs[1].connecting:
        formula += (f"; {way.change}: {show(way.price.low, code, 0)} to {show(way.price.high, code, 0)}, in the middle "
                    f"{show(way.price.middle, code, 0)}; together {show(middle, code, 0)}")
        sources.append(f"{way.name}: {way.price.source}")
        moved.append("the price of the way to connect from low to high")
    ends = (best, worst) if moved else (None, None)
    return Figure("payback.price", "Price of the finished system", middle, code, *ends, formula, tuple(sources),
                  " and ".join(moved))


def _first_year(house: House, bills: Bills, columns: list[CashColumns], range_is: str) -> tuple[Figure, Figure]:
    """What the first bill falls by, and what of that is left after upkeep."""
    code = house.money.currency
    saved = [float(c.before[0] - c.after[0]) for c in columns]
    running = [c.upkeep[0] + (c.holding[0] if np.ndim(c.holding) else c.holding) for c in columns]
    net = [s + float(r) for s, r in zip(saved, running, strict=True)]
    before, after = float(bills.before.total), float(bills.first_year_after.total)
    upkeep = -float(running[1])
    what = "upkeep" + (", insurance and property tax" if upkeep != -float(columns[1].upkeep[0]) else "")
    printed = before - after   # the printed lines, rounded to cents; the columns differ by roundings alone
    return (Figure("payback.first_year_saving", "Saved on the bill in the first year", printed, f"{code}/year",
                   min(saved[0], printed), max(saved[2], printed),
                   f"{show(before, code, 2)} − {show(after, code, 2)} = {show(printed, code, 2)}",
                   ("the two bills of the first year; the ends from the same bills with the case's output",), range_is),
            Figure("payback.first_year_net", "Left in the first year after upkeep", printed - upkeep, f"{code}/year",
                   min(net[0], printed - upkeep), max(net[2], printed - upkeep),
                   f"{show(printed, code, 2)} − {show(upkeep, code, 2)} of {what} = {show(printed - upkeep, code, 2)}",
                   (METHOD,), range_is))


def _array_over_deposit(house: House, columns: list[CashColumns], range_is: str, sources: tuple[str, ...]) -> Figure:
    """Each year's net cash laid into the deposit, less the price laid there at once; marked down at the same interest."""
    code, money = house.money.currency, house.money
    rate = _deposit_rate(house)
    ahead = [present_value(column.flows, rate) for column in columns]
    grown = (1.0 + rate) ** HORIZON_YEARS
    kept, laid_in = columns[1].price * grown, (ahead[1] + columns[1].price) * grown
    return Figure(
        "payback.array_over_deposit", "The array against a low-risk deposit, in today's money", ahead[1], code,
        min(ahead), max(ahead),
        f"after {HORIZON_YEARS} years {show(laid_in, code, 0)} from each year's net cash laid into the deposit, less "
        f"{show(columns[1].price, code, 0)} × (1 + {money.deposit_percent:g} % × (1 − {money.deposit_tax_percent:g} %))"
        f"^{HORIZON_YEARS} = {show(kept, code, 0)}; the difference / (1 + {100 * rate:.3g} %)^{HORIZON_YEARS} = "
        f"{show(ahead[1], code, 0)}; below zero the deposit is ahead",
        (*sources, "interest after tax, paid and taxed each year"), range_is)


@dataclass(frozen=True)
class Worth:
    """The middle case in three numbers, for the many times that the chain is run again."""
    net_present_value: float
    simple_payback_years: int | None
    over_deposit: float          # the array against a low-risk deposit, in today's money


def worth(house: House, production: Production, plans: HousePlans, way: Way | None = None, shift: float = 0.0) -> Worth:
    """The same as the middle of `pay_back`. shift: share of the sun's output used at once beyond the hours (negative: less)."""
    extra = way.price if way is not None and way.price is not None else NO_EXTRA
    case = replace(three_cases(house, production, plans, frozenset(), extra)[1], used_at_once_shift=shift)
    columns = cash_columns(house, case, case_bills(house, plans, case))
    found = cash_case(case.name, columns, house.money.discount_percent / 100.0)
    return Worth(found.net_present_value, found.simple_payback_years, present_value(columns.flows, _deposit_rate(house)))


def _deposit_rate(house: House) -> float:
    """Interest after tax, a share a year."""
    return house.money.deposit_percent / 100.0 * (1.0 - house.money.deposit_tax_percent / 100.0)


def _net_present_value(house: House, case: CaseInputs, path: CaseBills, growth: float, discount: float) -> float:
    return present_value(cash_columns(house, replace(case, growth_percent=growth), path).flows, discount)


def _growth_table(house: House, case: CaseInputs, path: CaseBills, discount: float) -> tuple[tuple[float, float], ...]:
    growths = sorted({*GROWTHS_PERCENT, case.growth_percent})
    return tuple((g, _net_present_value(house, case, path, g, discount)) for g in growths)


def _break_even(house: House, case: CaseInputs, path: CaseBills, discount: float) -> Figure:
    """The growth of the electricity price at which the net present value is zero."""
    found = crossing(lambda growth: _net_present_value(house, case, path, growth, discount), *BREAK_EVEN_WITHIN)
    ends = f"{BREAK_EVEN_WITHIN[0]:g} and {BREAK_EVEN_WITHIN[1]:g} %"
    text = f"net present value = 0 at a growth of {found:.2f} % a year" if found is not None else (
        f"the net present value does not cross zero between {ends} a year")
    return Figure("payback.break_even_growth", "Growth of the electricity price below which money is lost", found, "%",
                  formula=text, sources=(METHOD,))


def _break_even_price(house: House, case: CaseInputs, path: CaseBills, discount: float) -> Figure:
    """The price at which the net present value is zero, all else held; solved, since a tax credit follows the price."""
    code = house.money.currency

    bills = cash_columns(house, case, path)

    def worth_at(price: float) -> float:
        return present_value(at_price(house, replace(case, price=price), bills).flows, discount)
    found = crossing(worth_at, 0.0, 4.0 * case.price)
    if found is not None:
        found += case.connecting
    text = (f"net present value = 0 at {show(found, code, 0)}, with upkeep and new inverters as they are" if found is not None
            else "no price above zero makes the net present value zero")
    return Figure("payback.break_even_price", "Price at which the array just pays", found, code, formula=text, sources=(METHOD,))


def _range_in_words(house: House, inputs: tuple[CaseInputs, ...]) -> str:
    low, middle, high = inputs
    code = house.money.currency

    def case(c, chance):
        share = show_number(100.0 * c.output_share, 0)
        price = f" and a price of {show(c.price, code)}" if c.price != middle.price else ""
        shift = c.used_at_once_shift
        at_once = f" and {abs(100 * shift):.0f} points {'more' if shift > 0 else 'less'} of the sun used at once" if shift else ""
        return (f"{share} % of the middle output ({chance}), electricity growing {c.growth_percent:.3g} % a year"
                f"{price}{at_once}")
    return (f"low end: {case(low, 'nine chances in ten of more')}; high end: {case(high, 'one chance in ten of more')}; "
            "all moved together; interest, upkeep, ageing and the export rule stay in their middle")


def _notes(house: House, plans: HousePlans, has_open_credit: bool, way: Way | None) -> tuple[str, ...]:
    money = house.money
    notes = [_growth_note(house),
             ("Years are counted as calendar years with the array running from 1 January of the first"
              + (", the bank empty." if keeps_kwh(plans.chosen.rule) else ".")),
             _connecting_note(house, way),
             *not_counted(house),
             "Left out: the value of the house, moving away, and power cuts. Loans and leases stand beside these sums, not in them."]
    if money.price_growth_percent > GROWTH_WARNING_PERCENT:
        notes.append(f"A growth of {money.price_growth_percent:g} % a year is above every outlook seen. Look at the "
                     "lower rows of the growth table before deciding.")
    if money.upkeep_per_kw_year is None:
        notes.append("No upkeep is counted: none is written and none is assumed here.")
    years = [str(year) for year in replacement_years(house)]
    if money.inverter_replacement is None or money.inverter_years is None:
        notes.append("No new inverter is counted: no price or year for one is written and none is assumed here.")
    elif not years:
        notes.append(f"The inverter's {money.inverter_years} years reach the end of the {HORIZON_YEARS} years "
                     "counted; no new one is.")
    else:
        notes.append(f"A new inverter (all units of it) is counted in year {' and in year '.join(years)}.")
    refit = refit_year(house)
    if refit and money.refit_per_module:
        notes.append(f"The roof is renewed in year {refit} by the roofer's word: lifting and refitting {module_total(house)} modules is "
                     f"counted then, and {house.building.roof_work_days or 0:g} days without output, spread over that year.")
    elif refit:
        notes.append(f"The roof is renewed in year {refit} by the roofer's word; lifting the array for it is not counted, "
                     "since no price for it is written.")
    else:
        notes.append("Lifting the array for a new roof is not counted"
                     + ("." if house.building.roof_years_left is not None else ": how long the covering lasts is not known."))
    notes += incentive_notes(house)
    if not house.place.in_us:
        notes.append("No incentives are known to this report outside the United States; "
                     + ("only the house file's own are counted." if house.incentives else "none is counted.")
                     + (" The federal credit in the house file is United States law." if money.federal_credit_percent else ""))
    if has_open_credit:
        notes.append("A tax credit may be due, but is not counted, because the tax owed is not given.")
    return tuple(notes)


def _growth_note(house: House) -> str:
    money, growth = house.money, house.money.price_growth_percent
    apart = [f"{name} by {own:g} %" for name, own in (("fixed charges", money.fixed_growth_percent),
                                                      ("what is sent out", money.export_growth_percent)) if own not in (None, growth)]
    first = (f"Prices on the bill grow by {growth:g} % a year in the middle, {' and '.join(apart)}, upkeep" if apart else
             f"All prices on the bill grow by {growth:g} % a year in the middle, upkeep")
    return f"{first} and the new inverter by {money.inflation_percent:g} %. Nobody can know either."


def _connecting_note(house: House, way: Way | None) -> str:
    if not house.place.in_us:
        return "Any work on the panel or the service is left out."
    if way is None:
        return "Any work on the panel or the service is left out: no way to connect is settled or priced."
    if way.price is None:
        return ("Nothing is added for connecting it: the breaker's place on the busbar is taken as part of the offer."
                if way.changes_nothing else f"Not in the price: {way.change}, since nobody has named a price for it.")
    source = f" ({way.price.source})" if way.price.source else ""
    if not way.price.high:
        return f"Nothing is added to the price for connecting it{source}."
    low, high = (show(end, house.money.currency, 0) for end in (way.price.low, way.price.high))
    return f"In the price: {way.change}, {low if low == high else f'{low} to {high}'}{source}."
