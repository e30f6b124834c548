"""The wires between two panels: can they carry what the array sends back, and what comes from both sides past a joint."""

from __future__ import annotations

import math
from dataclasses import dataclass

from reportgen.describe.conductor import Conductor, Feeder
from reportgen.figures import Figure
from reportgen.interconnection.ampacity import Ampacity, ampacity, asks
from reportgen.interconnection.code_tables import TOLERANCE_A, cite, factor, next_standard_a, standard_ratings_a
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.tried import Tried, number_doubt
from reportgen.interconnection.wording import amps, digits_to_tell_apart

LONG_TAP_FT, SHORT_TAP_FT = 25.0, 10.0
NO_ROUNDING = "The next standard rating above the ampacity must not be used for this part."
WIRE_PHOTO = ("Ask the electrician for size, metal and insulation of the wires of the {}, and note where they run, from the ground or the "
              "floor: no ladder, no attic; nothing is opened for it.")
BREAKER_PHOTO = "Take a photo of the number on the breaker at the start of the {}."


@dataclass(frozen=True)
class Run:
    """The wires that feed one panel, and the sources behind them. Currents are continuous outputs [A], before 1.25."""

    name: str                       # "feeder of the garage subpanel"
    number: int                     # of the panel it feeds; 1: the one that takes the array
    edition: int
    wires: Feeder | Conductor | None
    device_a: float | None          # breaker at its supply end
    existing_a: float               # sources at its end that are there already
    new_a: float | None


def try_feeder(run: Run) -> tuple[Tried, ...]:
    """The checks of one feeder that the array's current passes: its breaker, its wires, and the joint if there is one."""
    if run.wires is None:
        why = "Nothing is written about these wires."
        return (_tried(run, "feeder", "Feeder", "feeder", None, why, (WIRE_PHOTO.format(run.name),
                                                                      BREAKER_PHOTO.format(run.name))),)
    found = [_wires(run), _device(run)]
    if isinstance(run.wires, Feeder) and run.wires.array_joins == "along the feeder":
        found.append(_joint(run))
        found.append(_tap(run))
    return tuple(found)


def _wires(run: Run) -> Tried:
    """Feeder ampacity ≥ 1.25 × the current of all sources behind it."""
    wire = ampacity(run.wires, run.edition, run.device_a)
    formula = "ampacity ≥ 1.25 × output of all sources behind it"
    if wire.a is None:
        return _tried(run, "feeder", "Feeder, what the array sends back", "feeder", None, wire.sentence,
                      _asks(run, wire), formula)
    return _sum(run, "feeder", "Feeder, what the array sends back", "feeder", wire.a, f"the wires carry {amps(wire.a)}", 0.0, "",
                formula, wire.cautions)


def _asks(run: Run, wire: Ampacity) -> tuple[str, ...]:
    return tuple(f"{run.name[0].upper()}{run.name[1:]}: {ask}." for ask in asks(wire.missing))


def _device(run: Run) -> Tried:
    """The feeder's own breaker carries the array's current for hours too."""
    formula = "feeder's breaker ≥ 1.25 × output of all sources behind it"
    key, name = "feeder_device", "Feeder's breaker, what the array sends back"
    if run.device_a is None:
        return _tried(run, key, name, "feeder_device", None, "The rating of the feeder's breaker is not known.",
                      (BREAKER_PHOTO.format(run.name),), formula)
    return _sum(run, key, name, "feeder_device", run.device_a, f"the feeder's breaker is {amps(run.device_a)}", 0.0, "", formula)


def joined_along(wires: Feeder | Conductor | None) -> bool:
    """Whether the array joins these wires on their way, before the panel that they feed."""
    return isinstance(wires, Feeder) and wires.array_joins == "along the feeder"


