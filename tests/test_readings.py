"""From what was measured to speeds: published figures, propagation against samples, what does not fit the ground."""

import math
from dataclasses import replace

import numpy as np
import pytest
from made_tries import Made, Truth

from jumpcalc import InputError, read_line, vary
from jumpcalc.physics.rolling import roll
from jumpcalc.physics.roots import bracketed_roots
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.leaving import curve_of
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.plan.studies.field.airborne import airborne, thrown
from jumpcalc.plan.studies.field.kinds import KINDS, Airtime, Filmed, Passing, Receiver, Sensor, Timed, frame_timing
from jumpcalc.plan.studies.field.readings import foot_speeds_read, measured, measured_each, shown
from jumpcalc.plan.studies.field.way import way_before
from jumpcalc.plan.terrain import prepare

LINE = read_line("examples/first_gap.toml")
LEVEL = vary(LINE, {"run_in.pieces": (Piece(length=60.0, slope=0.0),), "run_in.start_speed_kmh": 30})


# published figures


def test_ten_metres_at_eight_metres_a_second_by_hand():
    """Am. J. Phys. 87 (2019) 110-115: start to stop N(0, 0.10² s²); 10 m at 8 m/s 0.64 m/s, 20 m 0.32 (JCGM 100, eq. 10)."""
    for length, printed in ((10.0, 0.64), (20.0, 0.32)):
        found = measured(LEVEL, Timed(length=length, before_foot=1.5, time=length / 8))
        # the differences over one standard uncertainty lie 1/(1 - 0.08²) above the derivative
        assert dict(found.shares)["timing"] == pytest.approx(printed, abs=0.005 + 0.01)


@pytest.mark.parametrize(("rate", "printed"), [(30, 13.6), (60, 6.8), (240, 1.70)])
def test_two_frames_of_a_video(rate, printed):
    """Independent computation: 1/(rate √6)."""
    assert frame_timing(rate) * 1e3 == pytest.approx(printed, abs=0.05 if rate < 100 else 0.005)


def test_a_measured_flight():
    """Independent computation: 6.2 m on and 0.4 m lower after 0.85 s, g 9.81: 8.1783 m/s at 26.888°."""
    v_x, v_z = thrown(6.2, -0.4, 0.85, gravity=9.81)
    assert float(np.hypot(v_x, v_z)[0]) == pytest.approx(8.1783, abs=5e-5)
    assert math.degrees(float(np.arctan2(v_z, v_x)[0])) == pytest.approx(26.888, abs=5e-4)


def test_a_flight_through_air_is_thrown_through_its_end():
    """Independent computation with drag and wind: m 85, CdA 0.6, ρ 1.225; 12 m/s at 25°, 8 m/s headwind."""
    v_x, v_z = thrown(11.93899723, -1.0, 1.193740828, drag=0.004323529412, tailwind=-8.0)
    assert float(np.hypot(v_x, v_z)[0]) == pytest.approx(12.0, abs=1e-7)
    assert math.degrees(float(np.arctan2(v_z, v_x)[0])) == pytest.approx(25.0, abs=1e-6)


# what an instrument shows is what it is read back to

WAYS = (
    Timed(length=10.0, before_foot=2.0, time=1.0),
    Filmed(length=6.0, before_foot=1.5, frames=10, rate=60),
    Passing(frames=10, rate=240, before_foot=1.0),
    Passing(frames=10, rate=240),
    Sensor(speed=8.0, before_foot=0.5),
    Sensor(speed=8.0, before_foot=5.0, rolled_out=True),
    Receiver(speed=8.0, before_foot=3.0),
)
LATER = read_line("examples/two_in_a_row.toml")
DROP = read_line("examples/low_drop.toml")


def with_value(reading, value):
    """The same reading, having shown another value."""
    if isinstance(reading, Timed):
        return replace(reading, time=value)
    if isinstance(reading, (Filmed, Passing)):
        return replace(reading, frames=value * reading.rate)
    return replace(reading, speed=value)


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.word)
@pytest.mark.parametrize(("line", "jump"), [(LINE, 0), (LATER, 0), (LATER, 1), (DROP, 0), (vary(LINE, {"rider.path": "point"}), 0)])
def test_read_back(line, jump, way):
    speed = 7.3
    value = float(shown(line, way, [speed], jump=jump)[0])
    found = measured(line, with_value(way, value), jump=jump)
    assert found.foot_speed == pytest.approx(speed, abs=1e-6)
    assert 0 < found.foot_uncertainty < 1 and found.jump == jump


