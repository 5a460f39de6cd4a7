"""Lines at random within the allowed ranges, and whether their answers hold: ``python tests/benchmarks/grid.py 300``.

Half of them such as are built, half anywhere in the ranges: gaps, tables and drops, several jumps, pieces and stakes, wind,
bikes, points. Of each answer is asked: no exception, a refusal in one line, no NaN; that the slowest, the aim and the
fastest clean speed and what lies between land clean when flown, also as printed in either system of units; that the sure
window is clean for all riders and holds the aim; that printed start marks land clean; that what is advised holds when `solve`
tries it (``grid_cures.py``). What fails is cut down to the
fewest rows of the line file that still fail in the same way. ``--seed`` gives other lines.
"""

from __future__ import annotations

import argparse
import collections
import json
import math
import random
import re
import time
import traceback

import numpy as np
from grid_cures import not_confirmed

from jumpcalc.errors import JumpcalcError
from jumpcalc.plan import limits
from jumpcalc.plan.ask.landings import land, land_each
from jumpcalc.plan.ask.leaving import Style
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.ask.window import targets
from jumpcalc.plan.solve import solve
from jumpcalc.plan.terrain import prepare
from jumpcalc.show.files.answer_json import as_json
from jumpcalc.show.files.linefile import parse_line
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.report import report
from jumpcalc.show.words.said import Least, Most

ROUNDED = 2e-9  # m, beyond the tolerance of the search itself
TO_SI = {"km/h": 1 / 3.6, "mph": 0.44704, "m": 1.0, "ft": 0.3048}  # NIST SP 811
SURFACES = ("hardpack", "loose or fresh dirt", "short grass", "wet grass or clay", "gravel", "asphalt", "dry wood")


def number(value: float, digits: int = 2) -> str:
    """As it would be written in a file."""
    return f"{round(value, digits):g}"


