"""Run many jobs on all cores, and go on when a worker dies."""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import chain

OPEN_PER_WORKER = 4        # enough to keep workers busy; thousands of houses don't pile up in the queue
BLAS_THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")


def cores() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def process_pool(workers: int) -> Executor:
    # spawn: the same on every system, and Pango does not survive a fork everywhere.
    return ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn"), initializer=_start_worker)


def _start_worker() -> None:
    for name in BLAS_THREADS:            # before numpy is imported; one process a core is enough
        os.environ[name] = "1"
    signal.signal(signal.SIGINT, signal.SIG_IGN)     # the parent answers to Ctrl-C
    gc.set_threshold(50_000)             # a report makes very many small objects and few cycles
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent) -> None:
    """A worker whose parent was killed would wait for work for ever."""
    parent.join()
    os._exit(1)


def run_all(work: Callable, jobs: Iterable, workers: int, blame: Callable,
            make_pool: Callable[[int], Executor] = process_pool) -> Iterator:
    """Yields ``work(job)`` for every job, as they finish.

    work: top-level and picklable; never raises. jobs: read only as fast as workers take them.
    blame: makes the result of a job whose worker died twice, once in company and once alone.
    """
    source = iter(jobs)
    while (first := next(source, None)) is not None:
        suspects = []
        with make_pool(workers) as pool:
            yield from _until_broken(pool, work, chain([first], source), workers * OPEN_PER_WORKER, suspects)
        for job in suspects:
            yield _alone(work, job, blame, make_pool)


def _until_broken(pool: Executor, work: Callable, source: Iterator, room: int, suspects: list) -> Iterator:
    """Results until the jobs are done or a worker dies; then `suspects` holds the jobs that were open."""
    open_jobs = {}

    def fill() -> None:
        while not suspects and len(open_jobs) < room and (job := next(source, None)) is not None:
            try:
                open_jobs[pool.submit(work, job)] = job
            except BrokenProcessPool:
                suspects.append(job)

    try:
        fill()
        while open_jobs:
            for future in wait(open_jobs, return_when=FIRST_COMPLETED).done:
                job = open_jobs.pop(future)
                try:
                    result = future.result()
                except BrokenProcessPool:
                    suspects.append(job)
                else:
                    yield result
            fill()
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        raise


def _alone(work: Callable, job, blame: Callable, make_pool: Callable[[int], Executor]):
    with make_pool(1) as pool:
        try:
            return pool.submit(work, job).result()
        except BrokenProcessPool:
            return blame(job)
