"""A share in a community array, on the terms that the house file gives: credits less payments, year by year."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from reportgen.bills.plans import HORIZON_YEARS
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.payback.cases import CaseInputs
from reportgen.payback.choices_result import CommunityFound
from reportgen.payback.present_value import present_value
from reportgen.production.degradation import degradation_factor
from reportgen.production.result import Production


def community_found(house: House, production: Production, cases: Sequence[CaseInputs]) -> CommunityFound | None:
    """None where no share is described. Worst: the credit never grows; best: it grows as in the favourable case."""
    share = house.community_share
    if share is None:
        return None
    code, discount = house.money.currency, house.money.discount_percent / 100.0
    if share.kwh_per_year is not None:
        kwh, how = share.kwh_per_year, "kWh as the paper says"
    else:
        kwh = share.share_kw * production.specific_yield.value
        how = f"{share.share_kw:g} kW × {production.specific_yield.text()} of this roof, since the paper names no kWh"
    years = min(share.years, HORIZON_YEARS)
    output = kwh * np.array([degradation_factor(n, house.array.degradation_percent_per_year) for n in range(1, years + 1)])

    def net(growth_percent: float) -> np.ndarray:
        credit = share.credit_per_kwh * (1.0 + growth_percent / 100.0) ** np.arange(years)
        return np.concatenate([[0.0 - share.price_up_front], output * credit - 12.0 * share.price_per_month])
    grown = [net(growth) for growth in (0.0, cases[1].growth_percent, cases[2].growth_percent)]
    worths = [present_value(flows, discount) for flows in grown]
    first = float(grown[1][1])
    sources = (share.source,)
    notes = [f"The middle lets the credit grow with the electricity price, {cases[1].growth_percent:g} % a year; the low end never lets it grow.",
             "Ask what happens to the share when you move, and whether the programme may change the credit."]
    if share.years > HORIZON_YEARS:
        notes.append(f"Of the contract's {share.years} years the first {HORIZON_YEARS} are counted.")
    return CommunityFound(
        tuple(float(v) for v in grown[1]),
        Figure("payback.community_first_year", "A community share: left in its first year", first, f"{code}/year",
               formula=f"{show(kwh, 'kWh')} × {show(share.credit_per_kwh, code + '/kWh')} − 12 × {show(share.price_per_month, code, 2)} = "
                       f"{show(first, code, 2)}; {how}", sources=sources),
        Figure("payback.community_npv", f"A community share: worth in today's money over {years} years", worths[1], code, min(worths),
               max(worths), f"sum of net cash / (1 + {100 * discount:g} %)^n, {show(share.price_up_front, code, 0)} paid at once", sources,
               "the credit never growing, and growing as in the favourable case"), tuple(notes))
