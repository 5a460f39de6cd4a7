"""Where words stand on a drawing: on no line of it, on no other words, and on the sheet.

Words in rows above or under the ground belong to places on it by leaders, upright lines. The row farthest from the ground
can stand anywhere, since every other leader ends before it; its own leader then bounds all rows nearer to the ground.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from jumpcalc.show.paper.svg import Line, Place, Sheet, Words, words_width

__all__ = ["INK", "MARGIN", "ROW", "SMALL", "TEXT", "WIDTH", "Fan", "Flag", "beside", "fan", "free", "placed", "put_fan", "wrapped"]

WIDTH = 344.0  # pt: a phone 360 points wide shows the sheet as it is
TEXT = 13.0  # pt
SMALL = 12.0  # pt
ROW = 16.0  # pt, a row of words
MARGIN = 6.0  # pt
INK = "#2a2520"
_APART = 4.0  # pt, between words and a leader
_TIGHT = 60.0  # pt, less room than this is none
_HALF = 0.5  # of the size, half the height from the tallest letter to the deepest


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """Words that belong to a place on the sheet [pt]."""

    at: Place
    text: str
    color: str = INK
    size: float = SMALL
    bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Fan:
    """Flags with their rows of words, the ones farthest from the ground first; `starts` are the rows' left ends [pt]."""

    flags: tuple[Flag, ...]
    rows: tuple[tuple[str, ...], ...]
    starts: tuple[float, ...]

    @property
    def height(self) -> float:
        """Height of all rows [pt]."""
        return ROW * sum(len(rows) for rows in self.rows)


def placed(
    x: float, y: float, text: str, *, align: float = 0.0, size: float = TEXT, color: str = INK, bold: bool = False,
    paper: str | None = None,
) -> Words:  # fmt: skip
    """Words that begin at `x` (align 0), end there (1) or have their middle there (0.5)."""
    start = x - align * words_width(text, size, bold=bold)
    return Words(at=(start, y), text=text, size=size, color=color, bold=bold, paper=paper)


def beside(x: float, y: float, text: str, *, after: float = MARGIN, **look: object) -> Words:
    """Words moved sideways as far as it takes to stay on the sheet, and right of `after` [pt]."""
    made = placed(x, y, text, **look)
    start = max(MARGIN, min(max(made.at[0], after), WIDTH - MARGIN - made.width))
    return Words(at=(start, y), text=text, size=made.size, color=made.color, bold=made.bold, paper=made.paper)


@lru_cache(maxsize=2000)
def wrapped(text: str, room: float, size: float, *, bold: bool = False) -> tuple[str, ...]:
    """Text in rows no wider than `room` [pt], broken between words; a longer word has a row of its own."""
    rows: list[str] = []
    for word in text.split(" "):
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and words_width(longer, size, bold=bold) <= room:
            rows[-1] = longer
        else:
            rows.append(word)
    return tuple(rows)


def fan(flags: Sequence[Flag], *, left: float = MARGIN, right: float = WIDTH - MARGIN, align: float = 0.0) -> Fan:
    """Rows of words for places on the ground, in the order in which no leader runs through words.

    Parameters
    ----------
    flags : sequence of Flag
        In any order.
    left, right : float
        Ends of the room for words [pt].
    align : float
        0 for words that begin at their leader where there is room, 1 for words that end there.

    Returns
    -------
    Fan
        With as few rows as can be.
    """
    if not flags:
        return Fan(flags=(), rows=(), starts=())
    flags = sorted(flags, key=lambda flag: flag.at[0])
    best: tuple[float, Fan] | None = None
    # the farthest row is that of the leftmost or of the rightmost place, and so on for what remains
    for takes in itertools.product((False, True), repeat=len(flags) - 1):
        first, last, low, high, cost = 0, len(flags) - 1, left, right, 0.0
        order, rows, starts = [], [], []
        for swapped in (*takes, False):
            take_last = (align > 0.5) != swapped
            flag = flags[last if take_last else first]
            made, start, worse = _row(flag, low, high, align)
            cost += worse
            order.append(flag)
            rows.append(made)
            starts.append(start)
            if take_last:
                last, high = last - 1, min(high, flag.at[0] - _APART)
            else:
                first, low = first + 1, max(low, flag.at[0] + _APART)
        if best is None or cost < best[0]:
            best = cost, Fan(flags=tuple(order), rows=tuple(rows), starts=tuple(starts))
    return best[1]


