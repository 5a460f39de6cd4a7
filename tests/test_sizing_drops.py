"""Drops that are sized: clean for who rolls off and for who carries the front, on a deck as it is staked.

At full size the bundled site takes 25 s of one core; here jumps that such a search proposes, and one that it must not, are looked at.
"""

import math
from dataclasses import replace

import numpy as np
import pytest

from jumpcalc.plan import limits
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.leaving import CARRIED, Style
from jumpcalc.plan.inputs.assume import foot_slope
from jumpcalc.plan.solve import solve_jumps
from jumpcalc.plan.studies.sizing.ground import laid_out
from jumpcalc.plan.studies.sizing.lay import Candidates, lying
from jumpcalc.plan.studies.sizing.propose import broken, proposal
from jumpcalc.plan.studies.sizing.rate import rated
from jumpcalc.plan.studies.sizing.search import Found, space_of
from jumpcalc.plan.studies.sizing.whole import Sized
from jumpcalc.plan.studies.sizing.written import clean, jump_lines, tightest
from jumpcalc.plan.terrain import prepare
from jumpcalc.show.files.examples import sites
from jumpcalc.show.files.linefile import parse_line, write_line
from jumpcalc.show.words.sizing import report

DEG = math.pi / 180
GOOD = np.array([
    [29.5, 1.0, 0.0, 7.5, 1.5, 0.7, 14 * DEG],
    [29.5, 1.5, 0.0, 7.5, 2.7, 1.1, 14 * DEG],
])  # fmt: skip
SLOW = np.array([[29.0, 1.0, 0.0, 7.75, 2.4, 0.9, 14 * DEG]])


@pytest.fixture(scope="module")
def site():
    whole = sites()["pit_edge"]
    return laid_out(replace(whole, riders=whole.riders[:1]))


@pytest.fixture(scope="module")
def found(site):
    return rated(site, Candidates.of(GOOD))


@pytest.fixture(scope="module")
def made(site, found):
    return [proposal(site, found, row, size=size) for row, size in enumerate(("small", "large"))]


def test_what_is_rated_is_what_rolls_off_and_what_is_carried(site, found, made):
    """Half of the speeds that are clean either way within 0.1 m/s of the full answer's; both land clean at the ends, solved afresh."""
    assert found.fits.all() and np.array_equal(found.size, found.jumps.drop)
    for row, one in enumerate(made):
        answer = solve_jumps(parse_line(write_line(one.line)))
        jump = answer.jumps[0]
        assert broken(site.site, answer, fastest=site.riders[0].rider.fastest, spread=site.riders[0].rider.speed_sd) == ()
        low, high = jump.sure
        assert found.tolerance[row] == pytest.approx(0.5 * (high - low), abs=0.1)
        assert clean(jump).min == low and one.tolerance == pytest.approx(0.5 * (high - low))
        for style in (Style(), CARRIED):
            assert land(prepare(one.line).jumps[0], [1.001 * low, 0.999 * high], style=style).outcomes == ("clean", "clean")
        assert jump.departed.dip <= limits.ASKS_FOR_CARRYING.value
        assert jump.stop.stops and one.answers[0].jumps[0].run_in.marks[1] is not None


def test_who_would_come_down_nose_first_is_not_proposed_for(site):
    """At 5.1 m/s the front of a bike that rolls off dips by more than 20°."""
    slow = rated(site, Candidates.of(SLOW))
    answer = solve_jumps(jump_lines(site, slow, 0)[0])
    assert slow.there.all() and slow.over["carried"][0] > 0.2
    assert "carried" in broken(site.site, answer, fastest=10.0, spread=0.04)
    assert proposal(site, slow, 0) is None


def test_the_deck_is_staked_as_it_was_laid(site, found, made):
    """Its end by the run-in's own stakes: where and how steep it was laid, and no curve tighter than two thirds of its own."""
    shape = lying(site, found.jumps)
    for row, one in enumerate(made):
        line = one.line
        along, fall = line.run_in.stakes[-1]
        assert -fall == pytest.approx(shape.edge_z[row] - site.natural.z[0], abs=0.02)
        length = one.place + one.radius * (found.jumps.angle[row] - shape.foot_slope[row]) + one.straight
        assert along == pytest.approx(length, abs=0.02)
        assert foot_slope(line, 0) == pytest.approx(line.jumps[0].lip.angle, abs=1 * DEG)
        assert tightest(line) > 0.66 * one.radius
        assert one.stands > 0.5


def test_nothing_is_built_through_the_ground_before_its_knuckle(site):
    """On the slope below the edge a deck that ends before it has ground in its way."""
    through = Candidates.of(np.array([[20.0, 2.0, 0.0, 8.0, 1.5, 0.9, 14 * DEG]]))
    assert not lying(site, through).closes.any()
    assert (space_of(site).low[5], space_of(site).high[2]) == (0.2, 0.0)


def test_a_drop_is_told_by_its_edge(site, found, made):
    now = Sized(site=site.site, found=Found(front=found, nearest=found.rows([]), tried=2), made=tuple(made), done=True)
    text = " ".join(report(now).split())
    assert "2 drops that fit" in text and "Large: drop of 1.10 m, 1.50 m out" in text and "rolls off it and for who carries" in text
    assert "clean at the edge" in text and "Deck: leaves the ground 29.5 m" in text and "before the lip" not in text
