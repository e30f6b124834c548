"""The corner house with every way to pay, and as it is with three offers in hand."""

from __future__ import annotations

from functools import cache

from reportgen.assessment import Assessment
from reportgen.chain import assess
from reportgen.describe.paying import Paying
from reportgen.report.charts import draw_charts
from reportgen.report.pages import render_house
from tests.payback.ways_house import ALL_WAYS
from tests.report.built import assessed

OFFERS, WAYS_DEMO = "corner-house", "two-gables"
OWNING = {"sale_year": 10, "insurance_per_year": 120, "property_tax_per_year": 0, "removal_price": 2500, "target_years": 12}


@cache
def every_way() -> Assessment:
    found = assessed(OFFERS)
    paying = Paying.model_validate({**ALL_WAYS, **OWNING})
    return assess(found.house.model_copy(update={"paying": paying, "offers": [], "show_emissions": True,
                                                 "other_measures": ["insulate the attic"]}), found.year)


@cache
def every_way_page() -> str:
    return render_house(every_way(), draw_charts(every_way()))
