"""What the one-line diagram says beside each symbol: ratings as read, "not known" where nobody has read them."""

from __future__ import annotations

from reportgen.assessment import Assessment
from reportgen.describe.conductor import Conductor
from reportgen.describe.models import House
from reportgen.figures import Figure, show, show_input
from reportgen.interconnection.result import DOES_NOT_FIT, BusbarSource, Connection, PanelFound, StringPlan
from reportgen.production.result import InverterShare
from reportgen.report.charts.lettering import room, shortened
from reportgen.report.charts.ratings import amps, rated
from reportgen.report.shared_faces import SHARED, split_is_known
from reportgen.sizing import module_total

PLACES = {"far end": "at the far end", "beside the main": "beside the main", "between": "between main and far end",
          "both ends": "at an end of a busbar fed at its centre", "not known": "place not known"}
MOST_FACES = 2


def figure_words(connection: Connection, key: str) -> str:
    """The Figure of this key as text, '' where it was not worked out."""
    found = figure_of(connection, key)
    return found.text() if found is not None and found.value is not None else ""


def figure_of(connection: Connection, key: str) -> Figure | None:
    return next((f for f in connection.figures if f.key == f"interconnection.{key}"), None)


def wire_words(name: str, wire: Conductor | None) -> str:
    """'wires to the breaker: 10 AWG copper, 60 ft'."""
    parts = []
    if wire is not None:
        size = f"{wire.size} AWG" if wire.size else ""
        parts = [" ".join(p for p in (size, wire.metal or "") if p), show(wire.feet, "ft", 0) if wire.feet else ""]
    said = ", ".join(part for part in parts if part)
    return f"{name}: {said or 'not known'}"


def module_count(house: House) -> int | None:
    """None where neither modules nor their power are written."""
    array = house.array
    known = array.module_count is not None or any(face.module_count is not None for face in house.roof)
    return module_total(house) if known or (array.array_kw is not None and array.module_w is not None) else None


def array_words(assessment: Assessment, share: InverterShare | None, most: float) -> str:
    """'14 modules, 5.6 kW DC: south roof'; of the whole array where `share` is None."""
    counts = {face.name: face.module_count or 0 for face in assessment.house.roof}
    if share is None:
        count, dc_kw = module_count(assessment.house), assessment.production.dc_kw
        names = [name for name in counts if counts[name]]
    else:
        names, dc_kw = list(share.faces), share.dc_kw
        if not split_is_known(names, assessment.production.inverters):
            return f"modules: {SHARED}"
        count = sum(counts.get(name, 0) for name in names)
    size = f"{count} {'module' if count == 1 else 'modules'}, " if count else ""
    start, where = f"{size}{show_input(round(dc_kw, 2), 'kW')} DC", ", ".join(names)
    if not names:
        return start
    whole = f"{start}: {where}"
    return whole if len(names) == 1 or room(whole, semibold=True) <= most else f"{start}, on {len(names)} faces"


def string_words(plan: StringPlan | None) -> tuple[str, ...]:
    """What each face's strings are, of the first few faces; a face whose strings nobody could plan is not named."""
    planned = [text for text in plan.faces if "string" in text.rpartition(":")[2]] if plan is not None else []
    if not planned:
        return ("strings: not known",)
    more = len(planned) - MOST_FACES
    return *planned[:MOST_FACES], *((f"and {more} more {'face' if more == 1 else 'faces'}",) if more > 0 else ())


def inverter_words(share: InverterShare, connection: Connection, only: bool, most: float = 0.0) -> str:
    """'inverter: 7.6 kW AC, 32 A'; without its name where `most` is 0, else with as much of it as fits.

    The only one's current may be worked out from its power; the figure knows.
    """
    each = " each" if share.count > 1 else ""
    count = f"{share.count} × " if share.count > 1 else ""
    current = share.output_a
    if current is None and only and share.count == 1:
        current = connection.source_current.value
    amperes = amps(current) if current is not None else "current not known"
    ratings = f"{show_input(share.limit_kw, 'kW')} AC{each}, {amperes}{each}"
    if not most:
        return count + ratings
    return f"{count}{shortened(share.name, most - room(f'{count}: {ratings}', semibold=True) - 4)}: {ratings}"