def _joint(run: Run) -> Tried:
    """Past the joint: ampacity ≥ feeder's breaker + 1.25 × I, or a device there that is not above the ampacity."""
    key, name = "feeder_joint", "Feeder past the place where the array joins"
    wire = ampacity(run.wires, run.edition, run.device_a)
    past = run.wires.device_past_joint_a
    if wire.a is None:
        return _tried(run, key, name, "feeder_joint", None, wire.sentence, _asks(run, wire))
    if past is not None:
        left = wire.a - past
        fits = left >= -TOLERANCE_A
        sentence = (f"The breaker or fuses past the joint are {amps(past)}, the wires carry {amps(wire.a)}: "
                    f"{f'{amps(max(left, 0.0))} left' if fits else f'{amps(-left)} too much'}.")
        verdict = CANNOT_SAY if run.new_a is None else FITS if fits else DOES_NOT_FIT
        figure = _figure(run, key, name, "feeder_joint", left, f"{amps(wire.a)} − {amps(past)} = {amps(left)}")
        return Tried(_check(run, key, name, "feeder_joint", verdict, sentence, figure,
                            "device past the joint ≤ ampacity", wire.cautions, (NO_ROUNDING,)), math.inf if fits else 0.0)
    if run.device_a is None:
        return _tried(run, key, name, "feeder_joint", None, "The rating of the feeder's breaker is not known.",
                      (BREAKER_PHOTO.format(run.name),))
    return _sum(run, key, name, "feeder_joint", wire.a, f"the wires carry {amps(wire.a)}", run.device_a, amps(run.device_a),
                "ampacity ≥ feeder's breaker + 1.25 × output of all sources", wire.cautions, (NO_ROUNDING,))


def _tap(run: Run) -> Tried:
    """The wires from the array's breaker to the feeder: the larger of 1.25 × I and the size of a tap."""
    key, name, tap = "feeder_tap", "Wires from the array to the feeder", run.wires.tap
    if tap is None or tap.feet is None or run.device_a is None:
        return _tried(run, key, name, "feeder_tap", None, "The size and length of these wires are not all known.",
                      ("Ask the seller for the size and length of the wires that join the feeder.",))
    if run.new_a is None:
        return _tried(run, key, name, "feeder_tap", None, "No inverter size is known yet.", ())
    by = factor("continuous_current")
    device = next_standard_a(by * run.new_a, run.edition)
    wire = ampacity(tap, run.edition, device)
    if wire.a is None:
        return _tried(run, key, name, "feeder_tap", None, wire.sentence, _asks(run, wire))
    if tap.feet > LONG_TAP_FT + TOLERANCE_A:
        return _tried(run, key, name, "feeder_tap", None, f"At {tap.feet:g} ft these wires are longer than a tap of 25 ft; an "
                      "electrician looks for another rule.", ())
    short = tap.feet <= SHORT_TAP_FT + TOLERANCE_A
    rule = "tap_10_ft" if short else "feeder_tap"
    least, words, largest = _short_tap(run) if short else _long_tap(run, wire.a, device)
    if least is None:
        return _tried(run, key, name, rule, DOES_NOT_FIT, "No standard breaker is large enough for the new array.", ())
    need, largest = max(by * run.new_a, least), min(largest, wire.a / by) if least <= wire.a + TOLERANCE_A else largest
    if short and least > wire.a + TOLERANCE_A:
        largest = 0.0
    margin = wire.a - need
    fits = margin >= -TOLERANCE_A
    sentence = (f"The larger of {by:g} × {amps(run.new_a, 2)} = {amps(by * run.new_a, 2)} and {words} = {amps(least, 1)}; these "
                f"wires carry {amps(wire.a)}: {f'{amps(max(margin, 0.0))} left' if fits else f'{amps(-margin)} too much'}.")
    figure = _figure(run, key, name, rule, margin, f"{amps(wire.a)} − {amps(need, 2)} = {amps(margin, 2)}")
    conditions = ("The breaker or fuses at the array's end of these wires are not larger than the wires' ampacity.",
                  *(("The wires lie in a pipe, and end in one breaker or set of fuses.",)))
    return Tried(_check(run, key, name, rule, FITS if fits else DOES_NOT_FIT, sentence, figure,
                        "ampacity ≥ the larger of 1.25 × I and the size of a tap", wire.cautions, conditions), max(0.0, largest))


