"""Strings: how many modules in a row each inverter may have, and whether the roof's modules can be strung so.

The answer is never more than "fits by arithmetic": the makers' instructions, the inspector and a licensed electrician
decide.
"""

from __future__ import annotations

from dataclasses import replace

from reportgen.describe.models import House
from reportgen.figures import Figure, show, show_input
from reportgen.interconnection.code_tables import cite, editions, factor
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check, StringPlan
from reportgen.interconnection.source_circuit import unit_count
from reportgen.interconnection.string_checks import OnInverter, Strung, cold_check, count_range, hot_check, layout_check
from reportgen.interconnection.string_currents import Found, current_checks
from reportgen.interconnection.string_voltage import (
    ASK_SYSTEM_V,
    Ask,
    Limit,
    ModuleVoltage,
    cold_of,
    hot_of,
    limits_of,
)
from reportgen.interconnection.wording import listed
from reportgen.production.faces import share_modules

READ_INPUT = ("Read on the inverter's data sheet: the highest input voltage, the lowest voltage at which it starts or "
              "follows the power, the number of inputs (MPPT), and for one input the strings, the operating and the "
              "short-circuit current.")
ASK_INPUT: Ask = ("the inverter's DC side", READ_INPUT)
ASK_EDITION: Ask = ("the adopted edition of the National Electrical Code",
                    "Ask the building office which edition of the National Electrical Code holds.")
ASK_MAKER = "Read in the instructions of the converters' maker how few and how many modules a string may have."
MAKER_DECIDES = ("Cannot say: each module has a DC-to-DC converter, and the string limits of its maker hold instead of "
                 "sums made here.")
LISTING = ("The output of the converters follows their listing and their maker's instructions, so no string is worked "
           "out here.")


def string_plans(house: House) -> tuple[StringPlan, ...]:
    """One plan for each kind of inverter; () for module-level units, and where the Code's rules are not judged here.

    `house` should be `complete`d, with the modules on its faces. Missing facts give "cannot say", never an error.
    """
    edition, kind = house.electrical.edition, house.building.kind
    is_judged = house.place.in_us and kind != "three families or more" and edition in (None, *editions())
    if house.array.conversion == "module-level" or not is_judged:
        return ()
    cold, hot = cold_of(house), hot_of(house)
    return tuple(_plan(house, one, cold, hot) for one in _inverters(house))


def _inverters(house: House) -> tuple[OnInverter, ...]:
    counts = None if unit_count(house) is None else [share.module_count for share in share_modules(house)]
    inverters = house.array.inverters
    if not inverters:
        everything = _groups(house, counts, [True] * len(house.roof))
        return (OnInverter(1, "the inverter", 1, house.array.inverter_input, everything, False),)
    named = {name for inverter in inverters for name in inverter.faces or ()}
    takes = [[face.name in inverter.faces if inverter.faces is not None else face.name not in named
              for face in house.roof] for inverter in inverters]
    takers = [sum(taken) for taken in zip(*takes, strict=True)]
    names, found = [inverter.name for inverter in inverters], []
    for number, (inverter, taken) in enumerate(zip(inverters, takes, strict=True), start=1):
        name = inverter.name if names.count(inverter.name) == 1 else f"{inverter.name} {number}"
        is_shared = any(t and takers[i] > 1 and (counts is None or counts[i]) for i, t in enumerate(taken))
        found.append(OnInverter(number, name, inverter.count, inverter.input, _groups(house, counts, taken), is_shared))
    return tuple(found)


def _groups(house: House, counts: list[int] | None, taken: list[bool]) -> tuple[tuple[str, int], ...] | None:
    """Faces of one direction and slope may share a string, others may not. Source: common practice, no source."""
    if counts is None:
        return None
    found: dict[tuple[float, float], tuple[list[str], int]] = {}
    for face, count, takes in zip(house.roof, counts, taken, strict=True):
        if takes and count:
            key = (round(face.facing_deg, 3), round(face.tilt_deg, 3))
            names, total = found.get(key, ([], 0))
            found[key] = ([*names, face.name], total + count)
    return tuple((listed(names), total) for names, total in found.values())


