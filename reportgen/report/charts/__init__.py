"""The pictures of a report: each answers one question, and is an SVG element to stand in the page."""

from __future__ import annotations

from functools import partial

import matplotlib

from reportgen.assessment import Assessment
from reportgen.report.charts.bank import draw_bank
from reportgen.report.charts.bill_years import draw_bill_years
from reportgen.report.charts.bills import draw_bills
from reportgen.report.charts.busbar import draw_busbar
from reportgen.report.charts.canvas import SETTINGS
from reportgen.report.charts.cash import draw_cash
from reportgen.report.charts.day import draw_day
from reportgen.report.charts.hours_grid import draw_hours_grid
from reportgen.report.charts.joint import draw_joint
from reportgen.report.charts.losses import draw_losses
from reportgen.report.charts.months import draw_monthly
from reportgen.report.charts.movers import draw_movers
from reportgen.report.charts.sunpath import MOST as MOST_SKYLINES
from reportgen.report.charts.sunpath import draw_sunpath
from reportgen.report.charts.ways import draw_offers, draw_ways

_DRAW = {"monthly": draw_monthly, "day": draw_day, "losses": draw_losses, "busbar": draw_busbar, "bills": draw_bills,
         "bank": draw_bank, "hours-grid": draw_hours_grid, "bill-years": draw_bill_years, "cash": draw_cash,
         "ways": draw_ways, "offers": draw_offers, "joint": draw_joint, "movers": draw_movers, "sunpath": draw_sunpath,
         **{f"sunpath-{n}": partial(draw_sunpath, number=n) for n in range(2, MOST_SKYLINES + 1)}}


def draw_charts(assessment: Assessment) -> dict[str, str]:
    """Name to ``<svg>``: monthly, day, losses, busbar, bills, bank, hours-grid, bill-years, cash, movers, sunpath, and the
    drawings of the roof and the one-line diagram (see report/drawings); the same bytes for the same assessment.

    A picture that has nothing to show is left out: busbar and one-line where the electrical side is not judged, losses without
    any sun, bank where nothing is ever left in it, hours-grid without any sun, bill-years where no change of use is named,
    a drawing of a face whose shape is not known, movers where no uncertain
    input moves the answer, sunpath without a horizon or obstacles; sunpath-2 and so on are for faces that see others.
    """
    with matplotlib.rc_context(SETTINGS):
        drawn = {name: draw(assessment) for name, draw in _DRAW.items()}
    from reportgen.report.drawings import draw_drawings  # here, since drawings stand on this package's canvas
    return {name: svg for name, svg in drawn.items() if svg is not None} | draw_drawings(assessment)
