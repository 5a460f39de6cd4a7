"""Answers as wholes: nothing assumed unsaid, nothing unknown answered, and no input that breaks them."""

import dataclasses
import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from jumpcalc.errors import InputError
from jumpcalc.plan.ask.lip import foot_speeds
from jumpcalc.plan.inputs import declare as inputs
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider, Skill
from jumpcalc.plan.solve import solve

DEG = math.pi / 180
RUNOUT = Runout(pieces=(Piece(length=8.0, slope=-6 * DEG), Piece(length=40.0, slope=0.0)))
LANDING = Landing(gap=4.2, drop=0.1, angle=24 * DEG, length=4.5, exit_radius=6.0)
JUMP = Jump(lip=Lip(angle=28 * DEG, radius=4.6, straight=1.2), landing=LANDING, runout=RUNOUT)
LINE = Line(jumps=(JUMP,))


def one(line=LINE, **changes):
    """The only jump's answer of a line, with changes to its jump."""
    return solve(replace(line, jumps=(replace(line.jumps[0], **changes),))).jumps[0]


def paths(table, prefix=""):
    """Key path, declaration and value of every input, walked here."""
    for f in dataclasses.fields(table):
        value = getattr(table, f.name)
        if "input" in f.metadata:
            unit = f.metadata["input"].unit
            yield f"{prefix}{f.name}{'_' + unit if unit else ''}", f.metadata["input"], value
        elif f.name == "jumps":
            for number, jump in enumerate(value, start=1):
                yield from paths(jump, f"{prefix}jump[{number}].")
        else:
            yield from paths(value, f"{prefix}{f.name}.")


def assert_assumed_complete(answer):
    before = {path: value for path, _, value in paths(answer.line)}
    after = {path: (declaration, value) for path, declaration, value in paths(answer.complete)}
    assert before.keys() == after.keys()
    for path, (declaration, value) in after.items():
        if before[path] is not None:
            assert value == before[path] and path not in answer.assumed
        else:
            filled = value is not None and declaration.kind != "text"
            assert filled == (path in answer.assumed), path
        has_default = declaration.default is not None
        drop_lip = path.endswith(("lip.straight_m", "surface"))
        assert value is not None or not has_default or drop_lip, path
    assert len(set(answer.assumed)) == len(answer.assumed)


def numbers(part, where="answer"):
    """Every number inside an answer, with its place."""
    if isinstance(part, float):
        yield where, part
    elif dataclasses.is_dataclass(part):
        for f in dataclasses.fields(part):
            yield from numbers(getattr(part, f.name), f"{where}.{f.name}")
    elif isinstance(part, tuple):
        for i, item in enumerate(part):
            yield from numbers(item, f"{where}[{i}]")


def assert_sound(answer):
    """What holds of any answer."""
    assert_assumed_complete(answer)
    for where, value in numbers(answer):
        assert math.isfinite(value), where
    for jump in answer.jumps:
        window = jump.window
        assert (window.speeds is None) == (window.why_none is not None) == (window.foot is None)
        assert (jump.sensitivity is None) == (window.speeds is None)
        if window.speeds is None:
            assert jump.landings == () and jump.stop is None and jump.sure is None
            continue
        assert 0 < window.speeds.min <= window.speeds.aim <= window.speeds.max <= 40
        assert [landing.outcome for landing in jump.landings] == ["clean"] * 3
        limit = answer.complete.limits.equivalent_fall
        assert all(landing.equivalent_fall <= limit + 1e-8 for landing in (jump.landings[0], jump.landings[2]))
        assert (jump.sure is None) == (jump.why_not_sure is not None)
        if jump.sure is not None:
            assert window.speeds.min - 1e-9 <= jump.sure[0] <= jump.sure[1] <= window.speeds.max + 1e-9
            assert jump.sure[0] <= window.speeds.aim <= jump.sure[1]
        assert (jump.stop is None) == (jump.why_no_stop is not None)


