"""Between two jumps: how far apart and how much lower the next lip may stand for all of a sure window to land it clean.

Whoever lands the first jump clean whatever they do at its lip, squashed, stiff or sprung, leaves it in its sure window. A ground
carries where every one of them comes to the next foot inside the clean window there. What lies between is taken as one even slope
that runs through a curve into the last two metres before the next lip; those keep their slope, so that the next jump stays the
same. Only the ground of today is ridden as it lies.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from jumpcalc.physics.ground import Arc, Straight, chain
from jumpcalc.plan.answer import Jumps, Speeds
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.inputs.assume import stroke_energy, strokes_that_fit
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.arrive import Arriving, arrivals, even_ground, leaving, lies, over, with_ground
from jumpcalc.plan.terrain import prepare
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Cell", "Falls", "Stretch", "Way", "between", "fitting"]

_ROWS, _COLUMNS = 3, 8  # spacings to each side of today's; falls, at most
_FINE = 0.05  # m, falls that a string level tells apart; limits are told in steps of it
_CLOSER = 6  # of such steps
_FURTHER, _TRIES = 6, 4  # m; how often a fall is bettered
_LONG = 25.0  # m of spacing from which on its steps are twice as large


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One spacing and fall [m], the fall as a share of the level way, and the margins at the next foot [m/s], negative where missed.

    `slow` is −∞ where someone halts on the way; `built` False where such ground cannot be, or its crest would throw the wheels off.
    """

    spacing: float
    fall: float
    share: float
    slow: float
    fast: float
    built: bool = True

    @property
    def carries(self) -> bool:
        """Whether the whole sure window arrives inside the clean one."""
        return self.built and self.slow >= 0 and self.fast >= 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Falls:
    """The least and the most fall that carries at one spacing, in steps of 5 cm from inside; None where there is none."""

    spacing: float
    low: Cell | None
    high: Cell | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way to ride what lies between: with so many strokes from the end of the landing on.

    `today` is the ground as it lies, None where so many strokes do not fit on it; `cells` holds a row for each spacing.
    """

    strokes: int
    today: Cell | None
    cells: tuple[tuple[Cell, ...], ...]
    falls: tuple[Falls, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """What lies between a jump and the next one, on one bike.

    `left` are the speeds at the first foot [m/s] that are carried, those of the sure window, or of the clean one ridden stiffly where
    nothing is `sure`; `wanted` the clean ones at the next foot. `spacings` and `falls` are those of the tables, today's among them.
    `why_none` is ``"no window"`` with the number of the `jump` that has none, or ``"not measured"``.
    """

    index: int
    bike: str
    why_none: str | None = None
    jump: int | None = None
    sure: bool = True
    left: tuple[float, float] | None = None
    wanted: Speeds | None = None
    arriving: Arriving | None = None
    spacings: tuple[float, ...] = ()
    falls: tuple[float, ...] = ()
    ways: tuple[Way, ...] = ()

    @property
    def today(self) -> Cell | None:
        """The ground as it lies, rolled."""
        return self.ways[0].today if self.ways else None


def between(answer: Jumps, index: int, *, strokes: int = 2, steps: tuple[float, float] = (1.0, 0.2)) -> Stretch:
    """Which spacing and fall carry the whole sure window of a jump into the clean one of the next.

    Parameters
    ----------
    answer : Jumps
        What `solve` or `solve_jumps` gave.
    index : int
        The first of the two jumps, from 0.
    strokes : int
        Up to how many pedal strokes from the end of the landing on are tried.
    steps : tuple of float
        Between the spacings and between the falls of the tables [m]; where that would take too many falls, twice or more as much.

    Returns
    -------
    Stretch
        With a way for rolling, and one for each number of strokes.
    """
    bike = answer.complete.bike.kind
    first, second = answer.jumps[index], answer.jumps[index + 1]
    here = prepare(answer.line).jumps[index]
    for number, jump in ((index + 1, first), (index + 2, second)):
        if jump.window.speeds is None:
            return Stretch(index=index, bike=bike, why_none="no window", jump=number)
    if here.terrain.runout_end is None:
        return Stretch(index=index, bike=bike, why_none="not measured")
    return _between(answer.line, index, strokes, steps)


@lru_cache(maxsize=32)
def _between(line: Line, index: int, strokes: int, steps: tuple[float, float]) -> Stretch:
    """The stretch of `between`, both of whose jumps have a window and whose ground is measured."""
    prepared = prepare(line)
    here, following, full = prepared.jumps[index], prepared.jumps[index + 1], prepared.line
    wanted = clean_speeds(following).window.foot
    terrain, counts = here.terrain, tuple(range(strokes + 1))
    spacing, fall, level = lies(here)
    fit = strokes_that_fit(full, terrain.runout_end - terrain.runout_start)
    tried = _tried(line, index, counts, wanted)
    as_it_lies = arrivals(line, index, strokes=counts)
    now = [_cell(spacing, fall, level, one, wanted) for one in as_it_lies]
    step, drop = steps
    step *= 2 if spacing > _LONG else 1
    falls = _columns(lambda f: tried(spacing, f)[0], fall, drop, stroke_energy(full) * strokes / STANDARD_GRAVITY)
    spacings = [spacing + step * n for n in range(-_ROWS, 2 * _ROWS + 1) if spacing + step * n > 0]
    spacings = tuple(s for s in spacings if s == spacing or any(tried(s, f)[0].built for f in falls))[: 2 * _ROWS + 1]
    ways = []
    for made in counts:
        cells = tuple(tuple(tried(s, f)[made] for f in falls) for s in spacings)
        if made <= fit:  # today's cell is today's ground
            row, column = spacings.index(spacing), falls.index(fall)
            kept = list(cells[row])
            kept[column] = now[made]
            cells = (*cells[:row], tuple(kept), *cells[row + 1 :])
        limits = tuple(_limits(lambda f, s=s, made=made: tried(s, f)[made], s, row) for s, row in zip(spacings, cells, strict=True))
        ways.append(Way(strokes=made, today=now[made] if made <= fit else None, cells=cells, falls=limits))
    begun = leaving(here)
    return Stretch(
        index=index, bike=full.bike.kind, sure=begun.sure, left=begun.foot, wanted=wanted, arriving=as_it_lies[0], spacings=spacings,
        falls=falls, ways=tuple(ways),
    )  # fmt: skip


def _cell(spacing: float, fall: float, level: float, arriving: Arriving, wanted: Speeds) -> Cell:
    slow, fast = arriving.margins(wanted)
    return Cell(spacing=spacing, fall=fall, share=fall / level, slow=slow, fast=fast, built=not arriving.lifts)


def _tried(line: Line, index: int, counts: tuple[int, ...], wanted: Speeds) -> Callable[[float, float], tuple[Cell, ...]]:
    """What looks up the cells of a spacing and a fall, one for each number of strokes; each ground is ridden once."""
    prepared = prepare(line)
    here, full = prepared.jumps[index], prepared.line
    stroke, radius = stroke_energy(full), full.jumps[index].landing.exit_radius
    terrain = here.terrain

    @cache
    def tried(spacing: float, fall: float) -> tuple[Cell, ...]:
        pieces = even_ground(line, index, spacing=spacing, fall=fall)
        none = Cell(spacing=spacing, fall=fall, share=fall / spacing, slow=math.nan, fast=math.nan, built=False)
        if pieces is None:
            return (none,) * len(counts)
        laid = [Straight(length=terrain.face, slope=-terrain.fall, name="face")]
        if radius is not None and abs(pieces[0].slope + terrain.fall) > 1e-9:
            laid.append(Arc(radius=radius, to_slope=pieces[0].slope, name="exit"))
        begin = len(laid)
        laid += [
            Straight(length=one.length, slope=one.slope, name="runout") if one.length is not None
            else Arc(radius=one.radius, to_slope=one.to_slope, name="runout")
            for one in pieces
        ]  # fmt: skip
        ground = chain(laid)
        start, end = float(ground.start[begin]), ground.end
        x = ground.point(np.array([terrain.face, end]))[0]
        found = over(here, ground, start, end, stroke, counts)
        room = strokes_that_fit(full, end - start)
        cells = [_cell(spacing, fall, float(x[1] - x[0]), one, wanted) for one in found]
        return tuple(cell if made <= room else none for made, cell in zip(counts, cells, strict=True))

    return tried


def fitting(line: Line, index: int) -> Line | None:
    """The line with an even ground between two jumps that carries all of a sure window, as far apart as they are or a little more.

    Parameters
    ----------
    line : Line
        As measured; both jumps with a window.
    index : int
        The first of the two, from 0.

    Returns
    -------
    Line or None
        With a fall that leaves about as much on the slow side as on the fast one; None where the ground is not
        measured, or none carries that is up to 6 m longer.
    """
    here, following = prepare(line).jumps[index : index + 2]
    wanted, terrain = clean_speeds(following).window.foot, here.terrain
    if terrain.runout_end is None or wanted is None or leaving(here) is None:
        return None
    tried = _tried(line, index, (0,), wanted)
    here_spacing, here_fall, _ = lies(here)
    for longer in range(_FURTHER + 1):
        spacing = here_spacing + longer
        fall = _FINE * round(_evenly(lambda f, s=spacing: tried(s, f)[0], here_fall, 0.2) / _FINE)
        pieces = even_ground(line, index, spacing=spacing, fall=fall) if tried(spacing, fall)[0].carries else None
        if pieces is not None:
            made = with_ground(line, index, (_taped(pieces[0]), *pieces[1:]))
            if min(arrivals(made, index)[0].margins(wanted)) >= 0:
                return made
    return None


def _taped(piece: Piece) -> Piece:
    """A straight in steps of a tape and of a level: 10 cm and a tenth of a degree."""
    return Piece(length=round(piece.length, 1), slope=math.radians(round(math.degrees(piece.slope), 1)))


def _evenly(tried: Callable[[float], Cell], fall: float, step: float) -> float:
    """The fall that leaves as much on one side as on the other, sought from one on; where a ground cannot be built, as far as it can."""
    for _ in range(_TRIES):
        off = [cell.fast - cell.slow if cell.built else math.nan for cell in (tried(fall), tried(fall + step))]
        if not np.isfinite(off).all() or off[1] >= off[0]:
            break
        by = max(-5.0, min(5.0, step * off[0] / (off[0] - off[1])))
        fall += by
        if abs(by) < 0.3 * step:
            break
    return fall


def _columns(tried: Callable[[float], Cell], today: float, step: float, less: float) -> tuple[float, ...]:
    """Falls from today's on in steps, that reach past the one with as much margin on both sides, rolled and `less` for pedalling."""
    best = _evenly(tried, today, step)
    low, high = min(today, best - less), max(today, best)
    while True:
        first, last = math.floor((low - today) / step) - 1, math.ceil((high - today) / step) + 1
        if last - first < _COLUMNS:
            return tuple(today + step * n for n in range(first, last + 1))
        step *= 2


