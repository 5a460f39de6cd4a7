"""Tries and their log: what is kept is whole after any kill, two writers lose nothing, messy tables are read row by row.

At full size (`tests/benchmarks/kill_log.py`, 500 kills of two writers at once) the same is done with the same result.
"""

import csv
import io
import os
import random

import pytest
from benchmarks.kill_log import kill_writers
from hypothesis import given
from hypothesis import strategies as st

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.studies.field.kinds import Airtime, Timed
from jumpcalc.plan.studies.field.tries import Try, days
from jumpcalc.show.files.tries_csv import BOM, COLUMNS, WHOLE, append_tries, header_row, tries_csv, try_row
from jumpcalc.show.files.tries_read import new_among, parse_tries, read_tries

DAY = "2026-11-14"


def numbers(name):
    low, high = declared(Try)[name].bounds
    return st.none() | st.floats(low, high)


READINGS = st.one_of(
    st.just({}),
    st.builds(lambda a, b, c: dict(measured="by hand", stretch=a, before_foot=b, time=c, runs=3),
              st.floats(0.3, 200), st.floats(0, 500), st.floats(0.05, 200)),
    st.builds(lambda a, b: dict(measured="wheel sensor", speed=a, before_foot=b, rolled_out=True), st.floats(1, 33), st.floats(0, 500)),
    st.builds(lambda a, b: dict(measured="wheelbase", frames=a, rate=b), st.floats(1, 20000), st.floats(10, 2000)),
    st.builds(lambda a, b: dict(measured="flight", air_time=0.8, along=a, lower=b), st.floats(0.3, 80), st.floats(-15, 40)),
)  # fmt: skip
TRIES = st.builds(
    lambda reading, **other: Try(**{**other, **reading}),
    READINGS,
    date=st.sampled_from([DAY, "2024-02-29", "1999-12-31"]),
    rider=st.none() | st.text(max_size=40),
    bike=st.sampled_from([None, "hardtail", "dirt jump"]),
    start_mark=numbers("start_mark"),
    strokes=st.none() | st.integers(0, 100),
    start_speed=numbers("start_speed"),
    tailwind=numbers("tailwind"),
    surface=st.sampled_from([None, "hardpack", "short grass"]),
    air_time=numbers("air_time"),
    touched=numbers("touched"),
    outcome=st.sampled_from(["short", "clean", "long"]),
    note=st.none() | st.text(max_size=60) | st.sampled_from(["=1+1", "'=x", "''", "+3", "@a", "-", "\t=b", 'a "b", c;d\ne', "yes"]),
)


@given(st.lists(TRIES, max_size=4))
def test_a_log_reads_back_the_same(tries):
    read = parse_tries(tries_csv(tries))
    assert read.tries == tuple(tries)
    assert not read.refused and not read.unused


@given(TRIES)
def test_no_cell_can_be_a_formula(one):
    for cell in next(csv.reader(io.StringIO(try_row(one).decode()))):
        if cell.lstrip()[:1] in ("=", "+", "@", "-"):
            float(cell)  # a negative number is no formula


def test_what_is_no_try_is_refused():
    for wrong, said in [
        ({"date": "14.11.2026", "outcome": "clean"}, "must be a day written as"),
        ({"date": "2026-02-30", "outcome": "clean"}, "must be a day written as"),
        ({"date": DAY}, "nothing was seen"),
        ({"date": DAY, "outcome": "fine"}, '"short" or "clean" or "long"'),
        ({"date": DAY, "outcome": "clean", "note": "x" * 501}, "at most 500"),
        ({"date": DAY, "outcome": "clean", "start_mark": float("nan")}, "finite"),
        ({"date": DAY, "outcome": "clean", "speed": 9.0}, 'speed_kmh: given, but measured does not say "wheel sensor" or "sat'),
        ({"date": DAY, "measured": "by hand", "stretch": 5.0, "before_foot": 2.0}, "time_s: not given"),
        ({"date": DAY, "measured": "by hand", "stretch": 5.0, "before_foot": 2.0, "time": 1.0, "speed": 9.0}, "measured does not say"),
    ]:
        with pytest.raises(InputError, match=said):
            Try(**wrong)


def test_a_try_holds_its_reading():
    one = Try(date=DAY, measured="by hand", stretch=8.0, before_foot=2.0, time=0.9, runs=2)
    assert one.reading == Timed(length=8.0, before_foot=2.0, time=0.9, runs=2)
    flown = Try(date=DAY, measured="flight", air_time=0.8, along=6.0, lower=0.4)
    assert flown.reading == Airtime(time=0.8, along=6.0, lower=0.4)
    assert Try(date=DAY, air_time=0.8).reading is None


def test_days():
    assert days((Try(date=DAY, outcome="clean"),)) == DAY