class Maker:
    """Line files from a source of chance; `wide` ones lie anywhere in the allowed ranges."""

    def __init__(self, rng: random.Random, *, wide: bool) -> None:
        self.rng, self.wide = rng, wide

    def of(self, likely: tuple[float, float], wide: tuple[float, float] | None = None, digits: int = 2) -> str:
        """A number in a range."""
        return number(self.rng.uniform(*(wide if self.wide and wide else likely)), digits)

    def perhaps(self, share: float) -> bool:
        """Yes in this share of the cases."""
        return self.rng.random() < share

    def rows(self, choices: list[tuple[float, str, str]]) -> list[str]:
        """Each key with its value in a share of the cases."""
        return [f"{key} = {value}" for share, key, value in choices if self.perhaps(share)]

    def ground(self, which: str) -> str:
        """A run-in, the ground between two jumps or a runout, by stakes or by pieces."""
        if self.perhaps(0.3):
            steepest = 0.25 if which == "run-in" else 0.12
            grade, s, fallen, stakes = self.rng.uniform(0.06, steepest), 0.0, 0.0, [(0.0, 0.0)]
            count = self.rng.randint(4, 9) if which == "run-in" else self.rng.randint(3, 5)
            for k in range(count):
                step = self.rng.uniform(2.5, 8)
                s, fallen = s + step, fallen + step * (grade * (1 - 0.9 * (k / count) ** 2) + self.rng.uniform(-0.01, 0.01))
                stakes.append((round(s, 2), round(fallen, 2)))
            return "stakes_m = [ " + ", ".join(f"[{a:g}, {b:g}]" for a, b in stakes) + " ]"
        if which == "run-in":
            length, steep, radius, last = (12, 60), self.of((-18, -4), (-40, 10), 1), (8, 25), self.of((-4, 1), digits=1)
        elif which == "between":
            length, steep, radius, last = (5, 14), self.of((-8, -2), digits=1), (10, 20), self.of((-2, 0), digits=1)
        else:
            length, steep, radius, last = (4, 40), self.of((-6, 2), (-25, 20), 1), (8, 25), self.of((-2, 4), digits=1)
        pieces = [f"{{ length_m = {self.of(length)}, slope_deg = {steep} }}"]
        if steep != last and self.perhaps(0.7):
            pieces.append(f"{{ radius_m = {self.of(radius)}, to_slope_deg = {last} }}")
            pieces.append(f"{{ length_m = {self.of((3, 9) if which != 'runout' else (10, 60))}, slope_deg = {last} }}")
        return "pieces = [ " + ", ".join(pieces) + " ]"

    def surface(self) -> list[str]:
        """What is ridden on."""
        if self.perhaps(0.5):
            return [f'surface = "{self.rng.choice(SURFACES)}"']
        return self.rows([(0.4, "rolling_resistance", self.of((0.005, 0.07), digits=3))])

    def jump(self, *, last: bool) -> list[str]:
        """A jump."""
        shape = self.rng.choice(("gap", "gap", "gap", "tabletop", "tabletop", "drop"))
        rows = ["[[jump]]", f'shape = "{shape}"']
        if shape == "drop":
            rows.append(f"lip = {{ angle_deg = {self.of((-8, 4), (-30, 20), 1)} }}")
            gap, drop, angle = self.of((1, 4), (0.3, 8)), self.of((0.4, 2.2), (0.1, 5)), self.of((12, 34), (-10, 50), 1)
        else:
            lip = f"angle_deg = {self.of((14, 45), (5, 65), 1)}, "
            lip += f"radius_m = {self.of((2.5, 8), (1.5, 20))}" if self.perhaps(0.75) else f"height_m = {self.of((0.5, 1.6), (0.2, 3))}"
            if self.perhaps(0.6):
                lip += f", straight_m = {self.of((0.1, 0.8))}"
            rows.append(f"lip = {{ {lip} }}")
            gap, drop, angle = self.of((1.5, 7), (0.5, 15)), self.of((-0.6, 1.2), (-3, 5)), self.of((12, 36), (-15, 55), 1)
        landing = f"gap_m = {gap}, drop_m = {drop}, angle_deg = {angle}, length_m = {self.of((3, 9), (0.5, 20))}"
        if self.perhaps(0.7):
            landing += f", exit_radius_m = {self.of((4, 14))}"
        rows.append(f"landing = {{ {landing} }}")
        rows += self.rows([(0.3, "side_clear_m", self.of((0, 4))), (0.3, "way_round", self.rng.choice(("true", "false")))])
        if not last or self.perhaps(0.8):
            rows += ["[jump.runout]", *self.surface(), *self.rows([(0.5, "reaction_s", self.of((0.5, 2.5)))])]
            rows.append(self.ground("runout" if last else "between"))
        return rows

    def line(self) -> str:
        """A whole line file."""
        rows = ["[rider]", f"mass_kg = {self.of((35, 115), (20, 250), 1)}"]
        path = "point" if self.perhaps(0.7) else "bike"
        rows += self.rows([
            (0.4, "drag_area_m2", self.of((0.3, 0.8), (0, 2))),
            (0.25, "path", f'"{path}"'),
            (0.2, "centre_of_mass_height_m", self.of((0.9, 1.2), (0.6, 1.5))),
            (0.2, "landing_height_m", self.of((0.8, 1.15))),
            (0.2, "brake_use", self.of((0.4, 1))),
            (0.2, "stroke_energy_j", self.of((80, 350), digits=0)),
        ])  # fmt: skip
        rows += ["[bike]", f'kind = "{self.rng.choice(("hardtail", "full suspension", "dirt jump", "child 24 inch"))}"']
        brakes = self.rng.choice(("both", "rear", "front"))
        rows += self.rows([
            (0.3, "brakes", f'"{brakes}"'),
            (0.2, "rolling_factor", self.of((0.8, 1.5))),
            (0.2, "rotating_mass_kg", self.of((1, 4))),
            (0.2, "suspension_loss_percent", self.of((0, 60), digits=0)),
            (0.2, "travel_mm", self.of((80, 200), digits=0)),
        ])  # fmt: skip
        rows.append("[air]")
        rows += self.rows([
            (0.6, "altitude_m", self.of((0, 2500), digits=0)),
            (0.5, "temperature_c", self.of((-5, 35), digits=0)),
            (0.5, "tailwind_kmh", self.of((-20, 20), (-80, 80), 1)),
            (0.4, "crosswind_kmh", self.of((-15, 15), (-80, 80), 1)),
        ])  # fmt: skip
        if self.perhaps(0.88):
            rows += ["[run_in]", *self.surface()]
            strokes = self.rng.randint(1, 8)
            rows += self.rows([
                (0.15, "start_speed_kmh", self.of((3, 20), digits=1)),
                (0.35, "strokes", str(strokes)),
                (0.15, "strokes_at_m", self.of((8, 25), digits=1)),
                (0.5, "slope_accuracy_deg", self.of((0.1, 1.5), digits=1)),
            ])  # fmt: skip
            rows.append(self.ground("run-in"))
        count = self.rng.choice((1, 1, 1, 1, 1, 2, 2, 3, 4))
        for k in range(count):
            rows += self.jump(last=k == count - 1)
        if self.perhaps(0.3):
            rows += ["[limits]", f"equivalent_fall_m = {self.of((0.3, 1.5), (0.05, 3))}"]
        if self.perhaps(0.3):
            rows += ["[skill]", f"squash_mps = {self.of((0, 1), (0, 3))}", f"spring_mps = {self.of((0, 1), (0, 3))}"]
        return "\n".join(rows) + "\n"


