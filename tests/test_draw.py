"""Figures by their artists, labels and limits, not by pixels."""

import itertools
import math
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from jumpcalc import solve
from jumpcalc.plan.picture import impact_curve, side_view, stop_view
from jumpcalc.show import draw, words
from jumpcalc.show.linefile import parse_line, read_line

EXAMPLES = sorted((Path(__file__).parent.parent / "examples").glob("*.toml"))

NO_WINDOW = {
    "lip below the knuckle": "lip = { angle_deg = 5, radius_m = 5 }\n"
    "landing = { gap_m = 3, drop_m = -0.6, angle_deg = 20, length_m = 4 }",
    "face shorter than the bike": "lip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 3, angle_deg = 20, length_m = 1 }",
    "hits too hard": "lip = { angle_deg = 60, radius_m = 3 }\nlanding = { gap_m = 8, angle_deg = 0, length_m = 5 }",
}


def lines():
    for path in EXAMPLES:
        yield pytest.param(read_line(path), id=path.stem)
    for name, text in NO_WINDOW.items():
        yield pytest.param(parse_line(f"[[jump]]\n{text}"), id=name)


@pytest.fixture(scope="module", params=lines())
def answer(request):
    return solve(request.param)


def test_the_lines_without_a_window_have_none():
    for text in NO_WINDOW.values():
        assert solve(parse_line(f"[[jump]]\n{text}")).jumps[0].window.speeds is None


def figures(answer, units):
    for index, jump in enumerate(answer.jumps):
        yield draw.side(side_view(answer, index), units)
        yield draw.impact(impact_curve(answer, index), jump, units)
        view = stop_view(answer, index)
        if view is not None:
            yield draw.stopping(view, jump, units)


def texts(figure):
    """Every text that is seen, with its box in pixels."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    figure.draw(renderer)
    found = []
    for axes in figure.axes:
        found += [*axes.texts]
        for axis in (axes.xaxis, axes.yaxis) if axes.axison else ():
            low, high = sorted(axis.get_view_interval())
            ticks = [tick for tick in axis.get_major_ticks() if low <= tick.get_loc() <= high]
            found += [axis.label, *(label for tick in ticks for label in (tick.label1, tick.label2))]
    seen = []
    for text in found:
        box = text.get_window_extent(renderer)
        if text.get_text() and text.get_visible() and box.width:
            seen.append((text.get_text(), box))
    return seen


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_nothing_is_cut_off_and_no_words_overlap(answer, units):
    for figure in figures(answer, units):
        seen = texts(figure)
        for text, box in seen:
            assert box.x0 >= 0 and box.y0 >= 0 and box.x1 <= figure.bbox.x1 and box.y1 <= figure.bbox.y1, text
        for (one, a), (other, b) in itertools.combinations(seen, 2):
            across, up = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
            assert across < 1 or up < 4, (one, other)  # a line of text has room above and below


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_side_view_is_true_to_scale_and_names_every_path(answer, units):
    for index in range(len(answer.jumps)):
        view = side_view(answer, index)
        figure = draw.side(view, units)
        axes = figure.axes[0]
        (x0, x1), (z0, z1) = axes.get_xlim(), axes.get_ylim()
        width, height = figure.get_size_inches()
        assert (x1 - x0) / width == pytest.approx((z1 - z0) / height, rel=1e-9)
        assert width == draw.WIDTH
        said = [text for text, _ in texts(figure)]
        for path in view.paths:
            speed = words.speed(path.landing.lip_speed, units, digits=1)
            assert sum(speed in text for text in said) >= 1
        lines = {line.get_gid(): line for line in axes.lines if line.get_gid()}
        styles = [lines[path.name].get_linestyle() + str(lines[path.name]._dash_pattern) for path in view.paths]
        assert len(set(styles)) == len({path.name for path in view.paths})
        assert any("true scale" in text for text in said)


def test_same_answer_same_bytes_also_in_another_process():
    path = next(path for path in EXAMPLES if path.stem == "first_gap")
    code = (
        "import sys; from jumpcalc import solve; from jumpcalc.show import draw; from jumpcalc.plan.picture import *\n"
        "from jumpcalc.show.linefile import read_line\n"
        "a = solve(read_line(sys.argv[1])); j = a.jumps[0]\n"
        "out = [draw.side(side_view(a, 0)), draw.impact(impact_curve(a, 0), j), draw.stopping(stop_view(a, 0), j)]\n"
        "sys.stdout.buffer.write(''.join(map(draw.svg, out)).encode())"
    )
    there = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, check=True).stdout
    answer = solve(read_line(path))
    here = "".join(draw.svg(figure) for figure in figures(answer, "metric"))
    assert here.encode() == there
    for part in here.split("<?xml")[1:]:
        ElementTree.fromstring(f"<?xml{part}")
    assert "date" not in here.lower()


def test_pyplot_stays_out():
    code = "import sys, jumpcalc.show.draw; sys.exit('matplotlib.pyplot' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_impact_figure_marks_ranges_and_the_wall():
    path = next(path for path in EXAMPLES if path.stem == "first_gap")
    answer = solve(read_line(path))
    figure = draw.impact(impact_curve(answer, 0), answer.jumps[0])
    said = [text for text, _ in texts(figure)]
    for text in ("short", "clean", "long", "hits the near wall:\nno metres can be given", "accepted: 1.0 m"):
        assert text in said
    clean = [line for line in figure.axes[0].lines if line.get_gid() == "clean"]
    window = answer.jumps[0].window.speeds
    x = clean[0].get_xdata()
    assert window.min * 3.6 <= min(x) and max(x) <= window.max * 3.6


def test_foot_axis_stands_over_the_edge_speeds_it_becomes():
    path = next(path for path in EXAMPLES if path.stem == "first_gap")
    answer = solve(read_line(path))
    curve = impact_curve(answer, 0)
    bottom, top = draw.impact(curve, answer.jumps[0]).axes
    assert bottom.get_xlim() == top.get_xlim()
    for tick, label in zip(top.get_xticks(), top.get_xticklabels(), strict=True):
        near = min(range(len(curve.speed)), key=lambda i: abs(curve.speed[i] * 3.6 - tick))
        assert math.isclose(curve.foot[near] * 3.6, float(label.get_text()), abs_tol=0.36)