def test_a_wheel_runs_faster_than_the_rider_in_a_curve():
    """A sensor on an arc reads v/q with q = 1 − h_c κ, on a straight v."""
    line = vary(LINE, {"run_in.pieces": (Piece(length=30.0, slope=-0.2), Piece(radius=9.0, to_slope=0.0))})
    height = prepare(line).line.rider.centre_of_mass_height
    at_foot = float(shown(line, Sensor(speed=8.0, before_foot=0.0), [8.0])[0])
    assert at_foot == pytest.approx(8.0 / (1 - height / 9.0), rel=1e-9)
    assert float(shown(LINE, Sensor(speed=8.0, before_foot=0.0), [8.0])[0]) == pytest.approx(8.0, rel=1e-12)


def test_strokes_after_the_stretch_are_counted():
    """Whoever still pedals after the cones is faster at the foot than one who does not."""
    pedalled = vary(LINE, {"run_in.strokes": 2, "run_in.strokes_at_m": 6})
    stretch = Timed(length=5.0, before_foot=8.0, time=0.7)
    plain, more = measured(LINE, stretch), measured(pedalled, stretch)
    energy = prepare(pedalled).line.rider.stroke_energy * 2 / (88 + 2)
    # the air and the bowl take some of it on the way
    assert 0.9 * 2 * energy < more.foot_speed**2 - plain.foot_speed**2 < 2 * energy
    within = Timed(length=5.0, before_foot=3.0, time=0.7)
    assert measured(pedalled, within).foot_speed > measured(LINE, within).foot_speed


@pytest.mark.parametrize("line", [LINE, DROP])
def test_the_bike_s_own_flight_is_read_back(line):
    """Where the rear wheel comes down when the bike lies as the landing does, from the model's own flight."""
    one = prepare(line).jumps[0]
    speed = clean_speeds(one).window.speeds.aim
    leaving = curve_of(one).leaving(np.array([speed]))
    landed = land(one, np.array([speed]))
    body, fall = one.rig.bodies["bike"], one.terrain.fall
    rear = body.wheelbase - body.behind_front
    x, z = float(landed.x[0]) - rear * math.cos(fall), float(landed.z[0]) + rear * math.sin(fall)
    found = measured(line, Airtime(time=float(landed.time[0]), along=x, lower=-z, rate=240.0))
    assert found.edge_speed == pytest.approx(speed, abs=1e-6)
    assert found.direction == pytest.approx(found.expected, abs=1e-6)
    assert found.expected == pytest.approx(math.atan2(float(leaving.v_z[0]), float(leaving.v_x[0])), abs=1e-6)


def test_flights_of_two_wheels_simulated_apart_are_read_back():
    """The two-wheel simulation with its own rolling, departure and flight times a ride; the speed read from it is the one ridden."""
    made = Made(LINE, Truth())
    foot, _, along, when = made.ride(np.array([30.0, 31.0, 32.0]), np.random.default_rng(1), scatter=False)
    assert along[0] > 0
    x, lower = made.face.gap + along * math.cos(made.face.angle), made.face.drop + along * math.sin(made.face.angle)
    for row in range(3):
        found = measured(LINE, Airtime(time=float(when[row]), along=float(x[row]), lower=float(lower[row]), rate=240.0))
        assert found.foot_speed == pytest.approx(foot[row], abs=2e-3)
        assert abs(found.foot_speed - foot[row]) < 0.05 * found.foot_uncertainty


def test_a_sprung_flight_shows_in_its_direction_not_in_its_speed():
    one = prepare(LINE).jumps[0]
    landed = land(one, np.array([8.4]), spring=0.45)
    body, fall = one.rig.bodies["bike"], one.terrain.fall
    rear = body.wheelbase - body.behind_front
    x, z = float(landed.x[0]) - rear * math.cos(fall), float(landed.z[0]) + rear * math.sin(fall)
    found = measured(LINE, Airtime(time=float(landed.time[0]), along=x, lower=-z, rate=240.0))
    assert found.edge_speed == pytest.approx(8.4, abs=0.01)
    assert found.direction - found.expected == pytest.approx(0.45 / 8.4, abs=0.005)


# propagation against samples