def _short_tap(run: Run) -> tuple[float, str, float]:
    share = factor("tap_10_ft_share")
    return run.device_a / share, f"1/{share:g} of {amps(run.device_a)}", math.inf


def _long_tap(run: Run, carries_a: float, device: float | None) -> tuple[float | None, str, float]:
    """Least ampacity of a 25 ft tap, its words, and the largest current under it; 2017 counts the current, later the device."""
    share, by = factor("tap_25_ft_share"), factor("continuous_current")
    room = share * carries_a - run.device_a
    if run.edition < 2020:
        words = f"1/{share:g} of ({amps(run.device_a)} + {by:g} × {amps(run.new_a, 2)})"
        return (run.device_a + by * run.new_a) / share, words, max(0.0, room / by)
    if device is None:
        return None, "", 0.0
    largest = next((r for r in reversed(standard_ratings_a(run.edition)) if r <= room + TOLERANCE_A), 0.0) / by
    return (run.device_a + device) / share, f"1/{share:g} of ({amps(run.device_a)} + {amps(device)})", largest


def _sum(run: Run, key: str, name: str, rule: str, carries_a: float, carries: str, fixed_a: float, fixed: str, formula: str,
         cautions: tuple[str, ...] = (), conditions: tuple[str, ...] = ()) -> Tried:
    """fixed + 1.25 × all sources ≤ carries."""
    by = factor("continuous_current")
    largest = max(0.0, (carries_a - fixed_a) / by - run.existing_a)
    back = f" − {amps(run.existing_a)}" if run.existing_a else ""
    least = f"{f'({amps(carries_a)} − {fixed})' if fixed else amps(carries_a)} / {by:g}{back} = {amps(largest)}"
    if run.new_a is None:
        check = _check(run, key, name, rule, CANNOT_SAY, "No inverter size is known yet.", None, formula, cautions, conditions)
        return Tried(check, largest, formula=least)
    total = fixed_a + by * (run.existing_a + run.new_a)
    margin = carries_a - total
    digits = digits_to_tell_apart(margin)
    inside = amps(run.new_a, digits or 2) if not run.existing_a else (
        f"({amps(run.existing_a, digits or 2)} + {amps(run.new_a, digits or 2)})")
    words = f"{fixed}{' + ' if fixed else ''}{by:g} × {inside}"
    fits = margin >= -TOLERANCE_A
    end = f"{amps(max(margin, 0.0), digits)} left" if fits else f"{amps(-margin, digits)} too much"
    sentence = f"{words} = {amps(total, digits)}; {carries}: {end}."
    figure = _figure(run, key, name, rule, margin, f"{amps(carries_a)} − ({words}) = {amps(margin, digits)}")
    return Tried(_check(run, key, name, rule, FITS if fits else DOES_NOT_FIT, sentence, figure, formula, cautions, conditions),
                 largest, (), carries_a, total, least)


def _tried(run: Run, key: str, name: str, rule: str, verdict: str | None, sentence: str, photos: tuple[str, ...],
           formula: str = "") -> Tried:
    """A check without a sum."""
    check = _check(run, key, name, rule, verdict or CANNOT_SAY, sentence, None, formula)
    return Tried(check, 0.0 if verdict == DOES_NOT_FIT else None, photos)


def _check(run: Run, key: str, name: str, rule: str, verdict: str, sentence: str, figure: Figure | None, formula: str,
           cautions: tuple[str, ...] = (), conditions: tuple[str, ...] = ()) -> Check:
    clause = cite(rule, run.edition)
    caution = " ".join(dict.fromkeys(filter(None, (number_doubt(clause), *cautions))))
    return Check(key, name, clause, verdict, sentence, figure, conditions, run.name, formula, caution)


def _figure(run: Run, key: str, name: str, rule: str, margin: float, formula: str) -> Figure:
    return Figure(f"interconnection.feeder_{run.number}_{key}_margin_a", f"Left for backfeed: {name[0].lower()}{name[1:]}, {run.name}",
                  margin, "A", formula=formula, sources=(cite(rule, run.edition),))