def lines(count: int, seed: int) -> list[str]:
    """That many line files, every second one wide."""
    rng = random.Random(seed)
    return [Maker(rng, wide=k % 2 == 1).line() for k in range(count)]


def printed(value: Least | Most, kind: str, reader: Reader) -> float:
    """What a reader of a printed limit takes it for, in SI."""
    amount, unit = reader.quantity(value, kind).split()
    return float(amount.replace(",", "")) * TO_SI[unit]


def faults(text: str) -> list[str]:
    """What is wrong with the answer to a line file, each fault with its name first; ``refused`` alone where it was refused."""
    found: list[str] = []
    try:
        answer = solve(parse_line(text))
    except JumpcalcError as refusal:
        return ["refused"] if len(str(refusal).splitlines()) == 1 else [f"refusal of several lines: {refusal}"]
    except Exception as broken:
        return [_broken(broken)]
    try:
        told = json.loads(as_json(answer), parse_constant=lambda name: found.append(f"JSON: {name}"))
        words = [report(answer, reader) for reader in Reader]
    except Exception as broken:  # what has an answer is not refused any more
        return [_broken(broken)]
    assert len(told["jumps"]) == len(answer.jumps)
    found += [f"words: {sign}" for told in words for sign in re.findall(r"\b(?:nan|inf|None)\b", told)]
    prepared = prepare(answer.line)
    for one, jump in zip(prepared.jumps, answer.jumps, strict=True):
        if jump.window.speeds is None:
            continue
        own, sure, carried = targets(one)
        found += _not_clean(one, own, jump.window, Style(path=jump.path), one.body.height, "limit" if jump.no_ride is None else "")
        if jump.point.speeds is not None:
            found += [f"point's {fault}" for fault in _not_clean(one, carried, jump.point, Style(path="point"), 0.0, "point")]
        if jump.sure is not None:
            inside = np.linspace(*jump.sure, 9)
            room = sure.room(*land_each(one, [(style, inside) for style in sure.styles]))
            if room.min() < -ROUNDED:
                found.append(f"sure window: {room.min()} m outside at {inside[room.argmin()]}")
            if not jump.sure[0] <= jump.window.speeds.aim <= jump.sure[1]:
                found.append(f"aim outside the sure window: {jump.window.speeds.aim} {jump.sure}")
            if not jump.window.speeds.min <= jump.sure[0] <= jump.sure[1] <= jump.window.speeds.max:
                found.append(f"sure window outside the window: {jump.sure} {jump.window.speeds}")
            if jump.no_ride is None:
                found += _printed(one, sure, jump.sure_foot, sure.styles, one.body.height, "sure")
    try:
        return [*found, *_marks(prepared, answer), *not_confirmed(answer)]
    except Exception as broken:
        return [*found, _broken(broken)]


def _broken(by: Exception) -> str:
    """What broke, and in which function."""
    return f"exception: {type(by).__name__} in {traceback.extract_tb(by.__traceback__)[-1].name}: {by}"


