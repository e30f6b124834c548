"""How pages are set: the template engine, its filters, and the texts written in Markdown."""

from __future__ import annotations

import re
from datetime import date
from functools import cache

import markdown
import nh3
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from reportgen.describe.fields import MONTHS
from reportgen.figures import MINUS, show, show_input, show_number, span, years_span
from reportgen.report.assets import templates_folder
from reportgen.report.way_rows import left_words

_UNIT = re.compile(r"(?<=\d) (?=(?:kWh|kW|kVA|VA|Wh|W|A|V|K|°C|%|m²|ft²|ft|m|h|years?|modules?|hours?|days)(?:[^\w]|$))")
_MINUS = re.compile(f"{MINUS}(?=[$€£¥])")   # a line may break between the two signs
_APOSTROPHE = re.compile(r"(?<=\w)'(?=\w|\s|$)")
_TEXT_TAGS = {"p", "ul", "ol", "li", "strong", "em", "h3"}
NO_BREAK = "\u00a0"
JOINED = MINUS + "\u2060"
STAND_INS = str.maketrans({"\u2011": "-"})   # a sign that the lettering lacks


def tied(value):
    """A number and its unit stay on one line: '7,120 kWh' gets a no-break space; apostrophes curl. Markup and other types pass as they are."""
    if isinstance(value, str) and not isinstance(value, Markup):
        return _UNIT.sub(NO_BREAK, _MINUS.sub(JOINED, _APOSTROPHE.sub("’", value).translate(STAND_INS)))
    return value


def long_day(day: date) -> str:
    """'20 November 2026'."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def capitalize_first(text):
    """The first letter large, the rest as it is; Markup stays Markup, its tags untouched."""
    return type(text)(re.sub(r"^((?:<[^>]*>)*)(\w)", lambda found: found[1] + found[2].upper(), str(text)))


def distinct(entries) -> list:
    """Each entry once, in order."""
    return list(dict.fromkeys(entries))


@cache
def text_html(name: str) -> Markup:
    """One of our Markdown texts as HTML; tags other than those of plain text are dropped."""
    source = (templates_folder() / "texts" / f"{name}.md").read_text(encoding="utf-8")
    html = markdown.markdown(source)
    return Markup(nh3.clean(html, tags=_TEXT_TAGS, attributes={}))


@cache
def environment() -> Environment:
    """Everything from a house is escaped; a name that a template misspells is an error, not an empty place."""
    made = Environment(loader=FileSystemLoader(templates_folder()), autoescape=True, undefined=StrictUndefined,
                       trim_blocks=True, lstrip_blocks=True, finalize=tied)
    made.filters.update(show=show, input=show_input, number=show_number, long_day=long_day,
                        capitalize_first=capitalize_first, distinct=distinct, left_words=left_words)
    made.globals.update(span=span, years_span=years_span, text_html=text_html, months=MONTHS)
    return made
