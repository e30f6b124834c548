"""An Assessment and its pictures as one HTML page. Chooses and orders what is shown; computes no result."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log10

from markupsafe import Markup

from reportgen import __version__
from reportgen.assessment import Assessment, Effect
from reportgen.describe.electrical import SEEN
from reportgen.describe.fields import COMPASS_DEG
from reportgen.figures import Figure, show, span, years_span
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, Connection
from reportgen.interconnection.wording import lower
from reportgen.interconnection.wording_plain import in_plain_words
from reportgen.report.assets import font_faces, template_text
from reportgen.report.bill_page import bill_page
from reportgen.report.change_page import change_page
from reportgen.report.check_lines import check_lines
from reportgen.report.conditions import conditions_of
from reportgen.report.equipment import equipment_rows
from reportgen.report.offers_page import offers_page
from reportgen.report.palette import GREY, SUN
from reportgen.report.paying_page import paying_page
from reportgen.report.photos import ShownPhoto, shared_only
from reportgen.report.rangebar import Axis, range_bar
from reportgen.report.setting import environment, long_day
from reportgen.report.shared_faces import split_is_known
from reportgen.report.sheet import electrician_sheet
from reportgen.report.sources import SourceList
from reportgen.report.way_rows import way_rows

CALL = "Call a licensed electrician"
CLIMBS = "Before anyone climbs or opens a panel"
OFFERS = "offers"
PARTS = (
    ("in-short", "In short"),
    ("roof-and-sun", "Your roof and your sun"),
    ("how-large", "How large"),
    ("connecting", "Connecting it"),
    ("bill", "Your bill, before and after"),
    ("paying", "Paying for it"),
    ("what-could-change", "What could change the answer"),
    (OFFERS, "The offers you hold"),        # only where there are any
    ("grid-down", "When the grid is down"),
    ("rests-on", "What this rests on"),
    ("before-anyone-climbs", CLIMBS),
    ("who-decides", "Who decides"),
    ("electrician", "For the electrician"),
    ("workings", "Workings"),
    ("words", "Words used"),
)


@dataclass(frozen=True)
class Row:
    """One figure of the first page with its range."""

    label: str
    middle: str           # "" where only the range may be printed
    range: str
    bar: Markup | str
    key: str


@dataclass(frozen=True)
class Question:
    """Something to find out."""

    label: str
    ask: str
    reach: str            # between what worths it can lead, "−$640 to $9,380"; "" where that is not known


def render_house(assessment: Assessment, charts: dict[str, str], photos: tuple[ShownPhoto, ...] = ()) -> str:
    """The page as one string: nothing is loaded from elsewhere, nothing in it runs.

    charts: name to ``<svg>``, as `draw_charts` gives them; a picture that is missing is left out with its caption.
    photos: as `report.photos` made them; only those that may be shared are shown.
    """
    sources = SourceList()
    asked = questions(assessment)
    return environment().get_template("house.html.j2").render(
        a=assessment, house=assessment.house, in_us=assessment.house.place.in_us, currency=assessment.payback.currency,
        day=long_day(assessment.house.report_day), charts={name: Markup(svg) for name, svg in charts.items()},
        styles=Markup(font_faces() + "\n" + template_text("style.css")), screen_styles=Markup(template_text("screen.css")),
        parts=parts_of(assessment), paying=paying_page(assessment), offers=offers_page(assessment), change=change_page(assessment), rows=short_rows(assessment), questions=asked, call=CALL, sources=sources, effects=effect_rows(assessment), still=_still(assessment),
        equipment=equipment_rows(assessment), plain=in_plain_words(assessment.connection),
        ways=way_rows(assessment.connection, assessment.payback.currency), nothing_seen=SEEN[-1], split_unknown=_split_unknown(assessment),
        conditions=conditions_of(assessment.connection, assessment.connection.load.cautions if assessment.connection.load else ()),
        checks=check_lines(assessment.connection, assessment.figures), sheet=electrician_sheet(assessment), photos=shared_only(photos),
        faces=[(face, compass(face.azimuth_deg)) for face in assessment.production.faces],
        best=_month(assessment, max), worst=_month(assessment, min), largest_loss=_largest_loss(assessment),
        shown_month=_telling_month(assessment), paid_out=_paid_out(assessment), bill=bill_page(assessment),
        figure_text=lambda figure: figure_text(figure, assessment), version=__version__) + "\n"


def render_sheet(assessment: Assessment, photos: tuple[ShownPhoto, ...] = ()) -> str:
    """The electrician's sheet alone, with the photos that are handed in: one page without photos."""
    return environment().get_template("electrician.html.j2").render(
        a=assessment, house=assessment.house, day=long_day(assessment.house.report_day), parts=parts_of(assessment), photos=photos,
        sheet=electrician_sheet(assessment), styles=Markup(font_faces() + "\n" + template_text("style.css"))) + "\n"


