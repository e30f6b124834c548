"""Ways for the fire service: where they are kept clear, which ridge setback holds, and what is said of it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from reportgen.production.layout.roof import fitting_counts, lay_out_roof, plan_share
from reportgen.production.layout.rules import INCH_M, fire_rules
from tests.production.layout.shapes import face, roof_house

FACTS = Path(__file__).resolve().parents[4] / "shared" / "data" / "code" / "fire_access_irc_r324_6.csv"


def _kinds(layout, index=0):
    return {zone.kind for zone in layout.faces[index].zones}


def test_the_tables_numbers_are_those_of_the_facts_file():
    """R324.6 of the International Residential Code, gathered in the shared facts."""
    if not FACTS.exists():
        pytest.skip("the shared facts are not on this machine")
    rows = list(csv.reader(FACTS.read_text(encoding="utf-8").splitlines()))
    value = {row[0]: float(row[1]) for row in rows[1:] if row[1]}
    rules = fire_rules()
    assert rules.pathway_m == pytest.approx(value["pathway width"] * INCH_M)
    ridge = sorted(float(row[1]) for row in rows if row[0].startswith("ridge setback"))
    assert [rules.narrow_m, rules.wide_m] == pytest.approx([v * INCH_M for v in ridge])
    assert "33 %" in next(row[3] for row in rows if row[1] == "18") and rules.share == 0.33


def test_a_us_house_keeps_ways_clear_unless_told_otherwise_and_names_edition_and_who_decides():
    layout = lay_out_roof(roof_house(face()), [8])
    assert {"pathway", "ridge"} <= _kinds(layout)
    assert "IRC 2018, R324.6" in layout.fire.sentence and "The local fire official decides" in layout.fire.sentence


def test_turned_off_it_prints_the_reason_and_who_decides():
    building = {"fire_access": {"apply": False, "reason": "waived by the fire marshal, letter of 3 May 2026"}}
    layout = lay_out_roof(roof_house(face(), building=building), [8])
    assert _kinds(layout) == {"edge"}
    assert "waived by the fire marshal, letter of 3 May 2026" in layout.fire.sentence
    assert "The local fire official decides" in layout.fire.sentence


def test_elsewhere_it_is_not_looked_at_and_said_so():
    place = {"latitude": 52.0, "longitude": 5.3, "country": "NL"}
    layout = lay_out_roof(roof_house(face(), place=place, money={"currency": "EUR", "price_per_w": 1.2}), [8])
    assert _kinds(layout) == {"edge"} and "not looked at" in layout.fire.sentence


@pytest.mark.parametrize(("changed", "why"), [
    ({"slope_deg": 9.4}, "2:12 or less"), ({"stands_on": "detached garage"}, "detached garage"),
    ({"mounting": "ground"}, "on the ground")])
def test_low_slopes_detached_garages_and_ground_are_exempt(changed, why):
    """Slopes of 2:12 (9.46°) or less and detached garages: R324.6, IRC 2018, as in tables/fire_access.csv."""
    layout = lay_out_roof(roof_house(face(**changed)), [6])
    assert not {"pathway", "ridge"} & _kinds(layout)
    assert why in layout.faces[0].exempt_because and why in layout.fire.sentence


def test_just_above_two_in_twelve_is_not_exempt():
    made = face(slope="2.1:12")
    del made["slope_deg"]
    assert {"pathway", "ridge"} <= _kinds(lay_out_roof(roof_house(made), [6]))


def test_a_wall_or_a_peak_at_the_top_is_no_ridge():
    peak = face(cuts=[{"corner": c, "width_m": 5.0, "depth_m": 5.0} for c in ("ridge left", "ridge right")])
    for made in (face(top_edge="wall"), peak):
        assert "ridge" not in _kinds(lay_out_roof(roof_house(made), [4]))


@pytest.mark.parametrize(("whole_m2", "count", "inches"), [(200.0, 21, 18), (104.0, 20, 18), (100.0, 20, 36)])
def test_the_setback_that_holds_more_modules_is_taken(whole_m2, count, inches):
    """10 × 5.97 m: 21 modules under 18 in (3 × 7 upright), 20 under 36 in (4 × 5 lying). One is 1.69 m² in plan, so a third
    of 200, 104 and 100 m² holds 39, 20 and 19 of them."""
    house = roof_house(face(depth_m=5.97), building={"whole_roof_plan_m2": whole_m2})
    (most,), _ = fitting_counts(house, lambda rooms: rooms)
    layout = lay_out_roof(house, [most])
    assert most == len(layout.faces[0].modules) == count
    assert layout.fire.ridge_setback_m / INCH_M == pytest.approx(inches)


def test_the_share_counts_the_whole_roof_in_plan_and_leaves_the_garage_out():
    garage = face(name="garage", stands_on="detached garage")
    house = roof_house(face(), garage, building={"whole_roof_plan_m2": 100.0})
    assert plan_share(house, [5, 5]) == pytest.approx(5 * 1.722 * 1.134 * 0.8660254 / 100.0)


def test_without_the_size_of_the_whole_roof_the_wide_setback_holds():
    bare = {"name": "unknown", "facing": "north", "slope_deg": 30}
    layout = lay_out_roof(roof_house(face(), bare), [1, 0])
    assert layout.fire.ridge_setback_m == pytest.approx(36 * INCH_M) and "not known" in layout.fire.sentence


def test_more_than_fit_is_a_finding_with_both_numbers():
    layout = lay_out_roof(roof_house(face()), [30])
    drawn = len(layout.faces[0].modules)
    assert f"the drawing holds {drawn} modules, the house file says 30" in layout.findings[0]
    assert not lay_out_roof(roof_house(face()), [drawn]).findings


def test_one_face_alone_is_told_that_the_second_pathway_is_missing():
    assert any("second is not drawn" in r for r in lay_out_roof(roof_house(face()), [4]).fire.remarks)
    assert not any("second is not drawn" in r for r in lay_out_roof(roof_house(face(), face(name="b")), [4, 0]).fire.remarks)
