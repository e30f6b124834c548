"""Incentives as dated law: chosen by the day the system is finished, from tables/incentives.yaml. No day, no incentive.

`incentive_law` reads the table, `credit_findings` and `other_findings` apply a row to a house, `own_findings` what the house
file brings along. Stacking: rebates lower what credits count from; credits against one tax share what is owed of it;
no credit lowers the basis of another.
"""

from __future__ import annotations

from collections.abc import Sequence

from reportgen.describe.models import House
from reportgen.payback.credit_findings import credit_on_price
from reportgen.payback.credits import TaxesOwed, used_by_year
from reportgen.payback.incentive_case import IncentiveCase
from reportgen.payback.incentive_law import OWNERS, STALE_AFTER_DAYS, laws_for, states_held
from reportgen.payback.other_findings import certificates, leased_credit, tax_exemption
from reportgen.payback.own_findings import find_own, own_of, rebate_total
from reportgen.payback.result import IncentiveFinding

__all__ = ["STALE_AFTER_DAYS", "credit_not_counted", "find_incentives", "if_laws_change", "incentive_notes", "used_by_year"]

_FIND = {"credit_on_price": credit_on_price, "certificates": certificates, "leased_credit": leased_credit,
         "tax_exemption": tax_exemption}


def find_incentives(house: House, price: float, horizon_years: int, output_kwh_by_year: Sequence[float] | None = None,
                    owner: str = "household", contract_payments: Sequence[float] = ()) -> tuple[IncentiveFinding, ...]:
    """What the law of the finishing day and the house's own incentives give, one finding an incentive.

    price: of the system [currency]. output_kwh_by_year: year 1 first; without it nothing is counted per MWh.
    owner: "household", or "company" under a lease or power purchase, whose yearly `contract_payments` a state's credit may
    count from. `amount` is what the household gets within the horizon: nothing without a finishing day, and of a credit no
    more than the tax owed allows. Empty outside the countries that the table covers, but for the house's own.
    Raises ValueError for another owner.
    """
    if owner not in OWNERS:
        raise ValueError(f"owner {owner!r}: one of {', '.join(OWNERS)} is expected")
    money, owns = house.money, own_of(house, owner)
    case = IncentiveCase(house, price, rebate_total(house, owns, price) if owns else 0.0, horizon_years,
                         output_kwh_by_year, owner, contract_payments,
                         TaxesOwed(money.federal_tax_owed_per_year, money.state_tax_owed_per_year, horizon_years))
    of_the_law = (_FIND[law.last.kind](case, law) for law in laws_for(house.place.country, house.place.state, owner))
    found = [finding for finding in of_the_law if finding is not None]
    found += [find_own(case, own, house.incentives.index(own) + 1) for own in owns]
    return tuple(found)


def credit_not_counted(house: House, price: float) -> float:
    """What credits could add but is not counted because the tax owed is not known [currency]."""
    return sum(f.not_counted for f in find_incentives(house, price, 1) if f.kind == "credit")


def if_laws_change(findings: Sequence[IncentiveFinding]) -> tuple[str, ...]:
    """One line an incentive whose end lies within two years of the report's day, or for which a bill waits."""
    return tuple(f.if_law_changes for f in findings if f.if_law_changes)


def incentive_notes(house: House) -> tuple[str, ...]:
    """What a reader must know of the whole: a finished system, a state that is not said or not held."""
    notes = []
    if house.finish_day is not None and house.finish_day < house.report_day:
        notes.append(f"The system was finished on {house.finish_day}, before this report: the law of that day holds, and the price "
                     "is taken as paid.")
    if house.place.in_us:
        held = ", ".join(states_held())
        if house.place.state is None:
            notes.append(f"No state's incentives were looked at: the state is not said. Held are: {held}.")
        elif not any(law.last.state for owner in OWNERS for law in laws_for("US", house.place.state, owner)):
            notes.append(f"No incentives of {house.place.state} are held here, which does not mean that there are none: ask the "
                         f"utility and the state's energy office. Held are: {held}.")
    return tuple(notes)