def parts_of(assessment: Assessment) -> tuple[tuple[str, str], ...]:
    """The parts of this house's report, in order."""
    return tuple(part for part in PARTS if part[0] != OFFERS or assessment.offers)


def figure_text(figure: Figure, assessment: Assessment) -> str:
    """The middle and its range in words. A payback is its range in whole years, never a bare year."""
    if figure.key.endswith("_payback"):
        return years_span(figure.low, figure.high, assessment.payback.horizon_years)
    reach = figure.span_text()
    return f"{figure.text()}, {reach}" if reach and figure.low != figure.high else figure.text()


def short_rows(assessment: Assessment) -> list[Row]:
    production, payback = assessment.production, assessment.payback
    years = payback.simple_payback
    rows = [_row("Electricity in a year", production.year, SUN), _row("Price, finished", payback.price),
            _row("Left in the first year, after upkeep", payback.first_year_net),
            _row("Worth in today's money", payback.net_present_value)]
    rows.append(Row("Paid back", "", years_span(years.low, years.high, payback.horizon_years), _years_bar(assessment), years.key))
    return rows


def _row(label: str, figure: Figure, color: str = GREY) -> Row:
    unit = figure.unit.removesuffix("/year")   # the label says that it is a year's
    middle = show(figure.value, unit)
    if figure.low is None or figure.high is None or figure.low == figure.high:
        return Row(label, middle, "", "", figure.key)
    axis = _axis(min(0.0, figure.low), max(0.0, figure.high), unit)
    words = tuple(show(v, unit) for v in (figure.low, figure.value, figure.high))
    bar = range_bar(label, (figure.low, figure.high), figure.value, words, axis, color)
    return Row(label, middle, span(figure.low, figure.high, unit), bar, figure.key)


def _axis(low: float, high: float, unit: str) -> Axis:
    """An axis that ends on round numbers."""
    step = 10.0 ** floor(log10(max(abs(low), abs(high), 1e-9))) / 2
    low, high = floor(low / step) * step, ceil(high / step) * step
    return Axis(low, high, *("0" if end == 0 else show(end, unit) for end in (low, high)))


def _years_bar(assessment: Assessment) -> Markup | str:
    payback, horizon = assessment.payback, assessment.payback.horizon_years
    years = payback.simple_payback
    if years.low is None and years.high is None:
        return ""
    ends = tuple(horizon if v is None else v for v in (years.low, years.high))
    words = tuple("" if v is None else show(v, "years") for v in (years.low, years.value, years.high))
    words = (words[0] or f"not within {horizon} years", words[1], words[2] or f"not within {horizon} years")
    return range_bar("Paid back", ends, years.value, words, Axis(0, horizon, "0", f"{horizon} years"))


