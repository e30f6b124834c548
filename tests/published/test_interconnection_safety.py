"""Safety equipment, labels and working space by edition, and the utility's rows, against the texts they were read in."""

import csv
import re
from pathlib import Path

import pytest

from reportgen.describe.electrical import WorkingSpace
from reportgen.describe.review_rules import known_review_rules
from reportgen.interconnection.code_tables import table_rows
from reportgen.interconnection.result import CANNOT_SAY, DOES_NOT_FIT, FITS
from reportgen.interconnection.safety import expected_equipment
from reportgen.interconnection.utility import utility_review
from reportgen.interconnection.working_space import working_space_checks
from tests.interconnection.houses import panel_house

SHARED = Path(__file__).resolve().parents[3] / "shared" / "data" / "code"

# What each edition is cited by. Sources: NFPA 70-2017 public transcription; 2022 California Electrical Code (= NEC 2020);
# public note on Article 690 of the 2025 California Electrical Code (= NEC 2023) with label makers' pages for 690.12(D),
# 690.7(D); course page on the 2020 changes for 230.85; from memory: 690.31(G)(3).
CLAUSES = {
    "Disconnect for the whole solar system": ("690.13", "690.13", "690.13"),
    "Switches to isolate each piece of equipment": ("690.15", "690.15", "690.15"),
    "Rapid shutdown for fire crews": ("690.12", "690.12", "690.12"),
    "Arc-fault protection on the dc side": ("690.11", "690.11", "690.11"),
    "Ground-fault protection on the dc side": ("690.41(B)", "690.41(B)", "690.41(B), number not seen in print"),
    "Emergency disconnect outdoors": (None, "230.85", "230.85"),
    "Labels along the dc conduit": ("690.31(G)(3), number from memory", "690.31(D)(2)", "690.31(D)(2)"),
    "Label with the highest dc voltage": ("690.53", "690.53", "690.7(D)"),
    "Label at the point of connection": ("690.54", "690.54", "690.54, number not seen in print"),
    "Plaque and switch label for rapid shutdown": ("690.56(C)", "690.56(C)", "690.12(D)"),
    "Directory of all power sources": ("705.10", "705.10", "705.10"),
    "Label at the solar breaker": ("705.12(B)(2)(3)(b)", "705.12(B)(3)(2)", "705.12(B)(2)"),
    "Labels that last": ("110.21(B)", "110.21(B)", "110.21(B)"),
}


@pytest.mark.parametrize("name", CLAUSES)
def test_the_same_house_under_each_edition_gives_that_editions_clause(name):
    for edition, clause in zip((2017, 2020, 2023), CLAUSES[name], strict=True):
        found = {e.name: e.clause for e in expected_equipment(panel_house(200, 200, 24, edition=edition))}
        assert found.get(name) == (None if clause is None else f"NEC {edition}, {clause}")


def test_rapid_shutdown_names_its_numbers_and_the_third_way_only_where_the_edition_has_it():
    """690.12(B): 1 ft and 3 ft, 30 V and 80 V within 30 s (NFPA 70-2017 transcription, 2022 California Electrical Code);
    the way with 8 ft is not in the public note on the 2025 California Electrical Code (= NEC 2023)."""
    for edition, third in ((2017, True), (2020, True), (2023, False)):
        text = _named(expected_equipment(panel_house(200, 200, 24, edition=edition)), "Rapid shutdown for fire crews").text
        for number in ("1 ft", "3 ft", "30 V within 30 seconds", "80 V within 30 seconds"):
            assert number in text
        assert ("8 ft" in text) is third


def test_dc_limits_of_arc_fault_ground_fault_and_isolation():
    """80 V (690.11), 30 V or 8 A (690.41(B)), 10 ft and 30 A (690.15): 2022 California Electrical Code."""
    found = expected_equipment(panel_house(200, 200, 24))
    assert "80 V" in _named(found, "Arc-fault protection on the dc side").text
    assert "30 V or 8 A" in _named(found, "Ground-fault protection on the dc side").text
    isolation = _named(found, "Switches to isolate each piece of equipment").text
    assert "10 ft" in isolation and "Above 30 A dc" in isolation


def _named(found, name):
    return next(e for e in found if e.name == name)


