"""The new source's own circuits as checks: the breaker, the maker's largest one, the branches, the combiner's busbar."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.describe.models import House
from reportgen.figures import Figure
from reportgen.interconnection.code_tables import TOLERANCE_A, busbar_ratings_a, cite, factor
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.source_circuit import Branches, SourceCircuit, branches_of, device_for, one_of_each
from reportgen.interconnection.tried import number_doubt
from reportgen.interconnection.wording import amps

ASK_MAKER = "Ask the seller for the data sheet of {}: the largest breaker that its maker allows."
ASK_CABLE = "Ask the seller for the maker's limit: how many units may hang on one branch cable."
PRACTICE = "Branch circuits of 20 A, and 80 % of a breaker for hours: common practice, no source."
COMBINER_2023 = ("From the edition of 2023 on, a small combiner or disconnect with a busbar falls under the busbar rules too.")
COMBINER_BEFORE = ("Before the edition of 2023 the words of this rule were held against panels that feed several circuits; the same "
                   "sum is made here for the combiner.")


@dataclass(frozen=True)
class CircuitChecks:
    checks: tuple[Check, ...]
    photos: tuple[str, ...]
    figures: tuple[Figure, ...]     # besides the margins of the checks


def circuit_checks(house: House, circuit: SourceCircuit) -> CircuitChecks:
    """Every check of the new source's own circuits, in the order in which an electrician sizes them."""
    if circuit.current_a is None:
        return CircuitChecks((), (), ())
    edition, units = house.electrical.edition, branches_of(house, circuit.current_a)
    checks, photos, devices = [], [], []
    if house.array.conversion == "module-level":
        if units is not None:
            found, asks = _branch_checks(units, edition)
            checks += found
            photos += asks
            devices = [factor("branch_breaker")] * (units.count or 0)
    else:
        for one in one_of_each(house, circuit):
            checks.append(_device_check(one, edition))
            maker, asks = _maker_check(one, edition)
            checks.append(maker)
            photos += asks
            devices += [device_for(one.output_a, edition)] * one.count
    figures: tuple[Figure, ...] = ()
    if len(devices) > 1 and None not in devices:
        combiner, figures = _combiner(devices, circuit, edition)
        checks.append(combiner)
    return CircuitChecks(tuple(checks), tuple(dict.fromkeys(photos)), figures)


def _device_check(one, edition: int) -> Check:
    """The next standard rating that is at least 1.25 × the output current."""
    by = factor("continuous_current")
    least, device = by * one.output_a, device_for(one.output_a, edition)
    clause = f"{cite('source_device', edition)}; {cite('standard_ratings', edition)}"
    words = f"{by:g} × {amps(one.output_a, 2)} = {amps(least, 2)}"
    if device is None:
        return Check("source_device", "Breaker for the source", clause, DOES_NOT_FIT, f"{words}, above the largest standard rating.",
                     None, (), one.name, "breaker ≥ 1.25 × output current", number_doubt(clause))
    margin = Figure(f"interconnection.{one.stem}_breaker_margin_a", f"Left on the breaker for {one.name}", device - least, "A",
                    formula=f"{amps(device)} − {amps(least, 2)} = {amps(device - least, 2)}", sources=(clause,))
    return Check("source_device", "Breaker for the source", clause, FITS, f"{words}; next standard rating {amps(device)}.", margin,
                 ("Each source has a breaker or fused disconnect of its own.",), one.name, "breaker ≥ 1.25 × output current",
                 number_doubt(clause))


def _maker_check(one, edition: int) -> tuple[Check, tuple[str, ...]]:
    """The breaker must not be larger than the inverter's maker allows."""
    key, name, formula = "maker_maximum", "Largest breaker the maker allows", "breaker ≤ the maker's largest"
    device, clause = device_for(one.output_a, edition), _by_the_maker(edition)
    if one.max_breaker_a is None:
        sentence = "The largest breaker that the maker allows is not known."
        return Check(key, name, clause, CANNOT_SAY, sentence, None, (), one.name, formula, number_doubt(clause)), (ASK_MAKER.format(one.name),)
    if device is None:
        return Check(key, name, clause, DOES_NOT_FIT, "No standard breaker is large enough.", None, (), one.name, formula), ()
    left = one.max_breaker_a - device
    fits = left >= -TOLERANCE_A
    sentence = (f"The breaker must be {amps(device)}; the maker allows at most {amps(one.max_breaker_a)}: "
                f"{f'{amps(max(left, 0.0))} left' if fits else f'{amps(-left)} too much'}.")
    margin = Figure(f"interconnection.{one.stem}_maker_margin_a", f"Left under the maker's largest breaker for {one.name}", left, "A",
                    formula=f"{amps(one.max_breaker_a)} − {amps(device)} = {amps(left)}", sources=(clause,))
    return Check(key, name, clause, FITS if fits else DOES_NOT_FIT, sentence, margin, (), one.name, formula, number_doubt(clause)), ()


