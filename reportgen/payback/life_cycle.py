"""Life-cycle measures of a purchase: all costs of a house with and without the array, in today's money.

Definitions in our own words after 10 CFR 436 subpart A (436.19 life-cycle cost, .20 net savings, .21 savings to
investment, .22 adjusted internal rate) and ASTM E917, E964, E1057 by number and scope. Rates are shares a year.
"""

from __future__ import annotations

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.models import House
from reportgen.figures import Figure, show, show_number
from reportgen.payback.cases import CaseInputs, CashColumns, output_by_year
from reportgen.payback.present_value import present_value

SOURCE = "10 CFR 436.19 to 436.22"


def life_cycle_cost(investment: float, energy: float, upkeep: float = 0.0, replacement: float = 0.0, residual: float = 0.0) -> float:
    """Sum of all costs less what is left at the end; each a present value [currency]."""
    return investment + energy + upkeep + replacement - residual


def savings_to_investment(savings: float, investment: float) -> float | None:
    """Present value of what running it saves, over that of what is invested more; None where nothing is invested.

    What is replaced and what is left at the end belong to the investment.
    """
    return savings / investment if investment > 0 else None


def adjusted_rate(ratio: float | None, discount: float, years: int) -> float | None:
    """What the investment earns a year if every saving is laid in at the discount rate; None where savings are not above zero."""
    return None if ratio is None or ratio <= 0 else (1.0 + discount) * ratio ** (1.0 / years) - 1.0


def levelised_cost(costs: float, kwh_by_year: np.ndarray, rate: float) -> float | None:
    """Present value of all costs over the kWh marked down alike; None without kWh. kwh_by_year: year 1 first."""
    kwh = present_value(np.concatenate([[0.0], kwh_by_year]), rate)
    return costs / kwh if kwh > 0 else None


def life_cycle_figures(house: House, case: CaseInputs, columns: CashColumns) -> tuple[Figure, ...]:
    """The middle case's measures, for the workings."""
    code, d, inflation = (house.money.currency, house.money.discount_percent / 100.0, house.money.inflation_percent / 100.0)

    def worth(by_year) -> float:
        return present_value(np.concatenate([[0.0], np.broadcast_to(by_year, HORIZON_YEARS)]), d)
    without, with_sun = worth(columns.before), worth(columns.after)
    running, replaced = -worth(columns.upkeep) - worth(columns.holding), -worth(columns.replacement)
    given = worth(columns.incentive)
    cost_with = life_cycle_cost(columns.price - given, with_sun, running, replaced)
    savings, invested = without - with_sun - running, columns.price - given + replaced
    ratio = savings_to_investment(savings, invested)
    rate = adjusted_rate(ratio, d, HORIZON_YEARS)
    costs = columns.price + running + replaced
    kwh = output_by_year(house, case)
    level, real = levelised_cost(costs, kwh, d), levelised_cost(costs, kwh, (1.0 + d) / (1.0 + inflation) - 1.0)

    def money(value: float) -> str:
        return show(value, code, 0)
    return (
        Figure("payback.life_cycle_cost_without", f"All bills of {HORIZON_YEARS} years without the sun, in today's money", without, code,
               formula=f"sum of bill / (1 + {100 * d:g} %)^n", sources=(SOURCE,)),
        Figure("payback.life_cycle_cost_with", "All bills and all costs with it, in today's money", cost_with, code,
               formula=f"price {money(columns.price)} − incentives {money(given)} + bills {money(with_sun)} + running costs "
                       f"{money(running)} + replacements {money(replaced)} = {money(cost_with)}; the difference to the bills "
                       "without the sun is the worth in today's money", sources=(SOURCE,)),
        Figure("payback.savings_to_investment", "Savings for each unit of money invested", ratio, "1",
               formula="" if ratio is None else f"({money(without)} − {money(with_sun)} − {money(running)}) / ({money(columns.price)} − "
                       f"{money(given)} + {money(replaced)}) = {show_number(ratio, 2)}; above 1 it pays", sources=(SOURCE,)),
        Figure("payback.adjusted_rate", "What it earns a year if savings are laid in at the discount rate",
               None if rate is None else 100.0 * rate, "%",
               formula="" if rate is None else f"(1 + {100 * d:g} %) × {show_number(ratio, 2)}^(1/{HORIZON_YEARS}) − 1 = "
                       f"{show_number(100 * rate, 2)} %", sources=(SOURCE,)),
        _levelised("levelised_cost", "Cost of a kWh from the array, the same in every year", level, code,
                   f"{money(costs)} / sum of kWh / (1 + {100 * d:g} %)^n; not to be set beside today's price of a kWh alone, since that grows"),
        _levelised("levelised_cost_real", "The same in today's prices", real, code,
                   f"the kWh marked down at (1 + {100 * d:g} %) / (1 + {100 * inflation:g} %) − 1 instead"))


def _levelised(key: str, label: str, value: float | None, code: str, formula: str) -> Figure:
    return Figure(f"payback.{key}", label, value, f"{code}/kWh", formula=formula, sources=("all costs over all kWh, both marked down",))
