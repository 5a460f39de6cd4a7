"""A drawing as SVG text: lines, areas, dots and words on a sheet.

Places on a sheet are in points from its top left corner, y down. A `Frame` is the part of a sheet that
stands for metres or speeds. Words are shown in the width that was planned for them, so that nothing
overlaps whatever font the reader has.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

__all__ = ["DARK", "Area", "Dot", "Frame", "Line", "Place", "Sheet", "Words", "ticks", "words_width"]

_FONTS = "Helvetica, Arial, Liberation Sans, Roboto, sans-serif"
_ROW_HEIGHT = 1.16  # of the size
_CAPITAL = 0.718  # of the size, Helvetica's capitals

# Widths of the characters from space to tilde, in thousandths of the size: the font metrics that PDF's standard
# fonts Helvetica and Helvetica-Bold were published with; Arial and Liberation Sans have the same
_WIDTHS = {
    False: (
        278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
        556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833,
        722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556,
        556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334,
        260, 334, 584,
    ),
    True: (
        278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
        556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833,
        722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611,
        556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389,
        280, 389, 584,
    ),
}  # fmt: skip
DARK = {
    "#fbf8f1": "#26221d", "#e4d8c2": "#4a4034", "#ebdfc2": "#4a4028", "#c9ad98": "#7a6552", "#c98a75": "#96604d",
    "#2a2520": "#f3ecdf", "#6f5b43": "#c7ad8b", "#973d24": "#ffa587", "#566347": "#bccf9f", "#1f3b4d": "#a5d3ee",
    "#5b3a86": "#d3bdf7",
}  # fmt: skip
"""What the colours of the drawings become on a dark screen: paper, earth and bands, then ink, lines and words."""

# the browser asks for the dark ones where the page around the drawing is dark
_IN_THE_DARK = "".join(f'[fill="{a}"]{{fill:{b}}}[stroke="{a}"]{{stroke:{b}}}' for a, b in DARK.items())

_FURTHER = {"°": 400, "²": 333, "½": 834, "–": 556, "−": 584, "×": 584, "…": 1000, "\u00a0": 278}
_OTHER, _WIDE = 611, 1000


@lru_cache(maxsize=2000)
def words_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width that a row of text is given.

    Parameters
    ----------
    text : str
        One row.
    size : float
        Of the type [pt].
    bold : bool
        Whether it is bold.

    Returns
    -------
    float
        Width [pt].

    Examples
    --------
    >>> round(words_width("gap 4.2 m", 10), 2)
    44.47
    """
    known = _WIDTHS[bold]
    total = 0
    for c in text:
        at = ord(c) - 32
        if 0 <= at < len(known):
            total += known[at]
        else:
            total += _FURTHER.get(c) or (_WIDE if unicodedata.east_asian_width(c) in "WF" else _OTHER)
    return total * size / 1000


