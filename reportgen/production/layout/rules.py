"""Distances for the layout: the fire service's ways from tables/fire_access.csv, and our own clearances."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass
from functools import cache
from importlib import resources

from reportgen.describe.models import House
from reportgen.describe.roof import RoofFace

INCH_M = 0.0254
NO_SOURCE = "common practice, no source"
MODULE_GAP_M = 0.02        # room for the clamps between two modules
EDGE_M = 0.30              # along all edges where the file names no edge_margin
MARGIN_M = {"chimney": 0.30, "dormer": 0.30, "skylight": 0.30, "vent": 0.15, "other": 0.30}
GROUND = "ground"


@dataclass(frozen=True)
class FireRules:
    """R324.6 as numbers."""

    pathway_m: float
    narrow_m: float            # ridge setback while the array covers at most `share` of the whole roof in plan
    wide_m: float
    share: float               # 0.33
    exempt_slope_deg: float
    edition: str               # "IRC 2018, R324.6"
    sources: tuple[str, ...]


@cache
def fire_rules() -> FireRules:
    rows = {row["key"]: row for row in _rows("fire_access.csv")}

    def value(key: str) -> float:
        return float(rows[key]["value"])

    used = ("pathway_width", "pathway_each_face", "ridge_narrow", "ridge_wide", "narrow_share", "exempt_slope")
    return FireRules(
        value("pathway_width") * INCH_M, value("ridge_narrow") * INCH_M, value("ridge_wide") * INCH_M,
        value("narrow_share") / 100.0, math.degrees(math.atan(value("exempt_slope") / 12.0)),
        f"{rows['exempt_slope']['edition']}, {rows['exempt_slope']['clause']}",
        tuple(dict.fromkeys(rows[key]["source"] for key in used)))


@cache
def structure_limits() -> dict[str, tuple[float, str, str]]:
    """Key to (value, label, source) of tables/structure_limits.csv."""
    return {row["key"]: (float(row["value"]), row["label"], row["source"]) for row in _rows("structure_limits.csv")}


def _rows(name: str) -> list[dict[str, str]]:
    text = (resources.files("reportgen") / "tables" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(io.StringIO(text)))


def applies_to_house(house: House) -> bool:
    """Fire access is kept clear in the United States unless the file says otherwise; elsewhere only where it asks."""
    said = house.building.fire_access
    return house.place.in_us if said is None else said.apply


def exempt_because(face: RoofFace) -> str | None:
    """Why this face needs no ways for the fire service; None where it does."""
    if face.mounting == GROUND:
        return "it stands on the ground"
    if face.stands_on == "detached garage":
        return "it is on a detached garage"
    if face.tilt_deg <= fire_rules().exempt_slope_deg + 1e-9:
        return "its slope is 2:12 or less"
    return None


def edge_m(face: RoofFace) -> float:
    """Kept clear along the edges [m]: as written, else our own default; on the ground nothing."""
    if face.edge_m is not None:
        return face.edge_m
    return 0.0 if face.mounting == GROUND else EDGE_M
