"""What the roof's covering and its age mean for an array that stays up for decades."""

from __future__ import annotations

from reportgen.describe.models import House

MODULE_YEARS = 25          # common practice, no source; as long as this report's sums run

# Words in `roof_covering` -> a sentence. The first that fits is used. All: common practice, no source.
STOP_WORDS = (
    (("asbestos", "fibre cement", "fiber cement", "fibre-cement", "fiber-cement", "cement sheet", "cement board"),
     ("This covering may hold asbestos. Nobody drills, cuts, walks on or cleans it before a laboratory has looked at a "
      "sample, taken by someone trained for it.")),
    (("slate",), "Slate breaks underfoot and under a drill. Few crews work on it; ask for one that has, and what a broken slate costs."),
    (("shake", "wood shingle", "wooden shingle", "cedar"),
     "Wood shakes burn and split. Ask the fire official and the insurer first, before anyone prices an array on them."),
    (("tile",), ("Tiles break underfoot, and each attachment needs its own hook or a tile taken out. It costs more; ask for "
                 "a crew that works on tiles.")),
)
NOT_SAID = ("What covers the roof was not said. Slate, tile, wood shakes and anything that may hold asbestos need another crew, "
            "or stop the work.")


def covering_notes(house: House) -> tuple[str, ...]:
    """Sentences on the covering and on its years left, empty where all is plain."""
    building, found = house.building, []
    words = (building.roof_covering or "").casefold()
    if not words:
        found.append(NOT_SAID)
    found += [sentence for stops, sentence in STOP_WORDS if any(stop in words for stop in stops)][:1]
    left = building.roof_years_left
    if left is None:
        found.append(f"How long the covering lasts was not said; modules stay up for about {MODULE_YEARS} years. "
                     "Ask a roofer before anyone signs.")
    elif left < MODULE_YEARS:
        found.append(f"The covering has {left:g} years left by the roofer’s word, the modules about {MODULE_YEARS}: they come down and "
                     "go up again once in that time. Ask what lifting and refitting costs; “Paying for it” says whether and when it is counted.")
    else:
        found.append(f"The covering has {left:g} years left by the roofer’s word, no fewer than the {MODULE_YEARS} or so of the modules.")
    return tuple(found)
