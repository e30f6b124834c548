"""The five files of a house."""

import csv
import io
import json

import numpy as np
import pytest

from reportgen.climate.typical_year import HOURS
from reportgen.figures import significant
from reportgen.report import share
from reportgen.report.pdf import PangoMissing
from reportgen.report.share import figures_json, hours_csv, write_report
from tests.report.built import ELSEWHERE, US, assessed


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shared")
    write_report(assessed(ELSEWHERE), folder)
    return folder


def test_a_report_is_five_files(written):
    assert sorted(path.name for path in written.iterdir()) == ["electrician.pdf", "figures.json", "hours.csv", "index.html",
                                                               "report.pdf"]


def test_written_twice_it_is_the_same_to_the_byte(written, tmp_path):
    write_report(assessed(ELSEWHERE), tmp_path)
    for path in written.iterdir():
        assert (tmp_path / path.name).read_bytes() == path.read_bytes(), path.name


def test_figures_hold_every_figure_to_six_digits():
    found, kept = assessed(US), json.loads(figures_json(assessed(US)))
    assert kept["figures"].keys() == found.figures.keys()
    for key, figure in found.figures.items():
        entry = kept["figures"][key]
        assert entry["unit"] == figure.unit and entry["sources"] == list(figure.sources)
        for end in ("value", "low", "high"):
            value = getattr(figure, end)
            assert entry[end] == (None if value is None else significant(float(value)))


def test_figures_say_what_their_keys_mean():
    kept = json.loads(figures_json(assessed(US)))
    entry = next(iter(kept["figures"].values()))
    assert {word.strip() for key in kept["about"] for word in key.split(",")} == entry.keys()


def test_hours_add_up_to_the_year():
    found = assessed(US)
    rows = list(csv.DictReader(io.StringIO(hours_csv(found))))
    assert len(rows) == HOURS
    assert rows[0]["local_standard_time"] == "01-01 00:00" and rows[-1]["local_standard_time"] == "12-31 23:00"
    sums = {key: sum(float(row[key]) for row in rows) for key in ("sun_kwh", "use_kwh", "import_kwh", "export_kwh")}
    assert sums["sun_kwh"] == pytest.approx(found.production.year.value, rel=1e-5)
    assert sums["use_kwh"] == pytest.approx(found.house.use.year_kwh, rel=1e-5)
    assert sums["import_kwh"] == pytest.approx(sum(m.import_kwh for m in found.bills.after.months), rel=1e-5)
    assert sums["export_kwh"] == pytest.approx(sum(m.export_kwh for m in found.bills.after.months), rel=1e-5)


def test_in_each_hour_what_comes_in_goes_out():
    for row in list(csv.DictReader(io.StringIO(hours_csv(assessed(US)))))[::97]:
        sun, use, taken, sent = (float(row[key]) for key in ("sun_kwh", "use_kwh", "import_kwh", "export_kwh"))
        assert sun + taken == pytest.approx(use + sent, abs=2e-5)
        assert taken == 0 or sent == 0
    assert not np.isnan(sun)


def test_without_the_pdf_library_the_rest_is_written(tmp_path, monkeypatch):
    def missing(*_):
        raise PangoMissing("no Pango here")

    monkeypatch.setattr(share, "write_pdf", missing)
    with pytest.raises(PangoMissing):
        write_report(assessed(US), tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["figures.json", "hours.csv", "index.html"]


def test_without_a_pdf_on_request_none_is_made(tmp_path):
    write_report(assessed(US), tmp_path, with_pdf=False)
    assert not (tmp_path / "report.pdf").exists() and not (tmp_path / "electrician.pdf").exists()
