"""Which words on a sheet are run through by a line of it, found by walking along every line."""

import itertools
import math

from jumpcalc.show.paper.svg import Line, Words


def crossed(sheet):
    """Pairs of a text and the line that runs through its capitals, in steps of half a point along the line."""
    for text in sheet.all(Words):
        left, top, right, bottom = text.box
        half = 0.36 * text.size
        if text.turned:
            left, right = 0.5 * (left + right) - half, 0.5 * (left + right) + half
        else:
            top, bottom = 0.5 * (top + bottom) - half, 0.5 * (top + bottom) + half
        for line in sheet.all(Line):
            if any(_meets(*ends, line.within, left, top, right, bottom) for ends in itertools.pairwise(line.points)):
                yield text.text, line.name or line.color


def _meets(start, end, frame, left, top, right, bottom):
    (x, y), (u, v) = start, end
    if max(x, u) < left or min(x, u) > right or max(y, v) < top or min(y, v) > bottom:
        return False
    steps = max(2, math.ceil(2 * math.dist(start, end)))
    for number in range(steps + 1):
        a, b = x + (u - x) * number / steps, y + (v - y) * number / steps
        seen = frame is None or (frame.x <= a <= frame.x + frame.width and frame.y <= b <= frame.y + frame.height)
        if seen and left < a < right and top < b < bottom:
            return True
    return False
