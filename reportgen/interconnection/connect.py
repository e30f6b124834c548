"""From a house to its Connection: can the main panel take the inverter, by arithmetic, rule by rule.

The answer is never more than "fits by arithmetic": the adopted edition, local changes, the inspector, the utility and
a licensed electrician decide.
"""

from __future__ import annotations

from collections.abc import Collection

from reportgen.describe.models import House
from reportgen.figures import Figure, show
from reportgen.interconnection.busbar import (
    Panel,
    best_rule,
    check_rule,
    conditions_of,
    largest_figures,
    margin_a,
    sum_sentence,
)
from reportgen.interconnection.code_tables import TOLERANCE_A, busbar_rules, cite, editions, factor
from reportgen.interconnection.existing_sources import existing_sources, source_conditions
from reportgen.interconnection.findings import NEEDS_STOP_NOTE, busbar_below_main, cautions, findings
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS, BusbarSource, Check, Connection
from reportgen.interconnection.source_circuit import SourceCircuit, source_circuit
from reportgen.interconnection.ways import not_checked, ways_to_fit
from reportgen.interconnection.wording import amps, digits_to_tell_apart, listed, lower
from reportgen.sizing import with_inverter_totals

POSITION, INVERTER = "electrical.source_position", "array.inverter_kw"
POSITION_ASSUMED = ("Nobody has said where the solar breaker would sit; the far end was assumed. Look whether two "
                    "spaces opposite the main breaker are free, and take a photo.")
WHO_DECIDES = "The inspector, the utility and a licensed electrician decide."


def connect(house: House, assumed: Collection[str] = ()) -> Connection:
    """Every busbar rule on the main panel, the verdict, and the largest inverter that would fit.

    `house` should be `complete`d and have its inverter size (``array.inverter_kw`` or ``array.inverter_a``); without a
    size the verdict is "cannot say" and the largest inverter is still given. `assumed`: paths that were filled in
    rather than said; ``electrical.source_position`` and ``array.inverter_kw`` matter here. Raises nothing for facts that are missing.
    """
    house = with_inverter_totals(house)
    reason = _why_not_judged(house)
    if reason:
        return _not_judged(house, reason)
    circuit = source_circuit(house)
    sources, source_figures = existing_sources(house.electrical.sources)
    new = BusbarSource("the new array", circuit.device.value or 0.0, circuit.current_a or 0.0,
                       house.electrical.source_position or "not known", True, True)
    if None in (house.electrical.busbar_a, house.electrical.main_breaker_a) or busbar_below_main(house):
        panel, checks = None, _checks_without_sums(house, circuit)
    else:
        panel = _panel(house, circuit, [s.output_a for s in sources if s.counts], assumed)
        checks = tuple(check_rule(panel, rule) for rule in busbar_rules())
    largest, largest_kw, more = _largest(house, panel)
    verdict, sentence = _verdict(house, circuit, panel, checks, largest, largest_kw, assumed)
    stops = sorted({s.kind for s in house.electrical.sources} & set(NEEDS_STOP_NOTE), reverse=True)
    if stops:
        sentence += (f" Stop: a {' and a '.join(stops)} {'is' if len(stops) == 1 else 'are'} on this panel; an electrician "
                     "looks at that first.")
    figures = (circuit.current, circuit.device, *circuit.each, *circuit.branches, *source_figures,
               *(c.margin_a for c in checks if c.margin_a), largest, largest_kw, *more)
    known = tuple(f for f in figures if f.value is not None)
    ways = ways_to_fit(panel, largest, largest_kw) if verdict == DOES_NOT_FIT else ()
    return Connection(True, verdict, sentence, house.electrical.edition, house.electrical.busbar_a,
                      house.electrical.main_breaker_a, circuit.current, circuit.device, largest, largest_kw,
                      (*sources, new), checks, findings(house), known, ways, not_checked(house.electrical.edition))


def _why_not_judged(house: House) -> str:
    if not house.place.in_us:
        return ("This house is outside the United States, and the rules held here are United States rules. Nothing is "
                "said about its panel, breakers or wires: the local rules and a licensed electrician there decide.")
    part, service_a = (("main breaker", house.electrical.main_breaker_a) if house.electrical.main_breaker_a is not None
                       else ("busbar", house.electrical.busbar_a))
    if service_a is not None and service_a > factor("largest_service"):
        return (f"The {part} is rated {amps(service_a)}. Services above {amps(factor('largest_service'))} are "
                "planned by an electrical engineer, so nothing is said about its panel, breakers or wires.")
    return ""


def _not_judged(house: House, reason: str) -> Connection:
    nothing = {key: Figure(f"interconnection.{key}", label, None, unit) for key, label, unit in (
        ("source_current_a", "Output current of the new inverters", "A"),
        ("source_device_a", "Breaker for the new source", "A"),
        ("largest_inverter_a", "Largest inverter that would fit", "A"),
        ("largest_inverter_kw", "Largest inverter that would fit", "kW"))}
    return Connection(False, CANNOT_SAY, reason, None, house.electrical.busbar_a, house.electrical.main_breaker_a,
                      nothing["source_current_a"], nothing["source_device_a"], nothing["largest_inverter_a"],
                      nothing["largest_inverter_kw"], (), (), (), ())


def _panel(house: House, circuit: SourceCircuit, existing_a: list[float], assumed: Collection[str]) -> Panel:
    conditions = source_conditions(house.electrical.sources)
    if POSITION in assumed or house.electrical.source_position is None:
        conditions = (POSITION_ASSUMED, *conditions)
    electrical = house.electrical
    return Panel(electrical.edition, electrical.busbar_a, electrical.main_breaker_a, tuple(existing_a),
                 circuit.current_a, electrical.source_position == "beside the main", conditions,
                 cautions(house, circuit))