def units_words(assessment: Assessment) -> str:
    """'28 units, one under each module: 290 W, 1.21 A each'."""
    array, count, shares = assessment.house.array, module_count(assessment.house), assessment.production.inverters
    watts = 1000.0 * shares[0].limit_kw if shares else array.unit_limit_w
    power = show(watts, "W") if watts is not None else "power not known"
    current = (amps(array.unit_output_a) if array.unit_output_a is not None
               else figure_words(assessment.connection, "unit_current_a") or "current not known")
    return f"{'units' if count is None else f'{count} units'}, one under each module: {power}, {current} each"


def source_words(source: BusbarSource, most: float) -> tuple[str, ...]:
    """Two lines: its name, then its ratings and place."""
    gives = f"output {amps(source.output_a)}" if source.counts else "not counted"
    return shortened(source.name, most), f"breaker {rated(source.breaker_a)}, {gives}, {PLACES[source.position]}"


def loads_words(panel: PanelFound) -> str:
    """'6 load breakers, 190 A together; 2 free two-pole spaces'."""
    loads = ("load breakers not listed" if panel.load_breakers_a is None
             else f"{len(panel.load_breakers_a)} load breakers, {amps(sum(panel.load_breakers_a))} together")
    free = panel.free_two_pole_spaces
    spaces = ("free spaces not known" if free is None else "no free two-pole space" if free == 0
              else f"{free} free two-pole {'space' if free == 1 else 'spaces'}")
    return f"{loads}; {spaces}"


def panel_words(panel: PanelFound, most: float, today: PanelFound | None = None) -> str:
    """'garage subpanel: busbar 125 A, fed at its centre'; today: the panel before a change, where that gives it a new busbar."""
    fed = ", fed at its centre" if panel.fed_from == "centre" else ""
    if panel.main == "split bus":
        tail = f": lower busbar {rated(panel.lower_busbar_a)}"
    elif today is not None and has_new_busbar(panel, today):
        tail = f": new busbar {rated(panel.busbar_a)}"
    else:
        tail = f": busbar {rated(panel.busbar_a)}{fed}"
    return shortened(panel.name[:1].upper() + panel.name[1:], most - room(tail, semibold=True) - 2) + tail


def has_new_busbar(panel: PanelFound, today: PanelFound) -> bool:
    return panel.busbar_a != today.busbar_a or panel.main != today.main


def has_new_main(panel: PanelFound, today: PanelFound) -> bool:
    """A new panel comes with its main; a main of another rating is a new one."""
    return panel.main == "breaker" and (has_new_busbar(panel, today) or panel.main_breaker_a != today.main_breaker_a)


def main_words(panel: PanelFound, is_service_disconnect: bool, today: PanelFound | None = None) -> str:
    """How power enters the panel, and what protects its busbar."""
    end = ", taken as the service disconnect" if is_service_disconnect else ""
    if panel.main == "lugs":
        return "main lugs, no breaker of its own"
    if panel.main == "split bus":
        main = f"; main {amps(panel.main_breaker_a)}" if panel.main_breaker_a else ""
        return f"upper busbar {rated(panel.busbar_a)}, up to six mains{end}{main}"
    if today is not None and has_new_main(panel, today):
        before = f" in place of {amps(today.main_breaker_a)}" if today.main_breaker_a and today.main_breaker_a != panel.main_breaker_a else ""
        return f"new main breaker {rated(panel.main_breaker_a)}{before}{end}"
    return f"main breaker {rated(panel.main_breaker_a)}{end}"


def failing(connection: Connection, where: str) -> str:
    """', does not fit' beside a wire whose checks say so."""
    return ", does not fit" if any(check.where.startswith(where) and check.verdict == DOES_NOT_FIT
                                   for check in connection.conductors if not check.key.startswith("voltage")) else ""


def utility_words(house: House) -> tuple[str, str]:
    """'utility: 120/240 V, single-phase, service 200 A' and 'fault current 10 kA; Lakeside Electric'."""
    electrical = house.electrical
    volts = {208: "120/208 V", 240: "120/240 V"}.get(electrical.service_v, "voltage not known")
    phases = {"single": ", single-phase", "three": ", three-phase"}.get(electrical.phases, "")
    service = f", service {amps(electrical.service_a)}" if electrical.service_a is not None else ""
    fault = f"{electrical.fault_current_ka:g} kA" if electrical.fault_current_ka is not None else "not known"
    name = f"; {electrical.utility.name}" if electrical.utility.name else ""
    return f"utility: {volts}{phases}{service}", f"fault current {fault}{name}"
