"""The tables of the electrical code: complete for every edition, and every row with its source and day."""

import csv
from datetime import date
from importlib import resources

import pytest
import yaml

from reportgen.interconnection.code_tables import busbar_rules, cite, editions, has_clause, standard_ratings_a

TABLES = resources.files("reportgen") / "tables"
CSV_TABLES = sorted(entry.name for entry in TABLES.iterdir() if entry.name.startswith("code_") and entry.name.endswith(".csv"))


def _rows(name):
    return list(csv.DictReader((TABLES / name).read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("name", CSV_TABLES)
def test_every_row_names_its_source_and_the_day_it_was_seen(name):
    rows = _rows(name)
    assert rows
    for row in rows:
        assert row["source"].strip() and None not in row and None not in row.values()
        date.fromisoformat(row["seen_on"])


def test_every_busbar_rule_names_its_source_and_the_day_it_was_seen():
    for row in yaml.safe_load((TABLES / "code_busbar_rules.yaml").read_text(encoding="utf-8"))["rules"]:
        assert row["source"] and isinstance(row["seen_on"], date)


def test_every_rule_says_what_it_counts_and_where_the_breaker_must_sit():
    assert {(rule.counts, rule.position) for rule in busbar_rules()} == {
        ("device and sources", "any"), ("device and sources", "far end"), ("all breakers", "any"), ("device and sources", "one end")}


def test_feed_through_lugs_have_no_clause_before_2020():
    """Licence-renewal course page 972 on the 2020 changes; no such rule in the 2017 transcription."""
    assert [has_clause("feed_through", edition) for edition in (2017, 2020, 2023)] == [False, True, True]
    assert cite("feed_through", 2023).endswith("number from memory")


def test_every_edition_has_a_clause_for_everything_that_is_cited():
    assert editions() == (2017, 2020, 2023)
    cited = {row["rule"] for row in _rows("code_clauses.csv")} - {"power_control"}   # no such rule before 2020
    assert {rule.key for rule in busbar_rules()} <= cited
    for edition in editions():
        for rule in cited:
            assert cite(rule, edition).startswith(f"NEC {edition}, ")


def test_without_an_edition_every_clause_is_named_with_its_own():
    assert cite("rule_120", None) == ("NEC 2017, 705.12(B)(2)(3)(b); NEC 2020, 705.12(B)(3)(2); "
                                      "NEC 2023, 705.12(B)(2)")


def test_a_10_a_breaker_exists_from_the_2023_edition_on():
    """NEC Table 240.6(A), 2023 transcription, one source; a fuse rating only in 2017."""
    assert [min(standard_ratings_a(e)) for e in (2017, 2020, 2023, None)] == [15, 15, 10, 15]


def test_standard_ratings_of_240_6_A():
    """NEC Table 240.6(A), 2017 and 2023 transcriptions, up to 800 A."""
    assert standard_ratings_a(2017) == (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200,
                                        225, 250, 300, 350, 400, 450, 500, 600, 700, 800)
