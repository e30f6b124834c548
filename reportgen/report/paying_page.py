"""What the part about paying shows: the ways side by side in words, and what is to be said of each. Computes no result."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil

from reportgen.assessment import Assessment
from reportgen.figures import Figure, show, span, years_span
from reportgen.payback.ways_result import HOUSEHOLD, WayToPay
from reportgen.report.money_words import company_sentence, fee_sentence

WAYS_A_TABLE = 4
NOTHING, NONE = "nothing", "none"


@dataclass(frozen=True)
class Cell:
    text: str
    key: str = ""             # of the Figure whose sum stands in Workings


@dataclass(frozen=True)
class CellRow:
    label: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class WayTable:
    caption: str
    heads: tuple[str, ...]
    rows: tuple[CellRow, ...]


@dataclass(frozen=True)
class WayTold:
    """One way in words. lead: what it hides, in one plain sentence; "" where it hides nothing."""
    way: WayToPay
    lead: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class PayingPage:
    tables: tuple[WayTable, ...]
    told: tuple[WayTold, ...]
    shared: tuple[tuple[str, str], ...]   # names of the ways, and a note that holds for each of them
    not_counted: tuple[str, ...]
    notes: tuple[str, ...]            # of the cash, without what was not counted
    others: tuple[WayToPay, ...]      # all but cash
    holds: bool                       # some year of the cash has insurance, property tax or taking down


def paying_page(assessment: Assessment) -> PayingPage:
    payback = assessment.payback
    every_note = [note for one in (payback, *payback.ways_to_pay) for note in one.notes]
    not_counted = tuple(dict.fromkeys(note for note in every_note if note.startswith("Not counted")))
    shared = _shared(payback.ways_to_pay, set(not_counted))
    groups = [payback.ways_to_pay[k:k + WAYS_A_TABLE] for k in range(0, len(payback.ways_to_pay), WAYS_A_TABLE)]
    told = tuple(_told(way, {*not_counted, *shared}) for way in payback.ways_to_pay if way.kind != "cash")
    tables = tuple(_table(assessment, group, "The ways to pay, side by side" + (f" ({n} of {len(groups)})" if len(groups) > 1 else ""))
                   for n, group in enumerate(groups, start=1))
    return PayingPage(
        tables, tuple(one for one in told if one.lead or one.notes or one.way.cautions or one.way.instalments),
        tuple((_listed([way.name for way in ways]), note) for note, ways in shared.items()), not_counted,
        tuple(note for note in payback.notes if note not in not_counted), payback.ways_to_pay[1:],
        any(year.holding for year in payback.middle.years))


def _told(way: WayToPay, elsewhere: set[str]) -> WayTold:
    lead = ""
    if way.owner != HOUSEHOLD:
        lead = company_sentence(_year(way.first_year_paid), _year(way.last_year_paid), "a year", way.total_paid.text())
    elif way.principal is not None and way.hidden_fee is not None and way.hidden_fee.value > 0.5:
        lead = fee_sentence(way.hidden_fee.text(), way.principal.text(), way.named_fee_percent)
    return WayTold(way, lead, tuple(note for note in _said(way) if note not in elsewhere))


def _said(way: WayToPay) -> tuple[str, ...]:
    return ((f"No rate of return is named: {way.rate_why.partition(': ')[2]}",) if way.rate_why else ()) + way.notes


def _shared(ways: tuple[WayToPay, ...], elsewhere: set[str]) -> dict[str, list[WayToPay]]:
    """Notes that hold for more than one way, said once."""
    found: dict[str, list[WayToPay]] = {}
    for way in ways:
        for note in _said(way):
            found.setdefault(note, []).append(way)
    return {note: those for note, those in found.items() if len(those) > 1 and note not in elsewhere}


def _listed(names: list[str]) -> str:
    names = [name[:1].upper() + name[1:] for name in names]
    return " and ".join((", ".join(names[:-1]), names[-1]))


def _year(figure: Figure) -> str:
    return show(figure.value, figure.unit.partition("/")[0])


def _table(assessment: Assessment, ways: tuple[WayToPay, ...], caption: str) -> WayTable:
    payback, sale = assessment.payback, assessment.house.paying.sale_year
    horizon, nothing = payback.horizon_years, payback.do_nothing
    rows = []

    def row(label: str, without: Cell, cell: Callable[[WayToPay], Cell], holds: bool = True) -> None:
        if holds:
            rows.append(CellRow(label, (without, *(cell(way) for way in ways))))

    none, borrows = Cell(NONE), any(way.principal is not None for way in ways)
    several = len(payback.ways_to_pay) > 1       # of cash alone the text above says these
    row("Who owns the array", none, lambda w: Cell(w.owner), several)
    row("Who gets tax credits", none, lambda w: Cell(w.credits_to), several)
    row("Who gets certificates", none, lambda w: Cell(w.certificates_to), several)
    row("Own work, not priced", none, lambda w: Cell(show(w.hours_of_own_work, "hours") if w.hours_of_own_work is not None else NONE),
        any(w.hours_of_own_work is not None for w in ways))
    row("Paid at the start", Cell(NOTHING), lambda w: _money(w.up_front))
    row("Amount financed", none, lambda w: _money(w.principal), borrows)
    row("Added to the cash price, in the loan", none, lambda w: _money(w.hidden_fee), borrows)
    row("Interest on the cash price", none, lambda w: _plain(w.true_rate), borrows)
    row("To lender or company: first and last year", Cell(NOTHING), _first_and_last, any(w.instalments for w in ways))
    row("Paid for it in all", Cell(NOTHING), lambda w: _money(w.total_paid), several)
    row(f"To the utility: years 1 and {horizon}", Cell(f"{_year(nothing.first_year)}, then {_year(nothing.last_year)}", nothing.last_year.key)
        if nothing else Cell(""), lambda w: _bill_years(w, payback.currency))
    row(f"All bills of {horizon} years, middle case", Cell(show(nothing.total.value, payback.currency), nothing.total.key) if nothing
        else Cell(""), lambda w: _all_bills(w, payback.currency))
    row("Worth in today’s money, against doing nothing", Cell("0: the measure"), lambda w: _reach(w.net_present_value))
    row("What the money paid in earns a year", none, _rate, several)
    row("Paid back", Cell("nothing is bought"), lambda w: _years(w, w.simple_payback, horizon), several)
    row("Paid back, later money marked down", Cell("nothing is bought"), lambda w: _years(w, w.discounted_payback, horizon), several)
    row("Against the same money in a deposit", none, lambda w: _reach(w.over_deposit))
    row("Dearer than the utility from", none, lambda w: _dearer(w, horizon), any(w.owner != HOUSEHOLD for w in ways))
    row(f"Owed if the house is sold after year {sale}", Cell(NOTHING), lambda w: _money(w.owed_at_sale), sale is not None)
    row(f"Worth if it is sold after year {sale}", Cell("0: the measure"), lambda w: _reach(w.if_sold), sale is not None)
    return WayTable(caption, ("Doing nothing", *(way.name[:1].upper() + way.name[1:] for way in ways)), tuple(rows))


def _money(figure: Figure | None) -> Cell:
    if figure is None:
        return Cell(NONE)
    if figure.value is not None and abs(figure.value) < 0.5:
        return Cell(NOTHING, figure.key)
    return Cell(figure.span_text() or figure.text(), figure.key)


def _plain(figure: Figure | None) -> Cell:
    return Cell(NONE) if figure is None else Cell(figure.span_text() or figure.text(), figure.key)


def _reach(figure: Figure | None) -> Cell:
    if figure is None:
        return Cell(NONE)
    reach = figure.span_text()
    return Cell(f"{reach}; middle {figure.text()}" if reach else figure.text(), figure.key)


def _rate(way: WayToPay) -> Cell:
    if way.rate_why:
        return Cell(way.rate_why.partition(":")[0].lower() + ": see below", way.internal_rate.key)
    return _reach(way.internal_rate)


def _first_and_last(way: WayToPay) -> Cell:
    """The first year's payments never stand without the last year's."""
    if not way.instalments:
        return Cell(NOTHING)
    last = ceil(sum(one.months for one in way.instalments) / 12)
    return Cell(f"{_year(way.first_year_paid)} in year 1, {_year(way.last_year_paid)} in year {last}", way.last_year_paid.key)


def _line(way: WayToPay, name: str):
    return next(line for line in way.lines if line.name == name)


def _bill_years(way: WayToPay, currency: str) -> Cell:
    bills = _line(way, "Bill with it").by_year
    return Cell(f"{show(-bills[1], currency)}, then {show(-bills[-1], currency)}")


def _all_bills(way: WayToPay, currency: str) -> Cell:
    return Cell(show(-_line(way, "Bill with it").total, currency))


def _years(way: WayToPay, figure: Figure, horizon: int) -> Cell:
    """Whole years with their range, never a bare year."""
    if way.owner != HOUSEHOLD:
        return Cell("nothing is bought", figure.key)
    if figure.low == figure.high == 0:
        return Cell("from the start: less is paid than is saved", figure.key)
    if figure.low == 0:      # so little is paid in that the best case is ahead from the first year on
        worst = f"not within {horizon} years" if figure.high is None else show(figure.high, "years")
        return Cell(f"from the start at best, {worst} at worst", figure.key)
    return Cell(years_span(figure.low, figure.high, horizon), figure.key)


def _dearer(way: WayToPay, horizon: int) -> Cell:
    figure = way.dearer_from
    if figure is None:
        return Cell(NONE)
    if figure.value is None and figure.low is None:
        return Cell(f"no year of {horizon}", figure.key)
    if figure.low is not None and figure.high is not None:
        return Cell(span(figure.low, figure.high, "year"), figure.key)
    first = figure.low if figure.low is not None else figure.value
    return Cell(f"{show(first, 'year')} at the earliest, or in no year of {horizon}", figure.key)
