"""The facts on the electrician's sheet, as numbers where they are known. What was assumed is marked as assumed."""

from __future__ import annotations

from collections.abc import Iterator

from reportgen.assessment import Assessment
from reportgen.describe.conductor import Conductor
from reportgen.describe.electrical import SEEN, Electrical, Panel
from reportgen.describe.equipment import InverterInput
from reportgen.figures import show, show_number
from reportgen.interconnection.result import CANNOT_SAY, Check, StringPlan
from reportgen.report.shared_faces import SHARED, split_is_known

NOT_READ = "not read"
NOTHING_SEEN = SEEN[-1]
ASSUMED = "assumed"


def facts_found(assessment: Assessment) -> Iterator[tuple[str, str]]:
    """Label and text of each; "" for what need not be told."""
    house, connection = assessment.house, assessment.connection
    electrical, judged = house.electrical, connection.judged
    assumed = frozenset(path for a in assessment.assumptions for path in a.paths)
    if judged:
        yield "Edition", (_mark(f"NEC {electrical.edition}", "electrical.edition" in assumed) if electrical.edition
                          else "not known; the building office says which holds")
        if house.building.kind == "two families":
            yield "House", "two families; how many meters, and whose panel the array would join: ask"
        yield "Service", _service(electrical, assumed)
        yield "Emergency disconnect", {True: "there is one outdoors", False: "none outdoors"}.get(
            electrical.emergency_disconnect_outdoors, "whether there is one outdoors: nobody said")
    for number, panel in enumerate(electrical.chain):
        prefix = "electrical" if electrical.panels is None else f"electrical.panels.{number}"
        text = _panel(panel, lambda key, at=prefix: f"{at}.{key}" in assumed, "solar breaker" if number == 0 else
                      "the feeder's breaker, which brings the array's power,")
        if judged or text:
            yield panel.name, text or NOT_READ
    yield "Inverters" if _several(assessment) else "Inverter", _inverter(assessment)
    if judged:
        yield "Module", _module(assessment)
        yield "New circuit", f"{connection.source_current.text()} continuous, breaker {connection.source_device.text()}"
        yield "Wires to the new breaker", _result(_wire(electrical.run) or NOT_READ, connection.conductors)
        yield "Trunk cable", _wire(electrical.trunk) if electrical.trunk else ""
        for plan in connection.strings:
            yield f"Strings, {plan.inverter}", _strings(assessment, plan)
        yield "Seen by eye", _seen(electrical.seen)
        yield "Utility", _utility(electrical)
        space = electrical.working_space
        if space:
            yield "Working space", (f"{space.wall}: {show(space.depth_in, 'in', 0)} deep, {show(space.width_in, 'in', 0)} wide, "
                                    f"{show(space.height_in, 'in', 0)} high")
        if connection.load and connection.load.load_a:
            yield "Service load", f"{connection.load.load_a.text()} by the largest method that applies"


def _mark(text: str, is_assumed: bool) -> str:
    return f"{text} ({ASSUMED})" if is_assumed else text


def _seen(seen: list[str] | None) -> str:
    if not seen:
        return "nobody looked, or nobody said"
    return ", ".join(seen) if seen != [NOTHING_SEEN] else "cover on: no rust, scorching, fuses or other warning sign"


def _service(electrical: Electrical, assumed: frozenset[str]) -> str:
    main_a = electrical.chain[-1].main_breaker_a
    rating = (_amps(electrical.service_a) if electrical.service_a else
              f"{_amps(main_a)} (its main breaker)" if main_a else "rating not read")
    parts = [rating, _mark(f"120/{electrical.service_v} V", "electrical.service_v" in assumed) if electrical.service_v else "volts not read",
             _mark(f"{electrical.phases} phase", "electrical.phases" in assumed) if electrical.phases else "",
             f"wires {_wire(electrical.service_conductor)}" if electrical.service_conductor else "wires not read",
             f"meter socket {_amps(electrical.meter_socket_a)}" if electrical.meter_socket_a else "meter socket not read"]
    return ", ".join(part for part in parts if part)


def _panel(panel: Panel, is_assumed, enters_by: str) -> str:
    """'busbar 200 A, main breaker 200 A, fed from the end (assumed); ...'; "" where nothing was read."""
    if not any((panel.busbar_a, panel.main, panel.main_breaker_a, panel.protected_by_a, panel.sources, panel.feeder)):
        return ""
    split = panel.main == "split bus"
    main = {"lugs": "main lugs", "split bus": "split busbar"}.get(panel.main, f"main breaker {_amps(panel.main_breaker_a)}")
    busbar = (f"upper busbar {_amps(panel.busbar_a)}, lower busbar {_amps(panel.lower_busbar_a)} behind {_amps(panel.lower_breaker_a)}"
              if split else f"busbar {_amps(panel.busbar_a)}")
    parts = [*((main, busbar) if split else (busbar, main)),
             f"protected by {_amps(panel.protected_by_a)}" if panel.protected_by_a else "",
             _mark(f"fed from the {panel.fed_from}", is_assumed("fed_from")) if panel.fed_from else "feeding end not read",
             _mark(f"{enters_by} {_place(panel.source_position)}", is_assumed("source_position")) if panel.source_position
             else f"place of the {enters_by.removeprefix('the ').split(',')[0]} not said",
             f"feed-through {panel.feed_through}" if panel.feed_through not in (None, "none") else "",
             *(f"{source.name} ({source.kind}) {_amps(source.breaker_a)}" for source in panel.sources),
             f"{panel.free_two_pole_spaces} free two-pole spaces" if panel.free_two_pole_spaces is not None else "free spaces not read",
             f"load breakers {_amps(sum(panel.load_breakers_a))} in all" if panel.load_breakers_a else "",
             f"short-circuit rating {show(panel.short_circuit_rating_ka, 'kA', 0)}" if panel.short_circuit_rating_ka else "",
             f"feeder {_wire(panel.feeder)} behind {_amps(panel.feeder.breaker_a)}" if panel.feeder else ""]
    return ", ".join(part for part in parts if part)