def _not_clean(one, target, window, style, height, name) -> list[str]:
    """Speeds of a window that do not land clean when flown: its ends, its aim, eleven between, and its limits as printed."""
    speeds = window.speeds
    inside = np.array([speeds.min, speeds.aim, speeds.max, *np.linspace(speeds.min, speeds.max, 13)[1:-1]])
    room = target.room(land(one, inside, style=style))
    found = [] if room.min() >= -ROUNDED else [f"window: {room.min()} m outside at {inside[room.argmin()]}"]
    return found + (_printed(one, target, (window.foot.min, window.foot.max), (style,), height, name) if name else [])


def _printed(one, target, feet, styles, height, name) -> list[str]:
    """Limits at the foot that do not land clean as they are printed, where a printed speed lies between them at all."""
    found = []
    for reader in Reader:
        low, high = printed(Least(feet[0]), "speed", reader), printed(Most(feet[1]), "speed", reader)
        if low > high:
            found += [f"nothing between the limits as printed: {low} and {high} m/s"] if name == "limit" else []
            continue
        edge, _ = climb(one, np.array([low, high]), one.roller(one.conditions.lip_rolling, height))
        room = target.room(*land_each(one, [(style, edge) for style in styles]))
        if not room.min() >= -ROUNDED:
            found.append(f"printed {name}: {room} m, {low} and {high} m/s at the foot of {feet}")
    return found


def _marks(prepared, answer) -> list[str]:
    """Start marks that do not land clean as they are printed."""
    run_in, jump = run_in_of(prepared), answer.jumps[0]
    if run_in is None or jump.run_in is None or jump.no_ride is not None:
        return []
    slow, _, fast = jump.run_in.marks
    one, found = prepared.jumps[0], []
    for reader in Reader:
        marks = [printed(Least(slow), "length", reader)] if slow is not None else []
        marks += [printed(Most(fast), "length", reader)] if fast is not None else []
        if len(marks) == 2 and marks[0] > marks[1]:
            continue
        for mark in marks:
            if mark > run_in.foot:
                continue
            _, edge, _, _ = run_in.forward(np.array([run_in.foot - mark]), run_in.roller())
            room = float(targets(one)[0].room(land(one, np.nan_to_num(edge)))[0]) if np.isfinite(edge[0]) else -math.inf
            if not room >= -ROUNDED:
                found.append(f"printed mark: {mark} m of {slow} to {fast}, {edge[0]} m/s, {room} m")
    if jump.run_in.from_top:
        _, edge, _, _ = run_in.forward(np.zeros(1), run_in.roller())
        sure = targets(one)[0 if jump.run_in.missing <= limits.SAME_SPEED.value else 1]
        room = float(sure.room(*land_each(one, [(style, edge) for style in sure.styles]))[0])
        if not room >= -ROUNDED or answer.ride.ended_by is not None:
            found.append(f"start from the top: {edge[0]} m/s, {room} m, {answer.ride.ended_by}")
    return found


def smallest(text: str, fault: str) -> str:
    """The fewest rows of a line file that still have a fault of that name."""
    name, rows = fault.split(":")[0], text.splitlines()
    k = 0
    while k < len(rows):
        fewer = rows[:k] + rows[k + 1 :]
        try:
            still = any(each.split(":")[0] == name for each in faults("\n".join(fewer)))
        except Exception:
            still = False
        rows, k = (fewer, k) if still else (rows, k + 1)
    return "\n".join(rows)


def main() -> None:
    """Look at a number of lines, print what is wrong, the smallest case of each fault once."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=10)
    asked = parser.parse_args()
    counts: collections.Counter[str] = collections.Counter()
    begun = time.perf_counter()
    for place, text in enumerate(lines(asked.count, asked.seed)):
        wrong = faults(text)
        counts["refused" if wrong == ["refused"] else "wrong" if wrong else "right"] += 1
        for fault in wrong if wrong != ["refused"] else []:
            name = fault.split(":")[0]
            counts[name] += 1
            print(f"line {place}: {fault}", flush=True)
            if counts[name] == 1:
                print(smallest(text, fault), "\n", flush=True)
    print(f"{asked.count} lines in {time.perf_counter() - begun:.0f} s:", dict(counts))


if __name__ == "__main__":
    main()
