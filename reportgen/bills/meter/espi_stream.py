"""Green Button XML read in one pass: readings into arrays, everything else forgotten at once.

The parser is the standard library's, through defusedxml: a document type, an entity or anything from outside stops it.
Elements are emptied as soon as they end, so memory grows by 30 bytes a reading and not by the size of the file. Titles,
names, addresses and accounts are never looked at. Links are compared as they stand, inside the reader alone.
"""

from __future__ import annotations

import math
from array import array
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree.ElementTree import Element, ParseError

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import iterparse

from reportgen.bills.meter.errors import MeterFileError

KINDS = ("UsagePoint", "MeterReading", "ReadingType", "IntervalBlock", "LocalTimeParameters")
FROM_TYPE = -1               # a duration to be taken from the ReadingType
ENDS_EARLY = (3, 5)          # expat: no element found, unclosed token
MOST_ENTRIES, MOST_GROUPS, DEEPEST = 400, 20_000, 60


@dataclass
class Entry:
    """One Atom entry: its links, and the plain fields of the kind it holds."""

    kind: str
    links: dict[str, set[str]]
    fields: dict[str, str]


@dataclass
class Block:
    """Readings of all interval blocks that share the same links."""

    links: dict[str, set[str]]
    start: array = field(default_factory=lambda: array("q"))
    seconds: array = field(default_factory=lambda: array("q"))    # FROM_TYPE - n: the n-th after the block's own start
    value: array = field(default_factory=lambda: array("d"))
    empty: int = 0               # readings without a value
    quality: dict[int, int] = field(default_factory=dict)
    unmarked: int = 0

    def add(self, other: Block) -> None:
        for mine, more in ((self.start, other.start), (self.seconds, other.seconds), (self.value, other.value)):
            mine.extend(more)
        self.empty += other.empty
        self.unmarked += other.unmarked
        for code, count in other.quality.items():
            self.quality[code] = self.quality.get(code, 0) + count


@dataclass
class Stream:
    entries: list[Entry] = field(default_factory=list)
    blocks: dict[tuple, Block] = field(default_factory=dict)
    several_in_one: int = 0      # contents that held more than one interval block
    extra_fields: int = 0        # elements inside timePeriod that the schema does not know


def read_stream(path: Path) -> Stream:
    """Everything the readings need from the file. Raises MeterFileError."""
    stream, entry = Stream(), _Open()
    try:
        # Opened here: iterparse leaves a file open that it opened itself and could not read to the end.
        with path.open("rb") as file:
            above: list[Element] = []
            for event, element in iterparse(file, events=("start", "end"), forbid_dtd=True):
                if event == "start":
                    above.append(element)
                    if len(above) > DEEPEST:
                        raise MeterFileError(f"the meter file nests its elements more than {DEEPEST} deep; a Green "
                                             "Button file never does. Download it again.")
                    entry.starts(element)
                    continue
                above.pop()
                if entry.ends(element, above[-1] if above else None) and above:
                    above[-1].clear()
                if _name(element) == "entry":
                    entry.close(stream)
                    entry = _Open()
        entry.close(stream)      # a file that is one entry, or bare content without a feed
    except DefusedXmlException:
        raise MeterFileError("the meter file declares a document type or entities, which readings never need and "
                             "which can harm; it was not read. Download it again from the utility.") from None
    except ParseError as problem:
        line = getattr(problem, "position", (0, 0))[0]
        if getattr(problem, "code", 0) in ENDS_EARLY:
            raise MeterFileError(f"the meter file breaks off at line {line}: its last parts are missing. Download it "
                                 "again.") from None
        raise MeterFileError(f"line {line} of the meter file is not well-formed XML. Download it again, and don't "
                             "open and save it in another program in between.") from None
    except MeterFileError:
        raise
    except (LookupError, ValueError):
        raise MeterFileError("the meter file names an encoding of its letters that can't be read; UTF-8 is expected. "
                             "Download it again.") from None
    return stream


