"""What stands on the electrician's sheet: the facts as found, the ways in short, what is open. One page without photos.

Text comes from the volunteer and may be long. Nothing is cut: a question that finds no room is counted on the sheet and stands
in full in the report. A stop always finds room, even where that takes a second page.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from reportgen.assessment import Assessment
from reportgen.interconnection.conductors import NOT_CHOSEN
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT
from reportgen.report.sheet_facts import facts_found
from reportgen.report.way_rows import way_rows

LINES = 59              # of the sheet's page, below its heading; Letter, the shorter of the two sizes
FACT_LETTERS = 104      # letters in a line of the column of facts
LABEL_LETTERS = 17      # letters in a line of the column before it
NAME_LETTERS, VERDICT_LETTERS, LEFT_LETTERS, CHANGE_LETTERS = 40, 18, 15, 37     # of the columns of the ways
HALF_LETTERS = 60       # letters in a line of a list over half the width
HEADS = 9               # lines that captions, headings and the count of what is left out take
LEAST_ROOM = 4          # lines for what is open, whatever else there is
MOST_WAYS = 10
IN_THE_CASH = "; the way in the cash"


@dataclass(frozen=True)
class SheetWay:
    name: str
    verdict: str
    left: str
    change: str
    is_chosen: bool


@dataclass(frozen=True)
class Sheet:
    stops: tuple[str, ...]                           # what an electrician looks at before anything else
    facts: tuple[tuple[str, str], ...]               # label, what was found
    ways: tuple[SheetWay, ...]
    questions: tuple[str, ...]
    photos_wanted: tuple[str, ...]
    left_out: int                                    # questions and photos that found no room


def electrician_sheet(assessment: Assessment) -> Sheet:
    connection = assessment.connection
    ways = tuple(SheetWay(row.way.name, row.verdict, row.left, row.change, row.is_chosen)
                 for row in way_rows(connection, assessment.payback.currency)[:MOST_WAYS])
    facts = tuple((label, text) for label, text in facts_found(assessment) if text)
    stops = _stops(assessment)
    taken = HEADS + sum(map(_way_lines, ways)) + sum(_lines(text, 2 * HALF_LETTERS) for text in stops)
    taken += sum(max(_lines(text, FACT_LETTERS), _lines(label, LABEL_LETTERS)) for label, text in facts)
    room = LINES - taken
    while room < LEAST_ROOM:              # only a house of many panels
        room += LINES
    asked, wanted = _questions(assessment), connection.photos
    first = _that_fit(wanted, room)
    questions: tuple[str, ...] = ()
    for text in asked:
        if _in_two_columns((*questions, text), first, room):
            questions += (text,)
    chosen = set(first)
    for text in wanted:
        if text not in chosen and _in_two_columns(questions, tuple(t for t in wanted if t in chosen or t == text), room):
            chosen.add(text)
    photos = tuple(text for text in wanted if text in chosen)
    return Sheet(stops, facts, ways, questions, photos, len(asked) + len(wanted) - len(questions) - len(photos))


def _stops(assessment: Assessment) -> tuple[str, ...]:
    found = assessment.connection
    seen = (f"{_large(seen.what)}: {seen.consequence}" for seen in found.seen if seen.stops)
    return tuple(dict.fromkeys((*found.findings, *seen)))


def _questions(assessment: Assessment) -> tuple[str, ...]:
    """What failed, then what cannot be said. The busbar rules stand among the ways already, so of those only what is missing."""
    found = assessment.connection
    circuit = (*found.circuit_checks, *found.conductors, *(check for plan in found.strings for check in plan.checks))
    failed = [check for check in (*circuit, *found.working_space) if check.verdict == DOES_NOT_FIT]
    unknown = [check for check in (*found.checks, *circuit, *found.working_space) if check.verdict == CANNOT_SAY and not _is_repeated(check)]
    asked = [*(f"{_large(_at(check))}: {DOES_NOT_FIT}. {check.sentence}" for check in failed),
             *(f"{_at(check)}: {check.sentence}" for check in unknown),
             *(f"{seen.what}: {seen.consequence}" for seen in found.seen if seen.verdict == CANNOT_SAY and not seen.stops),
             *found.not_checked]
    return tuple(dict.fromkeys(asked))


def _is_repeated(check) -> bool:
    """Wires that are not there yet are asked for once, by the check that names their least size."""
    return check.sentence.endswith(NOT_CHOSEN)


def _at(check) -> str:
    return check.where or check.name


def _large(text: str) -> str:
    return text[:1].upper() + text[1:]


def _way_lines(way: SheetWay) -> int:
    name = f"{way.name}{IN_THE_CASH}" if way.is_chosen else way.name
    return max(_lines(name, NAME_LETTERS), _lines(way.verdict, VERDICT_LETTERS), _lines(way.left, LEFT_LETTERS),
               _lines(way.change, CHANGE_LETTERS))


def _that_fit(texts: tuple[str, ...], lines: int) -> tuple[str, ...]:
    """Each whole; one that is too long makes room for shorter ones after it."""
    fitting = []
    for text in texts:
        if (taken := _lines(text, HALF_LETTERS)) <= lines:
            lines -= taken
            fitting.append(text)
    return tuple(fitting)


def _in_two_columns(questions: tuple[str, ...], photos: tuple[str, ...], room: int) -> bool:
    """Whether both lists, one after the other and each entry whole, end within two columns of `room` lines below a heading."""
    columns, used = 1, 0
    heights = [*(_lines(text, HALF_LETTERS) for text in questions), 1 if questions and photos else 0,    # the second list's heading
               *(_lines(text, HALF_LETTERS) for text in photos)]
    for height in heights:
        if used + height > room:
            columns, used = columns + 1, 0
        used += height
    return columns <= 2


def _lines(text: str, letters: int) -> int:
    return max(1, ceil(len(text) / letters))
