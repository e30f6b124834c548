"""A whole batch: what is built, what is left alone, what a failure does to the neighbours."""

from __future__ import annotations

import csv
import os
import re
from concurrent.futures import Future

import pytest
from PIL import Image

from reportgen.batch.find import find_batches
from reportgen.batch.make import make_sites
from reportgen.batch.record import FAILED, MADE, NOT_ASKED, UNCHANGED
from tests.batch.small_chain import SmallChain, write_house


class InThisProcess:
    """An executor that runs each job at once: quick, for everything but crashes."""

    def __init__(self, workers):
        self.workers = workers

    def __enter__(self):
        return self

    def __exit__(self, *_):
        pass

    def submit(self, work, job):
        future = Future()
        future.set_result(work(job))
        return future


class Workshop:
    def __init__(self, folder):
        self.sites, self.output = folder / "sites", folder / "output"
        self.batch, self.built = self.sites / "demo", self.output / "demo"
        self.chain = SmallChain(folder / "diary")

    def make(self, *paths, with_pdf=True, make_pool=InThisProcess, told=None):
        batches = find_batches(list(paths) or [self.sites])
        outcomes = make_sites(batches, self.output, with_pdf, lambda batch, r: told is None or told.append((batch, r)),
                              self.chain, make_pool, workers=2)
        assert len(outcomes) == len(batches)
        return outcomes[0]

    def shared(self):
        return sorted(path.name for path in (self.built / "to-share").iterdir())

    def rows(self):
        with open(self.built / "for-the-coach" / "houses.csv", encoding="utf-8", newline="") as file:
            return {row["house"]: row for row in csv.DictReader(file)}


@pytest.fixture
def workshop(tmp_path):
    shop = Workshop(tmp_path)
    for slug in ("ash", "elm", "oak"):
        write_house(shop.batch, slug)
    return shop


def states(outcome):
    return {slug: record.state for slug, record in outcome.records.items()}


def test_a_batch_is_built_into_one_folder_a_house_and_one_for_the_coach(workshop):
    told = []
    outcome = workshop.make(told=told)
    assert outcome.is_well and states(outcome) == {"ash": MADE, "elm": MADE, "oak": MADE}
    assert [batch for batch, _ in told] == ["demo"] * 3
    assert sorted(p.name for p in workshop.built.iterdir()) == [".state", "for-the-coach", "to-share"]
    assert len(workshop.shared()) == 3
    for name in workshop.shared():
        assert sorted(p.name for p in (workshop.built / "to-share" / name).iterdir()) == ["index.html", "report.pdf"]
    assert workshop.rows()["elm"]["year_kwh"] == "9000.0"
    assert os.listdir(workshop.built / ".state" / "parts") == []


def test_nothing_is_built_again_when_nothing_changed(workshop):
    workshop.make()
    page = (workshop.built / "for-the-coach" / "index.html").read_bytes()
    again = workshop.make(make_pool=None)            # no pool is even made
    assert again.is_well and set(states(again).values()) == {UNCHANGED}
    assert len(workshop.chain.built()) == 3
    assert (workshop.built / "for-the-coach" / "index.html").read_bytes() == page.replace(b", made<", b", unchanged<")


@pytest.mark.parametrize("change", ["house file", "batch file", "report touched", "PDF no longer possible"])
def test_a_house_is_built_again_when_what_it_rests_on_changed(workshop, change):
    workshop.make()
    with_pdf = True
    if change == "house file":
        write_house(workshop.batch, "elm", annual_kwh=7000)
    elif change == "batch file":
        (workshop.batch / "batch.yaml").write_text("defaults:\n  losses:\n    dirt_percent: 3\n", encoding="utf-8")
    elif change == "report touched":
        token = workshop.rows()["elm"]["report"].split("/")[2]
        (workshop.built / "to-share" / token / "report.pdf").unlink()
    else:
        with_pdf = False
    again = workshop.make(with_pdf=with_pdf)
    everyone = {"ash", "elm", "oak"}
    expected = everyone if change in ("batch file", "PDF no longer possible") else {"elm"}
    assert {slug for slug, state in states(again).items() if state == MADE} == expected


@pytest.fixture
def with_photo(workshop):
    """The elm names a photo."""
    path = write_house(workshop.batch, "elm")
    path.write_text(path.read_text(encoding="utf-8") + "photos: [{file: label.png, shows: panel label}]\n", encoding="utf-8")
    (workshop.batch / "photos").mkdir()
    Image.new("RGB", (30, 20), "grey").save(workshop.batch / "photos" / "label.png")
    return workshop