class _Open:
    """The entry being read."""

    def __init__(self):
        self.links: dict[str, set[str]] = {}
        self.kinds: list[Entry] = []
        self.inside: Element | None = None      # the UsagePoint, ReadingType, ... being read
        self.block = Block(self.links)
        self.blocks = self.extra_fields = 0

    def starts(self, element: Element) -> None:
        if self.inside is None and _name(element) in KINDS:
            self.inside = element
            self.block_start: int | None = None
            self.follow = self.number = 0

    def ends(self, element: Element, parent: Element | None) -> bool:
        """Take what is needed of an element that has ended. True where its parent may be emptied."""
        name = _name(element)
        if self.inside is None:
            rel, href = element.get("rel", ""), element.get("href", "")
            if name == "link" and rel and href:
                self.links.setdefault(rel, set()).add(href)
            return True
        kind = _name(self.inside)
        if element is self.inside:
            self.inside = None
            if kind == "IntervalBlock":
                self.blocks += 1
            else:
                self.kinds.append(Entry(kind, self.links, _fields(element)))
            return True
        if kind != "IntervalBlock" or parent is not self.inside:
            return False
        if name == "interval":
            self.block_start = _whole(_child(element, "start"), self.number + 1)
        elif name == "IntervalReading":
            self.number += 1
            self._reading(element)
        return True

    def _reading(self, element: Element) -> None:
        number, block = self.number, self.block
        period = _find(element, "timePeriod")
        start = length = None
        if period is not None:
            start, length = _whole(_child(period, "start"), number), _whole(_child(period, "duration"), number)
            self.extra_fields += sum(_name(child) not in ("start", "duration") for child in period)
        if length is not None and length < 0:
            raise MeterFileError(f"reading {number} of a block in the meter file lasts less than no time. Download "
                                 "it again.")
        if start is None:
            if self.block_start is None:
                raise MeterFileError(f"reading {number} of a block in the meter file has no time, and its block no "
                                     "start. Download the file again.")
            start, length = self.block_start, FROM_TYPE - 1 - self.follow
            self.follow += 1
        value = _number(_child(element, "value"), number)
        if value is None:
            block.empty += 1
            return
        block.start.append(start)
        block.seconds.append(FROM_TYPE if length is None else length)
        block.value.append(value)
        marks = [q for child in element if _name(child) == "ReadingQuality"
                 if (q := _whole(_child(child, "quality"), number)) is not None]
        block.unmarked += not marks
        for code in marks:
            block.quality[code] = block.quality.get(code, 0) + 1

    def close(self, stream: Stream) -> None:
        stream.several_in_one += self.blocks > 1
        stream.extra_fields += self.extra_fields
        stream.entries += self.kinds
        if self.blocks:
            rels = ("up", "related") if self.links.get("up") else ("self", "related")
            key = tuple(sorted((rel, href) for rel in rels for href in self.links.get(rel, ())))
            stream.blocks.setdefault(key, Block(self.links)).add(self.block)
        if len(stream.entries) > MOST_ENTRIES or len(stream.blocks) > MOST_GROUPS:
            raise MeterFileError("the meter file describes hundreds of meters and kinds of reading. Download the "
                                 "file of one meter.")


_WANTED = {"kind", "uom", "powerOfTenMultiplier", "flowDirection", "accumulationBehaviour", "intervalLength",
           "defaultQuality", "commodity", "tzOffset", "dstStartRule", "dstEndRule", "dstOffset"}


def _fields(element: Element) -> dict[str, str]:
    """The plain fields the reader knows; ServiceCategory's kind as service_kind. All else stays behind."""
    found = {name: (child.text or "").strip() for child in element if (name := _name(child)) in _WANTED}
    service = _find(element, "ServiceCategory")
    if service is not None:
        found["service_kind"] = (_child(service, "kind") or "").strip()
    return found


def _name(element: Element) -> str:
    return element.tag.rpartition("}")[2].rpartition(":")[2] if isinstance(element.tag, str) else ""


def _find(element: Element, name: str) -> Element | None:
    return next((child for child in element if _name(child) == name), None)


def _child(element: Element, name: str) -> str | None:
    child = _find(element, name)
    return None if child is None else child.text


def _number(text: str | None, number: int) -> float | None:
    if text is None or not text.strip():
        return None
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise MeterFileError(f"reading {number} of a block in the meter file has something else where a number is "
                             "expected. Download the file again.")
    return value


def _whole(text: str | None, number: int) -> int | None:
    value = _number(text, number)
    if value is None:
        return None
    if abs(value) > 1e15:
        raise MeterFileError(f"reading {number} of a block in the meter file has a time beyond any calendar. "
                             "Download the file again.")
    return int(value)
