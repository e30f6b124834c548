"""The coach's page over all houses of a batch. Nothing that is shared leads to it."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from reportgen.batch.summary import Row
from reportgen.report.assets import font_faces, template_text
from reportgen.report.setting import environment


def render_coach(batch_name: str, rows: Sequence[Row], notes: Sequence[str]) -> str:
    """The page as one string.

    rows: one a house, in the order to show. notes: what the coach should know about this run.
    """
    return environment().get_template("coach.html.j2").render(
        batch_name=batch_name, rows=rows, notes=notes, good=[row for row in rows if row.findings],
        failed=[row for row in rows if row.failures], waiting=[row for row in rows if not row.findings and not row.failures],
        styles=Markup(font_faces() + "\n" + template_text("style.css")),
        screen_styles=Markup(template_text("screen.css"))) + "\n"
