"""The pictures of a report: each answers one question, and is an SVG element to stand in the page."""

from __future__ import annotations

import matplotlib

from reportgen.assessment import Assessment
from reportgen.report.charts.busbar import draw_busbar
from reportgen.report.charts.canvas import SETTINGS
from reportgen.report.charts.cash import draw_cash
from reportgen.report.charts.day import draw_day
from reportgen.report.charts.losses import draw_losses
from reportgen.report.charts.months import draw_bills, draw_monthly
from reportgen.report.charts.movers import draw_movers

_DRAW = {"monthly": draw_monthly, "day": draw_day, "losses": draw_losses, "busbar": draw_busbar, "bills": draw_bills,
         "cash": draw_cash, "movers": draw_movers}


def draw_charts(assessment: Assessment) -> dict[str, str]:
    """Name to ``<svg>``: monthly, day, losses, busbar, bills, cash, movers; the same bytes for the same assessment.

    A picture that has nothing to show is left out: busbar where no rule is held or a rating is missing, losses without
    any sun, movers where no uncertain input moves the answer.
    """
    with matplotlib.rc_context(SETTINGS):
        drawn = {name: draw(assessment) for name, draw in _DRAW.items()}
    return {name: svg for name, svg in drawn.items() if svg is not None}