def sampled_timed(line, reading, *, rows, rng):
    """Foot and edge speeds of sampled inputs, by riding forward from the first cone: another way than the one tested."""
    prepared = prepare(line)
    way = way_before(prepared, 0)
    errors = reading.errors
    conditions, half = way.course.conditions, way.course.rig.wheelbase / 2
    length = reading.length + sum(rng.normal(0, errors[name], rows) for name in ("length", "camera") if name in errors)
    time = reading.time + rng.normal(0, errors["timing"], rows)
    bound = 1 / math.sqrt(3)
    roller = way.roller(
        rolling_resistance=conditions.lip_rolling * (1 + 0.5 * bound * rng.normal(0, 1, rows)),
        tailwind=conditions.tailwind + bound * rng.normal(0, 1, rows),
        drag=conditions.drag * (1 + 0.1 / prepared.line.rider.drag_area * bound * rng.normal(0, 1, rows)),
        tilt=way.tilt * rng.normal(0, 1, rows),
    )
    end = way.foot - half - reading.before_foot
    first = roll(way.ground, end - length, reading.length / reading.time, roller, end=end)

    def lacks(speed):
        ridden = roll(way.ground, end - length, speed, roller, end=end)
        return np.where(ridden.reached, length / ridden.time, 0.0) - length / time

    assert first.reached.all()
    start = bracketed_roots(lacks, np.full(rows, 0.3), np.full(rows, 30.0), tolerance=1e-9)
    at_end = roll(way.ground, end - length, start, roller, end=way.foot)
    edge, _ = climb(way.course, at_end.speed, roller)
    return at_end.speed, edge


@pytest.mark.parametrize(
    "reading",
    [
        Timed(length=10.0, before_foot=1.5, time=1.2, runs=5),
        Timed(length=8.0, before_foot=12.0, time=1.05, runs=10),
        Filmed(length=6.0, before_foot=2.0, frames=21, rate=30, camera=15.0),
        Filmed(length=12.0, before_foot=6.0, frames=180, rate=120, camera=20.0),
    ],
    ids=["hand", "hand further up", "30 frames a second", "120 frames a second"],
)
def test_uncertainty_against_samples(reading):
    """Within 2 %; the place of the cones, which moves less than 0.01 m/s, is left out on both sides."""
    foot, edge = sampled_timed(LINE, reading, rows=8000, rng=np.random.default_rng(11))
    found = measured(LINE, reading)
    own = math.sqrt(found.foot_uncertainty**2 - dict(found.shares)["place"] ** 2)
    assert own == pytest.approx(float(np.std(foot)), rel=0.02)
    assert found.edge_uncertainty == pytest.approx(float(np.std(edge)), rel=0.02)
    assert found.foot_speed == pytest.approx(float(np.median(foot)), abs=0.01)


@pytest.mark.parametrize(
    "reading",
    [
        Passing(frames=29.0, rate=240, before_foot=1.5),
        Passing(frames=40.0, rate=240),
        Sensor(speed=9.4, before_foot=6.0),
        Sensor(speed=9.4, before_foot=1.5, rolled_out=True),
        Receiver(speed=9.0, before_foot=4.0),
    ],
    ids=["post", "edge", "sensor further up", "sensor rolled out", "receiver"],
)
def test_uncertainty_of_the_others_against_samples(reading):
    """Within 2 %: all inputs drawn together, each draw converted by itself, against differences of one at a time."""
    rows, rng = 6000, np.random.default_rng(3)
    prepared = prepare(LINE)
    way = way_before(prepared, 0)
    found = measured(LINE, reading)
    conditions, plain = way.course.conditions, way.roller()
    sizes = {"rolling": 0.5 * conditions.lip_rolling, "wind": 1.0, "drag": conditions.drag * 0.1 / prepared.line.rider.drag_area}
    off = {name: rng.normal(0, size, rows) for name, size in reading.errors.items()}
    off |= {name: rng.normal(0, size / math.sqrt(3), rows) for name, size in sizes.items()}
    tilt = rng.normal(0, way.tilt, rows) if reading.before_foot is not None else np.zeros(rows)
    roller = replace(
        plain,
        rolling_resistance=plain.rolling_resistance + off["rolling"],
        tailwind=plain.tailwind + off["wind"],
        drag=plain.drag + off["drag"],
        tilt=tilt,
    )
    read = reading.time if isinstance(reading, Passing) else reading.speed
    foot = foot_speeds_read(way, reading, np.full(rows, read), roller, off)
    assert found.foot_uncertainty == pytest.approx(float(np.std(foot)), rel=0.025)
    edge, _ = climb(way.course, foot, roller)
    assert found.edge_uncertainty == pytest.approx(float(np.std(edge)), rel=0.025)