def _plan(house: House, one: OnInverter, cold: ModuleVoltage, hot: ModuleVoltage) -> StringPlan:
    if house.array.dc_converters:
        return _makers_plan(house, one, cold)
    limit = limits_of(house, one.dc_side)[0]
    missing: list[Ask] = [] if house.electrical.edition is not None else [ASK_EDITION]
    by_voltage, most = cold_check(house, one, cold, limit)
    checks, fewest = [by_voltage], None
    missing += cold.missing
    if house.building.kind == "other building" and house.array.module_max_system_v is None:
        missing.append(ASK_SYSTEM_V)
    if one.dc_side is None:
        missing.append(ASK_INPUT)
    else:
        by_voltage, fewest = hot_check(one, hot)
        checks.append(by_voltage)
        missing += hot.missing
    strung = layout_check(one, most and int(most.value), fewest and int(fewest.value), cold, limit)
    currents = current_checks(house, one.number, one.where, one.dc_side, strung.side_by_side)
    missing += (*strung.missing, *currents.missing)
    checks += (strung.check, *currents.checks)
    figures = (fewest, most, *_voltage_figures(one, cold, hot, limit))
    return _settled(one, tuple(checks), strung, tuple(dict.fromkeys(missing)), figures, currents)


def _makers_plan(house: House, one: OnInverter, cold: ModuleVoltage) -> StringPlan:
    known = f" One module on the coldest morning: {cold.formula}." if cold.v is not None else ""
    check = Check("string_converters", "Strings with a converter at each module",
                  cite("string_converters", house.electrical.edition), CANNOT_SAY, LISTING + known, None, (), one.where)
    return StringPlan(one.name, CANNOT_SAY, MAKER_DECIDES, None, None, one.faces, (check,), (ASK_MAKER,))


def _settled(one: OnInverter, checks: tuple[Check, ...], strung: Strung, missing: tuple[Ask, ...],
             figures: tuple[Figure | None, ...], currents: Found) -> StringPlan:
    fewest, most = figures[:2]
    failed = next((check for check in checks if check.verdict == DOES_NOT_FIT), None)
    lengths = None if None in (fewest, most) else count_range(int(fewest.value), int(most.value))
    if ASK_EDITION in missing:
        checks = tuple(replace(check, verdict=CANNOT_SAY) for check in checks)
    if failed is not None and ASK_EDITION not in missing:
        verdict, sentence = DOES_NOT_FIT, f"Does not fit: {failed.sentence}"
    elif missing:
        verdict = CANNOT_SAY
        sentence = f"Cannot say without {listed([fact for fact, _ in missing])}."
        sentence += _what_is_known(strung, most, lengths, failed)
    elif not strung.faces:
        verdict, sentence = FITS, "No modules hang on it."
    else:
        verdict = FITS
        sentence = (f"Strings of {lengths} modules fit by arithmetic, and the roof can be strung so: "
                    f"{'; '.join(strung.faces)}.")
    margins = (check.margin_a for check in checks)
    named = tuple(replace(figure, label=f"{figure.label} ({one.where})")
                  for figure in (*figures, *currents.figures, *margins) if figure and figure.value is not None)
    return StringPlan(one.name, verdict, sentence, fewest, most, strung.faces, checks,
                      tuple(ask for _, ask in missing), named)


def _what_is_known(strung: Strung, most: Figure | None, lengths: str | None, failed: Check | None) -> str:
    if failed is not None:
        return f" As arithmetic alone it does not fit: {failed.sentence}"
    if most is None:
        return ""
    if lengths is None:
        return f" By what is known, a string has at most {most.text()}{most.label.partition(', at most')[2]}."
    is_strung = strung.check.margin_a is not None
    return f" By voltage, strings of {lengths} modules fit.{f' {strung.check.sentence}' if is_strung else ''}"


def _voltage_figures(one: OnInverter, cold: ModuleVoltage, hot: ModuleVoltage, limit: Limit) -> tuple[Figure, ...]:
    rises = " and ".join(show(factor(key), "K") for key in ("string_cell_rise_high", "string_cell_rise_low"))
    return (Figure(f"{one.key}_cold_v", "One module on the coldest morning, open circuit", cold.v, "V",
                   formula=cold.formula, sources=cold.sources),
            Figure(f"{one.key}_hot_v", "One module on the hottest afternoon, at full power", hot.v, "V", hot.v,
                   hot.mild_v, hot.formula, hot.sources, f"cells {rises} above the air"),
            Figure(f"{one.key}_limit_v", "Highest voltage that a string may have", limit.v, "V",
                   formula=f"{show_input(limit.v, 'V')}: {limit.words}", sources=(limit.source,)))
