"""The electrical code as data: clauses by edition, standard ratings, factors and busbar rules from `tables/code_*`."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import cache
from importlib import resources

import yaml

TOLERANCE_A = 1e-6
"""Currents closer than this are equal: binary fractions must not decide a verdict."""


@dataclass(frozen=True)
class BusbarRule:
    key: str
    name: str
    busbar_share: float              # main + sources may reach this share of the busbar
    position: str                    # "any", "far end", "one end" (of a centre-fed panel)
    conditions: tuple[str, ...]      # may hold {rule_key} for a citation
    source: str
    counts: str                      # "device and sources" or "all breakers"
    formula: str                     # the rule in words


def _text(name: str) -> str:
    return (resources.files("reportgen") / "tables" / name).read_text(encoding="utf-8")


def table_rows(name: str) -> list[dict[str, str]]:
    """The rows of tables/`name`, every cell as text."""
    return list(csv.DictReader(io.StringIO(_text(name))))


def _rows_of_all(stem: str) -> list[dict[str, str]]:
    """The rows of every tables/`stem`*.csv, in the order of their names."""
    names = sorted(entry.name for entry in (resources.files("reportgen") / "tables").iterdir()
                   if entry.name.startswith(stem) and entry.name.endswith(".csv"))
    return [row for name in names for row in table_rows(name)]


@cache
def _clauses() -> dict[tuple[str, int], str]:
    """Each clause's number; one that no public text confirmed says so wherever it is printed."""
    doubt = {"from memory": ", number from memory", "not seen": ", number not seen in print"}
    return {(row["rule"], int(row["edition"])): row["clause"] + doubt.get(row["checked"], "")
            for row in _rows_of_all("code_clauses")}


@cache
def editions() -> tuple[int, ...]:
    """Editions of the National Electrical Code for which both busbar rules have a clause, oldest first."""
    found = [{e for (rule, e) in _clauses() if rule == key} for key in ("sum_rule", "rule_120")]
    return tuple(sorted(set.intersection(*found)))


def cite(rule: str, edition: int | None) -> str:
    """'NEC 2020, 705.12(B)(3)(2)'. Without an edition: the clause of every known edition, each with its own."""
    wanted = editions() if edition is None else (edition,)
    return "; ".join(f"NEC {e}, {_clauses()[rule, e]}" for e in wanted)


def has_clause(rule: str, edition: int) -> bool:
    """Whether the edition holds the rule at all."""
    return (rule, edition) in _clauses()


@cache
def _factors() -> dict[str, float]:
    return {row["key"]: float(row["value"]) for row in _rows_of_all("code_factors")}


def factor(key: str) -> float:
    """A row of tables/code_factors.csv."""
    return _factors()[key]


@cache
def standard_ratings_a(edition: int | None) -> tuple[float, ...]:
    """Breaker ratings [A] of NEC 240.6(A), ascending; without an edition, those of every edition."""
    first = min(editions()) if edition is None else edition
    return tuple(sorted(float(row["rating_a"]) for row in table_rows("code_standard_ratings.csv")
                        if int(row["breaker_from_edition"]) <= first))


def next_standard_a(current_a: float, edition: int | None) -> float | None:
    """Smallest standard rating that is at least `current_a`; None above the table."""
    return next((r for r in standard_ratings_a(edition) if r >= current_a - TOLERANCE_A), None)


@cache
def busbar_ratings_a() -> tuple[float, ...]:
    """Busbar ratings [A] that are usual on dwelling panels."""
    return tuple(float(row["rating_a"]) for row in table_rows("code_busbar_ratings.csv"))


@cache
def busbar_rules() -> tuple[BusbarRule, ...]:
    """The rules of tables/code_busbar_rules.yaml, each with the conditions that hold under every rule added."""
    table = yaml.safe_load(_text("code_busbar_rules.yaml"))
    common = tuple(table["every_rule"])
    return tuple(BusbarRule(row["key"], row["name"], float(row["busbar_share"]), row["position"],
                            (*row["conditions"], *common), row["source"], row["counts"], row["formula"])
                 for row in table["rules"])


@cache
def busbar_rule(key: str) -> BusbarRule:
    """One row of `busbar_rules` by its key."""
    return next(rule for rule in busbar_rules() if rule.key == key)
