"""A first house file, with every further fact that matters as a commented line and the models' own sentence above it."""

from __future__ import annotations

import json
import textwrap

from reportgen.describe import expected
from reportgen.describe.questions import QUESTIONS, DraftError, Question, collect_answers

__all__ = ["OPTIONAL", "QUESTIONS", "DraftError", "Question", "collect_answers", "draft_text"]

WIDTH = 110
# section -> (heading, key and example in the US, key and example elsewhere); "=" where both are the same
OPTIONAL = {
    "roof": ("", (("width_ft", "30"), ("depth_ft", "16"), ("shade_percent", "5"), ("mounting", "close roof")),
             (("width_m", "9"), ("depth_m", "5"), ("shade_percent", "5"), ("mounting", "close roof"))),
    "tariff": ("", (("name", '"Residential"'), ("source", '"the bill of October"'), ("read_on", "2026-11-01")), "="),
    "array": ("The array: write what an offer says; what is missing is proposed or assumed.",
              (("array_kw", "6.4"), ("module_w", "400"), ("conversion", "string inverter"), ("inverter_kw", "5"),
               ("inverter_a", "21"), ("degradation_percent_per_year", "0.5")), "="),
    "electrical": ("The panel: read its labels with the door open and the cover on. Nobody takes the cover off for this.",
                   (("edition", "2020"), ("busbar_a", "200"), ("main_breaker_a", "200"), ("source_position", "far end")), ()),
    "building": ("The roof's covering: panels outlive many roofs.",
                 (("roof_covering", "asphalt shingle"), ("roof_years_left", "15")), "="),
    "money": ("Money: what is missing is assumed, with its source and range.",
              (("installed_price", "18000"), ("federal_tax_owed_per_year", "4000"), ("discount_percent", "4.4"),
               ("price_growth_percent", "2.2")),
              (("upkeep_per_kw_year", "20"), ("inverter_replacement", "1200"), ("discount_percent", "4"),
               ("price_growth_percent", "2"))),
}


def draft_text(answers: dict) -> str:
    """A house file in YAML, which `load_house` accepts, from the answers of `collect_answers`."""
    town, in_us = answers["town"], answers["town"].country == "US"
    lines = [
        "# One house. A line that starts with # is not read. Where you know a fact, take the first # away and write it",
        "# after the colon. A key with nothing after it says nothing.",
        "# Check it with: reportgen check THIS-FILE", "",
        *_said("name", answers["name"]), "",
        *_said("report_day", answers["report_day"], quoted=False), "",
        *_unsaid(("finish_day",), answers["report_day"], ""), "",
        "# Towns: GeoNames (geonames.org), CC BY 4.0.",
        "place:",
        *_said("place.town", ", ".join(part for part in (town.name, town.region) if part)),
        *_said("place.latitude", town.latitude), *_said("place.longitude", town.longitude),
        *_said("place.country", town.country),
        *(_said("place.state", town.region) if town.region else ()),
        *_said("place.time_zone", town.time_zone), "",
        *_comment(expected.node_at(("roof",))["description"], ""),
        "roof:",
        *_roof_face(answers), *_optional("roof", in_us, ("roof", 0), "    "), "",
        "use:",
        *_said("use.annual_kwh", answers["annual_kwh"]),
        *_unsaid(("use", "shape"), "home by day", "  "), "",
        "tariff:",
        *_said("tariff.price_per_kwh", answers["price_per_kwh"]),
        *_said("tariff.fixed_per_month", answers["fixed_per_month"]),
        *_said("tariff.export", answers["export"], quoted=False),
        *_export(answers), *_optional("tariff", in_us, ("tariff",), "  "),
    ]
    for section in ("array", "electrical", "building"):
        if optional := _optional(section, in_us, (section,), "  ", answers):
            said = _said("array.array_kw", answers["array_kw"]) if section == "array" and "array_kw" in answers else []
            lines += ["", *_comment(OPTIONAL[section][0], ""), f"{section}:", *said, *optional]
    lines += ["", *_comment(OPTIONAL["money"][0], ""), "money:"]
    for key in ("currency", "installed_price"):
        if key in answers:
            lines += _said(f"money.{key}", answers[key])
    lines += _optional("money", in_us, ("money",), "  ", answers)
    return "\n".join(lines) + "\n"


def _roof_face(answers: dict) -> list[str]:
    facing, slope = answers["facing"], answers["slope"]
    first = _said("roof.0.facing" if isinstance(facing, str) else "roof.0.azimuth_deg", facing, quoted=False)
    second = _said("roof.0.slope" if isinstance(slope, str) else "roof.0.slope_deg", slope)
    lines = first + second
    key = next(i for i, line in enumerate(lines) if not line.lstrip().startswith("#"))
    lines[key] = "  - " + lines[key][4:]
    return lines


def _export(answers: dict) -> list[str]:
    if answers["export"] == "net billing":
        return _said("tariff.export_price_per_kwh", answers["export_price_per_kwh"])
    return [*_unsaid(("tariff", "reset_month"), "March", "  "), *_unsaid(("tariff", "leftover_price_per_kwh"), "0.03", "  ")]


def _optional(section: str, in_us: bool, path: tuple, indent: str, answers: dict | None = None) -> list[str]:
    _, us, elsewhere = OPTIONAL[section]
    chosen = us if in_us or elsewhere == "=" else elsewhere
    return [line for key, example in chosen if key not in (answers or ()) for line in _unsaid((*path, key), example, indent)]


def _said(dotted: str, value, quoted: bool = True) -> list[str]:
    path = tuple(int(k) if k.isdigit() else k for k in dotted.split("."))
    indent = "  " * (len(path) - 1)
    if isinstance(value, str):
        text = json.dumps(value, ensure_ascii=False) if quoted else value   # a JSON text is a YAML text
    else:
        text = f"{value:.10g}"
    return [*_comment(expected.node_at(path)["description"], indent), f"{indent}{path[-1]}: {text}"]


def _unsaid(path: tuple, example: str, indent: str) -> list[str]:
    """A key without a value: an example is never taken for a fact by taking the # away."""
    return [*_comment(expected.node_at(path)["description"], indent), f"{indent}# {path[-1]}:   # for example {example}"]


def _comment(sentence: str, indent: str) -> list[str]:
    return textwrap.wrap(sentence, WIDTH, initial_indent=indent + "# ", subsequent_indent=indent + "#   ",
                         break_on_hyphens=False)
