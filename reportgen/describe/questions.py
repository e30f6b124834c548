"""The few questions that a first report needs, asked one by one or answered in advance as options."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from reportgen.describe import expected
from reportgen.describe.fields import COMPASS_DEG
from reportgen.describe.lettering import in_lettering
from reportgen.describe.places import Town, currency_of, find_town, folded
from reportgen.describe.problems import printable
from reportgen.describe.sentences import nearest
from reportgen.describe.yaml_reader import hidden_character

FAR_LARGER = 10      # a town this many times as large as the next of its name is meant, unless a region is named
MOST_TRIES = 10
SHORT_COMPASS = {"".join(part[0] for part in word.split("-")).upper(): word for word in COMPASS_DEG}
EXPORT = ("one-to-one", "net billing")


class DraftError(ValueError):
    """An answer is missing or can't be used; the text says in one sentence what is expected."""


@dataclass(frozen=True)
class Question:
    """key: of the answer and, with hyphens, of the option. asks: the question. help: how to answer, for `--help`.

    read: the text given -> the answer; raises DraftError. when: whether it is asked, by the answers before it.
    usual: what an empty answer means, as text, or None where an answer is needed.
    """

    key: str
    asks: str
    help: str
    read: Callable[[str], object]
    when: Callable[[dict], bool] = lambda answers: True
    usual: Callable[[dict], str | None] = lambda answers: None
    welcome: bool = False      # may be given as an option although it would not be asked


def collect_answers(given: dict, ask: Callable[[str], str] | None = None) -> dict:
    """All answers that `draft_text` needs, checked.

    given: answers known already, as text or number, by key; None counts as not given; `report_day` must be there.
    ask: shows its argument and returns what was typed (`input`), or None where nobody can be asked.
    Raises DraftError where an answer is missing and nobody can be asked, or where a given answer can't be used.
    """
    answers = {"report_day": _day(str(given.get("report_day") or ""))}
    for question in QUESTIONS:
        if not question.when(answers):
            if given.get(question.key) is None:
                continue
            if not question.welcome:
                raise DraftError(f"{_option(question)} has no meaning here: {question.help}")
        text = given.get(question.key)
        if text is not None:
            try:
                answers[question.key] = question.read(str(text).strip())
            except DraftError as error:
                raise DraftError(f"{_option(question)}: {error}") from None
        elif ask is None:
            usual = question.usual(answers)
            if usual is None:
                raise DraftError(f"{_option(question)} is missing: {question.help}")
            answers[question.key] = question.read(usual)
        else:
            answers[question.key] = _asked(question, answers, ask)
    return answers


def _asked(question: Question, answers: dict, ask: Callable[[str], str]):
    usual = question.usual(answers)
    prompt = f"{question.asks} ({question.help})" + (f" [{usual}]" if usual is not None else "") + ": "
    before = ""
    for _ in range(MOST_TRIES):
        try:
            text = ask(before + prompt).strip()
        except EOFError:
            raise DraftError(f"no answer to: {question.asks}") from None
        try:
            return question.read(text or usual or "")
        except DraftError as error:
            before = f"{error}\n"
    raise DraftError(f"no answer that can be used to: {question.asks}")


def _option(question: Question) -> str:
    return "--" + question.key.replace("_", "-")


def _text(text: str) -> str:
    if not 1 <= len(text) <= 120:
        raise DraftError("a text of 1 to 120 characters is expected")
    if problem := hidden_character(text):
        raise DraftError(problem)
    try:
        return in_lettering(text)
    except ValueError as error:
        raise DraftError(str(error)) from None


def _day(text: str) -> str:
    from pydantic import TypeAdapter, ValidationError

    from reportgen.describe.fields import Day
    try:
        return TypeAdapter(Day).validate_python(text).isoformat()
    except ValidationError:
        raise DraftError(f"found {_shown(text)} as the day of the report; {expected.expected_at(('report_day',)).rstrip(',')} "
                         "is expected") from None


def _number(*path) -> Callable[[str], float]:
    """Reads a number within the limits that the models set at `path`."""
    def read(text: str) -> float:
        node = expected.node_at(path)
        try:
            value = float(text.replace(",", "") if _has_thousands(text) else text)
            fits = (math.isfinite(value) and node.get("minimum", -math.inf) <= value <= node.get("maximum", math.inf)
                    and node.get("exclusiveMinimum", -math.inf) < value < node.get("exclusiveMaximum", math.inf))
        except ValueError:
            fits = False
        if not fits:
            raise DraftError(f"found {_shown(text)}; {expected.expected_at(path)} is expected")
        return value
    return read


