"""The one-line diagram: from the array to the utility, every rating that is known, and where the array would join."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from reportgen.assessment import Assessment
from reportgen.interconnection.result import PanelFound
from reportgen.production.result import InverterShare
from reportgen.report.charts.canvas import WIDTH, Canvas
from reportgen.report.charts.lettering import LINE, room, shortened, tied, wrapped
from reportgen.report.charts.ratings import amps, rated
from reportgen.report.drawings import one_line_words as say
from reportgen.report.drawings import symbols
from reportgen.report.drawings.one_line_panels import panel_rows
from reportgen.report.drawings.one_line_sheet import (
    BUSBAR,
    BYPASS,
    LANES,
    NEW,
    NEW_BUSBAR,
    SPINE,
    STROKES,
    TAP_END,
    THERE,
    WORDS_ROOM,
    Row,
    Wire,
    draw_rows,
    new_at,
    rows_height,
    there_at,
    words,
)
from reportgen.report.drawings.parts import NOT_FOR_CONSTRUCTION
from reportgen.report.palette import GREY, INK, SUN

MOST_HEIGHT = 615.0                        # what a page holds with a caption [points]
AHEAD_OF_THE_MAIN = "supply_side"          # the key of the way that joins between the meter and the main
CONTROL = "power_control"                  # the key of the way with a power control system
BY_THE_ELECTRICIAN = "electrician adds: rapid shutdown, ground"
_SYMBOL = symbols.SIZE / 2


@dataclass(frozen=True)
class Most:
    """How many are drawn one by one; the rest is told in words."""

    inverters: int
    panels: int
    sources: int               # already there, on one panel
    placeholders: bool = True  # what the electrician draws


ROOM = (Most(3, 3, 3), Most(3, 3, 3, False), Most(3, 3, 1, False), Most(2, 3, 1, False), Most(2, 2, 1))

def draw_one_line(assessment: Assessment) -> str | None:
    """None where the electrical side is outside what is judged, or no panel is described."""
    connection = assessment.connection
    if not connection.judged or not connection.panels:
        return None
    way = connection.chosen
    drawn = f"Drawn for: {way.name} ({way.verdict})." if way else "No way is chosen: drawn with the breaker as it is planned."
    change = f"To change: {way.change}." if way and not way.changes_nothing else ""
    stop = "An electrician looks at this house before any of it is built: see the stop above." if connection.findings else ""
    head = [line for part in (drawn, change, stop) if part for line in wrapped(tied(part), WIDTH)]
    top = LINE * (len(head) + 3) + 4
    tried = [_rows(assessment, most) for most in ROOM]
    rows = next((rows for rows in tried if top + rows_height(rows) <= MOST_HEIGHT), tried[-1])
    canvas = Canvas(top + rows_height(rows) + 2)
    canvas.text(0, LINE - 3, "From the array to the utility, on one line", semibold=True)
    canvas.text(0, 2 * LINE - 3, NOT_FOR_CONSTRUCTION, GREY)
    for k, line in enumerate(head):
        canvas.text(0, LINE * (3 + k) - 3, line)
    _draw_key(canvas, LINE * (3 + len(head)) - 3)
    draw_rows(canvas, rows, top)
    names = ", ".join(panel.name for panel in connection.panels)
    drawn = " ".join(part for part in (drawn, change, stop) if part)
    return canvas.svg("one-line", f"One-line diagram: array, {rated(connection.source_device.value)} breaker, {names}, "
                                  f"meter, utility. {drawn}")


def _draw_key(canvas: Canvas, y: float) -> None:
    x = 0.0
    for kind, text in ((NEW, "new"), (THERE, "there today"), (BUSBAR, "busbar")):
        canvas.line(((x, y - 3), (x + 16, y - 3)), *STROKES[kind])
        canvas.text(x + 21, y, text)
        x += 21 + room(text) + 12
    canvas.line(((x, y - 3), (x + 16, y - 3)), GREY, 0.7, dashed=True)
    canvas.text(x + 21, y, "one panel")


def _rows(assessment: Assessment, most: Most) -> list[Row]:
    house, today = assessment.house, list(assessment.connection.panels)
    chain = house.electrical.chain
    way = assessment.connection.chosen
    panels = list(way.panels) if way is not None and way.panels else today
    past = None                                    # index of the panel past which the array joins; None: inside the first
    if way is not None and way.key == AHEAD_OF_THE_MAIN:
        panels, today, past = panels[-1:], today[-1:], 0
        chain = chain[-1:]
    elif chain[0].feeder is not None and chain[0].feeder.array_joins == "along the feeder" and len(panels) > 1:
        past = 0
    trunk = BYPASS if past is not None else SPINE
    rows = [*_array_rows(assessment, trunk, most.inverters), *_control_rows(assessment, trunk), _disconnect_row(assessment, trunk, past, most.placeholders)]
    shown = list(range(len(panels)))
    if len(shown) > most.panels:
        shown = [0, *shown[1 - most.panels:]]
    straight = ((Wire(SPINE, THERE),), (Wire(SPINE, THERE),))
    for before, k in zip([-1, *shown], shown):
        if k > before + 1:
            names = ", ".join(panel.name for panel in panels[before + 1:k])
            rows.append(Row(words(f"{k - before - 1} more on the way, not drawn: {names}"), *straight))
        bypassed = past is not None and k <= past
        rows += panel_rows(assessment, panels, today, k, bypassed, chain[k].sources if k < len(chain) else None, most.sources)
        if k == len(panels) - 1:
            rows += _service_disconnect_rows(panels[k], today[k], k, (Wire(BYPASS, NEW),) if bypassed else ())
        if bypassed:
            rows.append(_joint_row(panels, k, trunk))
        if k < len(panels) - 1:
            changed = " (breaker new)" if panels[k].feeder != today[k].feeder else ""
            feeder = f"feeder: {panels[k].feeder or 'not known'}{changed}"
            rows.append(Row(words(feeder + say.failing(assessment.connection, f"feeder of the {panels[k].name}")), *straight,
                            new=bool(changed)))
    return rows + _meter_rows(assessment)


# ---- from the modules to the last thing ahead of the panel ----

def _array_rows(assessment: Assessment, trunk: float, most: int) -> list[Row]:
    if assessment.house.array.conversion == "module-level":
        return _unit_rows(assessment, trunk)
    shares = list(assessment.production.inverters) or [None]
    drawn = shares if len(shares) <= most else shares[:most - 1]
    count = len(drawn) + (len(drawn) < len(shares))
    lanes = LANES[count] if count > 1 else (trunk,)
    rows = []
    for k, share in enumerate(drawn):
        rows += _inverter_rows(assessment, share, k, lanes, len(shares) > 1)
    if len(drawn) < len(shares):
        rest = shares[len(drawn):]
        others = tuple(Wire(x, NEW) for x in lanes[:-1])
        text = f"{len(rest)} more kinds of inverter, not drawn one by one: " + "; ".join(
            say.inverter_words(share, assessment.connection, False) for share in rest)
        rows.append(Row(words(text, most=4), others, (*others, Wire(lanes[-1], NEW, symbols.BOX / 2)),
                        partial(new_at, symbols.inverter, lanes[-1]), new=True, least=30))
    if count > 1:
        rows.append(_combiner_row(assessment, lanes, trunk))
    return rows


def _inverter_rows(assessment, share: InverterShare | None, k: int, lanes, several: bool) -> list[Row]:
    connection, x = assessment.connection, lanes[k]
    others = tuple(Wire(lane, NEW) for lane in lanes[:k])
    plan = next((p for p in connection.strings if share is not None and p.inverter == share.name), None)
    if plan is None and not several and len(connection.strings) == 1:
        plan = connection.strings[0]
    if share is None:
        kw = assessment.house.array.inverter_kw
        share = InverterShare("inverter", 1, kw, 0, None, (), 0, 0, 0, 0) if kw is not None else None
    inverter = (say.inverter_words(share, connection, not several, WORDS_ROOM) if share
                else "inverter: power and current not known")
    array = say.array_words(assessment, share if several else None, WORDS_ROOM)

    def through(clear: float):
        return (*others, Wire(x, NEW, clear))

    rows = [
        Row(words(array, *say.string_words(plan)), others, through(6.5), partial(new_at, symbols.module, x), bold=True, new=True),
        Row(words("DC disconnect: rating not known"), through(_SYMBOL), through(_SYMBOL),
            partial(new_at, symbols.switch, x), new=True),
        Row(words(inverter), through(symbols.BOX / 2), through(symbols.BOX / 2), partial(new_at, symbols.inverter, x), bold=True,
            new=True, least=28),
    ]
    if several:
        device = say.figure_words(connection, f"inverter_{k + 1}_device_a")
        rows.append(Row(words(f"{'its' if share.count == 1 else 'a'} breaker{'' if share.count == 1 else ' for each'}: "
                              f"{device or 'rating not known'}"),
                        through(_SYMBOL), through(_SYMBOL), partial(new_at, symbols.breaker, x), new=True))
    return rows


def _unit_rows(assessment: Assessment, trunk: float) -> list[Row]:
    """Units under the modules, their branch circuits side by side, and what joins them."""
    connection, electrical = assessment.connection, assessment.house.electrical
    found = say.figure_of(connection, "branches")
    count = int(found.value) if found is not None and found.value else None
    lanes = (trunk,) if count in (None, 1) else LANES[min(count, max(LANES))]
    most, fullest = say.figure_of(connection, "units_per_branch"), say.figure_of(connection, "branch_current_a")
    drawn = f" ({len(lanes)} drawn)" if count is not None and count > len(lanes) else ""
    limit = f", at most {most.value:g} units on each" if most is not None and most.value else ""
    branches = ("branch circuits: number not known" if count is None
                else f"{count} branch {'circuit' if count == 1 else 'circuits'}{drawn}{limit}")
    full = f"the fullest: {fullest.formula}" if fullest is not None else "current and breaker of a branch: not known"
    cable = say.wire_words("cable of the units", electrical.trunk) if electrical.trunk is not None else ""

    def unit(canvas, y):
        for x in lanes:
            symbols.module(canvas, x, y - 10, SUN, symbols.THIN)
            symbols.inverter(canvas, x, y + 7, SUN, symbols.THIN)

    def breakers(canvas, y):
        for x in lanes:
            symbols.breaker(canvas, x, y, SUN, 1.2)

    rows = [
        Row(words(say.array_words(assessment, None, WORDS_ROOM), say.units_words(assessment)), (),
            tuple(Wire(x, NEW, 16.5) for x in lanes), unit, bold=True, new=True, least=36),
        Row(words(branches, full, cable), tuple(Wire(x, NEW, _SYMBOL) for x in lanes),
            tuple(Wire(x, NEW, _SYMBOL) for x in lanes), breakers, new=True),
    ]
    return rows + ([_combiner_row(assessment, lanes, trunk)] if len(lanes) > 1 else [])


def _combiner_row(assessment: Assessment, lanes, trunk: float) -> Row:
    current = assessment.connection.source_current.value
    together = amps(current) if current is not None else "current not known"

    def bar(canvas, y):
        canvas.line(((min(*lanes, trunk), y), (max(*lanes, trunk), y)), *STROKES[NEW_BUSBAR])

    least = say.figure_words(assessment.connection, "combiner_busbar_a")
    return Row(words(f"combiner: {together} together, busbar {f'of {least} or more' if least else 'rating not known'}"),
               tuple(Wire(x, NEW) for x in lanes), (Wire(trunk, NEW),), bar, new=True)


def _control_rows(assessment: Assessment, trunk: float) -> list[Row]:
    """The power control system where the drawing is of that way, or of none and the house file names one."""
    way, array = assessment.connection.chosen, assessment.house.array
    if way is not None and way.key != CONTROL or way is None and array.power_control_setpoint_a is None:
        return []
    setpoint = array.power_control_setpoint_a
    setting = f"set to {amps(setpoint)}" if setpoint is not None else "setting not known"
    through = (Wire(trunk, NEW, symbols.CIRCLE),)
    return [Row(words(f"new power control system, {setting}", "watches the main and every source; its sensors are not drawn"),
                through, through, partial(new_at, symbols.controller, trunk), new=True)]


def _disconnect_row(assessment: Assessment, trunk: float, past: int | None, placeholders: bool) -> Row:
    """The last thing ahead of the panel; where the array joins past it, with its own overcurrent protection."""
    connection, electrical = assessment.connection, assessment.house.electrical
    name = "wires from the inverter" if assessment.house.array.conversion != "module-level" else "wires from the units"
    wires = say.wire_words(name, electrical.run)
    if connection.other_wires:
        wires = f"{name}: {connection.other_wires.partition(' for the ')[0]}; {wires.replace(name, 'named')}"
    outdoors = ", outdoors" if electrical.utility.needs_outdoor_disconnect else ""
    wires += say.failing(connection, "wires from")
    drawn_later = BY_THE_ELECTRICIAN if placeholders else ""
    through = (Wire(trunk, NEW, _SYMBOL),)
    if past is None:
        least = connection.source_device.value
        rating = f"{amps(least)} or more" if least else "rating not known"
        return Row(words(f"AC disconnect{outdoors}: {rating}", wires, drawn_later), through, through,
                   partial(new_at, symbols.switch, trunk), new=True)
    device = rated(connection.source_device.value)

    def switch_and_fuse(canvas, y):
        symbols.switch(canvas, trunk, y - _SYMBOL, SUN, 1.2)
        symbols.fuse(canvas, trunk, y + _SYMBOL, SUN, 1.2)

    wide = (Wire(trunk, NEW, 2 * _SYMBOL),)
    return Row(words(f"new disconnect{outdoors}, breaker or fuses {device}", wires, drawn_later), wide, wide, switch_and_fuse, new=True,
               bold=True, least=34)


def _joint_row(panels: list[PanelFound], k: int, trunk: float) -> Row:
    where = ("between the meter and the main breaker" if k == len(panels) - 1
             else f"on the feeder between {panels[k].name} and {panels[k + 1].name}")

    def art(canvas, y):
        canvas.line(((trunk, y), (SPINE, y)), *STROKES[NEW])
        symbols.joint(canvas, SPINE, y, INK)
        symbols.ring(canvas, SPINE, y, INK)

    return Row(words("Point of connection", where), (Wire(trunk, NEW), Wire(SPINE, THERE)), (Wire(SPINE, THERE),), art,
               bold=True, new=True)


# ---- service ----

def _service_disconnect_rows(panel: PanelFound, today: PanelFound, k: int, aside: tuple[Wire, ...]) -> list[Row]:
    """The service disconnect where the panel has none of its own, and the ground there."""
    through, rows = (*aside, Wire(SPINE, THERE)), []
    if panel.main == "lugs":
        symbol = (*aside, Wire(SPINE, THERE, _SYMBOL))
        is_new = panel.protected_by_a != today.protected_by_a
        rows.append(Row(words(f"{'new ' if is_new else ''}service disconnect: {rated(panel.protected_by_a)}"), symbol, symbol,
                        partial(new_at if is_new else there_at, symbols.switch, SPINE), new=is_new))

    def earth(canvas, y):
        canvas.line(((SPINE, y - 4), (TAP_END, y - 4)), *STROKES[THERE])
        symbols.ground(canvas, TAP_END, y)

    return [*rows, Row(words("ground at the service: not looked at here"), through, through, earth,
                       None if rows else k)]


def _meter_rows(assessment: Assessment) -> list[Row]:
    electrical, rows = assessment.house.electrical, []
    if electrical.emergency_disconnect_outdoors:
        symbol = (Wire(SPINE, THERE, _SYMBOL),)
        rows.append(Row(words("emergency disconnect outdoors: rating not known"), symbol, symbol,
                        partial(there_at, symbols.switch, SPINE)))
    ring = (Wire(SPINE, THERE, symbols.CIRCLE),)
    rows.append(Row(words(say.wire_words("service wires", electrical.service_conductor) + say.failing(assessment.connection, "service wires"),
                          f"meter, socket {rated(electrical.meter_socket_a)}"), ring, ring,
                    partial(there_at, symbols.meter, SPINE)))
    service, fault = say.utility_words(assessment.house)
    return [*rows, Row(words(service, shortened(fault, WORDS_ROOM)),
                       (Wire(SPINE, THERE, 10.0),), (), partial(there_at, symbols.transformer, SPINE))]
