"""What to change after a landing: nothing that was not ridden forward and landed before it is said.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
v        speed at the foot of the lip                          m/s
E        energy of one pedal stroke per moving mass            m²/s²
=======  ====================================================  =========

Whoever landed there came to the foot with a speed inside a span. A change of start or strokes adds the same v² to all of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.plan.answer import Answer, Window
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.run_in import RunIn, run_in_of
from jumpcalc.plan.inputs.assume import stroke_energy
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.studies.explain import Explanation
from jumpcalc.plan.studies.started import Start, Started, fastest_of
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.units import to_si

__all__ = ["Cure", "cure_of"]

_PRINTED = to_si(0.1, kind="speed", unit="mph")  # m/s, how finely a speed is said
_MARKED = to_si(1, kind="length", unit="ft")  # m, how finely a mark is said at the coarsest
_INSIDE = 1e-6  # m/s, by which an end of a window is kept
_ROLLED = 1e-3  # m/s, stands for a bike that does not leave the edge


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """The smallest changes; positive: faster, further up, more.

    `to_clean` [m/s at the edge] lands clean, 0 where that was clean; `edge` and `foot` [m/s] bring them to the aim, or as
    near to it as whoever was at the far end of the span stays clean, which `to_aim` tells. `moved` [m] is how much further
    up to start, `mark` [m before the foot] where that is, None where it is not known from where they started. `strokes`
    more lie nearest to that, `strokes_fit` says whether it is known that there is room for them. What nothing can be said
    of is None; where nothing can be said at all, `why_none` says why.
    """

    why_none: Note | None = None
    to_clean: float | None = None
    edge: float | None = None
    foot: float | None = None
    to_aim: bool = False
    moved: float | None = None
    mark: float | None = None
    strokes: int | None = None
    strokes_fit: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Landed:
    """A jump, its window, and the v² at the foot [m²/s²] of the span that landed there: slowest, most likely, fastest."""

    one: Prepared
    window: Window
    span: np.ndarray
    more: bool

    def clean(self, gains: np.ndarray) -> np.ndarray:
        """Whether each gain of v² [m²/s²] lands the most likely one clean, and the far end of the span no further than clean."""
        gains = np.atleast_1d(gains)
        feet = np.sqrt(np.maximum(self.span[:, None] + gains, 0.0))
        edge, _ = climb(self.one, feet.ravel(), self.one.up_the_lip)
        edge = np.nan_to_num(edge, nan=_ROLLED)
        landed = land(self.one, edge, apex=False)
        soft = np.nan_to_num(landed.fall_height, nan=np.inf) <= self.one.equivalent_fall + 1e-6
        clean = (landed.is_(Outcome.CLEAN) & soft).reshape(feet.shape)
        edge = edge.reshape(feet.shape)
        if self.more:
            far = clean[2] | (edge[2] <= self.window.speeds.min)
        else:
            far = clean[0] | (edge[0] >= self.window.speeds.max)
        return clean[1] & far


def cure_of(
    answer: Answer, index: int, explained: Explanation, *, start: Start | None = None, begun: Started | None = None
) -> Cure:
    """The smallest changes that land clean, and as near to the aim as may be.

    Parameters
    ----------
    answer : Answer
        What `solve` gave; without run-in and ride, the cure knows nothing of them.
    index : int
        Which jump, from 0.
    explained : Explanation
        One with a landing.
    start : Start, optional
        From where they started, as far as it is known.
    begun : Started, optional
        What that start gives, from `started`.

    Returns
    -------
    Cure
        By speed, by start mark, by strokes.
    """
    start = start or Start()
    jump, prepared = answer.jumps[index], prepare(answer.line)
    run_in = run_in_of(prepared) if index == 0 else None
    if run_in is not None:
        top, made = fastest_of(answer, start.strokes)
        if explained.lip.low > top:
            values = (("fastest", top), ("made", made), ("least", explained.lip.low))
            return Cure(why_none=Note(code=Code.FASTER_THAN_THE_RUN_IN, values=values))
    if begun is not None and not begun.usual:
        return Cure(why_none=Note(code=Code.THE_START_GIVES_ANOTHER_LANDING if begun.why_none is None else Code.NO_SUCH_START))
    speeds, foot = jump.window.speeds, jump.window.foot
    was, was_foot = explained.normal.mid, explained.foot.mid
    if begun is not None:  # of all speeds that may have landed there it is the one they had
        was, was_foot = begun.landing.lip_speed, begun.foot_speed
    span = np.square([min(explained.foot.low, was_foot), was_foot, max(explained.foot.high, was_foot)])
    more = was < speeds.aim
    landed = _Landed(one=prepared.jumps[index], window=jump.window, span=span, more=more)
    wanted = foot.aim**2 - span[1]
    if more:
        gain = min(wanted, (foot.max - _INSIDE) ** 2 - span[2])
    else:
        gain = max(wanted, (foot.min + _INSIDE) ** 2 - span[0])
    target = math.sqrt(max(span[1] + gain, 0.0))
    change = target - was_foot
    printed = math.copysign(max(abs(change) - _PRINTED, 0.0), change)
    tries = np.array([gain, (was_foot + printed) ** 2 - span[1]])
    if (change > 0) != more or abs(change) < _PRINTED or not landed.clean(tries).all():
        return Cure(why_none=Note(code=Code.ANY_CHANGE_MAY_OVERDO_IT))
    edge, _ = climb(landed.one, np.array([target]), landed.one.up_the_lip)
    to_clean = min(max(was, speeds.min), speeds.max) - was
    moved = mark = strokes = None
    fit = False
    if run_in is not None:
        moved, mark, strokes = _on_the_run_in(landed, run_in, start, was, gain)
        fit = strokes is not None
    elif more:
        room = _room_between(answer, index)
        each = 2 * stroke_energy(answer.complete)
        strokes, fit = _fewest(landed, each * np.arange(1, (20 if room is None else room) + 1)), room is not None
    return Cure(
        to_clean=to_clean,
        edge=float(edge[0]) - was,
        foot=change,
        to_aim=bool(abs(gain - wanted) < 1e-9),
        moved=moved,
        mark=mark,
        strokes=strokes,
        strokes_fit=fit,
    )


def _room_between(answer: Answer, index: int) -> int | None:
    """How many strokes fit between the jump before and this one, None where that is not known."""
    known = isinstance(answer, Answer) and index > 0 and answer.ride is not None
    carry = answer.ride.carries[index - 1] if known and index <= len(answer.ride.carries) else None
    return None if carry is None else carry.fit


def _fewest(landed: _Landed, gains: np.ndarray) -> int | None:
    """The fewest strokes whose gain of v² lands clean, counted from 1."""
    if not len(gains):
        return None
    clean = np.nonzero(landed.clean(gains))[0]
    return int(clean[0]) + 1 if len(clean) else None


def _on_the_run_in(
    landed: _Landed, run_in: RunIn, start: Start, lip_speed: float, gain: float
) -> tuple[float | None, float | None, int | None]:
    """Start mark and strokes that bring a gain of v² at the foot: how far to move, the mark where theirs is known, strokes."""
    roller = run_in.roller()
    run_in = replace(run_in, strokes=run_in.strokes if start.strokes is None else start.strokes)
    at = run_in.foot - start.mark if start.mark is not None else float(run_in.starts(np.array([lip_speed]), roller)[0])
    if not math.isfinite(at) or not run_in.fits(at):
        return None, None, None
    now = float(run_in.forward(np.array([at]), roller)[0][0]) ** 2
    if not math.isfinite(now):
        return None, None, None
    return *_mark(landed, run_in, at, now, gain, known=start.mark is not None), _strokes(landed, run_in, at, now)


def _mark(
    landed: _Landed, run_in: RunIn, at: float, now: float, gain: float, *, known: bool
) -> tuple[float | None, float | None]:
    """How much further up to start for a gain of v², and the mark; None where the run-in has no such start."""
    edge, _ = climb(run_in.course, np.array([math.sqrt(max(now + gain, 0.0))]), run_in.roller())
    to = float(run_in.starts(np.nan_to_num(edge, nan=_ROLLED), run_in.roller())[0])
    if not math.isfinite(to) or not run_in.fits(to):
        return None, None
    # said as the lesser change
    said = np.clip([to, to + math.copysign(_MARKED, gain)], 0.0, run_in.foot)
    feet = run_in.forward(said, run_in.roller())[0]
    if not np.isfinite(feet).all() or not landed.clean(np.square(feet) - now).all():
        return None, None
    return at - to, (run_in.foot - to if known else None)


def _strokes(landed: _Landed, run_in: RunIn, at: float, now: float) -> int | None:
    """How many strokes more, negative for fewer, land clean from the same start; no more than fit, no fewer than were made."""
    counts = range(1, run_in.most_strokes(at) - run_in.strokes + 1) if landed.more else range(1, run_in.strokes + 1)
    way = 1 if landed.more else -1
    for count in list(counts)[:20]:
        other = replace(run_in, strokes=run_in.strokes + way * count)
        foot = other.forward(np.array([at]), other.roller())[0][0]
        if np.isfinite(foot) and landed.clean(np.array([foot**2 - now]))[0]:
            return way * count
    return None
