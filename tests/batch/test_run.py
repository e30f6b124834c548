"""Workers that die: the neighbours are finished, and the house that kills twice is blamed. Real processes."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

from reportgen.batch.find import find_batches
from reportgen.batch.make import make_sites
from reportgen.batch.run import run_all
from tests.batch.small_chain import SmallChain, write_house

CLONE = Path(__file__).resolve().parents[2]


def die_on_three(job):
    if job == 3:
        os._exit(1)
    return job * 10, os.environ["OPENBLAS_NUM_THREADS"]


def test_a_dead_worker_costs_one_result_and_workers_keep_to_one_thread():
    results = list(run_all(die_on_three, iter(range(1, 13)), 2, lambda job: ("blamed", job)))
    assert sorted(r for r in results if r[0] != "blamed") == [(n * 10, "1") for n in range(1, 13) if n != 3]
    assert [r for r in results if r[0] == "blamed"] == [("blamed", 3)]


def twice(job):
    return 2 * job


def test_jobs_are_read_only_as_fast_as_workers_take_them():
    read = []
    jobs = (read.append(n) or n for n in range(40))
    for taken, _ in enumerate(run_all(twice, jobs, 1, None), 1):
        assert len(read) - taken < 4 + 1
    assert taken == 40


def test_no_jobs_start_no_pool():
    assert list(run_all(twice, [], 2, None, make_pool=None)) == []


def test_a_house_that_kills_its_worker_is_blamed_and_the_others_are_built(tmp_path):
    for slug in ("ash", "elm", "oak"):
        write_house(tmp_path / "sites" / "demo", slug)
    write_house(tmp_path / "sites" / "demo", "fir", name="kills the worker")
    chain = SmallChain(tmp_path / "diary")
    outcome, = make_sites(find_batches([tmp_path / "sites"]), tmp_path / "output", True, lambda *_: None, chain, workers=2)
    assert {s: r.state for s, r in outcome.records.items()} == {"ash": "made", "elm": "made", "fir": "failed", "oak": "made"}
    assert "ended the worker process twice" in outcome.records["fir"].failures[0]
    assert chain.built().count("kills the worker") == 2


SLOW_RUN = """
import sys
from pathlib import Path
from reportgen.batch.find import find_batches
from reportgen.batch.make import make_sites
from tests.batch.small_chain import SmallChain
if __name__ == "__main__":
    top = Path(sys.argv[1])
    make_sites(find_batches([top / "sites"]), top / "output", True, lambda *_: None, SmallChain(top / "diary"), workers=2)
"""


def test_a_killed_run_leaves_the_last_good_report_whole_and_the_next_run_goes_on(tmp_path):
    batch = tmp_path / "sites" / "demo"
    write_house(batch, "ash")
    write_house(batch, "elm")
    chain = SmallChain(tmp_path / "diary")

    def make():
        return make_sites(find_batches([tmp_path / "sites"]), tmp_path / "output", True, lambda *_: None, chain, workers=2)[0]

    assert make().is_well
    shared = tmp_path / "output" / "demo" / "to-share"
    before = {p: p.read_bytes() for p in shared.rglob("*") if p.is_file()}
    write_house(batch, "elm", name="is slow", annual_kwh=7000)
    (tmp_path / "slow.py").write_text(SLOW_RUN, encoding="utf-8")
    run = subprocess.Popen([sys.executable, str(tmp_path / "slow.py"), str(tmp_path)],
                           env={**os.environ, "PYTHONPATH": str(CLONE)}, cwd=CLONE)
    deadline = time.monotonic() + 60
    while "is slow" not in chain.built() and time.monotonic() < deadline:
        time.sleep(0.05)
    assert "is slow" in chain.built()
    run.send_signal(signal.SIGKILL)
    run.wait()
    assert {p: p.read_bytes() for p in shared.rglob("*") if p.is_file()} == before
    write_house(batch, "elm", annual_kwh=7000)
    outcome = make()
    assert {s: r.state for s, r in outcome.records.items()} == {"ash": "unchanged", "elm": "made"}
