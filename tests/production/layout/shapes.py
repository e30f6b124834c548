"""Invented roof faces for the tests of the layout."""

from __future__ import annotations

from hypothesis import strategies as st

from reportgen.describe.assumptions import complete
from reportgen.describe.models import House
from tests.houses import house

LONG_M, SHORT_M = 1.722, 1.134     # of the generic 400 W module
CORNERS = ("eave left", "eave right", "ridge left", "ridge right")


def face(**more) -> dict:
    return {"name": "back", "facing": "south", "slope_deg": 30, "width_m": 10.0, "depth_m": 5.0, **more}


def chimney(x: float, y: float, wide: float = 0.6, deep: float = 0.6, **more) -> dict:
    return {"name": "chimney", "kind": "chimney", "from_left_m": x, "from_eave_m": y, "width_m": wide, "depth_m": deep, **more}


def roof_house(*faces: dict, **more) -> House:
    """A completed house in the United States."""
    return complete(house(roof=list(faces), **more))[0]


def cm(low: float, high: float):
    """Lengths in whole centimetres."""
    return st.integers(round(low * 100), round(high * 100)).map(lambda n: n / 100)


@st.composite
def faces(draw) -> dict:
    """A face with up to two cut corners and up to three things on it."""
    width, depth = draw(cm(2, 15)), draw(cm(2, 8))
    corners = draw(st.lists(st.sampled_from(CORNERS), unique=True, max_size=2))
    cuts = [{"corner": c, "width_m": draw(cm(0.2, width / 2 - 0.1)), "depth_m": draw(cm(0.2, depth / 2 - 0.1))} for c in corners]
    return face(width_m=width, depth_m=depth, cuts=cuts, keep_clear=draw(st.lists(things(width, depth), max_size=3)))


@st.composite
def things(draw, width: float, depth: float) -> dict:
    """Something that begins and ends between the face's left and right ends."""
    x = draw(cm(0, width - 0.2))
    return chimney(x, draw(cm(0, depth - 0.2)), draw(cm(0.1, min(2.0, width - x))), draw(cm(0.1, 2)))


def mirrored(made: dict) -> dict:
    """Left and right changed over."""
    def over(corner: str) -> str:
        return corner.replace("left", "RIGHT").replace("right", "left").replace("RIGHT", "right")

    return {**made, "cuts": [{**c, "corner": over(c["corner"])} for c in made["cuts"]],
            "keep_clear": [{**t, "from_left_m": max(0.0, round(made["width_m"] - t["from_left_m"] - t["width_m"], 2))} for t in made["keep_clear"]]}
