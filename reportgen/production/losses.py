"""The stairs from the sun on the planes to the meter: what each step leaves, in kWh."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.equipment import Losses
from reportgen.figures import show_number
from reportgen.production import conversion, heat, plane
from reportgen.production.dirt_and_snow import GIVEN, dirt_words, snow_words
from reportgen.production.inverters import limit_words
from reportgen.production.result import InverterShare, LossStep
from reportgen.production.shade.string import SOURCE as STRING_SOURCE

# (key, key in the house file, what the reader sees), in the order of the light's way.
HORIZON_REASON = ("no direct light while the sun stands below the skyline given; of the sky's light, the part that the "
                  "skyline hides from the plane")
OBSTACLES_REASON = ("hour by hour the share of each face that lies in their shadow, times what they let through; of the "
                    "sky's light, the part that they hide, month by month with the leaves")
STRING_REASON = ("modules in one string hold each other back: where obstacles leave the share s of the direct light, s × s "
                 "of it counts; shade told by month takes a third as much again, at most as much as was measured")
AFTER_HEAT = (("unequal_modules", "unequal_modules_percent", "Modules that differ from each other"),
              ("wiring", "wiring_percent", "Heat in the wires"),
              ("first_weeks", "first_weeks_percent", "Drop in the first weeks"),
              ("rating", "rating_percent", "Modules below their label"))


@dataclass(frozen=True)
class YearEnergy:
    """Sums over the year [kWh] that the hourly chain finds; the even losses lie between them."""

    sun: float                    # sun on the planes × rated power
    after_horizon: float
    after_obstacles: float
    after_shade: float            # as told by month
    after_reflection: float
    after_string: float           # what strings keep of it; the same without strings
    after_dirt: float
    after_snow: float
    dirt_percent: tuple[float, ...]   # twelve, of each month, all faces together
    snow_percent: tuple[float, ...]
    after_heat: float
    after_conversion: float
    after_limit: float
    at_meter: float


def kept(losses: Losses, steps) -> float:
    """What the even losses of `steps` leave together, as a share."""
    share = 1.0
    for _, name, _ in steps:
        share *= 1.0 - getattr(losses, name) / 100.0
    return share


def stairs(energy: YearEnergy, losses: Losses, inverters: tuple[InverterShare, ...]) -> tuple[LossStep, ...]:
    """All steps in order; each starts where the one before ended, so that the factors multiply to meter / sun."""
    steps: list[LossStep] = []
    level = energy.sun

    def step(key, label, after, reason, source, months=()):
        nonlocal level
        steps.append(LossStep(key, label, after / level if level > 0 else 1.0, level, after, reason, source, months))
        level = after

    def even(rows):
        for key, name, label in rows:
            percent = getattr(losses, name)
            share = 1.0 - percent / 100.0
            step(key, label, level * share, f"1 − {percent:g} % = {show_number(share, 4)}, alike in every hour", GIVEN)

    if energy.after_horizon != energy.sun:
        step("horizon", "Horizon", energy.after_horizon, HORIZON_REASON, GIVEN)
    if energy.after_obstacles != energy.after_horizon:
        step("obstacles", "Trees, walls and chimneys", energy.after_obstacles, OBSTACLES_REASON, GIVEN)
    step("shade", "Shade by month" if len(steps) else "Shade", energy.after_shade,
         "each month's share of shade, taken alike from direct light and from the sky's", GIVEN)
    step("reflection", "Reflection from the glass at a slant", energy.after_reflection,
         "hour by hour for the sun's ray; once for the sky and once for the ground", plane.GLASS_SOURCE)
    if energy.after_string != energy.after_reflection:
        step("string", "String held back by shade", energy.after_string, STRING_REASON, STRING_SOURCE)
    step("dirt", "Dirt on the glass", energy.after_dirt, *by_month(energy.dirt_percent, *dirt_words(losses)))
    step("snow", "Snow on the modules", energy.after_snow, *by_month(energy.snow_percent, *snow_words(losses)))
    step("heat", "Heat in the cells", energy.after_heat,
         f"power falls with each degree above {heat.RATED_CELL_C:g} °C and rises below; mean over the year, weighted "
         "with the light",
         f"{heat.SOURCE}. {heat.STAND_OFF_SOURCE}")
    even(AFTER_HEAT)
    step("conversion", "Turning DC into AC", energy.after_conversion,
         f"{_efficiencies(inverters)} weighted, less at low load; what is drawn at night is stated apart",
         conversion.SOURCE)
    step("limit", "Cut off at the inverter's limit", energy.after_limit,
         f"no hour above {limit_words(inverters)}; within an hour peaks are cut too, so the true loss is somewhat more",
         "the inverter's data sheet")
    percent = losses.downtime_percent
    step("downtime", "Hours out of service", energy.at_meter,
         f"1 − {percent:g} % = {show_number(1.0 - percent / 100.0, 4)}, spread evenly over the year", GIVEN)
    return tuple(steps)


def by_month(percents: tuple[float, ...], how: str, source: str) -> tuple[str, str, tuple[float, ...]]:
    """(reason, source, the twelve where they differ)."""
    if max(percents) - min(percents) < 1e-9 and not how:
        share = 1.0 - percents[0] / 100.0
        return f"1 − {percents[0]:.6g} % = {show_number(share, 4)}, alike in every hour", source, ()
    return f"{how + ', ' if how else ''}month by month", source, percents


def _efficiencies(inverters: tuple[InverterShare, ...]) -> str:
    found = list(dict.fromkeys(show_number(i.efficiency_percent, 1) for i in inverters))
    return f"{' and '.join(found)} %"
