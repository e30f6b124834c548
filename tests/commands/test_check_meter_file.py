"""`check` reads the meter's file too, so that its faults are known before anything is built."""

from pathlib import Path

import pytest

from reportgen.commands import main

YEAR = (Path(__file__).resolve().parents[2] / "sites" / "alder-lane" / "meter" / "corner-of-the-green.xml").read_text(encoding="utf-8")
HOUSE = """\
name: Elm
report_day: 2026-11-25
place: {latitude: 36.1, longitude: -79.8, country: US}
roof:
  - {facing: south, slope_deg: 25}
use:
  meter_file: {file: year.xml}
tariff: {price_per_kwh: 0.15, fixed_per_month: 12, export: one-to-one}
"""
HALF = YEAR.index("<entry>", YEAR.index("<start>1777608000</start>") - 400)     # up to the end of April
FAULTS = {
    "gas": (YEAR.replace("<kind>0</kind>", "<kind>1</kind>"), "is of gas, not of electricity"),
    "therms": (YEAR.replace("<uom>72</uom>", "<uom>169</uom>"), "are in therms"),
    "a counter's level": (YEAR.replace("Behaviour>4<", "Behaviour>3<"), "cumulative (the counter's level)"),
    "half a year": (YEAR[:HALF] + "</feed>", "at least 335 (eleven months) are needed"),
    "broken off": (YEAR[:200_000], "breaks off at line"),
    "two meters": (YEAR.replace("</feed>", YEAR[YEAR.index("<entry>"):].replace('href="house', 'href="other')), "of 2 electricity meters"),
    "declared entities": (YEAR.replace("<feed ", '<!DOCTYPE feed [<!ENTITY a "b">]>\n<feed ', 1), "it was not read"),
    "a web page": ("<html><body>Please log in</body></html>", "nothing of a Green Button file"),
    "nothing": ("", "the meter file is empty"),
}


def check(folder, monkeypatch, capsys, text):
    monkeypatch.chdir(folder)
    (folder / "sites" / "demo" / "meter").mkdir(parents=True)
    (folder / "sites" / "demo" / "elm.yaml").write_text(HOUSE, encoding="utf-8")
    (folder / "sites" / "demo" / "meter" / "year.xml").write_text(text, encoding="utf-8")
    code = main(["check"])
    return code, capsys.readouterr().out


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_of_the_meter_file_is_one_sentence_at_the_line_that_names_it(tmp_path, monkeypatch, capsys, fault):
    text, words = FAULTS[fault]
    code, said = check(tmp_path, monkeypatch, capsys, text)
    assert code == 1
    head, problem = said.splitlines()
    assert head == "demo/elm.yaml: 1 problem"
    assert problem.startswith("  elm.yaml:7:16: use.meter_file: ")
    assert words in problem


def test_a_good_meter_file_is_no_problem(tmp_path, monkeypatch, capsys):
    code, said = check(tmp_path, monkeypatch, capsys, YEAR)
    assert code == 0 and "demo/elm.yaml: no problem found" in said
