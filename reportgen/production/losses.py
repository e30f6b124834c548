"""The stairs from the sun on the planes to the meter: what each step leaves, in kWh."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.equipment import Losses
from reportgen.figures import show, show_number
from reportgen.production import conversion, heat, plane
from reportgen.production.result import LossStep

GIVEN = "the house file, or the list of what was assumed"
# (key, key in the house file, what the reader sees), in the order of the light's way.
BEFORE_HEAT = (("dirt", "dirt_percent", "Dirt on the glass"), ("snow", "snow_percent", "Snow on the modules"))
AFTER_HEAT = (("unequal_modules", "unequal_modules_percent", "Modules that differ from each other"),
              ("wiring", "wiring_percent", "Heat in the wires"),
              ("first_weeks", "first_weeks_percent", "Drop in the first weeks"),
              ("rating", "rating_percent", "Modules below their label"))


@dataclass(frozen=True)
class YearEnergy:
    """Sums over the year [kWh] that the hourly chain finds; the even losses lie between them."""

    sun: float                    # sun on the planes × rated power
    after_shade: float
    after_reflection: float
    heat_factor: float            # mean over the year, weighted with the light behind the glass
    after_conversion: float
    after_limit: float
    at_meter: float


def kept(losses: Losses, steps) -> float:
    """What the even losses of `steps` leave together, as a share."""
    share = 1.0
    for _, name, _ in steps:
        share *= 1.0 - getattr(losses, name) / 100.0
    return share


def stairs(energy: YearEnergy, losses: Losses, efficiency_percent: float, limit_kw: float) -> tuple[LossStep, ...]:
    """All steps in order; each starts where the one before ended, so that the factors multiply to meter / sun."""
    steps: list[LossStep] = []
    level = energy.sun

    def step(key, label, after, reason, source):
        nonlocal level
        steps.append(LossStep(key, label, after / level if level > 0 else 1.0, level, after, reason, source))
        level = after

    def even(rows):
        for key, name, label in rows:
            percent = getattr(losses, name)
            share = 1.0 - percent / 100.0
            step(key, label, level * share, f"1 − {percent:g} % = {show_number(share, 4)}, alike in every hour", GIVEN)

    step("shade", "Shade", energy.after_shade,
         "each month's share of shade, taken alike from direct light and from the sky's", GIVEN)
    step("reflection", "Reflection from the glass at a slant", energy.after_reflection,
         "hour by hour for the sun's ray; once for the sky and once for the ground", plane.GLASS_SOURCE)
    even(BEFORE_HEAT)
    step("heat", "Heat in the cells", level * energy.heat_factor,
         f"power falls with each degree above {heat.RATED_CELL_C:g} °C and rises below; mean over the year, weighted "
         "with the light",
         f"{heat.SOURCE}. {heat.STAND_OFF_SOURCE}")
    even(AFTER_HEAT)
    step("conversion", "Turning DC into AC", energy.after_conversion,
         f"{show_number(efficiency_percent, 1)} % weighted, less at low load; the few watts drawn at night left out",
         conversion.SOURCE)
    step("limit", "Cut off at the inverter's limit", energy.after_limit,
         f"no hour above {show(limit_kw, 'kW')}; within an hour peaks are cut too, so the true loss is somewhat more",
         "the inverter's data sheet")
    percent = losses.downtime_percent
    step("downtime", "Hours out of service", energy.at_meter,
         f"1 − {percent:g} % = {show_number(1.0 - percent / 100.0, 4)}, spread evenly over the year", GIVEN)
    return tuple(steps)
