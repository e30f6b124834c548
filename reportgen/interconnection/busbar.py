"""The busbar rules of one panel: what each allows, with its numbers, and the largest inverter that would fit."""

from __future__ import annotations

from dataclasses import dataclass

from reportgen.figures import Figure, show
from reportgen.interconnection.code_tables import TOLERANCE_A, BusbarRule, busbar_rules, cite, editions, factor
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, Check
from reportgen.interconnection.wording import amps, digits_to_tell_apart, listed, lower


@dataclass(frozen=True)
class Panel:
    """One busbar and what feeds it. Currents are continuous outputs [A], before the factor of 1.25."""

    edition: int | None
    busbar_a: float
    main_breaker_a: float
    existing_a: tuple[float, ...]     # existing sources that count
    new_a: float | None               # the new inverters together; None where no size is known
    beside_the_main: bool             # where the new breaker would sit
    far_end_conditions: tuple[str, ...]   # further conditions of rules that need the far end
    cautions: tuple[str, ...]             # numbers to read once more, whatever the rule


def check_rule(panel: Panel, rule: BusbarRule) -> Check:
    """One rule against one panel; its verdict stands for the breaker where it is now."""
    clause = cite(rule.key, panel.edition)
    conditions = conditions_of(rule, panel.edition)
    if rule.position == "far end":
        conditions += panel.far_end_conditions
    conditions += panel.cautions
    if panel.new_a is None:
        return Check(rule.key, rule.name, clause, CANNOT_SAY, "No inverter size is known yet.", None, conditions)
    margin = margin_a(panel, rule)
    sentence = sum_sentence(panel, rule)
    verdict = FITS if margin >= -TOLERANCE_A else DOES_NOT_FIT
    if panel.beside_the_main and rule.position == "far end":
        sentence += (" But the breaker sits beside the main breaker, where this rule does not hold: it does not fit as "
                     "installed; it fits after moving to the far end." if verdict == FITS
                     else " Moving the breaker to the far end would not mend it.")
        verdict = DOES_NOT_FIT
    if panel.edition is None:
        verdict = CANNOT_SAY
        sentence += f" The sum is the same in the editions {listed([str(e) for e in editions()])}."
    return Check(rule.key, rule.name, clause, verdict, sentence, _margin_figure(panel, rule, margin), conditions)


def conditions_of(rule: BusbarRule, edition: int | None) -> tuple[str, ...]:
    """What must also hold under the rule and only the site shows, each clause with its edition."""
    load_calculation = cite("load_calculation", edition)
    return tuple(text.format(load_calculation=load_calculation) for text in rule.conditions)


def sum_sentence(panel: Panel, rule: BusbarRule) -> str:
    """The sum with its numbers: '200 A + 1.25 × 32 A = 240 A, at most 1.2 × 200 A = 240 A: 0 A left.'"""
    margin = margin_a(panel, rule)
    digits = digits_to_tell_apart(margin)
    limit = _limit(panel, rule)
    if rule.busbar_share != 1.0:
        limit += f" = {amps(rule.busbar_share * panel.busbar_a)}"
    total = (f"{amps(panel.main_breaker_a)} + {_sources_text(panel, digits)} = "
             f"{amps(panel.main_breaker_a + sources_a(panel), digits)}")
    if margin >= -TOLERANCE_A:
        return f"{total}, at most {limit}: {amps(max(margin, 0.0), digits)} left."
    return f"{total}, more than {limit}: {amps(-margin, digits)} too much."


def margin_a(panel: Panel, rule: BusbarRule) -> float:
    """What the rule leaves [A], by arithmetic alone; negative: what is missing."""
    return rule.busbar_share * panel.busbar_a - panel.main_breaker_a - sources_a(panel)


def largest_output_a(panel: Panel, rule: BusbarRule) -> float:
    """Largest continuous output of new inverters under the rule [A]; never below zero."""
    room = rule.busbar_share * panel.busbar_a - panel.main_breaker_a
    return max(0.0, room / factor("continuous_current") - sum(panel.existing_a))


def best_rule(panel: Panel, *, as_installed: bool) -> BusbarRule:
    """The rule that allows the most; as installed, a breaker beside the main may use only rules for any position."""
    open_rules = [rule for rule in busbar_rules()
                  if rule.position == "any" or not (as_installed and panel.beside_the_main)]
    return max(open_rules, key=lambda rule: largest_output_a(panel, rule))


def largest_figures(panel: Panel, volts: int, *, as_installed: bool) -> tuple[Figure, Figure]:
    """Largest inverter under the best rule: output current [A] and power [kW]."""
    rule = best_rule(panel, as_installed=as_installed)
    value = largest_output_a(panel, rule)
    tail, words = ("", "Largest inverter that would fit") if as_installed else (
        "_at_far_end", "Largest inverter that would fit with the breaker at the far end")
    sources = (f"{rule.name}: {cite(rule.key, panel.edition)}",)
    amperes = Figure(f"interconnection.largest_inverter{tail}_a", words, value, "A",
                     formula=_largest_formula(panel, rule, value), sources=sources)
    kilowatts = value * volts / 1000.0
    return amperes, Figure(f"interconnection.largest_inverter{tail}_kw", words, kilowatts, "kW",
                           formula=f"{amps(value)} × {volts} V / 1000 = {show(kilowatts, 'kW', 2)}", sources=sources)


def sources_a(panel: Panel) -> float:
    """1.25 × the continuous output of all sources [A]."""
    return factor("continuous_current") * (sum(panel.existing_a) + (panel.new_a or 0.0))


def _limit(panel: Panel, rule: BusbarRule) -> str:
    return amps(panel.busbar_a) if rule.busbar_share == 1.0 else f"{rule.busbar_share:g} × {amps(panel.busbar_a)}"


def _sources_text(panel: Panel, digits: int | None) -> str:
    parts = [amps(a, digits or 2) for a in (*panel.existing_a, panel.new_a)]   # 1.25 × 18.13 can be checked by hand
    inside = parts[0] if len(parts) == 1 else f"({' + '.join(parts)})"
    return f"{factor('continuous_current'):g} × {inside}"


def _margin_figure(panel: Panel, rule: BusbarRule, margin: float) -> Figure:
    digits = digits_to_tell_apart(margin)
    return Figure(f"interconnection.{rule.key}_margin_a", f"Left under the {lower(rule.name)}", margin, "A",
                  formula=f"{_limit(panel, rule)} − ({amps(panel.main_breaker_a)} + {_sources_text(panel, digits)})"
                          f" = {amps(margin, digits)}",
                  sources=(cite(rule.key, panel.edition),))


def _largest_formula(panel: Panel, rule: BusbarRule, value: float) -> str:
    top = f"({_limit(panel, rule)} − {amps(panel.main_breaker_a)}) / {factor('continuous_current'):g}"
    existing = "".join(f" − {amps(a)}" for a in panel.existing_a)
    room = (rule.busbar_share * panel.busbar_a - panel.main_breaker_a) / factor("continuous_current")
    exact = room - sum(panel.existing_a)
    if exact < -TOLERANCE_A:
        return f"{top}{existing} = {amps(exact)}, below zero: none fits"
    return f"{top}{existing} = {amps(value)}"