def _limits(tried: Callable[[float], Cell], spacing: float, row: Sequence[Cell]) -> Falls:
    """The least and the most fall of a row that carries, in steps of 5 cm: found between the falls of its table, each one ridden."""
    none = Falls(spacing=spacing, low=None, high=None)
    known = [cell for cell in row if cell.built and math.isfinite(cell.slow)]
    if len(known) < 2:
        return none
    ends = []
    for name, inward in (("slow", 1), ("fast", -1)):

        def good(step: int, name: str = name) -> bool:
            cell = tried(_FINE * step)
            return cell.built and getattr(cell, name) >= 0

        cross = _crossing([cell.fall for cell in known], [getattr(cell, name) for cell in known]) / _FINE
        step = math.ceil(cross - 1e-9) if inward > 0 else math.floor(cross + 1e-9)
        # margins are nearly straight between two falls, so that few steps lead to the last good one
        for _ in range(_CLOSER):
            if good(step):
                break
            step += inward
        for _ in range(_CLOSER):
            if not good(step - inward):
                break
            step -= inward
        ends.append(tried(_FINE * step))
    low, high = ends
    return Falls(spacing=spacing, low=low, high=high) if low.carries and high.carries else none


def _crossing(falls: Sequence[float], margins: Sequence[float]) -> float:
    """The fall [m] at which a margin is 0, on straight lines through what is known and on beyond it."""
    pairs = list(itertools.pairwise(zip(falls, margins, strict=True)))
    end = pairs[0] if abs(margins[0]) < abs(margins[-1]) else pairs[-1]
    (a, u), (b, v) = next((pair for pair in pairs if (pair[0][1] < 0) != (pair[1][1] < 0)), end)
    return a if u == v else a + (b - a) * u / (u - v)