def questions(assessment: Assessment) -> list[Question]:
    """What to find out next, what moves the answer most first. What nobody can find out is not asked for."""
    asked: dict[str, Question] = {}
    connection = assessment.connection
    call = _call(connection)
    if call:
        asked["electrician"] = Question(CALL, call, "")
    elif connection.judged and connection.verdict == CANNOT_SAY:
        asked["connection"] = Question("Whether it connects", connection.photos[0] if connection.photos else
                                       "Photograph the label inside the panel's door and the number on every breaker's handle, and "
                                       "ask the building office which edition of the electrical code holds.", "")
    for effect in assessment.effects:
        if not effect.ask or effect.swing <= 0 or effect.ask in asked:
            continue
        asked[effect.ask] = Question(effect.label, effect.ask,
                                     span(*sorted(effect.net_present_value), assessment.payback.currency))
    for assumption in assessment.settled:
        if assumption.ask and assumption.ask not in asked:
            asked[assumption.ask] = Question(assumption.label, assumption.ask, "")
    return list(asked.values())


def _call(connection: Connection) -> str:
    """What to call an electrician about, before money is looked at; "" where nothing on the connection has to change."""
    hand = "Hand over the part “For the electrician”."
    if connection.findings:
        return f"Before anything else, about this: {_first_sentence(connection.findings[0])} {hand}"
    way = connection.chosen
    if connection.judged and connection.verdict != CANNOT_SAY and way is not None and not way.changes_nothing:
        return f"About {lower(way.name)}: {way.change}. {hand}"
    if connection.judged and connection.verdict == DOES_NOT_FIT:
        return f"About the connection: as planned it does not fit, and no way is chosen yet. {hand}"
    if connection.judged and len(connection.panels) > 1:
        return f"About the feeders between the array and the meter: their wires, grounds and breakers. {hand}"
    return ""


def _still(assessment: Assessment) -> list[Effect]:
    """Inputs that move nothing that would show in print: told in one sentence. What has a remark, or turns something else, keeps
    its own lines."""
    code = assessment.payback.currency

    def silent(effect: Effect) -> bool:
        return len({show(worth, code) for worth in (*effect.net_present_value, assessment.payback.net_present_value.value)}) == 1
    return [e for e in assessment.effects if silent(e) and not e.over_deposit and not e.remark
            and (not e.verdicts or e.verdicts[0] == e.verdicts[1])]


def _first_sentence(text: str) -> str:
    return f"{text.split('. ')[0].rstrip('.')}."


def _split_unknown(assessment: Assessment) -> set[str]:
    inverters = assessment.production.inverters
    return {share.name for share in inverters if not split_is_known(share.faces, inverters)}


def effect_rows(assessment: Assessment) -> list[tuple[Effect, Markup | str, str]]:
    """Each effect with its bar on one shared axis and its ends in words; largest first."""
    moving = [e for e in assessment.effects if e.swing > 0]
    currency, middle = assessment.payback.currency, assessment.payback.net_present_value.value
    rows = []
    if moving:
        reach = [v for e in moving for v in e.net_present_value] + [middle]
        axis = _axis(min(reach), max(reach), currency)
    for effect in assessment.effects:
        low, high = effect.net_present_value
        bar = range_bar(f"Worth in today's money by {effect.label.lower()}", (low, high), middle,
                        tuple(show(v, currency) for v in (min(low, high), middle, max(low, high))), axis,
                        labelled=not rows) if effect.swing > 0 else ""
        rows.append((effect, bar, span(min(low, high), max(low, high), currency)))
    return rows


def compass(azimuth_deg: float) -> str:
    """The nearest compass word, 'south-west'."""
    return min(COMPASS_DEG, key=lambda word: abs((azimuth_deg - COMPASS_DEG[word] + 180) % 360 - 180))


def _month(assessment: Assessment, pick) -> tuple[int, float]:
    """Index and output of the best or the worst month."""
    months = list(enumerate(assessment.production.month_kwh))
    return pick(months, key=lambda entry: entry[1])


def _telling_month(assessment: Assessment) -> int:
    """Index of the month whose lines tell most: the one with the lowest bill."""
    return min(range(12), key=lambda i: assessment.bills.after.months[i].total)


def _paid_out(assessment: Assessment) -> float:
    """What the fixed charge exceeds a settled year's bill by: surplus that is paid for; 0 where nothing is."""
    return max(0.0, assessment.bills.stays_due.value - float(assessment.bills.after.total))


def _largest_loss(assessment: Assessment):
    return min(assessment.production.losses, key=lambda step: step.factor, default=None)
