"""The free space before the wall proposed for the inverter or the disconnect, against the Code's working space.

Depth, width and height are looked at one by one. Source: tables/code_working_space.csv (one transcription of the 2023
edition), which each check says.
"""

from __future__ import annotations

from reportgen.describe.electrical import WorkingSpace
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.code_tables import table_rows
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.safety import MODULE_LEVEL, cite_in, covered_editions

CAUTION = "The numbers come from one transcription of the 2023 edition and were not checked against a second source."
CAUTION_BATHROOM = "Read in public summaries only; the 2017 text was not seen."
DOORS = "Doors and covers of the equipment open at least 90 degrees, and nothing is stored in the space."
OLD_PANELS = ("In an existing dwelling, a panel or service equipment of at most 200 A may stand where the space is lower; "
              "the inspector decides.")
LOW_VOLTS, DC_VOLTS = 0, 1      # rows of the table: up to 150 V to ground, 151 to 600 V to ground


def working_space_checks(house: House) -> tuple[Check, ...]:
    """Depth, width, height and place of the wall in the house file; () without a wall or without a tabulated edition.

    The least depth depends on the voltage to ground: 120/240 V and 120/208 V services stay under 150 V, strings of a
    string inverter often do not, so they get a line of their own.
    """
    wall, held = house.electrical.working_space, covered_editions(house)
    if wall is None or not held:
        return ()
    low, dc = (_row(number) for number in (LOW_VOLTS, DC_VOLTS))
    least_width = max(low["width_in"], wall.equipment_width_in or 0.0)
    wide = () if wall.equipment_width_in else ("Equipment that is wider than that needs its own width.",)
    checks = [
        _measured(wall, "depth", "Depth in front", wall.depth_in, low["depth_open_in"], cite_in("working_depth", held),
                  (DOORS,)),
        _measured(wall, "width", "Width in front", wall.width_in, least_width, cite_in("working_width", held), wide),
        _measured(wall, "height", "Height from the floor", wall.height_in, low["height_in"],
                  cite_in("working_height", held), (OLD_PANELS,)),
    ]
    if house.array.conversion != MODULE_LEVEL:
        checks.insert(1, _dc_depth(wall, dc, cite_in("working_depth", held)))
    return (*checks, _bathroom(wall, cite_in("not_in_bathrooms", held)))


def _row(number: int) -> dict[str, float]:
    row = table_rows("code_working_space.csv")[number]
    return {key: float(value) for key, value in row.items() if key.endswith("_in")}


def _inches(value: float) -> str:
    return show(value, "in")


def _measured(wall: WorkingSpace, key: str, name: str, found_in: float, least_in: float, clause: str,
              conditions: tuple[str, ...]) -> Check:
    left = found_in - least_in
    verdict = FITS if left >= -1e-9 else DOES_NOT_FIT
    rest = f"{_inches(left)} left" if verdict == FITS else f"{_inches(-left)} missing"
    formula = f"{_inches(found_in)} − {_inches(least_in)} = {_inches(left)}"
    margin = Figure(f"interconnection.working_{key}_left_in", f"{name}: what is left", left, "in", formula=formula,
                    sources=(clause,))
    return Check(f"working_{key}", name, clause, verdict, f"{_inches(found_in)}, at least {_inches(least_in)}: {rest}.",
                 margin, conditions, wall.wall, f"free {key} ≥ {_inches(least_in)}", CAUTION)


def _dc_depth(wall: WorkingSpace, dc: dict[str, float], clause: str) -> Check:
    """Strings above 150 V to ground: the least depth depends on what stands opposite, which the file does not say."""
    open_in, grounded_in, live_in = dc["depth_open_in"], dc["depth_grounded_in"], dc["depth_live_in"]
    rule = (f"{_inches(open_in)} with nothing grounded opposite, {_inches(grounded_in)} before brick, concrete, tile or other "
            f"grounded parts, {_inches(live_in)} before live parts")
    if wall.depth_in >= live_in - 1e-9:
        verdict, end = FITS, "enough whatever stands opposite"
    elif wall.depth_in < open_in - 1e-9:
        verdict, end = DOES_NOT_FIT, f"less than {_inches(open_in)}"
    else:
        verdict, end = CANNOT_SAY, "it depends on what stands opposite; photo to take: what faces this wall"
    return Check("working_depth_strings", "Depth in front of a string inverter", clause, verdict,
                 f"{_inches(wall.depth_in)}: {end}. Above 150 V dc to ground: {rule}.", None,
                 ("It counts only where the strings are above 150 V to ground.",), wall.wall,
                 "free depth ≥ what the opposite side asks", CAUTION)


def _bathroom(wall: WorkingSpace, clause: str) -> Check:
    verdict, sentence = ((DOES_NOT_FIT, "The wall stands in a bathroom; inverters and disconnects are not put there.")
                         if wall.is_bathroom else (FITS, "The wall does not stand in a bathroom, by the house file."))
    return Check("working_bathroom", "Not in a bathroom", clause, verdict, sentence, None, (), wall.wall, "",
                 CAUTION_BATHROOM)
