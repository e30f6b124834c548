"""Green Button files (NAESB REQ.21, schema espi.xsd 4.0): which series is the household's import, which its export.

Entries are tied by their links, compared as they stand. What can't be known is refused: a unit is never guessed, and
series are never added up, since the same energy often stands in a file by quarter hour, by day and by direction.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from reportgen.bills.meter import espi_codes as codes
from reportgen.bills.meter.errors import MeterFileError
from reportgen.bills.meter.espi_stream import FROM_TYPE, Block, Entry, Stream, read_stream
from reportgen.bills.meter.readings import MeterReadings, length_words, settle


@dataclass(frozen=True, eq=False)
class Series:
    """The readings of one kind: one direction, one unit, one length."""

    start: np.ndarray
    seconds: np.ndarray
    kwh: np.ndarray
    flow: int
    blocks: tuple[Block, ...]
    default_quality: int | None

    @property
    def step_s(self) -> int:
        return int(np.median(self.seconds))


def read_green_button(path: Path) -> MeterReadings:
    """Readings of one electricity meter in a Green Button file. Raises MeterFileError."""
    stream = read_stream(Path(path))
    if not stream.blocks:
        what = "no interval readings" if stream.entries else "nothing of a Green Button file"
        raise MeterFileError(f"the meter file holds {what}. Download the interval data (Green Button XML) of the "
                             "electricity meter, not the bills or the customer's data.")
    notes = ["Kind: Green Button XML."]
    groups = _groups(stream, _meter(stream, notes), notes)
    series = [_series(kind, blocks, notes) for kind, blocks in groups]
    chosen = _chosen([s for s in series if s is not None], notes)
    _clock(stream, notes)
    if stream.several_in_one:
        notes.append(f"Entries that hold several interval blocks: {stream.several_in_one:,}; all blocks were read.")
    if stream.extra_fields:
        notes.append("Times carry elements that the schema does not know; they were passed over.")
    return _joined(chosen, notes)


def _meter(stream: Stream, notes: list[str]) -> Entry | None:
    """The one electricity meter with readings; None where the file describes none."""
    points = [e for e in stream.entries if e.kind == "UsagePoint"]
    with_readings = [p for p in points if _blocks_of(stream, p)]
    if not with_readings:
        with_readings = points if len(points) == 1 else []
        if len(points) > 1:
            raise MeterFileError(f"the meter file describes {len(points)} meters, and its links don't say whose the "
                                 "readings are. Download the file of one meter.")
    if not with_readings:
        notes.append("The file does not describe the meter itself; its readings are taken as those of one "
                     "electricity meter.")
        return None
    electric = [p for p in with_readings if _service(p) in (0, None)]
    if not electric:
        kind = codes.SERVICES.get(_service(with_readings[0]), "something else")
        raise MeterFileError(f"the meter file is of {kind}, not of electricity. Download the file of the "
                             "electricity meter.")
    if len(electric) > 1:
        order = [str(points.index(p) + 1) for p in electric]
        raise MeterFileError(f"the meter file holds readings of {len(electric)} electricity meters (numbers "
                             f"{', '.join(order)} in the order of the file). Which one is the house's can't be "
                             "known: download the file of one meter.")
    if len(with_readings) > 1:
        others = [codes.SERVICES.get(_service(p), "another service") for p in with_readings if p is not electric[0]]
        notes.append(f"Readings of {' and '.join(dict.fromkeys(others))} in the same file were passed over.")
    if _service(electric[0]) is None:
        notes.append("The file leaves the kind of service empty; the unit of its readings says that it is electricity.")
    return electric[0]


def _service(point: Entry) -> int | None:
    return _code(point.fields.get("service_kind"))


def _code(text: str | None) -> int | None:
    try:
        return int(float(text)) if text and text.strip() else None
    except (ValueError, OverflowError):
        return None


def _readings_of(stream: Stream, point: Entry) -> list[Entry]:
    collections = point.links.get("related", set())
    return [e for e in stream.entries if e.kind == "MeterReading"
            and (e.links.get("up", set()) & collections or e.links.get("self", set()) & collections)]


def _blocks_of(stream: Stream, point: Entry) -> list[Block]:
    found = [b for reading in _readings_of(stream, point) for b in stream.blocks.values() if _tied(b, reading)]
    # A point's block may stand in the same entry as the point itself.
    return found or [b for b in stream.blocks.values() if b.links is point.links]


def _tied(block: Block, reading: Entry) -> bool:
    down, own = reading.links.get("related", set()), reading.links.get("self", set())
    return bool(block.links.get("up", set()) & (down | own) or block.links.get("self", set()) & down
                or block.links.get("related", set()) & own)


def _groups(stream: Stream, point: Entry | None, notes: list[str]) -> list[tuple[Entry, list[Block]]]:
    """Each ReadingType with its blocks."""
    types = [e for e in stream.entries if e.kind == "ReadingType"]
    if not types:
        raise MeterFileError("the meter file says nowhere what its numbers are (it has no ReadingType), so their "
                             "unit is unknown. Download the whole Green Button file again.")
    readings = [e for e in stream.entries if e.kind == "MeterReading"]
    own = _readings_of(stream, point) if point is not None else []
    foreign = [r for r in readings if r not in own] if own else []
    groups: list[tuple[Entry, list[Block]]] = []
    loose: list[Block] = []
    for block in stream.blocks.values():
        if any(_tied(block, r) for r in foreign):
            continue
        kind = next((t for r in (own or readings) if _tied(block, r) for t in types if _types(r, t)), None)
        kind = kind or next((t for t in types if t.links and t.links.get("self", set()) & block.links.get("related", set())), None)
        if kind is None:
            loose.append(block)
            continue
        listed = next((blocks for t, blocks in groups if t is kind), None)
        if listed is None:
            groups.append((kind, listed := []))
        listed.append(block)
    if loose:
        if len(types) > 1 or len(readings) > 1 or groups:
            raise MeterFileError("some readings of the meter file lead to no ReadingType, so their unit is "
                                 "unknown. Download the whole Green Button file again.")
        groups.append((types[0], loose))
        notes.append("The file's links don't tie its readings to their kind; it describes only one kind, which was "
                     "taken.")
    return groups


def _types(reading: Entry, kind: Entry) -> bool:
    return bool(reading.links.get("related", set()) & kind.links.get("self", set()))


def _series(kind: Entry, blocks: list[Block], notes: list[str]) -> Series | None:
    fields = kind.fields
    uom, power = _code(fields.get("uom")), _code(fields.get("powerOfTenMultiplier")) or 0
    if uom is None or not -12 <= power <= 12:
        raise MeterFileError("the meter file does not say in which unit its readings are (uom, "
                             "powerOfTenMultiplier). Download it again.")
    if uom in codes.FUEL_UNITS:
        raise MeterFileError(f"the readings of the meter file are in {codes.UNITS[uom]}: that is gas or water, not "
                             "electricity. Download the file of the electricity meter.")
    if uom not in (codes.WATT_HOUR, codes.WATT):
        notes.append(f"Readings in {codes.UNITS.get(uom, f'a unit of code {uom}')} were passed over; they are no "
                     "energy used.")
        return None
    gathered = _code(fields.get("accumulationBehaviour"))
    if gathered not in (codes.DELTA, 0, None):
        words = codes.ACCUMULATIONS.get(gathered, f"of accumulation code {gathered}")
        raise MeterFileError(f"the readings of the meter file are {words}, not the energy of each interval. "
                             "Download the interval data.")
    flow = _code(fields.get("flowDirection"))
    if flow == codes.TOTAL:
        raise MeterFileError("the readings of the meter file are the sum of both directions, so import and export "
                             "can't be told apart. Download the data of each direction.")
    if flow not in codes.FLOWS:
        if flow not in (0, None):
            raise MeterFileError(f"the readings of the meter file flow in direction {flow}, which says neither "
                                 "import nor export. Download the data of each direction.")
        notes.append("The file does not say which way the power flows; it is taken as power from the grid.")
        flow = codes.IMPORT
    start, seconds, value = _times(blocks, _code(fields.get("intervalLength")))
    kwh = value * 10.0 ** (power - 3) if power >= 3 else value / 10.0 ** (3 - power)
    if uom == codes.WATT:
        kwh = kwh * seconds / 3600.0
    unit = codes.UNITS[uom] + (f" × 10^{power}" if power else "") + (", mean power of each interval" if uom == codes.WATT else "")
    notes.append(f"Unit: {unit}, {codes.FLOWS[flow]}.")
    return Series(start, seconds, kwh, flow, tuple(blocks), _code(fields.get("defaultQuality")))


def _times(blocks: list[Block], length: int | None) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    start = np.concatenate([np.frombuffer(b.start, dtype=np.int64) if b.start else np.zeros(0, np.int64) for b in blocks])
    seconds = np.concatenate([np.frombuffer(b.seconds, dtype=np.int64) if b.seconds else np.zeros(0, np.int64) for b in blocks])
    value = np.concatenate([np.frombuffer(b.value, dtype=float) if b.value else np.zeros(0) for b in blocks])
    open_ended = seconds <= FROM_TYPE
    if open_ended.any():
        if not length or length <= 0:
            raise MeterFileError("the meter file does not say how long its readings last (duration, "
                                 "intervalLength). Download it again.")
        start = np.where(open_ended & (seconds < FROM_TYPE), start + (FROM_TYPE - 1 - seconds) * length, start)
        seconds = np.where(open_ended, length, seconds)
    return start, seconds, value


def _chosen(series: list[Series], notes: list[str]) -> dict[int, Series]:
    """One series for each direction: the finest. Never a sum of two."""
    series = [s for s in series if len(s.start)]
    if not series:
        raise MeterFileError("the meter file holds no readings of electric energy. Download the interval data of "
                             "the electricity meter.")
    chosen: dict[int, Series] = {}
    for flow in (codes.IMPORT, codes.EXPORT, codes.NET):
        of_flow = sorted((s for s in series if s.flow == flow), key=lambda s: s.step_s)
        if not of_flow:
            continue
        if len(of_flow) > 1:
            if of_flow[0].step_s == of_flow[1].step_s:
                raise MeterFileError(f"the meter file holds {len(of_flow)} series of power {codes.FLOWS[flow]} by "
                                     f"{length_words(of_flow[0].step_s)}; which one counts can't be known, and "
                                     "adding them may count it twice. Download the file of one meter.")
            notes.append(f"{len(of_flow)} series of power {codes.FLOWS[flow]}; the one by "
                         f"{length_words(of_flow[0].step_s)} was taken, since they hold the same energy.")
        chosen[flow] = of_flow[0]
    if codes.IMPORT in chosen and codes.NET in chosen:
        if codes.EXPORT in chosen:
            notes.append("The series of both directions were taken; the net series beside them was passed over.")
            del chosen[codes.NET]
        else:
            raise MeterFileError("the meter file holds import and net, but no export; what was sent to the grid "
                                 "can't be known for certain. Download the data of each direction.")
    if codes.IMPORT not in chosen and codes.NET not in chosen:
        raise MeterFileError("the meter file holds only what was sent to the grid, not what was taken from it. "
                             "Download the data of both directions.")
    return chosen


def _joined(chosen: dict[int, Series], notes: list[str]) -> MeterReadings:
    main = chosen.get(codes.IMPORT) or chosen[codes.NET]
    sent = chosen.get(codes.EXPORT)
    empty = sum(b.empty for s in chosen.values() for b in s.blocks)
    if empty:
        notes.append(f"Readings without a value, which count as missing: {empty:,}.")
    if sent is None:
        export = np.maximum(-main.kwh, 0.0) if (main.kwh < 0).any() or main.flow == codes.NET else None
        if export is not None:
            notes.append(f"Negative readings: {int((main.kwh < 0).sum()):,}, taken as power sent to the grid, net "
                         "within each interval.")
        return settle("Green Button", main.start, main.seconds, np.maximum(main.kwh, 0.0), export, _quality(chosen), notes)
    if (sent.kwh < 0).any():
        raise MeterFileError("readings of power sent to the grid are negative; positive numbers are expected "
                             "there. Download the file again.")
    if (main.kwh < 0).any():
        raise MeterFileError("readings of power taken from the grid are negative though export has its own series. "
                             "Download the file again.")
    one = settle("Green Button", main.start, main.seconds, main.kwh, None, {}, ())
    two = settle("Green Button", sent.start, sent.seconds, sent.kwh, None, {}, ())
    _, at_one, at_two = np.intersect1d(one.start_utc, two.start_utc, assume_unique=True, return_indices=True)
    if len(at_one) == 0 or (one.seconds[at_one] != two.seconds[at_two]).any():
        raise MeterFileError("import and export in the meter file are cut into intervals of different lengths or "
                             "times. Download both by the same interval.")
    alone = len(one.start_utc) + len(two.start_utc) - 2 * len(at_one)
    if alone:
        notes.append(f"Readings of one direction alone: {alone:,}; those times count as missing.")
    notes += [n for n in dict.fromkeys((*one.found, *two.found)) if "twice" in n or "sorted" in n]
    return settle("Green Button", one.start_utc[at_one], one.seconds[at_one], one.import_kwh[at_one], two.import_kwh[at_two],
                  _quality(chosen), notes)


def _quality(chosen: dict[int, Series]) -> dict[str, int]:
    counts: dict[int, int] = {}
    for series in chosen.values():
        for block in series.blocks:
            for code, count in block.quality.items():
                counts[code] = counts.get(code, 0) + count
            if series.default_quality is not None and block.unmarked:
                counts[series.default_quality] = counts.get(series.default_quality, 0) + block.unmarked
    return {codes.quality_words(code): counts[code] for code in sorted(counts)}


def _clock(stream: Stream, notes: list[str]) -> None:
    clock = next((e.fields for e in stream.entries if e.kind == "LocalTimeParameters"), None)
    if clock is None:
        return
    offset = _code(clock.get("tzOffset"))
    zone = "" if offset is None else f" UTC{offset / 3600:+g} h in standard time"
    starts, ends = codes.summer_time_rule(clock.get("dstStartRule")), codes.summer_time_rule(clock.get("dstEndRule"))
    if starts == "off" and ends == "off":
        summer = "no summer time"
    elif starts and ends:
        summer = f"summer time from the {starts} to the {ends}"
    else:
        summer = "a rule of summer time that can't be read"
    notes.append(f"Clock of the file:{zone}{',' if zone else ''} {summer}. The times of readings are in UTC, so "
                 "nothing hangs on it.")