def test_uncertainty_of_a_flight_against_samples():
    """Within 2.5 % of 4000 draws, whose own doubt is 1.1 %."""
    rows, rng = 4000, np.random.default_rng(4)
    reading = Airtime(time=0.9, along=5.7, lower=0.8, rate=120.0)
    prepared = prepare(LINE)
    way = way_before(prepared, 0)
    found = measured(LINE, reading)
    off = {name: rng.normal(0, size, rows) for name, size in reading.errors.items()}
    plain, drag = way.roller(), way.course.conditions.drag
    bound = 1 / math.sqrt(3)
    roller = replace(
        plain,
        tailwind=rng.normal(0, bound, rows),
        drag=drag + rng.normal(0, drag * 0.1 / prepared.line.rider.drag_area * bound, rows),
    )
    edge, direction, _ = airborne(way.course, reading, roller, off)
    assert found.edge_uncertainty == pytest.approx(float(np.std(edge)), rel=0.025)
    assert found.direction_uncertainty == pytest.approx(float(np.std(direction)), rel=0.025)


def test_readings_together_are_those_of_one_by_one():
    """Of two places, three kinds and a flight, each in its own wind; what no speed gives spoils none of the others."""
    readings = (
        Timed(length=8.0, before_foot=2.0, time=0.9),
        Timed(length=8.0, before_foot=2.0, time=0.8, runs=3),
        Timed(length=8.0, before_foot=2.0, time=60.0),
        Timed(length=8.0, before_foot=5.0, time=0.95),
        Sensor(speed=9.2, before_foot=1.0),
        Sensor(speed=9.6, before_foot=1.0, rolled_out=True),
        Airtime(time=0.9, along=5.7, lower=0.8, rate=120.0),
        Timed(length=8.0, before_foot=200.0, time=0.95),
    )
    winds = (0.0, 2.0, 0.0, -3.0, 1.5, -1.0, 2.5, 0.0)
    for reading, wind, found in zip(readings, winds, measured_each(LINE, readings, tailwinds=winds), strict=True):
        try:
            alone = measured(vary(LINE, {"air.tailwind_mps": wind}), reading)
        except InputError as error:
            assert isinstance(found, InputError) and found.text == error.text
            continue
        assert found.reading is reading and [name for name, _ in found.shares] == [name for name, _ in alone.shares]
        for name in ("foot_speed", "foot_uncertainty", "edge_speed", "edge_uncertainty", "direction", "direction_uncertainty"):
            assert getattr(found, name) == pytest.approx(getattr(alone, name), abs=1e-7), (reading, name)
    assert [isinstance(found, InputError) for found in measured_each(LINE, readings)] == [False, False, True, *[False] * 4, True]


# what does not fit


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        (Timed(length=30.0, before_foot=8.0, time=3.0), "the ground before it is"),
        (Passing(frames=10, rate=60, before_foot=0.2), "half a wheelbase"),
        (Timed(length=10.0, before_foot=1.5, time=150.0), "no speed before this lip"),
        (Airtime(time=0.2, along=20.0, lower=0.0), "no flight off this lip"),
    ],
)
def test_refused(reading, words):
    with pytest.raises(InputError, match=words):
        measured(LINE, reading)


def test_without_a_measured_run_in_only_the_last_metres():
    line = vary(LINE, {"run_in.pieces": None})
    near = measured(line, Timed(length=5.0, before_foot=1.2, time=0.6))
    assert not near.known_ground
    assert near.foot_uncertainty > measured(LINE, Timed(length=5.0, before_foot=1.2, time=0.6)).foot_uncertainty
    with pytest.raises(InputError, match="where the run-in is not"):
        measured(line, Timed(length=15.0, before_foot=1.2, time=2.0))


def test_every_kind_says_what_is_wrong():
    for kind in KINDS.values():
        with pytest.raises(InputError, match="needed"):
            kind.of()
    with pytest.raises(InputError, match="time_s"):
        Timed.of(length_m=10, before_foot_m=1, time_s=-1)
