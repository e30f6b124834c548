"""Drawings for discussion, not for construction: the roof in true proportion, and the one-line diagram."""

from __future__ import annotations

from string import ascii_uppercase

import matplotlib

from reportgen.assessment import Assessment
from reportgen.report.charts.canvas import SETTINGS
from reportgen.report.drawings.face import draw_face
from reportgen.report.drawings.one_line import draw_one_line
from reportgen.report.drawings.plan import draw_plan


def draw_drawings(assessment: Assessment) -> dict[str, str]:
    """Name to ``<svg>``: one-line, roof-plan, and face-1, face-2, ... for each face whose shape is known; the same bytes
    for the same assessment. The plan is left out where fewer than two faces can be drawn, the one-line diagram where the
    electrical side is not judged."""
    layout, drawn = assessment.layout, {}
    with matplotlib.rc_context(SETTINGS):
        drawn["one-line"] = draw_one_line(assessment)
        if layout is not None:
            letters = face_letters(assessment)
            drawn["roof-plan"] = draw_plan(assessment, letters)
            for face in layout.faces:
                name = f"face-{face.index + 1}"
                drawn[name] = draw_face(assessment, face, letters[face.index], name)
    return {name: svg for name, svg in drawn.items() if svg is not None}


def face_letters(assessment: Assessment) -> dict[int, str]:
    """A, B, ... by the index of the face, of those that can be drawn."""
    return {face.index: ascii_uppercase[k] for k, face in enumerate(assessment.layout.faces)}