def sheet(workshop, slug):
    return workshop.built / "for-the-coach" / "electrician" / f"{slug}.pdf"


def test_the_coach_has_a_sheet_of_each_house(with_photo):
    with_photo.make()
    assert sheet(with_photo, "elm").read_bytes() == b"%PDF with 1 photos"
    assert sheet(with_photo, "oak").read_bytes() == b"%PDF with 0 photos"
    assert 'href="electrician/elm.pdf"' in (with_photo.built / "for-the-coach" / "index.html").read_text(encoding="utf-8")


def test_a_house_is_built_again_when_its_photo_changed_or_its_sheet_is_gone(with_photo):
    with_photo.make()
    assert set(states(with_photo.make()).values()) == {UNCHANGED}
    Image.new("RGB", (30, 20), "white").save(with_photo.batch / "photos" / "label.png")
    assert states(with_photo.make()) == {"ash": UNCHANGED, "elm": MADE, "oak": UNCHANGED}
    sheet(with_photo, "oak").unlink()
    assert states(with_photo.make()) == {"ash": UNCHANGED, "elm": UNCHANGED, "oak": MADE}


def test_a_photo_that_cannot_be_read_is_a_line_with_its_place(with_photo):
    (with_photo.batch / "photos" / "label.png").write_bytes(b"no picture")
    outcome = with_photo.make()
    (line,) = outcome.records["elm"].failures
    assert outcome.records["elm"].state == FAILED and outcome.records["elm"].details == ""
    assert re.search(r"elm\.yaml:\d+:\d+: photos\.0\.file: found 'label\.png'; it holds no picture", line)
    (with_photo.batch / "photos" / "label.png").unlink()
    (line,) = with_photo.make().records["elm"].failures
    assert "there is no such file in photos/" in line


def test_without_a_pdf_an_old_sheet_goes(with_photo):
    with_photo.make()
    with_photo.make(with_pdf=False)
    assert not sheet(with_photo, "elm").exists()


def test_the_link_stays_when_the_report_changes(workshop):
    workshop.make()
    before = workshop.rows()["elm"]["report"]
    write_house(workshop.batch, "elm", annual_kwh=7000)
    workshop.make()
    assert workshop.rows()["elm"]["report"] == before
    token = before.split("/")[2]
    assert "7000" in (workshop.built / "to-share" / token / "index.html").read_text(encoding="utf-8")


def test_failures_are_one_line_each_and_stop_no_neighbour(workshop):
    write_house(workshop.batch, "ash", name="no sun here")
    write_house(workshop.batch, "elm", name="meets a fault")
    (workshop.batch / "fir.yaml").write_text("name: A house\nroof: flat\n", encoding="utf-8")
    outcome = workshop.make()
    assert not outcome.is_well
    assert states(outcome) == {"ash": FAILED, "elm": FAILED, "fir": FAILED, "oak": MADE}
    assert outcome.records["ash"].failures == (
        "ash: ash.yaml:3:9: place.latitude: no year of sun is known at 36.1, -79.8; write weather: source: file",)
    assert "a fault in the program" in outcome.records["elm"].failures[0]
    assert "KeyError" in (workshop.built / ".state" / "elm.fault.txt").read_text(encoding="utf-8")
    assert any("fir.yaml:2:" in line for line in outcome.records["fir"].failures)
    for record in outcome.records.values():
        assert all("\n" not in line for line in record.failures)
    page = (workshop.built / "for-the-coach" / "index.html").read_text(encoding="utf-8")
    for part in ("no year of sun is known", "a fault in the program", "fir.yaml:2:"):
        assert part in page
    assert workshop.rows()["ash"]["year_kwh"] == "" and "no year of sun" in workshop.rows()["ash"]["failures"]


def test_a_house_that_fails_after_a_good_build_keeps_its_report_and_the_page_says_it_is_old(workshop):
    workshop.make()
    (workshop.batch / "elm.yaml").write_text("name: A house\n", encoding="utf-8")
    outcome = workshop.make()
    assert outcome.records["elm"].state == FAILED and len(workshop.shared()) == 3
    page = (workshop.built / "for-the-coach" / "index.html").read_text(encoding="utf-8")
    assert "from an earlier house file" in page and workshop.rows()["elm"]["year_kwh"] == ""
    write_house(workshop.batch, "elm")                # as it was: the report that stands is true again
    assert workshop.make(make_pool=None).records["elm"].state == UNCHANGED