def test_appending_and_reading(tmp_path):
    log = tmp_path / "new folder" / "log.csv"
    first, second = Try(date=DAY, touched=1.2, start_mark=30.0), Try(date=DAY, outcome="short", note='said "go"')
    append_tries(log, [first])
    before = log.read_bytes()
    append_tries(log, [second, first])
    assert log.read_bytes().startswith(before)  # nothing that was there is written again
    assert before.startswith(BOM) and before.count(b"\n") == 2
    assert read_tries(log).tries == (first, second, first)


def test_a_row_cut_off_is_refused_and_takes_nothing_along(tmp_path):
    log = tmp_path / "log.csv"
    one = Try(date=DAY, outcome="short", note='a "quoted" word, and more')
    whole = try_row(one)
    for cut in (*range(1, len(whole) - 1, 5), len(whole) - 1):  # each byte was tried once
        log.write_bytes(BOM + header_row() + whole + whole[:cut])
        append_tries(log, [one])
        read = read_tries(log)
        as_good_as_whole = cut == len(whole) - 1  # only its line break is missing
        assert read.tries == (one,) * (3 if as_good_as_whole else 2), cut
        assert len(read.refused) == (0 if as_good_as_whole else 1), cut


def test_a_head_cut_off_is_written_again(tmp_path):
    log, head = tmp_path / "log.csv", BOM + header_row()
    one = Try(date=DAY, outcome="short")
    for cut in (*range(0, len(head), 7), len(head) - 1):  # each byte was tried once
        log.write_bytes(head[:cut])
        append_tries(log, [one])
        assert read_tries(log).tries == (one,), cut


def test_a_foreign_file_is_not_appended_to(tmp_path):
    log = tmp_path / "shopping.csv"
    log.write_bytes(b"what,how many\nbread,2\n")
    with pytest.raises(FileError, match="is no log of tries"):
        append_tries(log, [Try(date=DAY, outcome="short")])
    assert log.read_bytes() == b"what,how many\nbread,2\n"
    with pytest.raises(FileError, match="none of its columns is known"):
        read_tries(log)
    with pytest.raises(FileError, match="no such file"):
        read_tries(tmp_path / "none.csv")
    with pytest.raises(FileError, match="not an ordinary file"):
        read_tries(tmp_path)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="kills a forked writer")
def test_the_log_after_kills(tmp_path):
    """Two writers at once, one killed at any moment: every confirmed try is there, none is torn."""
    done = kill_writers(tmp_path / "log.csv", kills=12, rng=random.Random(5))
    assert done.lost == 0 and done.torn == 0 and done.confirmed > 50


MESSY = """Clay Pit, autumn;;;;;;
Day;Start mark (ft);wind [km/h];landed at;landed at unit;result;Notes;strokes;helmet
14.11.2026;98,4;-3,5;1,2;m;;=1+1;2;red
14.11.2026;=A3+1;;;;clean;;;
11/12/2026;30;;;;clean;;;
2026-11-14 10:33;30 m;;;;clean;;;
;30;;;;clean;;;
15/11/2026;99;+2;;;Long;"a ""q"" and
a second row";;
15/11/2026;99;+2;;;great;;x;
15/11/2026;99;;;;clean;a;b;c;d;e
"""


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("separator", [";", "\t"])
def test_a_messy_table(encoding, ends, separator):
    read = parse_tries(MESSY.replace(";", separator).replace("\n", ends).encode(encoding))
    first, second = read.tries
    assert (first.date, first.strokes, first.touched, first.note) == (DAY, 2, 1.2, "=1+1")
    assert first.start_mark == pytest.approx(98.4 * 0.3048) and first.tailwind == pytest.approx(-3.5 / 3.6)
    assert second.date == "2026-11-15" and second.outcome == "long" and second.note == 'a "q" and a second row'
    assert read.unused == ("helmet",)
    assert [one.row for one in read.refused] == [4, 5, 6, 7, 10, 11]
    for one, why in zip(read.refused, ["formula", "two days", "in m and in ft", "not given", "number", "cells"], strict=True):
        assert why in one.reason, one


def test_columns_say_their_units():
    for name, declaration in declared(Try).items():
        if declaration.unit:
            assert f"{name}_{declaration.unit}" in COLUMNS
    assert WHOLE not in COLUMNS


def test_imported_twice_is_counted_once():
    one, other = Try(date=DAY, outcome="clean"), Try(date=DAY, outcome="short")
    assert new_among([one, one, other], [one]) == (one, other)
    assert new_among([one, one, other], [other, one, one]) == ()


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused_in_words(content):
    try:
        parse_tries(content)
        parse_tries(BOM + header_row() + content)
    except FileError as error:
        assert "\n" not in str(error)