def ticks(low: float, high: float, most: int) -> list[float]:
    """Round numbers from `low` to `high`, at most `most`, one, two or five times a power of ten apart.

    Parameters
    ----------
    low, high : float
        Range, `low` below `high`.
    most : int
        How many there may be, 2 or more.

    Returns
    -------
    list of float
        In order.

    Examples
    --------
    >>> ticks(0.0, 1.9, 5)
    [0.0, 0.5, 1.0, 1.5]
    """
    for power in range(-6, 7):
        for step in (1, 2, 5):
            # counted in steps, so that 0.3 is shown as 0.3
            size = step * 10.0**power
            first, last = -int(-low / size // 1), int(high / size // 1)
            if last - first < most:
                return [round(n * step * 10.0**power, 6) for n in range(first, last + 1)]
    return []


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The part of a sheet between (`x`, `y`) and (`x` + `width`, `y` + `height`) [pt], and what its sides stand for."""

    left: float
    right: float
    low: float
    high: float
    x: float
    y: float
    width: float
    height: float

    @property
    def scale(self) -> float:
        """Points for each unit across."""
        return self.width / (self.right - self.left)

    def at(self, x: float, z: float) -> tuple[float, float]:
        """Where a place in the frame's units lies on the sheet [pt]."""
        return (
            self.x + (x - self.left) * self.width / (self.right - self.left),
            self.y + (self.high - z) * self.height / (self.high - self.low),
        )

    def place(self, across: float, down: float) -> tuple[float, float]:
        """What lies in the frame's units at shares of its width and of its height from the top."""
        return self.left + across * (self.right - self.left), self.high - down * (self.high - self.low)

    def points(self, x: Sequence[float], z: Sequence[float]) -> tuple[tuple[float, float], ...]:
        """Where a row of places lies on the sheet [pt]."""
        return tuple(self.at(*place) for place in zip(x, z, strict=True))


Place = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line through places; `dash` in multiples of its width, `within` cuts it off at a frame's sides."""

    points: Sequence[Place]
    color: str
    width: float
    dash: Sequence[float] = ()
    round_ends: bool = False
    name: str = ""
    within: Frame | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A filled shape, or a hatched one."""

    points: Sequence[Place]
    fill: str
    hatched: bool = False
    opacity: float = 1.0
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A dot, or a ring where it has no fill."""

    at: Place
    radius: float
    color: str
    ring: float | None = None
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A row of words: its left end and the middle of its height; `paper` is the colour laid under it."""

    at: Place
    text: str
    size: float
    color: str
    bold: bool = False
    paper: str | None = None
    turned: bool = False

    @property
    def width(self) -> float:
        """Width [pt]."""
        return words_width(self.text, self.size, bold=self.bold)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom [pt]."""
        (x, y), half = self.at, 0.5 * _ROW_HEIGHT * self.size
        if self.turned:
            return x - half, y - self.width, x + half, y
        return x, y - half, x + self.width, y + half


Element = Line | Area | Dot | Words


@dataclass(slots=True)
class Sheet:
    """A sheet being drawn on: what lies in a higher layer covers what lies in a lower one."""

    width: float
    height: float
    paper: str
    layers: list[tuple[float, Element]] = field(default_factory=list)

    def put(self, layer: float, *elements: Element) -> None:
        """Draw something."""
        self.layers += [(layer, element) for element in elements]

    def all(self, kind: type[Element]) -> list[Element]:
        """What was drawn of a kind."""
        return [element for _, element in self.layers if isinstance(element, kind)]

    def svg(self) -> str:
        """The sheet as an SVG document, the same text for the same drawing."""
        frames = list(dict.fromkeys(line.within for line in self.all(Line) if line.within is not None))
        made = [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(self.width)} {_n(self.height)}" '
            f'width="{_n(1.5 * self.width)}" height="{_n(1.5 * self.height)}" font-family={quoteattr(_FONTS)}>',
            f"<style>@media (prefers-color-scheme:dark){{{_IN_THE_DARK}}}</style>",
            "<defs>",
            '<pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
            '<path d="M1 0V6" stroke="#c9ad98" stroke-width="1.2"/></pattern>',
            *(
                f'<clipPath id="{_id(f)}"><rect x="{_n(f.x)}" y="{_n(f.y)}" width="{_n(f.width)}" height="{_n(f.height)}"/>'
                "</clipPath>"
                for f in frames
            ),
            "</defs>",
            f'<rect width="{_n(self.width)}" height="{_n(self.height)}" fill="{self.paper}"/>',
        ]
        for _, element in sorted(self.layers, key=lambda pair: pair[0]):
            made.append(_MADE[type(element)](element))
        return "\n".join([*made, "</svg>\n"])


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _through(points: Sequence[Place]) -> str:
    return " ".join(f"{x:.2f},{y:.2f}" for x, y in points)


def _named(name: str) -> str:
    return f" class={quoteattr(_printable(name))}" if name else ""


def _id(frame: Frame) -> str:
    """A name that is the same only for the same frame, also where several drawings stand in one document."""
    return "in-" + "-".join(_n(part) for part in (frame.x, frame.y, frame.width, frame.height))


def _line(line: Line) -> str:
    dash = f' stroke-dasharray="{" ".join(_n(part * line.width) for part in line.dash)}"' if line.dash else ""
    ends = ' stroke-linecap="round"' if line.round_ends else ""
    within = "" if line.within is None else f' clip-path="url(#{_id(line.within)})"'
    return (
        f'<polyline{_named(line.name)} points="{_through(line.points)}" fill="none" stroke="{line.color}" '
        f'stroke-width="{_n(line.width)}" stroke-linejoin="round"{ends}{dash}{within}/>'
    )


def _area(area: Area) -> str:
    fill = "url(#hatch)" if area.hatched else area.fill
    opacity = "" if area.opacity == 1 else f' fill-opacity="{_n(area.opacity)}"'
    return f'<polygon{_named(area.name)} points="{_through(area.points)}" fill="{fill}"{opacity}/>'


def _dot(dot: Dot) -> str:
    (x, y), look = dot.at, f'fill="{dot.color}"'
    if dot.ring is not None:
        look = f'fill="none" stroke="{dot.color}" stroke-width="{_n(dot.ring)}"'
    return f'<circle{_named(dot.name)} cx="{_n(x)}" cy="{_n(y)}" r="{_n(dot.radius)}" {look}/>'


def _words(words: Words) -> str:
    (x, y), made = words.at, ""
    drop = 0.5 * _CAPITAL * words.size
    if words.paper is not None:
        left, top, right, bottom = words.box
        made = (
            f'<rect x="{_n(left - 1.5)}" y="{_n(top)}" width="{_n(right - left + 3)}" height="{_n(bottom - top)}" '
            f'fill="{words.paper}"/>'
        )
    place = f'x="{_n(x)}" y="{_n(y + drop)}"'
    if words.turned:
        place = f'transform="translate({_n(x + drop)} {_n(y)}) rotate(-90)"'
    weight = ' font-weight="bold"' if words.bold else ""
    return (
        f'{made}<text {place} font-size="{_n(words.size)}" fill="{words.color}"{weight} textLength="{_n(words.width)}" '
        f'lengthAdjust="spacingAndGlyphs">{escape(_printable(words.text))}</text>'
    )


def _printable(text: str) -> str:
    """A space for what has no shape, which XML could not hold."""
    return "".join(c if c.isprintable() else " " for c in text)


_MADE = {Line: _line, Area: _area, Dot: _dot, Words: _words}