def _place(position: str) -> str:
    return f"at {position}" if position == "both ends" else f"at the {position}" if position == "far end" else position


def _wire(wire: Conductor | None) -> str:
    if wire is None:
        return ""
    parts = [f"{wire.size} AWG" if wire.size else "size not read", wire.metal or "metal not read",
             f"{wire.insulation_c} °C" if wire.insulation_c else "", f"terminals {wire.terminals_c} °C" if wire.terminals_c else "",
             show(wire.feet, "ft") if wire.feet is not None else "length not read"]
    return " ".join(part for part in parts[:2]) + "".join(f", {part}" for part in parts[2:] if part)


def _result(text: str, checks: tuple[Check, ...]) -> str:
    """The wires with what the checks say of them in one word each; the reasons stand among the open questions."""
    own = [check for check in checks if check.where.startswith("wires from")]
    said = [f"{verdict}: {', '.join(names)}" for verdict in dict.fromkeys(check.verdict for check in own)
            if (names := [_small(check.name) for check in own if check.verdict == verdict])]
    return "; ".join((text, *said))


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _several(assessment: Assessment) -> bool:
    listed = assessment.house.array.inverters or ()
    return sum(unit.count for unit in listed) > 1


def _inverter(assessment: Assessment) -> str:
    array, production = assessment.house.array, assessment.production
    modules = sum(face.module_count for face in production.faces)
    kind = array.conversion or "string inverter"
    each = [f"{unit.count} × {unit.name} {show(unit.limit_kw, 'kW')}" + (f" {_amps(unit.output_a)}" if unit.output_a else "")
            + (f", breaker at most {_amps(unit.max_breaker_a)}" if unit.max_breaker_a else "") + _input(unit.input)
            for unit in array.inverters or ()]
    only = f", breaker at most {_amps(array.inverter_max_breaker_a)}" if array.inverter_max_breaker_a else ""
    together = (f"{kind}, {show(production.ac_limit_kw, 'kW')} in all, {show(production.dc_kw, 'kW')} of modules"
                f"{f' ({modules} in number)' if modules else ''}{only}{_input(array.inverter_input)}")
    return "; ".join((together, *each))


def _input(dc: InverterInput | None) -> str:
    """', DC 100 to 600 V, 2 inputs of 16 A'."""
    if dc is None:
        return ""
    current = f" of {_amps(dc.max_current_a)}" if dc.max_current_a else ""
    short = f" (short circuit {_amps(dc.max_short_circuit_a)})" if dc.max_short_circuit_a else ""
    inputs = f"{dc.trackers} input{'' if dc.trackers == 1 else 's'}{current}{short}"
    return f", DC {show(dc.min_v, 'V', 0)} to {show(dc.max_v, 'V', 0)}, {inputs}"


def _module(assessment: Assessment) -> str:
    """What its data sheet says; what it does not say is not told here."""
    array = assessment.house.array
    said = [(array.module_w, lambda v: show(v, "W")), (array.module_voc_v, lambda v: f"Voc {show(v, 'V', 1)}"),
            (array.module_isc_a, lambda v: f"Isc {show(v, 'A', 2)}"), (array.module_vmp_v, lambda v: f"Vmp {show(v, 'V', 1)}"),
            (array.voc_coefficient_percent_per_c, lambda v: f"Voc {show(v, '%/°C', 2)}"),
            (array.module_max_fuse_a, lambda v: f"series fuse at most {_amps(v)}")]
    parts = [words(value) for value, words in said if value is not None]
    return ", ".join(parts if array.module_voc_v is not None else [*parts, "Voc and Isc not read"])


def _strings(assessment: Assessment, plan: StringPlan) -> str:
    faces = next((share.faces for share in assessment.production.inverters if share.name == plan.inverter), ())
    layout = "; ".join(plan.faces)
    if plan.verdict == CANNOT_SAY and not split_is_known(faces, assessment.production.inverters):
        layout = f"{', '.join(faces)}: {SHARED}"
    both = all(figure is not None and figure.value is not None for figure in (plan.fewest, plan.most))
    reach = (f"by voltage {show_number(plan.fewest.value, 0)} to {show_number(plan.most.value, 0)} modules a string"
             if both else "")
    verdict = plan.verdict if plan.verdict != CANNOT_SAY or not layout else ""
    return "; ".join(part for part in (verdict, layout, reach) if part) or plan.sentence


def _utility(electrical: Electrical) -> str:
    utility = electrical.utility
    parts = [utility.name or "name not said",
             {True: "asks for an outdoor disconnect", False: "asks for no outdoor disconnect"}.get(
                 utility.needs_outdoor_disconnect, "whether it asks for an outdoor disconnect: not known"),
             {True: "lets the array connect ahead of the main", False: "lets no array connect ahead of the main"}.get(
                 utility.allows_supply_side, ""),
             f"fault current {show(electrical.fault_current_ka, 'kA', 1)}" if electrical.fault_current_ka else "fault current not asked"]
    return ", ".join(part for part in parts if part)


def _amps(value: float | None) -> str:
    return NOT_READ if value is None else show(value, "A")