def test_the_line_at_hand():
    answer = solve(LINE)
    assert_sound(answer)
    filled = {"rider.mass_kg", "air.altitude_m", "jump[1].runout.reaction_s", "limits.equivalent_fall_m"}
    assert filled < set(answer.assumed)
    unfilled = ("jump[1].lip.angle_deg", "jump[1].landing.drop_m", "jump[1].name", "jump[1].lip.width_m")
    for path in (*unfilled, "run_in.pieces"):
        assert path not in answer.assumed


def test_nothing_given_is_called_assumed():
    given_all = Line(
        rider=Rider(mass=80.0, drag_area=0.5, stroke_energy=150.0, centre_of_mass_height=1.0,
                    centre_of_mass_behind_front=0.6, path="bike", pitch_radius=0.45, landing_height=1.0, brake_use=0.7),
        bike=Bike(kind="hardtail", wheelbase=1.17, brakes="both", rolling_factor=1.0, rotating_mass=2.0,
                  development=2.2, travel=0.1, sag=0.3, suspension_loss=0.0),
        air=Air(altitude=0.0, temperature=288.15, tailwind=0.0, crosswind=0.0),
        run_in=RunIn(start_speed=0.0, strokes=0, rolling_resistance=0.02, grip=0.4, slope_accuracy=0.005),
        jumps=(replace(JUMP, shape="gap", runout=replace(RUNOUT, grip=0.3, rolling_resistance=0.02, reaction=1.0)),),
        skill=Skill(squash=0.4, spring=0.5),
        limits=Limits(equivalent_fall=1.0),
    )
    answer = solve(given_all)
    assert answer.assumed == ()
    assert_sound(answer)


# default by the documents: rider drag area 0.55 at 85 kg with mass^⅔, stroke 2.3 J/kg; child's bike 1.02 m
def test_defaults_that_are_worked_out():
    line = replace(LINE, rider=Rider(mass=40.0), bike=Bike(kind="child 24 inch"), air=Air(altitude=1000.0))
    filled = solve(line).complete
    assert filled.rider.drag_area == pytest.approx(0.55 * (40 / 85) ** (2 / 3))
    assert filled.rider.stroke_energy == pytest.approx(92)
    assert filled.rider.landing_height == filled.rider.centre_of_mass_height == 1.05
    assert filled.bike.wheelbase == 1.02
    assert filled.air.temperature == pytest.approx(281.65)  # ISO 2533:1975


def test_runout_not_measured_is_no_stopping_answer():
    answer = one(runout=Runout())
    assert answer.stop is None and answer.why_no_stop.code == "runout not measured"


def test_unknown_grip_is_no_stopping_answer():
    answer = one(runout=replace(RUNOUT, surface="dry wood"))
    assert answer.stop is None and answer.why_no_stop.code == "no grip known"
    given_grip = one(runout=replace(RUNOUT, surface="dry wood", grip=0.3))
    assert given_grip.stop is not None


def test_a_slope_too_steep_to_stop_on():
    answer = one(runout=Runout(pieces=(Piece(length=30.0, slope=-20 * DEG),), grip=0.2))
    assert answer.stop.stops is False and answer.stop.margin is None and answer.stop.braking is None


def test_a_crest_in_the_runout_is_told():
    # on an arc that turns down by v²/R > g nothing holds the wheels; it begins 4 m beyond the exit
    pieces = (Piece(length=4.0, slope=-3 * DEG), Piece(radius=3.0, to_slope=-12 * DEG), Piece(length=40.0, slope=0.0))
    answer = solve(replace(LINE, jumps=(replace(JUMP, runout=Runout(pieces=pieces)),)))
    assert answer.jumps[0].stop.from_speed ** 2 / 3.0 > 12
    (note,) = (n for n in answer.warnings if n.code == "wheels leave the ground in the runout")
    assert note["along"] == pytest.approx(LANDING.length + LANDING.exit_radius * 21 * DEG + 4.0, abs=1e-6)


