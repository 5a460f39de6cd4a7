"""Odds against plain Monte Carlo with its own lip, departure, flight and contact: nothing of the package but the line's numbers.

Tries are drawn by `numpy`'s normal generator; the lip is ridden and the flight flown by `solve_ivp`, the departure comes from
the contact forces of `two_wheels`, the contact is sought on the dense path by `brentq`. Wheels are set down together.
"""

import math

import numpy as np
import pytest
from numpy.polynomial import Chebyshev
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from two_wheels import Case, Simulated

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.many import Begin, Tries, try_all
from jumpcalc.plan.studies.odds import odds
from jumpcalc.plan.studies.spread import Spread
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary

G, DEG = 9.80665, math.pi / 180
ROWS = 200
ANGLE, RADIUS, STRAIGHT, GAP, DROP, FALL, FACE = 28 * DEG, 4.8, 0.8, 4.2, 0.1, 24 * DEG, 4.5
W, L_F, H, K_P, MASS, ROTATING, CRR = 1.17, 0.62, 1.05, 0.45, 88.0, 2.0, 0.02
FOOT = 9.6
SPREAD = Spread(speed=0.05, angle=0.0, spring_mean=0.1, spring=0.25, tailwind=1.0, drag=0.2, pitch=0.0)

LINE = Line.of(
    rider={"mass_kg": MASS, "drag_area_m2": 0.55, "centre_of_mass_height_m": H, "centre_of_mass_behind_front_m": L_F,
           "pitch_radius_m": K_P},
    bike={"wheelbase_m": W, "rotating_mass_kg": ROTATING},
    run_in={"rolling_resistance": CRR},
    jump=[
        {
            "lip": {"angle_deg": 28, "radius_m": RADIUS, "straight_m": STRAIGHT},
            "landing": {"gap_m": GAP, "drop_m": DROP, "angle_deg": 24, "length_m": FACE},
        }
    ],
)  # fmt: skip


def drawn():
    """Normal numbers: speed, wind, drag; spring."""
    return np.random.default_rng(7).standard_normal((4, ROWS))


def over_the_lip(foot, wind, drag):
    """Speed at the edge by the equation of `physics.md` 6 over the distance of the wheels."""
    end = RADIUS * ANGLE + STRAIGHT

    def rate(s, e):
        slope, bend = (s / RADIUS, 1 / RADIUS) if s < RADIUS * ANGLE else (ANGLE, 0.0)
        q, v2 = 1 - H * bend, 2 * e[0]
        load = max(0.0, G * math.cos(slope) + bend * v2 / q)
        felt = math.sqrt(v2) - wind * math.cos(slope)
        return [(-q * G * math.sin(slope) - CRR * load - q * drag * felt * abs(felt)) / (1 + ROTATING / MASS)]

    e = [foot**2 / 2]
    for begin, stop in ((0.0, RADIUS * ANGLE - 1e-12), (RADIUS * ANGLE, end)):
        e = solve_ivp(rate, (begin, stop), e, rtol=1e-10, atol=1e-12).y[:, -1]
    return math.sqrt(2 * e[0])


def leavings():
    """Place, velocity over speed and pitch as the rear leaves, over 1/v²."""
    parts = [(4 * W, 0.0), (RADIUS * ANGLE, 1 / RADIUS), (STRAIGHT, 0.0)]
    low, high = 11.5**-2, 6.0**-2
    at = low + (high - low) * (np.polynomial.chebyshev.chebpts1(14) + 1) / 2
    values = []
    for place in at:
        v = place**-0.5
        bike = Simulated(Case(parts, 0.0, 4 * W, (W, L_F, H, K_P), v, G))
        state = bike.run()[0]
        values.append([state[0] - bike.at_edge[0], state[1] - bike.at_edge[1], state[3] / v, state[4] / v, state[2]])
    return [Chebyshev.fit(at, column, 13, domain=[low, high]) for column in np.array(values).T]


