"""A drawing's sheet on paper: its lines, areas, dots and words as artists of a figure, in place of the SVG of screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from jumpcalc.show.paper.print_type import printable, wide
from jumpcalc.show.paper.svg import Area, Dot, Line, Sheet, Words

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.transforms import Transform

__all__ = ["put_sheet", "words_size"]

_CAPITAL = 0.73  # of the size, the printed face's capitals
_LAYER = 0.1  # of a figure's order, from layer to layer of a sheet: all under the text of the page


def put_sheet(page: Figure, sheet: Sheet, *, x: float, y: float, scale: float, tall: float) -> None:
    """Draw a sheet on a page.

    Parameters
    ----------
    page : matplotlib.figure.Figure
        Where it is drawn.
    sheet : Sheet
        What was drawn.
    x, y : float
        Its top left corner [pt], y down from the top of the page.
    scale : float
        Points of the page for one of the sheet.
    tall : float
        Height of the page [pt].
    """
    from matplotlib.patches import Rectangle
    from matplotlib.transforms import Affine2D

    place = Affine2D().scale(scale, -scale).translate(x, tall - y).scale(1 / 72) + page.dpi_scale_trans
    before = set(page.get_children())
    for layer, element in sorted(sheet.layers, key=lambda pair: pair[0]):
        _MADE[type(element)](page, element, place, scale, 3 + _LAYER * layer)
    # as on a screen, what lies beyond the sheet is not seen
    edges = Rectangle((0.0, 0.0), sheet.width, sheet.height, transform=place)
    for made in page.get_children():
        if made not in before and made.get_clip_path() is None:
            made.set_clip_path(edges)


def words_size(words: Words, scale: float) -> float:
    """Size of the type [pt] in which words of a sheet are printed: as wide as was planned for them, and no larger than planned."""
    text = printable(words.text)
    return scale * words.size * min(1.0, words.width / max(wide(text, words.size, bold=words.bold), 1e-9))


def _line(page: Figure, line: Line, place: Transform, scale: float, order: float) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Rectangle

    x, y = zip(*line.points, strict=True)
    made = Line2D(x, y, color=line.color, linewidth=scale * line.width, transform=place, zorder=order, solid_joinstyle="round",
                  solid_capstyle="round" if line.round_ends else "butt")  # fmt: skip
    if line.dash:
        made.set_linestyle((0, tuple(line.dash)))
    page.add_artist(made)
    if line.within is not None:
        frame = line.within
        made.set_clip_path(Rectangle((frame.x, frame.y), frame.width, frame.height, transform=place))


def _area(page: Figure, area: Area, place: Transform, scale: float, order: float) -> None:
    from matplotlib.patches import Polygon

    look = {"facecolor": "none", "edgecolor": "#999999", "hatch": "///", "linewidth": 0.0} if area.hatched else {"facecolor": area.fill}
    made = Polygon(area.points, closed=True, alpha=area.opacity, transform=place, zorder=order, **look)
    page.add_artist(made)


def _dot(page: Figure, dot: Dot, place: Transform, scale: float, order: float) -> None:
    from matplotlib.patches import Circle

    look = {"facecolor": dot.color, "edgecolor": "none"}
    if dot.ring is not None:
        look = {"facecolor": "none", "edgecolor": dot.color, "linewidth": scale * dot.ring}
    page.add_artist(Circle(dot.at, dot.radius, transform=place, zorder=order, **look))


def _words(page: Figure, words: Words, place: Transform, scale: float, order: float) -> None:
    from matplotlib.patches import Rectangle

    size = words_size(words, scale)
    if words.paper is not None:
        left, top, right, bottom = words.box
        page.add_artist(Rectangle((left - 1.5, top), right - left + 3, bottom - top, facecolor=words.paper, edgecolor="none",
                                  transform=place, zorder=order))  # fmt: skip
    x, y = words.at
    drop = 0.5 * _CAPITAL * size / scale
    turned = {"rotation": 90} if words.turned else {}
    at = (x + drop, y) if words.turned else (x, y + drop)
    across, up = page.transFigure.inverted().transform(place.transform(at))
    page.text(across, up, printable(words.text), fontsize=size, color=words.color, fontweight="bold" if words.bold else "normal",
              ha="left", va="baseline", zorder=order, parse_math=False, **turned)  # fmt: skip


_MADE = {Line: _line, Area: _area, Dot: _dot, Words: _words}