def test_stopping_on_the_level_by_hand():
    # touchdown on a level face, level runout, no air: v t + v²/(2 b g), half a wheelbase off the room
    line = replace(LINE, rider=Rider(path="point", drag_area=0.0, brake_use=1.0))
    runout = Runout(pieces=(Piece(length=60.0, slope=0.0),), grip=0.35, rolling_resistance=0.0, reaction=1.0)
    answer = one(line, landing=Landing(gap=4.0, angle=0.0, length=5.0), runout=runout)
    stop, v = answer.stop, answer.stop.from_speed
    assert stop.reaction == pytest.approx(v, rel=1e-9)
    assert stop.braking == pytest.approx(v * v / (2 * 0.35 * 9.80665), rel=1e-9)
    assert stop.available == pytest.approx(65 - answer.landings[2].along_face - 1.17 / 2, abs=1e-9)
    assert stop.margin == pytest.approx(stop.available - stop.total)


def test_missing_metres_are_counted_on_the_last_slope():
    long, short = (
        one(runout=Runout(pieces=(Piece(length=length, slope=0.0),))) for length in (60.0, 10.0)
    )
    assert long.stop.stops and not short.stop.stops
    assert long.stop.margin - short.stop.margin == pytest.approx(50.0, abs=1e-8)
    assert long.stop.total == pytest.approx(short.stop.total, abs=1e-8)


def test_sagging_ground_before_the_lip():
    # a lip that starts on falling ground has its lowest point in the curve: H = R (1 − cosθ)
    before = RunIn(pieces=(Piece(length=20.0, slope=-9 * DEG),))
    answer = solve(replace(LINE, run_in=before, jumps=(replace(JUMP, lip=Lip(angle=28 * DEG, radius=4.6)),))).jumps[0]
    assert answer.heights.lip == pytest.approx(4.6 * (1 - math.cos(28 * DEG)))


@pytest.mark.parametrize("foot", [0.0, 5.0, -9.0])
def test_heights_close(foot):
    line = replace(LINE, run_in=RunIn(pieces=(Piece(length=20.0, slope=foot * DEG),)))
    for landing in (LANDING, replace(LANDING, exit_radius=None)):
        answer = one(line, landing=landing)
        theta = 28 * DEG
        lip_up = 4.6 * (math.cos(foot * DEG) - math.cos(theta)) + 1.2 * math.sin(theta)  # above the foot itself
        down = 0.1 + 4.5 * math.sin(24 * DEG)
        if landing.exit_radius:
            down += 6.0 * (math.cos(6 * DEG) - math.cos(24 * DEG))
        assert answer.heights.runout_start_below_foot == pytest.approx(down - lip_up, abs=1e-9)


def test_lip_height_and_radius_are_the_same_lip():
    by_radius = one()
    by_height = one(lip=Lip(angle=28 * DEG, straight=1.2, height=by_radius.heights.lip))
    assert by_height.window.speeds.min == pytest.approx(by_radius.window.speeds.min, abs=1e-9)
    assert by_height.window.foot.min == pytest.approx(by_radius.window.foot.min, abs=1e-9)


LOW_LIP = Lip(angle=20 * DEG, height=0.35)
DEEP, ROLLS = "the dip is too deep to roll", "the dip can be rolled"


# New Zealand guidelines: a double's dip no deeper than 0.4 m; IMBA flow trails: under 45° and 1 m
@pytest.mark.parametrize(
    ("changes", "yes", "code"),
    [
        ({}, False, DEEP),
        ({"lip": LOW_LIP, "landing": replace(LANDING, drop=0.0)}, True, ROLLS),
        ({"lip": LOW_LIP, "landing": replace(LANDING, drop=-0.1)}, False, DEEP),
        ({"shape": "tabletop", "lip": Lip(angle=30 * DEG, height=0.9)}, True, "a deck to roll on"),
        ({"shape": "tabletop", "lip": Lip(angle=30 * DEG, height=1.1)}, False, "too high to roll"),
        ({"shape": "tabletop", "lip": Lip(angle=46 * DEG, height=0.9)}, False, "too steep to roll"),
        ({"shape": "drop", "lip": Lip(angle=0.0), "landing": replace(LANDING, drop=0.4)}, True, "the drop can be rolled"),
        ({"shape": "drop", "lip": Lip(angle=0.0), "landing": replace(LANDING, drop=0.5)}, False, "the drop is too high to roll"),
    ],
)
def test_rollable(changes, yes, code):
    rollable = one(**changes).rollable
    assert (rollable.yes, rollable.why.code) == (yes, code)