def _by_the_maker(edition: int) -> str:
    return f"the maker's data sheet, made binding by {cite('maker_instructions', edition)}"


def _branch_checks(units: Branches, edition: int) -> tuple[tuple[Check, ...], tuple[str, ...]]:
    """Units on the fullest branch against 80 % of its breaker; and whether the maker's own limit is known."""
    key, name, where = "branch_loading", "Units on one branch circuit", "branch circuits of the units"
    formula, clause = "units × current of one ≤ 0.8 × branch breaker, and the maker's limit", cite("source_device", edition)
    limit = factor("branch_loading") * factor("branch_breaker")
    caution = " ".join(filter(None, (number_doubt(clause), PRACTICE)))
    if not units.count:
        check = Check(key, name, clause, CANNOT_SAY, f"One unit gives {amps(units.unit_a, 3)}, more than {amps(limit)} on a "
                      f"{amps(factor('branch_breaker'))} breaker. Read its current once more.", None, (), where, formula, caution)
        return (check,), ()
    fullest = units.fullest * units.unit_a
    branches = "1 branch" if units.count == 1 else f"{units.count} branches"
    sentence = (f"{units.units} units on {branches}, at most {units.most} each: {units.fullest} × {amps(units.unit_a, 3)} = "
                f"{amps(fullest, 2)}, at most {factor('branch_loading'):g} × {amps(factor('branch_breaker'))} = {amps(limit)}: "
                f"{amps(limit - fullest, 2)} left.")
    margin = Figure("interconnection.branch_margin_a", "Left on the fullest branch circuit", limit - fullest, "A",
                    formula=f"{amps(limit)} − {amps(fullest, 2)} = {amps(limit - fullest, 2)}", sources=(clause, PRACTICE))
    checks = (Check(key, name, clause, FITS, sentence, margin, (), where, formula, caution),)
    if units.maker_most is not None:
        return checks, ()
    unknown = Check("maker_maximum", "Units on one cable by the maker's limit", _by_the_maker(edition), CANNOT_SAY,
                    "The maker's limit for the cable is not known; where it is lower, more branches are needed.", None, (), where,
                    "units ≤ the maker's limit", number_doubt(_by_the_maker(edition)))
    return (*checks, unknown), (ASK_CABLE,)


def _combiner(devices: list[float], circuit: SourceCircuit, edition: int) -> tuple[Check, tuple[Figure, ...]]:
    """The smallest usual busbar that takes the breakers of all branches or inverters, by the all-breakers rule."""
    key, name, where = "combiner_busbar", "Busbar of the combiner", "combiner"
    clause, formula = cite("all_breakers", edition), "all breakers, without the main ≤ busbar; main ≤ busbar"
    total, main = sum(devices), circuit.device.value
    words = " + ".join(f"{devices.count(a)} × {amps(a)}" for a in dict.fromkeys(devices)) + f" = {amps(total)}"
    conditions = (COMBINER_2023 if edition and edition >= 2023 else COMBINER_BEFORE,
                  "Where each goes to the house's panel by itself instead, each needs two spaces there.")
    if main is None:
        return Check(key, name, clause, DOES_NOT_FIT, f"{words}; no standard breaker carries them all.", None, conditions, where,
                     formula, number_doubt(clause)), ()
    busbar = next((r for r in busbar_ratings_a() if r >= max(total, main) - TOLERANCE_A), None)
    if busbar is None:
        return Check(key, name, clause, CANNOT_SAY, f"{words}, above every usual busbar; an engineer plans it.", None, conditions,
                     where, formula, number_doubt(clause)), ()
    sentence = (f"{words}; its main would be {amps(main)}. The smallest usual busbar that takes both is {amps(busbar)}: "
                f"{amps(busbar - total)} left.")
    margin = Figure("interconnection.combiner_margin_a", "Left on the combiner's busbar", busbar - total, "A",
                    formula=f"{amps(busbar)} − {amps(total)} = {amps(busbar - total)}", sources=(clause,))
    figure = Figure("interconnection.combiner_busbar_a", "Smallest usual busbar for the combiner", busbar, "A",
                    formula=f"{words}; main {amps(main)}; next usual busbar {amps(busbar)}", sources=(clause,
                                                                                                     "usual busbars: as listed"))
    return Check(key, name, clause, FITS, sentence, margin, conditions, where, formula, number_doubt(clause)), (figure,)
