"""Processes that work things out for the page: one a core, each told one thing at a time, what draws before what completes."""

from __future__ import annotations

import heapq
import itertools
import os
import pickle
import subprocess
import sys
import threading
from collections import OrderedDict
from collections.abc import Hashable, Iterator
from contextlib import contextmanager, suppress
from enum import IntEnum
from pathlib import Path
from typing import Any

__all__ = ["Job", "When", "ask", "child", "cores", "start"]

_HERE = Path(__file__).parents[3]  # where the package is found, installed or not
_MOST_DEATHS = 3  # of one worker, without a result between
_MOST_REMEMBERED = 1000

_lock = threading.Condition()
_workers: list[_Worker] = []
_whose: OrderedDict[Hashable, _Worker] = OrderedDict()
_numbers = itertools.count()


class When(IntEnum):
    """What is worked out before what."""

    DRAWS = 0
    """Somebody sees nothing new before it is there."""
    COMPLETES = 1
    """The rest of the page waits for it."""
    OPENED = 2
    """Only who has opened a panel waits for it, and it may take seconds: all of it goes to one worker."""


def cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def child(module: str) -> subprocess.Popen[bytes]:
    """A process of its own that runs a module of the package, told and listened to by its standard input and output.

    Parameters
    ----------
    module : str
        One that can be started.

    Returns
    -------
    Popen
        The process.
    """
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
    return subprocess.Popen([sys.executable, "-m", module], cwd=_HERE, **pipes)


class Job:
    """One thing to be worked out: `over` is set when `value` or `error` is there, or when it is `lost` with its worker."""

    def __init__(self, name: tuple[str, str], given: tuple[Hashable, ...], when: When) -> None:
        self.name, self.given, self.when = name, given, when
        self.over = threading.Event()
        self.value: Any = None
        self.error: Exception | None = None
        self.lost = self.begun = self.dropped = False
        self._waiting = 0

    @contextmanager
    def awaited(self) -> Iterator[None]:
        """Somebody waits for it; where all have gone before it was begun, it is dropped."""
        with _lock:
            self._waiting += 1
            self.dropped = False
        try:
            yield
        finally:
            with _lock:
                self._waiting -= 1
                self.dropped = not self._waiting and not self.begun and not self.over.is_set()

    def end(self, *, value: Any = None, error: Exception | None = None, lost: bool = False) -> None:
        """Tell whoever waits."""
        self.value, self.error, self.lost = value, error, lost
        self.given = ()
        self.over.set()


class _Worker(threading.Thread):
    """One process and what it has to do; it is started anew where it died."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.jobs: list[tuple[When, int, Job]] = []
        self.over = False
        self._hand: Job | None = None
        self._child: subprocess.Popen[bytes] | None = None
        self._deaths = 0

    @property
    def load(self) -> tuple[bool, int]:
        """Whether any of its jobs may take long, and how many it has."""
        jobs = [job for *_, job in self.jobs] + ([] if self._hand is None else [self._hand])
        return any(job.when is When.OPENED for job in jobs), len(jobs)

    def run(self) -> None:
        """Work off the jobs, the most urgent one first, until the process cannot be had."""
        while self._deaths < _MOST_DEATHS:
            try:
                if self._child is None:
                    self._child = child("jumpcalc.show.page.worker")
                self._work(self._next())
                self._deaths = 0
            except Exception:  # it could not be started, it died, or what it said cannot be read
                self._deaths += 1
                self._bury()
        with _lock:
            self.over = True
            for _, _, job in self.jobs:
                job.end(lost=True)

    def _next(self) -> Job:
        with _lock:
            self._hand = None
            while True:
                while not self.jobs:
                    _lock.wait()
                job = heapq.heappop(self.jobs)[-1]
                if not job.dropped:
                    job.begun, self._hand = True, job
                    return job
                job.end(lost=True)  # for whoever has come to wait for it just now

    def _work(self, job: Job) -> None:
        """Hand it over and wait for what comes back."""
        outcome: dict[str, Any] = {"lost": True}
        try:
            pickle.dump((job.name, job.given), self._child.stdin, pickle.HIGHEST_PROTOCOL)
            self._child.stdin.flush()
            kind, told = pickle.load(self._child.stdout)
            outcome = {kind: told}
        finally:
            job.end(**outcome)

    def _bury(self) -> None:
        if self._child is not None:
            self._child.kill()
            for pipe in (self._child.stdin, self._child.stdout):
                with suppress(OSError):  # what was not sent cannot be any more
                    pipe.close()
            self._child.wait()
            self._child = None


def start() -> None:
    """Start the workers, once, where a server of the page runs and there is more than one core; nowhere else is there any."""
    from streamlit.runtime import Runtime, get_instance

    with _lock:
        # elsewhere, as in a test of the page without a server, nothing is to be left behind
        if _workers or cores() < 2 or not Runtime.exists() or type(get_instance()) is not Runtime:
            return
        _workers.extend(_Worker() for _ in range(cores()))
    for worker in _workers:
        worker.start()


def ask(name: tuple[str, str], given: tuple[Hashable, ...], when: When) -> Job | None:
    """Have something worked out.

    Parameters
    ----------
    name : tuple of str
        Module and name of the function.
    given : tuple
        Its inputs; the worker that was given the first of them before gets this, too.
    when : When
        What it goes before.

    Returns
    -------
    Job or None
        None where there is no worker.
    """
    with _lock:
        able = [worker for worker in _workers if not worker.over]
        if not able:
            return None
        whose = able[-1] if when is When.OPENED else _of(given[0], able)
        job = Job(name, given, when)
        heapq.heappush(whose.jobs, (when, next(_numbers), job))
        _lock.notify_all()
        return job


def _of(line: Hashable, able: list[_Worker]) -> _Worker:
    """The worker that has begun on a line; for a new one that which has least to do."""
    whose = _whose.get(line)
    if whose not in able:
        whose = _whose[line] = min(able, key=lambda worker: worker.load)
    _whose.move_to_end(line)
    if len(_whose) > _MOST_REMEMBERED:
        _whose.popitem(last=False)
    return whose
