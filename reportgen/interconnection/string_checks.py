"""The checks of one inverter's strings by voltage, and whether the roof's modules can be strung so."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from reportgen.describe.equipment import InverterInput
from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.code_tables import cite
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.string_layout import Inputs, OnTracker, fewest_trackers, in_words, nearby, split_all
from reportgen.interconnection.string_voltage import (
    INVERTER_SHEET,
    NO_SOURCE,
    Ask,
    Limit,
    ModuleVoltage,
    example_of,
    fewest_modules,
    most_modules,
    not_known,
    volts,
)

ASK_COUNT: Ask = ("the number of modules on each face", "Count the modules on each face in the seller's drawing.")
ASK_SHARE: Ask = ("how the modules of a face are shared between the inverters",
                  "Ask the seller which modules go to which inverter.")
SECOND_HAND = "For the 2023 edition the limit was seen on a secondary page alone, not in the Code's own text."
AGEING = "Modules lose a little voltage with the years; a module more than the fewest leaves room for that."


@dataclass(frozen=True)
class OnInverter:
    """One kind of inverter with what hangs on it."""

    number: int
    name: str
    count: int
    dc_side: InverterInput | None
    groups: tuple[tuple[str, int], ...] | None    # faces of one direction and slope, and their modules; None: not known
    is_shared: bool                               # another kind of inverter names one of its faces too

    @property
    def where(self) -> str:
        return f"strings of {self.name}"

    @property
    def key(self) -> str:
        return f"interconnection.string_{self.number}"

    @property
    def faces(self) -> tuple[str, ...]:
        return tuple(f"{name}, {modules(count)}" for name, count in self.groups or ())


@dataclass(frozen=True)
class Strung:
    check: Check
    faces: tuple[str, ...]                        # in words
    side_by_side: int = 1                         # most strings on one input
    missing: tuple[Ask, ...] = ()


def cold_check(house: House, one: OnInverter, cold: ModuleVoltage, limit: Limit) -> tuple[Check, Figure | None]:
    """The check on the coldest morning, and the most modules that a string may have."""
    edition = house.electrical.edition
    check = partial(Check, "string_cold", "Highest voltage of a string, on the coldest morning",
                    f"{cite('string_voltage', edition)}; {cite('string_limit', edition)}", margin_a=None,
                    where=one.where, caution=SECOND_HAND if edition in (None, 2023) else "",
                    formula="modules × Voc on the coldest morning ≤ the lowest limit; whole modules, rounded down")
    if cold.v is None:
        return check(verdict=CANNOT_SAY, sentence=not_known(cold.missing) + _example(house, one, limit), conditions=()), None
    count = most_modules(limit.v, cold.v)
    sums = f"{volts(limit.v)} / {volts(cold.v)} = {limit.v / cold.v:.2f}, rounded down {count}"
    most = Figure(f"{one.key}_most", "Modules a string, at most" + ("" if one.dc_side else f", by {limit.words} alone"),
                  float(count), "modules", formula=sums, sources=(*cold.sources, limit.source))
    conditions = cold.conditions
    if house.array.module_max_system_v is None:
        needs = f"The module's maximum system voltage must be at least {volts(limit.v)}: read it on the data sheet."
        conditions = (*conditions, needs)
    return check(verdict=FITS if count else DOES_NOT_FIT, conditions=conditions, sentence=(
        f"One module: {cold.formula}. Limit: {limit.words}, {volts(limit.v)}. {sums}.")), most


def _example(house: House, one: OnInverter, limit: Limit) -> str:
    example = example_of(house)
    if example is None:
        return ""
    v, formula = example
    most = most_modules(limit.v, v)
    longest = max((count for _, count in one.groups or ()), default=0)
    too_long = f" With such a module one string of {longest} is impossible." if longest > most else ""
    return f" As an example alone, which decides nothing: {formula}, so {most} under {volts(limit.v)}.{too_long}"


def hot_check(one: OnInverter, hot: ModuleVoltage) -> tuple[Check, Figure | None]:
    """The check on the hottest afternoon, and the fewest modules that a string may have. `one` has its DC side."""
    check = partial(Check, "string_hot", "Lowest voltage of a string, on the hottest afternoon",
                    f"{INVERTER_SHEET}; {NO_SOURCE}", margin_a=None, where=one.where,
                    formula="modules × Vmp with hot cells ≥ the inverter's lowest voltage; whole modules, rounded up")
    if hot.v is None:
        return check(verdict=CANNOT_SAY, sentence=not_known(hot.missing), conditions=()), None
    if hot.v <= 0:
        return check(verdict=DOES_NOT_FIT, conditions=(), sentence=(
            f"One module: {hot.formula}; no string reaches the inverter's lowest voltage. Read the data sheet's "
            "coefficient once more.")), None
    least = one.dc_side.min_v
    count = fewest_modules(least, hot.v)
    sums = f"{volts(least)} / {volts(hot.v)} = {least / hot.v:.2f}, rounded up {count}"
    fewest = Figure(f"{one.key}_fewest", "Modules a string, at least", float(count), "modules", formula=sums,
                    sources=(INVERTER_SHEET, *hot.sources))
    return check(verdict=FITS, conditions=(AGEING,), caution=" ".join(hot.cautions), sentence=(
        f"One module: {hot.formula}. The inverter needs {volts(least)}, the higher of the voltage at which it starts and the "
        f"lowest at which it follows the power (MPPT). {sums}.")), fewest


def layout_check(one: OnInverter, most: int | None, fewest: int | None, cold: ModuleVoltage, limit: Limit) -> Strung:
    """Whether the modules on its faces can be strung. `most`, `fewest`: modules a string; None: not known."""
    check = partial(Check, "string_layout", "The roof's modules in strings", NO_SOURCE, conditions=(), where=one.where,
                    formula="strings of one length on an input; faces of another direction or slope on another input")

    def cannot(sentence: str, *missing: Ask) -> Strung:
        return Strung(check(CANNOT_SAY, sentence, None), one.faces, missing=missing)

    if one.groups is None:
        return cannot("Not known: the modules on each face.", ASK_COUNT)
    if one.dc_side is None or most is None:
        return cannot("Not known: how many modules a string may have.")
    if one.is_shared:
        return cannot("Several kinds of inverter share a face; the modules that each takes are not known.", ASK_SHARE)
    if not one.groups:
        return Strung(check(FITS, "No modules hang on it.", None), ())
    inputs = Inputs(fewest or 1, most, one.dc_side.trackers * one.count, one.dc_side.strings_per_tracker, one.count)
    if inputs.most < inputs.fewest:
        narrow = (f"A string needs at least {modules(inputs.fewest)} and may have at most {inputs.most}: no length is "
                  "right.")
        return Strung(check(DOES_NOT_FIT, narrow, None), one.faces)
    splits = split_all([count for _, count in one.groups], inputs)
    if splits is None:
        sentence, faces = _why_not(one, inputs)
        return Strung(check(DOES_NOT_FIT, sentence, None), faces)
    if fewest is None:
        return cannot("Not known: how few modules a string may have.")
    faces = tuple(f"{face}: {in_words(split)}" for face, split in zip(one.faces, splits, strict=True))
    on_inputs = [on for split in splits for on in split]
    longest, margin = _longest(one, on_inputs, cold.v, limit)
    return Strung(check(FITS, f"{'; '.join(faces)}. {longest}", margin), faces, max(on.strings for on in on_inputs))


def _longest(one: OnInverter, on_inputs: list[OnTracker], module_v: float, limit: Limit) -> tuple[str, Figure]:
    longest = max(on.length for on in on_inputs)
    string_v = longest * module_v
    sums = f"{longest} × {volts(module_v)} = {volts(string_v)}"
    return f"The longest string: {sums}, at most {volts(limit.v)}.", Figure(
        f"{one.key}_margin_v", "Left under the voltage limit by the longest string", limit.v - string_v, "V",
        formula=f"{sums}; {volts(limit.v)} − {volts(string_v)} = {volts(limit.v - string_v)}")


def _why_not(one: OnInverter, inputs: Inputs) -> tuple[str, tuple[str, ...]]:
    """What stands in the way, and each face with its own answer."""
    lines, stuck, needed = [], [], 0
    for face, (_, count) in zip(one.faces, one.groups, strict=True):
        trackers = fewest_trackers(count, inputs)
        if trackers is None:
            near = " or ".join(str(n) for n in nearby(count, inputs))
            works = f"; {near} {'module' if near == '1' else 'modules'} would" if near else ""
            stuck.append(f"{face}: can't be put into strings{works}")
            lines.append(stuck[-1])
        else:
            needed += trackers
            lines.append(f"{face}: at least {_inputs(trackers)}")
    if stuck:
        sentence = (f"{'; '.join(stuck)}. A string has {count_range(inputs.fewest, inputs.most)} modules, on "
                    f"{_inputs(inputs.trackers)} with at most {inputs.side_by_side} side by side.")
    else:
        there = f"there {'is' if inputs.trackers == 1 else 'are'} {inputs.trackers}"
        sentence = (f"The faces need at least {_inputs(needed)}, since strings of different directions or slopes do "
                    f"not share one, and {there}.")
    return sentence, tuple(lines)


def modules(count: int) -> str:
    return f"{show(count, '', 0)} {'module' if count == 1 else 'modules'}"


def count_range(fewest: int, most: int) -> str:
    return str(fewest) if fewest == most else f"{fewest} to {most}"


def _inputs(count: int) -> str:
    return f"{count} {'input' if count == 1 else 'inputs'}"