def along(leaving, v, spring, wind, drag):
    """Distance along the face from the knuckle to the touchdown of the wheels' midpoint; None where it comes down before."""
    x, z, v_x, v_z, pitch = (float(column(v**-2)) for column in leaving)
    begin = [x, z, v * v_x - spring * math.sin(ANGLE), v * v_z + spring * math.cos(ANGLE)]
    over = GAP + H * math.sin(FALL)

    def rate(_, y):
        felt_x = y[2] - wind
        felt = math.hypot(felt_x, y[3])
        return [y[2], y[3], -drag * felt * felt_x, -G - drag * felt * y[3]]

    way = solve_ivp(rate, (0, 2.5), begin, method="DOP853", rtol=1e-10, atol=1e-11, dense_output=True).sol

    def wheels(t):
        y = way(t)
        share = min(max((y[0] - x) / (over - x), 0.0), 1.0)
        attitude = pitch + share * (-FALL - pitch)
        return y[0] + H * math.sin(attitude), y[1] - H * math.cos(attitude)

    def above(t):
        at, height = wheels(t)
        if at < GAP:
            return height + 10.0  # the gap is deeper than any wheel here gets before its end
        face = -DROP - (at - GAP) * math.tan(FALL)
        level = -DROP - FACE * math.sin(FALL)  # beyond the face the ground is level
        return height - max(face, level)

    times = np.linspace(0.05, 2.5, 400)
    heights = [above(t) for t in times]
    first = next(i for i, h in enumerate(heights) if h <= 0)
    t = brentq(above, times[first - 1], times[first]) if heights[first - 1] < 5 else times[first]
    at, height = wheels(t)
    if heights[first - 1] >= 5:  # into the near wall, or onto the face from the gap within one step
        return None if height < -DROP else 0.0
    return (at - GAP) / math.cos(FALL)


def test_outcomes_of_plain_monte_carlo():
    z = drawn()
    one = prepare(vary(LINE, {"skill.spring_mean_mps": SPREAD.spring_mean})).jumps[0]
    base = one.conditions.drag
    leaving, clean, places = leavings(), [], []
    for speed, wind, drag, spring in z.T:
        k = base * math.exp(SPREAD.drag * drag)
        v = over_the_lip(FOOT * (1 + SPREAD.speed * speed), wind, k)
        place = along(leaving, v, SPREAD.spring_mean + SPREAD.spring * spring, wind, k)
        places.append(math.nan if place is None else place)
        clean.append(place is not None and W / 2 <= place <= FACE - W / 2)
    own = np.zeros((1, 3, ROWS))
    own[0, 1] = z[3]
    tried = try_all([one], Begin(foot_speed=FOOT), Tries(z[:3], own), SPREAD)[0]
    assert len(tried.number) == ROWS
    there = np.isfinite(places) & (np.array(places) > 0.05) & (np.array(places) < FACE)
    assert there.sum() > 0.7 * ROWS
    assert tried.landed.along[there] == pytest.approx(np.array(places)[there], abs=2e-4)
    assert np.sum(tried.landed.is_(Outcome.CLEAN) != np.array(clean)) <= 1
    # and the odds themselves, drawn in another way, within what so few tries can tell
    line = Line.of(
        **{name: getattr(LINE, name) for name in ("rider", "bike", "run_in")}, jump=list(LINE.jumps),
        skill={"speed_sd_percent": 5, "angle_sd_deg": 0, "spring_mean_mps": 0.1, "spring_sd_mps": 0.25, "pitch_sd_deg": 0},
    )  # fmt: skip
    answer = solve(line)
    share = odds(answer, np.random.default_rng(3), rows=16384).all_good.value
    many = try_all(
        prepare(line).jumps, Begin(foot_speed=answer.jumps[0].window.foot.aim), Tries(z[:3], own), SPREAD
    )[0].good.mean()  # fmt: skip
    assert share == pytest.approx(many, abs=3 * math.sqrt(share * (1 - share) / ROWS) + 0.02)
