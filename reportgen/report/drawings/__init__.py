"""Drawings of the roof: plans in true proportion, for discussion, not for construction."""

from __future__ import annotations

from string import ascii_uppercase

import matplotlib

from reportgen.assessment import Assessment
from reportgen.report.charts.canvas import SETTINGS
from reportgen.report.drawings.face import draw_face
from reportgen.report.drawings.plan import draw_plan


def draw_drawings(assessment: Assessment) -> dict[str, str]:
    """Name to ``<svg>``: roof-plan, face-1, face-2, ... for each face whose shape is known; the same bytes for the same
    assessment. The plan is left out where fewer than two faces can be drawn."""
    layout = assessment.layout
    if layout is None:
        return {}
    letters = face_letters(assessment)
    with matplotlib.rc_context(SETTINGS):
        plan = draw_plan(assessment, letters)
        drawn = {"roof-plan": plan} if plan is not None else {}
        for face in layout.faces:
            name = f"face-{face.index + 1}"
            drawn[name] = draw_face(assessment, face, letters[face.index], name)
    return drawn


def face_letters(assessment: Assessment) -> dict[int, str]:
    """A, B, ... by the index of the face, of those that can be drawn."""
    return {face.index: ascii_uppercase[k] for k, face in enumerate(assessment.layout.faces)}
