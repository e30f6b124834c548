"""Numbers that do not go together, and sources that need a stop note.

Findings stop everything until an electrician has looked; cautions are numbers to read once more.
"""

from __future__ import annotations

from reportgen.describe.electrical import Panel, SourceBreaker
from reportgen.describe.models import House
from reportgen.figures import show
from reportgen.interconnection.code_tables import TOLERANCE_A, busbar_ratings_a, factor, standard_ratings_a
from reportgen.interconnection.existing_sources import NOT_COUNTED
from reportgen.interconnection.path import device_of
from reportgen.interconnection.source_circuit import SourceCircuit, unit_count, units_per_branch
from reportgen.interconnection.wording import amps

DATA_SHEET_SLACK = 0.98
"""A printed current may round down a little; further below power / voltage one of the numbers is misread."""


def panels_below_main(house: House) -> tuple[Panel, ...]:
    """Panels whose busbar is rated below the device that protects it; a label is easily misread."""
    return tuple(p for p in house.electrical.chain if p.main != "split bus" and p.busbar_a is not None
                 and device_of(p) is not None and p.busbar_a < device_of(p) - TOLERANCE_A)


def findings(house: House) -> tuple[str, ...]:
    """What an electrician looks at before anything else, as plain sentences."""
    found = [_below_main(house, panel) for panel in panels_below_main(house)]
    for source in house.electrical.all_sources:
        if source.kind == "generator":
            found.append(_generator(source))
        elif source.kind == "battery":
            found.append(f"Stop: {source.name} is a battery. Battery, array and grid must be planned together; the "
                         "sums here count its output current and nothing else. An electrician decides.")
        if breaker_too_small(source):
            found.append(f"The breaker of {source.name} is {amps(source.breaker_a)}, its output "
                         f"{amps(source.output_a)}: 1.25 × the output is more than the breaker. One of the two "
                         "numbers may be misread; an electrician looks first.")
    return tuple(found)


def _below_main(house: House, panel: Panel) -> str:
    several = len(house.electrical.chain) > 1
    device = "main breaker" if panel.main_breaker_a is not None else "protecting breaker upstream"
    return (f"The busbar{f' of the {panel.name}' if several else ''} is given as {amps(panel.busbar_a)}, less than its {device} of "
            f"{amps(device_of(panel))}. Perhaps the label was misread; perhaps the busbar is not "
            "protected. An electrician looks at this first, whatever becomes of the array.")


def _generator(source: SourceBreaker) -> str:
    if source.interlocked is False:
        return (f"Stop: {source.name} is a generator, and nothing holds it apart from the grid by the house file: no interlock and "
                "no transfer switch. Its power can then reach the wires in the street, where people work. It must not run "
                "like that; an electrician puts this right before anything else is done. Its current is left out of the sums.")
    asked = ("" if source.interlocked else " Whether it has a listed transfer switch or interlock, nobody has said.")
    return (f"Stop: {source.name} is a generator. With the main breaker off and the generator on, the "
            "array must be kept off the generator, and an interlock on the main breaker alone does not do that: both would feed "
            "the same busbar. Remedies are a connection ahead of the main breaker, or a contactor or transfer switch that drops the "
            "array. Its current is left out of the sums because a "
            "transfer switch or interlock must hold it apart from the grid; an electrician checks all of this "
            f"before anything else is done.{asked}")


def cautions(house: House, circuit: SourceCircuit) -> tuple[str, ...]:
    """Numbers to read once more before the verdict is trusted, as plain sentences."""
    array, volts, found = house.array, house.electrical.service_v, []
    for panel in house.electrical.chain:
        if panel.busbar_a is not None and panel.busbar_a not in busbar_ratings_a():
            found.append(f"A busbar of {amps(panel.busbar_a)} is not a usual rating. Read the panel's label once more.")
        if panel.main_breaker_a is not None and panel.main_breaker_a not in standard_ratings_a(house.electrical.edition):
            found.append(f"A main breaker of {amps(panel.main_breaker_a)} is not a standard rating. "
                         "Read its handle once more.")
    if array.inverter_a is not None and array.inverter_kw is not None and volts is not None:
        computed = array.inverter_kw * 1000.0 / volts
        if array.inverter_a < DATA_SHEET_SLACK * computed:
            found.append(f"The inverter is given as {amps(array.inverter_a)}, but {show(array.inverter_kw, 'kW')} at "
                         f"{volts} V is {amps(computed)}. One of the two may be misread; the sums use the first.")
    if volts == 208 and array.inverter_a is None and array.inverter_kw is not None:
        found.append("The service is 208 V, where many inverters give less power than at 240 V. Read the current at "
                     "208 V from the data sheet; here it was worked out from the power.")
    if circuit.current_a is not None and circuit.device.value is None:
        found.append("The breaker for the new source would be larger than any standard rating in the table.")
    if circuit.branches and units_per_branch(circuit.current_a / unit_count(house)) == 0:
        found.append(f"One module-level unit gives more current than a {amps(factor('branch_breaker'))} branch circuit "
                     "may carry for hours. Read its current and the number of modules once more.")
    return tuple(dict.fromkeys(found))


def breaker_too_small(source: SourceBreaker) -> bool:
    """Whether 1.25 × the output is more than the source's own breaker: one of the two numbers may be misread."""
    return (source.kind not in NOT_COUNTED and source.output_a is not None
            and factor("continuous_current") * source.output_a > source.breaker_a + TOLERANCE_A)