def test_drop_matters_only_where_it_was_assumed():
    assert one().drop_matters is None
    assumed = one(landing=replace(LANDING, drop=None))
    others = [one(landing=replace(LANDING, drop=drop)).window.speeds.min for drop in (-0.2, 0.0, 0.2)]
    expected = max(abs(others[0] - others[1]), abs(others[2] - others[1]))
    assert assumed.drop_matters == pytest.approx(expected, abs=1e-8)


def test_more_than_one_jump():
    two = solve(replace(LINE, jumps=(JUMP, replace(JUMP, shape="tabletop"))))
    assert_sound(two)
    # but for what follows it
    assert replace(two.jumps[0], way_out=None) == solve(LINE).jumps[0] and two.jumps[0].way_out is not None
    assert [jump.name for jump in two.jumps] == ["jump 1", "jump 2"]


def test_foot_exceeds_edge_by_the_climb():
    # energy: no air, no friction
    line = replace(
        LINE,
        rider=Rider(path="point", drag_area=0.0),
        bike=Bike(rotating_mass=0.0),
        run_in=RunIn(rolling_resistance=0.0),
    )
    answer = one(line)
    speeds, foot = answer.window.speeds, answer.window.foot
    for edge, low in ((speeds.min, foot.min), (speeds.aim, foot.aim), (speeds.max, foot.max)):
        assert low**2 - edge**2 == pytest.approx(2 * 9.80665 * answer.heights.lip, rel=1e-10)


def test_mirror_in_crosswind():
    left, right = (solve(replace(LINE, air=Air(crosswind=wind))).jumps[0] for wind in (5.0, -5.0))
    assert left.window == right.window
    drift = left.landings[2].side_drift
    assert drift > 0 and drift == pytest.approx(-right.landings[2].side_drift)


def values(table):
    """A table with any of its inputs given, anywhere in their bounds."""
    chosen = {}
    for name, declaration in inputs.declared(table).items():
        if declaration.kind in ("text", "pieces", "stakes", "flag"):
            continue
        if declaration.choices:
            value = st.sampled_from(declaration.choices)
        elif declaration.kind == "count":
            value = st.integers(int(declaration.low), int(declaration.high))
        else:
            low, high = declaration.bounds
            value = st.floats(low, high)
        chosen[name] = value if declaration.required else st.none() | value
    return st.fixed_dictionaries(chosen)


def build(table, **given):
    """The table, or None where its own rules refuse it."""
    try:
        return table(**{name: value for name, value in given.items() if value is not None})
    except InputError:
        return None


PIECES = st.none() | st.lists(
    st.one_of(
        st.tuples(st.floats(0.05, 40), st.floats(-30, 25)).map(lambda p: Piece(length=p[0], slope=p[1] * DEG)),
        st.tuples(st.floats(2, 40), st.floats(-30, 25)).map(lambda p: Piece(radius=p[0], to_slope=p[1] * DEG)),
    ),
    min_size=1,
    max_size=4,
).map(tuple)


STAKES = st.lists(st.tuples(st.floats(1, 15), st.floats(-0.3, 0.5)), min_size=1, max_size=5).map(
    lambda steps: tuple(
        (sum(length for length, _ in steps[:n]), sum(length * fall for length, fall in steps[:n]))
        for n in range(len(steps) + 1)
    )
)
GROUND = PIECES.map(lambda pieces: {"pieces": pieces}) | STAKES.map(lambda stakes: {"stakes": stakes})