def _checks_without_sums(house: House, circuit: SourceCircuit) -> tuple[Check, ...]:
    edition = house.electrical.edition
    why = ("The busbar is rated below its main breaker, so no sum is made." if busbar_below_main(house)
           else "No sum is made without the busbar's rating and the main breaker's.")
    return tuple(Check(rule.key, rule.name, cite(rule.key, edition), CANNOT_SAY, why, None,
                       conditions_of(rule, edition) + cautions(house, circuit)) for rule in busbar_rules())


def _largest(house: House, panel: Panel | None) -> tuple[Figure, Figure, tuple[Figure, ...]]:
    """Largest inverter as installed [A], [kW]; and, for a breaker beside the main, the same at the far end."""
    label, volts = "Largest inverter that would fit", house.electrical.service_v or 240
    if panel is None:
        return (Figure("interconnection.largest_inverter_a", label, None, "A"),
                Figure("interconnection.largest_inverter_kw", label, None, "kW"), ())
    more = largest_figures(panel, volts, as_installed=False) if panel.beside_the_main else ()
    return (*largest_figures(panel, volts, as_installed=True), more)


def _missing(house: House, circuit: SourceCircuit) -> tuple[list[str], list[str]]:
    """What is not known, and whom to ask or which photo to take for each."""
    panel, facts, asks = house.electrical, [], []
    for value, fact, ask in (
        (panel.busbar_a, "the busbar's rating",
         "take a photo of the label inside the panel's door; it names the busbar"),
        (panel.main_breaker_a, "the main breaker's rating", "take a photo of the number on the main breaker's handle"),
        (panel.edition, "the adopted edition of the National Electrical Code",
         "ask the building office which one holds"),
        (circuit.current_a, "the inverter's size", "ask the seller for the inverter's data sheet"),
    ):
        if value is None:
            facts.append(fact)
            asks.append(ask)
    return facts, asks


def _verdict(house: House, circuit: SourceCircuit, panel: Panel | None, checks: tuple[Check, ...],
             largest: Figure, largest_kw: Figure, assumed: Collection[str]) -> tuple[str, str]:
    if busbar_below_main(house):
        return CANNOT_SAY, (f"Cannot say: the busbar's rating of {amps(house.electrical.busbar_a)} is below its main "
                            f"breaker of {amps(house.electrical.main_breaker_a)}. "
                            "An electrician looks at the panel first.")
    facts, asks = _missing(house, circuit)
    if facts:
        known = f" {_sums_without_edition(panel, checks)}" if panel and panel.new_a is not None else ""
        return CANNOT_SAY, f"Cannot say without {listed(facts)}: {listed(asks)}.{known}"
    size = _size(house, circuit, panel, assumed)
    passed = [rule for rule, check in zip(busbar_rules(), checks, strict=True) if check.verdict == FITS]
    if passed:
        rule = passed[0]  # the table's order: the rule with the fewest conditions first
        where = ""
        if rule.position == "far end":
            assumed = ", which was assumed" if POSITION_ASSUMED in panel.far_end_conditions else ""
            where = f" with the breaker at the far end of the busbar{assumed}"
        return FITS, (f"{size} fit by arithmetic{where}, under the {_cited(rule.key, checks)}: "
                      f"{sum_sentence(panel, rule)} {WHO_DECIDES}")
    return DOES_NOT_FIT, _does_not_fit(size, panel, checks, largest, largest_kw)


def _size(house: House, circuit: SourceCircuit, panel: Panel, assumed: Collection[str]) -> str:
    digits = digits_to_tell_apart(margin_a(panel, best_rule(panel, as_installed=False)))
    volts = house.electrical.service_v or 240
    kilowatts = house.array.inverter_kw if house.array.inverter_kw is not None else circuit.current_a * volts / 1000.0
    read = " by the data sheet" if house.array.inverter_a is not None else ""
    size = f"New inverters of {show(kilowatts, 'kW')} ({amps(circuit.current_a, digits)}{read}, {volts} V)"
    return size + (", a size that was assumed," if INVERTER in assumed and not read else "")


def _does_not_fit(size: str, panel: Panel, checks: tuple[Check, ...], largest: Figure, largest_kw: Figure) -> str:
    rule = best_rule(panel, as_installed=False)
    reason = f"{_cited(rule.key, checks)}: {sum_sentence(panel, rule)}"
    most = ("No new inverter fits this panel as it is." if largest.value == 0
            else f"The largest that would fit as installed gives {largest.text()} ({largest_kw.text()}).")
    if panel.beside_the_main and margin_a(panel, rule) >= -TOLERANCE_A:
        return (f"{size} do not fit as installed, with the breaker beside the main breaker; by arithmetic they fit "
                f"after moving to the far end, under the {reason} {most} {WHO_DECIDES}")
    return f"{size} do not fit under the two rules checked; the more generous is the {reason} {most}"


def _sums_without_edition(panel: Panel, checks: tuple[Check, ...]) -> str:
    """The arithmetic of the rule that allows the most, marked as arithmetic; in every known edition it is the same."""
    rule = best_rule(panel, as_installed=True)
    would = "would fit" if margin_a(panel, rule) >= -TOLERANCE_A else "would not fit"
    known = listed([str(e) for e in editions()])
    return (f"As arithmetic alone, which is the same in the editions {known}, it {would} under "
            f"the {lower(rule.name)}: {sum_sentence(panel, rule)}")


def _cited(key: str, checks: tuple[Check, ...]) -> str:
    check = next(c for c in checks if c.key == key)
    return f"{lower(check.name)} ({check.clause})"
