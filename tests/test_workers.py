"""Workers of the page: what they give is what is worked out in place, they lose nobody, and what draws goes first."""

import subprocess
import sys
import threading
from collections import OrderedDict
from dataclasses import replace
from importlib import import_module
from pathlib import Path

import pytest

from jumpcalc import solve
from jumpcalc.errors import InputError
from jumpcalc.plan.vary import vary
from jumpcalc.show.files import examples
from jumpcalc.show.page import asked, worked, workers
from jumpcalc.show.page.elsewhere import Elsewhere
from jumpcalc.show.page.workers import When
from jumpcalc.show.words.numbers import Reader

LINE = examples.examples()["first_gap"]
SLEEP, LONG = ("time", "sleep"), 0.3


@pytest.fixture
def worker(monkeypatch):
    """One worker, which nothing but the test knows of."""
    one = workers._Worker()
    monkeypatch.setattr(workers, "_workers", [one])
    monkeypatch.setattr(workers, "_whose", OrderedDict())
    one.start()
    yield one
    if one._child is not None:
        one._child.kill()


def typed(gap):
    return vary(LINE, {"jump[1].landing.gap_m": gap})


def slept(when=When.COMPLETES):
    return workers.ask(SLEEP, (LONG,), when)


def test_a_worker_gives_what_is_worked_out_in_place_and_it_is_kept(worker):
    line, in_place = typed(3.71), worked.solved.here.cache_info().misses
    found = worked.solved(line)
    assert found == solve(line) and found is worked.solved(line)
    assert worked.solved.here.cache_info().misses == in_place
    assert worked.side(line, 0, None, Reader.metric, "") == worked.side.here(line, 0, None, Reader.metric, "")


def test_a_refused_input_comes_through_whole(worker):
    line = replace(typed(3.72), run_in=replace(LINE.run_in, strokes=100))
    with pytest.raises(InputError) as here:
        worked.jumps_solved.here(line)
    for _ in range(2):
        with pytest.raises(InputError) as there:
            worked.jumps_solved(line)
        assert (there.value.key, there.value.text, str(there.value)) == (here.value.key, here.value.text, str(here.value))


def test_who_waits_for_a_worker_that_dies_gets_the_answer_and_another_worker(worker):
    before = slept()
    while not before.begun:
        before.over.wait(0.01)
    line, died = typed(3.73), worker._child
    threading.Timer(0.05, died.kill).start()
    assert worked.solved(line) == solve(line)
    assert before.over.wait(5) and before.lost
    assert worked.solved(typed(3.74)) == solve(typed(3.74))
    assert worker._child is not died and worker._child.poll() is None and not worker.over


def test_where_no_process_can_be_had_it_is_worked_out_in_place(worker, monkeypatch):
    slept().over.wait(5)
    monkeypatch.setattr(workers, "child", lambda module: subprocess.Popen([sys.executable, "-c", ""], stdin=-1, stdout=-1))
    worker._child.kill()
    for gap in (3.75, 3.76, 3.77, 3.78):
        assert worked.solved(typed(gap)) == solve(typed(gap))
    assert worker.over and workers.ask(SLEEP, (LONG,), When.DRAWS) is None


def test_what_draws_goes_before_what_completes(worker):
    busy, late, early = slept(), slept(), slept(When.DRAWS)
    assert busy.over.wait(5) and early.over.wait(5) and not late.over.is_set()
    assert late.over.wait(5) and late.error is None and not late.lost


def test_what_nobody_waits_for_any_more_is_not_worked_out(worker):
    busy, left, needed = slept(), slept(), slept()
    with left.awaited():
        pass
    with needed.awaited():
        assert left.dropped
        assert needed.over.wait(5) and busy.over.is_set()
        assert left.lost and not left.begun


def test_a_line_stays_with_the_worker_that_has_begun_on_it(monkeypatch):
    able = [workers._Worker(), workers._Worker()]  # never started: they only collect
    monkeypatch.setattr(workers, "_workers", able)
    monkeypatch.setattr(workers, "_whose", OrderedDict())
    for gap in (3.8, 3.9, 3.8, 3.9, 3.8, 4.0):
        workers.ask(SLEEP, (typed(gap),), When.COMPLETES)
    assert sorted(len(one.jobs) for one in able) == [3, 3]
    assert all(len({job.given for _, _, job in one.jobs}) < 3 for one in able)


def test_what_somebody_has_opened_keeps_to_one_worker_after_all_else(monkeypatch):
    able = [workers._Worker(), workers._Worker()]
    monkeypatch.setattr(workers, "_workers", able)
    monkeypatch.setattr(workers, "_whose", OrderedDict())
    opened = [workers.ask(SLEEP, (typed(gap),), When.OPENED) for gap in (3.8, 3.9)]
    drawn = [workers.ask(SLEEP, (typed(gap),), When.DRAWS) for gap in (3.8, 3.9, 4.0, 4.1)]
    assert [job for _, _, job in able[0].jobs] == drawn and [job for _, _, job in able[1].jobs] == opened
    able.pop(0)  # it died
    last = workers.ask(SLEEP, (typed(4.2),), When.DRAWS)
    assert able[0]._next() is last and able[0]._next() is opened[0]


def test_without_a_running_server_there_are_none():
    workers.start()
    assert workers._workers == [] and worked.solved.ahead(LINE) is None


def test_workers_find_what_they_are_asked_for_and_stay_small():
    kept = [one for module in (worked, asked) for one in vars(module).values() if isinstance(one, Elsewhere)]
    assert len(kept) > 20
    assert all(getattr(import_module(one._name[0]), one._name[1]) is one for one in kept)
    loaded = "import sys, jumpcalc.show.page.worker, jumpcalc.show.page.asked; print({'streamlit', 'matplotlib'} & set(sys.modules))"
    root = Path(__file__).parents[1]
    assert subprocess.run([sys.executable, "-c", loaded], cwd=root, capture_output=True, text=True, check=True).stdout == "set()\n"