@st.composite
def lines(draw):
    jumps = []
    for _ in range(draw(st.sampled_from([1, 1, 1, 2]))):
        shape = draw(st.sampled_from(["gap", "tabletop", "drop", None]))
        lip = draw(values(Lip))
        if shape == "drop":
            lip = {"angle": lip["angle"]}
        elif lip["radius"] is not None:
            lip["height"] = None
        elif lip["height"] is None:
            lip["radius"] = 5.0
        runout = draw(values(Runout)) | draw(GROUND)
        if runout["grip"] is not None and runout["rolling_resistance"] is not None:
            runout["surface"] = None
        landing = draw(values(Landing))
        if shape == "drop":
            landing["drop"] = draw(st.floats(0.01, 30))
        parts = {"lip": build(Lip, **lip), "landing": build(Landing, **landing), "runout": build(Runout, **runout)}
        assume(all(part is not None for part in parts.values()))
        jumps.append(build(Jump, shape=shape, **parts))
    run_in = draw(values(RunIn)) | draw(GROUND)
    run_in["strokes"] = None if run_in["strokes"] is None else run_in["strokes"] % 6
    if run_in["grip"] is not None and run_in["rolling_resistance"] is not None:
        run_in["surface"] = None
    tables = {"rider": build(Rider, **draw(values(Rider))), "run_in": build(RunIn, **run_in)}
    for name, kind in (("bike", Bike), ("air", Air), ("skill", Skill), ("limits", Limits)):
        tables[name] = build(kind, **draw(values(kind)))
    assume(all(part is not None for part in (*tables.values(), *jumps)))
    return Line(jumps=tuple(jumps), **tables)


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(lines())
def test_any_allowed_line_has_an_answer(line):
    try:
        answer = solve(line)
    except InputError as refusal:
        # only inputs that contradict each other, and the message says which
        assert refusal.key
        return
    assert_sound(answer)


@pytest.mark.parametrize("angle", [1e-300, 1e-16, 1e-9])
def test_a_lip_of_next_to_no_angle_has_an_answer(angle):
    lip = Lip(angle=angle, radius=5.0, straight=1.0)
    assert_sound(solve(Line(jumps=(Jump(lip=lip, landing=Landing(gap=1.0, angle=0.0, length=1.0)),))))


@st.composite
def likely_lines(draw):
    """Lines such as are built, most of them with a window."""

    def any_of(low, high):
        return draw(st.floats(low, high))

    shape = draw(st.sampled_from(["gap", "tabletop", "drop"]))
    if shape == "drop":
        lip = Lip(angle=any_of(-15, 5) * DEG)
        landing = Landing(gap=any_of(1, 4), drop=any_of(0.3, 2), angle=any_of(10, 40) * DEG, length=any_of(2, 10))
    else:
        lip = Lip(angle=any_of(15, 50) * DEG, radius=any_of(2.5, 8), straight=any_of(0, 1.5))
        landing = Landing(gap=any_of(1, 9), drop=any_of(-1, 1.5), angle=any_of(5, 40) * DEG, length=any_of(1.2, 9))
    runout = Runout(pieces=(Piece(length=any_of(2, 30), slope=any_of(-8, 4) * DEG),))
    return Line(
        air=Air(tailwind=draw(st.just(0.0) | st.floats(-8, 8)), crosswind=draw(st.just(0.0) | st.floats(-8, 8))),
        rider=Rider(path=draw(st.sampled_from([None, "bike", "point"]))),
        bike=Bike(kind=draw(st.sampled_from(["hardtail", "dirt jump", "child 24 inch"]))),
        jumps=(Jump(shape=shape, lip=lip, landing=landing, runout=runout),),
        limits=Limits(equivalent_fall=any_of(0.2, 1.5)),
    )


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(likely_lines())
def test_likely_lines(line):
    assert_sound(solve(line))


def test_foot_speeds_of_a_drop_are_those_of_its_edge():
    from jumpcalc.plan.terrain import prepare

    drop = Line(jumps=(Jump(shape="drop", lip=Lip(angle=-0.1), landing=LANDING),))
    assert list(foot_speeds(prepare(drop).jumps[0], (3.0, 7.0), heights=0.0)) == [3.0, 7.0]
