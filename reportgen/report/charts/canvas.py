"""A sheet as wide as the reading column, in points from its top left corner. All pictures are drawn on it."""

from __future__ import annotations

import io
import warnings
from collections.abc import Sequence

from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch, Polygon
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D

from reportgen.report.charts.inline_svg import inline_svg
from reportgen.report.charts.lettering import FAMILY, SIZE, one_line, register_fonts
from reportgen.report.palette import INK

WIDTH_MM = 124.0                    # the reading column
WIDTH = WIDTH_MM * 72 / 25.4        # the same in points
POINTS = Sequence[tuple[float, float]]
# All of matplotlib's settings that reach these pictures, so that a settings file on the machine can't change them.
SETTINGS = {"svg.fonttype": "none", "svg.hashsalt": "reportgen", "svg.id": None, "hatch.linewidth": 0.9,
            "lines.scale_dashes": True, "lines.antialiased": True, "patch.antialiased": True, "path.simplify": False,
            "path.sketch": None, "path.snap": True, "path.effects": [], "text.usetex": False}


class Canvas:
    """Shapes and texts, later ones over earlier ones. y runs downwards. A text stands on its baseline.

    Made, drawn on and written out under SETTINGS.
    """

    def __init__(self, height: float):
        register_fonts()
        self.height = float(round(height))
        self._figure = Figure(figsize=(WIDTH / 72, self.height / 72), dpi=72)
        self._figure.patch.set_visible(False)
        self._down = Affine2D.from_values(1, 0, 0, -1, 0, self.height)
        self._count = 0

    def _add(self, artist) -> None:
        self._count += 1
        artist.set(zorder=self._count, transform=self._down)
        self._figure.add_artist(artist, clip=False)

    def solid(self, points: POINTS, color: str, opacity: float = 1.0) -> None:
        """A filled shape without an edge."""
        self._add(Polygon(points, facecolor=color, edgecolor="none", alpha=None if opacity == 1.0 else opacity))

    def solids(self, color: str, *shapes: POINTS) -> None:
        """Many small filled shapes without edges, in one go."""
        if shapes:
            together = Path.make_compound_path(*(Path([*shape, shape[0]], closed=True) for shape in shapes))
            self._add(PathPatch(together, facecolor=color, edgecolor="none"))

    def hatched(self, color: str, *shapes: POINTS) -> None:
        """Outlined shapes, hatched; in one go, because the PDF engine writes the hatch anew each time.

        Only the slanted hatch: dots cost some 250 KB a picture.
        """
        if shapes:
            together = Path.make_compound_path(*(Path([*shape, shape[0]], closed=True) for shape in shapes))
            self._add(PathPatch(together, facecolor="none", edgecolor=color, linewidth=0.8, hatch="////"))

    def outlined(self, points: POINTS, color: str, width: float = 0.8, dashed: bool = False) -> None:
        """An outline."""
        self._add(Polygon(points, facecolor="none", edgecolor=color, linewidth=width,
                          linestyle=(0, (3, 2)) if dashed else "-"))

    def outlines(self, color: str, *shapes: POINTS, width: float = 0.8) -> None:
        """Many outlines in one go."""
        if shapes:
            together = Path.make_compound_path(*(Path([*shape, shape[0]], closed=True) for shape in shapes))
            self._add(PathPatch(together, facecolor="none", edgecolor=color, linewidth=width))

    def line(self, points: POINTS, color: str, width: float = 0.8, dashed: bool = False) -> None:
        """A line through the points; dashed 5 to 2."""
        xs, ys = zip(*points)
        self._add(Line2D(xs, ys, color=color, linewidth=width, linestyle=(0, (5, 2)) if dashed else "-",
                         solid_capstyle="butt"))

    def text(self, x: float, y: float, words: str, color: str = INK, anchor: str = "left",
             semibold: bool = False) -> None:
        """One line of text. anchor: "left", "center" or "right" of it lies at x."""
        self._add(Text(x, y, one_line(words), color=color, ha=anchor, va="baseline", size=SIZE, family=FAMILY,
                       weight="semibold" if semibold else "normal", parse_math=False))

    def svg(self, name: str, title: str) -> str:
        """The sheet as an SVG element to stand in a page. `title` says the finding in a sentence."""
        out = io.StringIO()
        with warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing")   # the reader has another font for it
            FigureCanvasSVG(self._figure).print_svg(out, metadata={"Date": None})
        return inline_svg(out.getvalue(), name, one_line(title), WIDTH_MM)


def box(x0: float, y0: float, x1: float, y1: float) -> POINTS:
    """The four corners of an upright rectangle."""
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