def _row(flag: Flag, low: float, high: float, align: float) -> tuple[tuple[str, ...], float, float]:
    """Rows of one flag between two bounds, where they begin, and how little one likes it."""
    room = max(high - low, _TIGHT)
    rows = wrapped(flag.text, room, flag.size, bold=flag.bold)
    width = max(words_width(row, flag.size, bold=flag.bold) for row in rows)
    x = flag.at[0]
    start = x + _APART if align < 0.5 else x - _APART - width
    start = max(low, min(start, high - width))
    over = max(0.0, start + width - high)
    astride = start < x < start + width
    return rows, start, len(rows) + 0.25 * astride + over


def put_fan(
    sheet: Sheet, made: Fan, *, edge: float, up: bool, lower: float = 0.0, paper: str | None = None
) -> None:
    """Draw leaders and words of a fan.

    Parameters
    ----------
    sheet : Sheet
        Where they are put.
    made : Fan
        The rows.
    edge : float
        The far end of the rows [pt]: their top where they stand above the ground, their bottom under it.
    up : bool
        Whether they stand above the ground.
    lower : float
        How much lower the places lie on this sheet than where the fan was made [pt].
    paper : str, optional
        Colour laid under the words.
    """
    for flag, rows, start in zip(made.flags, made.rows, made.starts, strict=True):
        top = edge if up else edge - ROW * len(rows)
        bottom = top + ROW * len(rows)
        width = max(words_width(row, flag.size, bold=flag.bold) for row in rows)
        (x, y), color = flag.at, flag.color
        astride = start - 1 < x < start + width + 1
        if up:
            end = bottom if astride else bottom - 0.5 * ROW
        else:
            end = top if astride else top + 0.5 * ROW
        sheet.put(3, Line(points=[(x, y + lower), (x, end)], color=color, width=0.8, name="leader"))
        for number, row in enumerate(rows):
            at = start, top + (number + 0.5) * ROW
            if x > start + width:  # words that end at their leader end there in every row
                at = start + width - words_width(row, flag.size, bold=flag.bold), at[1]
            sheet.put(8, Words(at=at, text=row, size=flag.size, color=color, bold=flag.bold, paper=paper))
        edge = bottom if up else top


def free(sheet: Sheet, candidates: Iterable[Sequence[Words]]) -> Sequence[Words]:
    """The first of some rows of words that lie on the sheet and on nothing drawn so far; where there is none, the least bad."""
    found: tuple[int, Sequence[Words]] | None = None
    for rows in candidates:
        met = sum(_met(sheet, words) for words in rows)
        if found is None or met < found[0]:
            found = met, rows
        if met == 0:
            break
    return () if found is None else found[1]


def _met(sheet: Sheet, words: Words) -> int:
    """How many lines and words a row of words would lie on; leaving the sheet is worse than any."""
    left, top, right, bottom = words.box
    met = 0 if left >= 0 and top >= 0 and right <= sheet.width and bottom <= sheet.height else 1000
    for other in sheet.all(Words):
        box = other.box
        met += min(right, box[2]) - max(left, box[0]) > -2 and min(bottom, box[3]) - max(top, box[1]) > 2
    middle, half = 0.5 * (top + bottom), _HALF * words.size
    low, high = middle - half, middle + half
    for line in sheet.all(Line):
        met += any(_runs_into(a, b, left - 1, low, right + 1, high) for a, b in itertools.pairwise(line.points))
    return met


def _runs_into(a: Place, b: Place, left: float, top: float, right: float, bottom: float) -> bool:
    """Whether a straight line from a to b runs through a box (Liang and Barsky's way of clipping)."""
    (x, y), (u, v) = a, b
    if max(x, u) < left or min(x, u) > right or max(y, v) < top or min(y, v) > bottom:
        return False
    begin, end = 0.0, 1.0
    for step, room in ((x - u, x - left), (u - x, right - x), (y - v, y - top), (v - y, bottom - y)):
        if step == 0:
            continue  # beside the box was told above
        share = room / step
        if step < 0:
            begin = max(begin, share)
        else:
            end = min(end, share)
    return begin < end
