"""The row of one house for houses.csv and the coach's page, picked from its Assessment. Computes nothing."""

from __future__ import annotations

from reportgen.assessment import Assessment
from reportgen.batch.record import Findings
from reportgen.figures import significant, years_span


def findings(found: Assessment) -> Findings:
    year, payback = found.production.year, found.payback
    years = payback.simple_payback
    return Findings(
        name=found.house.name, verdict=found.answer.verdict, headline=found.answer.headline,
        year_kwh=_number(year.value), year_kwh_low=_number(year.low), year_kwh_high=_number(year.high),
        year_kwh_text=year.span_text() or year.text(),
        price=_number(payback.price.value), price_text=payback.price.text(), currency=payback.currency,
        net_present_value=_number(payback.net_present_value.value),
        net_present_value_low=_number(payback.net_present_value.low),
        net_present_value_high=_number(payback.net_present_value.high),
        net_present_value_text=payback.net_present_value.span_text() or payback.net_present_value.text(),
        payback_low_years=_number(years.low), payback_high_years=_number(years.high),
        payback_text=years_span(years.low, years.high, payback.horizon_years),
        connection=found.connection.verdict if found.connection.judged else "not judged")


def _number(value) -> float | None:
    return None if value is None else significant(float(value))