def test_one_house_file_builds_that_house_and_keeps_the_page_complete(workshop):
    workshop.make()
    (workshop.batch / "ash.yaml").write_text("name: A house\n", encoding="utf-8")
    workshop.make()
    write_house(workshop.batch, "elm", annual_kwh=7000)
    write_house(workshop.batch, "fig")
    outcome = workshop.make(workshop.batch / "elm.yaml")
    assert outcome.is_well                            # what was not asked for does not count
    assert states(outcome)["elm"] == MADE and states(outcome)["oak"] == NOT_ASKED
    rows = workshop.rows()
    assert sorted(rows) == ["ash", "elm", "fig", "oak"]
    assert rows["oak"]["year_kwh"] == "9000.0" and rows["elm"]["year_kwh"] == "7000.0"
    assert rows["fig"]["state"] == "not built yet" and rows["ash"]["failures"] and rows["ash"]["year_kwh"] == ""


def test_without_pango_the_page_is_built_and_the_missing_pdf_is_a_failure(workshop):
    workshop.chain.pango_is_there = False             # the probe saw it, the engine did not
    outcome = workshop.make()
    assert not outcome.is_well and set(states(outcome).values()) == {MADE}
    assert all("Pango" in record.failures[0] for record in outcome.records.values())
    token = workshop.rows()["elm"]["report"].split("/")[2]
    assert os.listdir(workshop.built / "to-share" / token) == ["index.html"]
    assert workshop.rows()["elm"]["year_kwh"] == "9000.0"
    workshop.chain.pango_is_there = True
    assert workshop.make().is_well                    # nothing else changed, yet it is tried again


def test_a_house_taken_out_of_the_batch_is_reported_and_kept(workshop):
    workshop.make()
    (workshop.batch / "elm.yaml").unlink()
    outcome = workshop.make()
    assert len(workshop.shared()) == 3 and "elm" not in workshop.rows()
    assert any("elm is no longer in the batch" in note for note in outcome.notes)
    assert "elm is no longer in the batch" in (workshop.built / "for-the-coach" / "index.html").read_text(encoding="utf-8")


def test_lost_tokens_are_warned_about_and_damaged_ones_stop_the_batch(workshop):
    workshop.make()
    state = workshop.batch / ".share-tokens.json"
    text = state.read_text(encoding="utf-8")
    state.write_text(text[:30], encoding="utf-8")
    outcome = workshop.make()
    assert "is damaged" in outcome.stopped and not outcome.is_well and len(workshop.chain.built()) == 3
    state.unlink()
    outcome = workshop.make()
    assert any("every share link is new" in note for note in outcome.notes)
    assert len(workshop.shared()) == 6                # the old folders are not touched


def test_the_token_stands_in_no_shared_file_and_no_shared_file_leads_to_the_coach(workshop):
    workshop.make()
    for token in workshop.shared():
        for path in (workshop.built / "to-share" / token).rglob("*"):
            content = path.read_bytes()
            assert token.encode() not in content and b"for-the-coach" not in content


def test_what_a_killed_run_left_is_cleared_and_the_last_good_report_put_back(workshop):
    workshop.make()
    token = workshop.rows()["elm"]["report"].split("/")[2]
    parts = workshop.built / ".state" / "parts"
    (parts / "half.new").mkdir()
    (parts / "half.new" / "index.html").write_text("half", encoding="utf-8")
    os.rename(workshop.built / "to-share" / token, parts / f"{token}.old")      # killed between the two moves
    outcome = workshop.make(make_pool=None)
    assert set(states(outcome).values()) == {UNCHANGED} and len(workshop.shared()) == 3
    assert os.listdir(parts) == []


def test_a_second_run_keeps_out_while_one_is_at_work(workshop):
    from reportgen.batch.place import Place
    with Place(workshop.built).locked():
        assert "another make is at work" in workshop.make().stopped
    assert workshop.make().is_well


def test_two_files_with_one_name_are_told_apart_or_refused(workshop):
    write_house(workshop.batch, "Elm!")
    outcome = workshop.make()
    refused = [record for record in outcome.records.values() if record.state == FAILED]
    assert len(refused) == 1 and "rename one of the two" in refused[0].failures[0]
    assert len(workshop.shared()) == 3


def test_a_house_named_like_a_formula_or_a_tag_stays_text(workshop):
    write_house(workshop.batch, "elm", name="=1+1 <b>x</b>")
    workshop.make()
    assert workshop.rows()["elm"]["name"].startswith("'=")
    assert "<b>x</b>" not in (workshop.built / "for-the-coach" / "index.html").read_text(encoding="utf-8")
