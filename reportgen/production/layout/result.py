"""What the layout hands on: where modules lie on each face, what stays clear and why, what limits, what it weighs."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.figures import Figure
from reportgen.production.layout.rows import Placed

PATHWAY, RIDGE, EDGE, THING = "pathway", "ridge", "edge", "thing"


@dataclass(frozen=True)
class Ring:
    """A closed line and the holes in it; corners in metres, x along the eave from the left, y up the slope."""

    outer: tuple[tuple[float, float], ...]
    holes: tuple[tuple[tuple[float, float], ...], ...] = ()


@dataclass(frozen=True)
class Zone:
    """A part of the face that carries no module."""

    kind: str                  # PATHWAY, RIDGE, EDGE, THING
    name: str                  # "fire service pathway", "chimney"
    width_m: float             # how far it reaches: of a thing the margin round it
    rings: tuple[Ring, ...]    # the part that stays clear, margin included, the face's inside alone
    thing: Ring | None = None  # the thing itself


@dataclass(frozen=True)
class FaceLayout:
    index: int                           # of the face in the house
    name: str
    corners: tuple[tuple[float, float], ...]
    zones: tuple[Zone, ...]
    modules: tuple[Placed, ...]          # in reading order: top row first, each from the left
    first_number: int                    # of the first module; they run on over the faces
    direction: str                       # "upright" or "lying"
    pathway_side: str | None             # "left", "right"; None where none is drawn here
    wanted: int | None                   # None: as many as fit
    most: int                            # modules that fit
    even_most: int                       # modules of the largest block of equal rows
    most_without_fire_access: int
    module_width_m: float                # along the eave
    module_depth_m: float                # up the slope
    exempt_because: str | None           # from fire access
    limit: str                           # what limits, a sentence

    @property
    def missing(self) -> int:
        """Modules that the file wants and that do not fit."""
        return max(0, (self.wanted or 0) - self.most)


@dataclass(frozen=True)
class FireAccess:
    applies: bool
    ridge_setback_m: float | None
    share: Figure | None                 # array in plan over the whole roof in plan [%]
    sentence: str                        # what was kept clear, against which edition, and who decides
    remarks: tuple[str, ...] = ()        # what was assumed or not checked


@dataclass(frozen=True)
class Structure:
    per_area: Figure                     # lb/ft², outside the United States kg/m²
    per_attachment: Figure | None
    sentence: str


@dataclass(frozen=True)
class RoofLayout:
    faces: tuple[FaceLayout, ...]        # those whose shape is known
    unknown: tuple[str, ...]             # names of faces that can't be drawn
    fire: FireAccess
    structure: Structure | None
    covering: tuple[str, ...]            # sentences on the covering and its age
    findings: tuple[str, ...]            # what the drawing contradicts in the file
    figures: tuple[Figure, ...]
    in_feet: bool
