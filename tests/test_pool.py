"""Many logs judge the model: pooled logs tell a world of bikes from one of points, and find the springs they were made with.

At full size (`tests/benchmarks/pool_worlds.py 40`) the same is done with 40 lines in each world.
"""

import csv
import io
import json
from functools import cache

import numpy as np
import pytest
from benchmarks.pool_worlds import SPRING, lines

from jumpcalc.plan.studies.field import pool as pool_module
from jumpcalc.plan.studies.field.pool import pool, together
from jumpcalc.show.cli import main
from jumpcalc.show.files.linefile import write_line
from jumpcalc.show.files.pool_csv import POOL_COLUMNS, pool_csv
from jumpcalc.show.files.tries_csv import tries_csv


@pytest.fixture(scope="module", autouse=True)
def fitted_once():
    """The command is asked of a log of the worlds, in two forms."""
    fitted = cache(pool_module.fitted)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pool_module, "fitted", lambda line, tries: fitted(line, tuple(tries)))
        yield


@pytest.fixture(scope="module")
def ridden():
    return {path: lines(2, path, tries=6) for path in ("bike", "point")}


@pytest.fixture(scope="module")
def worlds(ridden):
    return {path: pool(made) for path, made in ridden.items()}


def test_they_tell_a_world_of_bikes_from_one_of_points(worlds):
    assert worlds["bike"].for_bike > 3 and worlds["point"].for_bike < -3


def test_they_find_the_spring_they_were_made_with(worlds):
    spring = worlds["bike"].spring
    assert abs(spring.mean - SPRING) < 2.6 * spring.mean_sd
    assert spring.mean_sd < 0.2
    # a point flies about as a bike whose rider springs by 0.5 to 0.7 m/s more; so few lines tell it within two standard deviations
    more, doubt = worlds["point"].spring.mean - SPRING, 2 * worlds["point"].spring.mean_sd
    assert 0.5 - doubt < more < 0.7 + doubt and more > doubt


def test_intervals_hold_in_the_world_that_they_are_made_for(worlds):
    assert worlds["bike"].held >= 0.75 * worlds["bike"].checked > 0


def test_values_that_belong_together():
    """Weighted means by hand; values that differ by more than their doubt differ by themselves."""
    found = together([(1.0, 0.1), (1.2, 0.2)])
    assert found.mean == pytest.approx((1 / 0.01 + 1.2 / 0.04) / (1 / 0.01 + 1 / 0.04)) and found.differ is None
    rng = np.random.default_rng(1)
    found = together([(float(m), 0.1) for m in 2 + 0.5 * rng.normal(size=400)])
    assert found.differ == pytest.approx(np.sqrt(0.25 - 0.01), abs=0.05) and found.mean == pytest.approx(2, abs=0.08)
    assert together([]) is None


def test_the_table_names_nobody(worlds):
    rows = list(csv.DictReader(io.StringIO(pool_csv(worlds["bike"]).decode())))
    assert len(rows) == 2 and list(rows[0]) == list(POOL_COLUMNS)
    assert float(rows[0]["spring_sd_mps"]) > 0 and rows[0]["surface"] == "hardpack"
    assert not set(POOL_COLUMNS) & {"rider", "title", "place", "date", "fingerprint"}


def test_a_folder_from_the_command_line(ridden, tmp_path, capsys):
    for number, (line, tries) in enumerate(ridden["bike"]):
        (tmp_path / f"line{number}.toml").write_text(write_line(line), encoding="utf-8")
        (tmp_path / f"line{number}.csv").write_bytes(tries_csv(tries if number else tries[:2]))
    assert main(["log", "pool", str(tmp_path), "--out", str(tmp_path / "pool.csv")]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "likelier" not in out and "± 0.0" not in out and out.count("takes 3 logs or more") == 3
    assert "1 log with 6 tries" in out and "file 1: 2 tries of one rider" in out and "not a permit" in out
    assert main(["log", "pool", str(tmp_path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["logs"][0]["tries"] == 6
    assert main(["log", "pool", str(tmp_path / "none")]) == 2
    (tmp_path / "empty").mkdir()
    assert main(["log", "pool", str(tmp_path / "empty")]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 2 and "log of the same name" in told and "jumpcalc log show LINE.toml" in told