def _has_thousands(text: str) -> bool:
    head, *groups = text.partition(".")[0].lstrip("-").split(",")
    return bool(groups) and head.isdigit() and len(head) <= 3 and all(len(g) == 3 and g.isdigit() for g in groups)


def _town(text: str) -> Town:
    found = find_town(text)
    if not found:
        raise DraftError(f"no town called {_shown(text)} is known; write town and state, such as Greensboro, NC, "
                         "or town and country, such as Lund, Sweden; a larger town nearby will do")
    exact = [t for t in found if folded(t.name) == folded(text.partition(",")[0].strip())]
    found = exact if len(exact) == 1 else found
    if len(found) > 1 and found[0].population < FAR_LARGER * found[1].population:
        raise DraftError(f"several towns may be meant: {'; '.join(t.text() for t in found[:6])}; write the state or country too")
    return found[0]


def _choice(*choices: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        plain = text.casefold().replace("_", " ").strip()
        for choice in choices:
            if plain.replace("-", " ") == choice.replace("-", " "):
                return choice
        near = nearest(text, choices) if text else ""
        raise DraftError(f"found {_shown(text)}; {', '.join(choices[:-1])} or {choices[-1]} is expected"
                         + (f"; the nearest is {near}" if near else ""))
    return read


def _facing(text: str) -> str | float:
    """A compass word, its letters (SW), or degrees clockwise from north."""
    plain = text.rstrip("°").removesuffix("degrees").strip()
    if plain[:1].isdigit():
        return _number("roof", 0, "azimuth_deg")(plain)
    return SHORT_COMPASS.get(text.upper()) or _choice(*COMPASS_DEG)(text)


def _slope(text: str) -> str | float:
    """Degrees, or rise in 12 such as 6:12."""
    rise, colon, run = text.replace("/", ":").partition(":")
    if not colon:
        return _number("roof", 0, "slope_deg")(text.rstrip("°").removesuffix("degrees").strip())
    try:
        fits = run.strip() == "12" and 0 <= float(rise) < 1000
    except ValueError:
        fits = False
    if not fits:
        raise DraftError(f"found {_shown(text)}; degrees from 0 to 90, or a rise in 12 such as 6:12, are expected")
    return f"{float(rise):g}:12"


def _currency(text: str) -> str:
    if not (len(text) == 3 and text.isascii() and text.isalpha()):
        raise DraftError(f"found {_shown(text)}; {expected.expected_at(('money', 'currency')).rstrip(',')} is expected")
    return text.upper()


def _shown(text: str) -> str:
    return f"'{printable(text, 40)}'" if text else "nothing"


def _abroad(answers: dict) -> bool:
    return answers["town"].country != "US"


QUESTIONS = (
    Question("name", "What shall the report call this house?", "no address and no family name", _text),
    Question("town", "Where is it?", "town and state or country, such as Greensboro, NC or Lund, Sweden", _town),
    Question("facing", "Where does the roof face look, downhill?", "a compass word such as south-west, or degrees from north",
             _facing),
    Question("slope", "How steep is it?", "degrees from level, or a rise in 12 such as 6:12", _slope),
    Question("annual_kwh", "How much electricity does the house use in a year?", "kWh, from twelve bills",
             _number("use", "annual_kwh")),
    Question("currency", "In which currency are the bills?", "three letters", _currency, _abroad,
             lambda answers: currency_of(answers["town"].country) or None, welcome=True),
    Question("price_per_kwh", "What does one more kWh cost?", "in money such as 0.15, all riders and taxes in it",
             _number("tariff", "price_per_kwh")),
    Question("fixed_per_month", "What is due each month however little is used?", "in money, from the bill",
             _number("tariff", "fixed_per_month")),
    Question("export", "How is sun power sent to the grid paid?",
             "one-to-one: it cancels use, kWh for kWh; net billing: at a price of its own", _choice(*EXPORT)),
    Question("export_price_per_kwh", "What does each kWh sent out earn?", "in money; only with net billing",
             _number("tariff", "export_price_per_kwh"), lambda answers: answers["export"] == "net billing"),
    Question("array_kw", "How large is the offered array?", "kW of modules, from the offer; goes with the price",
             _number("array", "array_kw"), _abroad, welcome=True),
    Question("installed_price", "What does the finished system cost?",
             "in money, from an offer, all taxes in it; asked outside the United States, where no price is assumed",
             _number("money", "installed_price"), _abroad, welcome=True),
)
