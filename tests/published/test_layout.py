"""Layout and weight against published rules, worked cases and a permit record; through the functions the report calls."""

from __future__ import annotations

import math

import pytest

from reportgen.describe.building import LB_KG
from reportgen.describe.fields import FT_M
from reportgen.production.layout.roof import lay_out_roof
from reportgen.production.layout.rules import INCH_M
from reportgen.production.layout.structure import weighed
from tests.production.layout.shapes import LONG_M, SHORT_M, face, roof_house

MODULE_M2 = LONG_M * SHORT_M


def _house(count: int, share_of_face: float, share_of_roof: float):
    """A face of which `count` modules cover one share, on a roof of which they cover another in plan."""
    depth = 6.0
    made = face(slope_deg=30, width_m=count * MODULE_M2 / share_of_face / depth, depth_m=depth)
    plan = count * MODULE_M2 * math.cos(math.radians(30)) / share_of_roof
    return roof_house(made, building={"whole_roof_plan_m2": plan})


def test_forty_per_cent_of_its_face_and_twenty_of_the_whole_roof_asks_for_18_inches():
    """A public thread of an electrical-trade forum (144049) on R324.6: the share is of the whole roof in plan, not of the
    face. The figures of the case are ours, the question is real."""
    layout = lay_out_roof(_house(15, 0.40, 0.20), [15])
    assert layout.fire.share.value == pytest.approx(20.0)
    assert layout.fire.ridge_setback_m / INCH_M == pytest.approx(18)
    assert len(layout.faces[0].modules) == 15


def test_forty_per_cent_of_the_whole_roof_asks_for_36_inches():
    """R324.6, IRC 2018, by two secondary pages: 36 in where arrays cover more than 33 % of the whole roof in plan."""
    layout = lay_out_roof(_house(15, 0.40, 0.40), [15])
    assert layout.fire.ridge_setback_m / INCH_M == pytest.approx(36)


def test_pathway_and_setback_have_the_published_widths_on_the_drawing():
    """36 in pathway: page 111 of the 2018 IRC. Measured on the drawing's own content, not on the table."""
    layout = lay_out_roof(_house(15, 0.40, 0.20), [15])
    (pathway,) = [z for z in layout.faces[0].zones if z.kind == "pathway"]
    xs = [x for ring in pathway.rings for x, _ in ring.outer]
    assert (max(xs) - min(xs)) / INCH_M == pytest.approx(36, abs=0.01)
    (ridge,) = [z for z in layout.faces[0].zones if z.kind == "ridge"]
    ys = [y for ring in ridge.rings for _, y in ring.outer]
    assert (max(ys) - min(ys)) / INCH_M == pytest.approx(18, abs=0.01)
    assert min(6.0 - m.high for m in layout.faces[0].modules) >= 18 * INCH_M - 1e-6


def test_a_permit_records_weights():
    """A city's permit record on the expedited form, public document 151757, page 4: 712.4 lb, 246.5 ft², 22 attachments:
    2.89 lb/ft² and 32.4 lb each, inside 5 lb/ft² and 45 lb."""
    found = weighed(712.4 * LB_KG, 246.5 * FT_M ** 2, 22)
    assert found.per_area.value == pytest.approx(2.89, abs=0.005)
    assert found.per_attachment.value == pytest.approx(32.4, abs=0.05)
    assert "inside the 5 lb/ft²" in found.sentence and "inside the 45 lb" in found.sentence
    assert "an engineer decides" in found.sentence


@pytest.mark.parametrize(("pounds", "attachments", "said"), [
    (5.1 * 246.5, 40, "outside the 5 lb/ft²"), (4.5 * 246.5, 40, "outside the 4 lb/ft²"), (712.4, 15, "outside the 45 lb")])
def test_beyond_a_limit_it_says_outside_and_leaves_it_to_an_engineer(pounds, attachments, said):
    """4 lb/ft²: permitting guide for local governments; 5 lb/ft² and 45 lb: the form above."""
    sentence = weighed(pounds * LB_KG, 246.5 * FT_M ** 2, attachments).sentence
    assert said in sentence and "an engineer decides" in sentence and "safe" not in sentence


def test_an_array_of_our_own_weighs_what_the_trade_says_within_its_range():
    """Typical array 3 to 4 lb/ft² by a trade page; ours counts no more than modules and rails, so 2.3 to 4 is asked for."""
    layout = lay_out_roof(roof_house(face(width_m=12.0)), [12])
    assert 2.3 <= layout.structure.per_area.value <= 4.0
