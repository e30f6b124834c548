"""A range drawn as a bar with its middle marked, on an axis whose ends are printed. Inline SVG, coloured by attributes."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup, escape

from reportgen.report.palette import GREY, INK, PAPER, RULE

WIDTH, HEIGHT = 132.0, 22.0
INSET = 2.0
_TOP, _THICK, _LETTERS = 5.0, 6.0, 8.4


@dataclass(frozen=True)
class Axis:
    """From where to where the bar's line runs; rows that are compared share one."""

    low: float
    high: float
    low_text: str
    high_text: str

    def x(self, value: float) -> float:
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return INSET + share * (WIDTH - 2 * INSET)


def range_bar(what: str, ends: tuple[float, float], middle: float | None, words: tuple[str, str, str], axis: Axis,
              color: str = GREY, labelled: bool = True) -> Markup:
    """One bar.

    what: what is measured, for the title that a screen reader says.
    ends, middle: where the bar lies, in the axis's unit; the ends in any order.
    words: low, middle and high as text, for the title.
    labelled: print the axis's ends below.
    """
    left, right = sorted(axis.x(end) for end in ends)
    if right - left < 3:   # a bar narrower than its own middle mark would vanish
        centre = min(max((left + right) / 2, INSET + 1.5), WIDTH - INSET - 1.5)
        left, right = centre - 1.5, centre + 1.5
    low, mid, high = words
    title = f"{what}: {low} at both ends" if low == high else f"{what}: between {low} and {high}" + (f", middle {mid}" if mid else "")
    centre_y = _TOP + _THICK / 2
    parts = [f'<path d="M{INSET} {centre_y:g}H{WIDTH - INSET}" stroke="{RULE}" stroke-width="1" fill="none"/>']
    if axis.low < 0 < axis.high:
        parts.append(f'<path d="M{axis.x(0):.1f} {_TOP - 3:g}V{_TOP + _THICK + 3:g}" stroke="{INK}" stroke-width=".6" fill="none"/>')
    parts.append(f'<rect x="{left:.1f}" y="{_TOP:g}" width="{right - left:.1f}" height="{_THICK:g}" fill="{color}"/>')
    if middle is not None and right - left > 7:
        x = axis.x(middle)
        parts.append(f'<path d="M{x:.1f} {_TOP - 2:g}V{_TOP + _THICK + 2:g}" stroke="{PAPER}" stroke-width="3.6" fill="none"/>'
                     f'<path d="M{x:.1f} {_TOP - 2:g}V{_TOP + _THICK + 2:g}" stroke="{INK}" stroke-width="1.4" fill="none"/>')
    height = _TOP + _THICK + 3
    if labelled:
        height = HEIGHT
        parts.append(f'<text x="{INSET:g}" y="{HEIGHT - 1:g}" font-size="{_LETTERS}" fill="{GREY}">{escape(axis.low_text)}</text>'
                     f'<text x="{WIDTH - INSET:g}" y="{HEIGHT - 1:g}" font-size="{_LETTERS}" fill="{GREY}" '
                     f'text-anchor="end">{escape(axis.high_text)}</text>')
    return Markup(f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {WIDTH:g} {height:g}" '
                  f'font-family="Figures Sans"><title>{escape(title)}</title>{"".join(parts)}</svg>')