@pytest.mark.parametrize("measured, worst", [
    ((36, 30, 78), FITS), ((35.9, 30, 78), DOES_NOT_FIT), ((36, 29.9, 78), DOES_NOT_FIT), ((36, 30, 77.9), DOES_NOT_FIT)])
def test_working_space_at_an_ac_panel(measured, worst):
    """3 ft deep up to 150 V to ground, 30 in wide, 6.5 ft high: Table 110.26(A)(1), 110.26(A)(2) and (3), NFPA 70-2023
    transcription (one source)."""
    house = _at_wall(*measured, conversion="module-level")
    checks = {c.key: c for c in working_space_checks(house)}
    assert "working_depth_strings" not in checks
    assert (DOES_NOT_FIT in {c.verdict for c in checks.values()}) is (worst == DOES_NOT_FIT)
    for check in checks.values():
        assert check.clause.startswith("NEC 2023, ") and check.caution


@pytest.mark.parametrize("depth_in, verdict", [(48, FITS), (47, CANNOT_SAY), (36, CANNOT_SAY), (35, DOES_NOT_FIT)])
def test_strings_above_150_v_to_ground_can_ask_for_up_to_4_ft(depth_in, verdict):
    """3, 3.5 and 4 ft for 151 to 600 V to ground: Table 110.26(A)(1), NFPA 70-2023 transcription (one source)."""
    checks = {c.key: c for c in working_space_checks(_at_wall(depth_in, 30, 78, conversion="string inverter"))}
    assert checks["working_depth_strings"].verdict == verdict


def _at_wall(depth_in, width_in, height_in, **array):
    wall = WorkingSpace(depth_in=depth_in, width_in=width_in, height_in=height_in)
    return panel_house(200, 200, 24, edition=2023, **array).replaced("electrical.working_space", wall)


def test_the_federal_process_gives_its_days():
    """3, 10 and 15 business days for certified inverters up to 10 kW: Attachment 5 of the federal small-generator procedures."""
    house = panel_house(200, 200, 24).replaced("electrical.utility.review_rules", "federal-10-kw")
    (steps,) = [s for s in utility_review(house, 9.6, 9000.0).sentences if s.startswith("Usual steps")]
    assert [int(n) for n in re.findall(r"within (\d+) business days", steps)] == [3, 10, 15]


def _shared_rows(name):
    path = SHARED / name
    if not path.exists():
        pytest.skip("the gathered facts are not on this machine")
    return list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))


def test_working_space_cell_by_cell_against_the_gathered_facts():
    facts, ours = _shared_rows("working_space_110_26.csv"), table_rows("code_working_space.csv")
    for fact, row in zip(facts, ours, strict=True):
        for end in ("from", "to"):
            assert float(row[f"volts_to_ground_{end}"]) == float(fact[f"volts_to_ground_{end}"])
        for number, opposite in ((1, "open"), (2, "grounded"), (3, "live")):
            assert float(row[f"depth_{opposite}_in"]) == 12.0 * float(fact[f"depth_cond{number}_ft"])
        assert float(row["width_in"]) == float(fact["width_min_in"])
        assert float(row["height_in"]) == 12.0 * float(fact["height_min_ft"])
        assert (row["checked"] == "one public source") is fact["double_checked"].startswith("NO")


def test_utility_rows_cell_by_cell_against_the_gathered_facts():
    facts, ours = _shared_rows("utility_review_classes.csv"), tuple(known_review_rules().values())
    for fact, row in zip(facts, ours, strict=True):
        assert row.jurisdiction.split(",")[0].split()[0].lower() in {fact["rule_set"].split(",")[0].split()[0].lower(),
                                                                     "federal", "model"}
        size = re.search(r"([\d.]+) (kW|MW|%)", fact["size_limit"])
        wanted = {} if size is None else {size[2]: float(size[1])}
        assert row.size_limit_kw == (wanted.get("kW") or (1000.0 * wanted["MW"] if "MW" in wanted else None))
        assert row.cap_percent == wanted.get("%")
        days = [float(n) for n in re.findall(r"\d+", fact["time_limit"])]
        assert [d for d in (row.acknowledge_days, row.complete_days, row.review_days) if d is not None] == days
        assert (row.checked == "one public source") is (fact["double_checked"] == "NO")
        for number in re.findall(r"\d+(?:\.\d+)? (?:%|kW)", fact["screens_seen"]):
            assert number in row.screens
