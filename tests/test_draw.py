"""Drawings by what lies on their sheets: words, lines and places, not pixels."""

import itertools
import math
import re
import subprocess
import sys
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
from crossings import crossed
from hypothesis import given
from hypothesis import strategies as st

from jumpcalc import solve
from jumpcalc.plan.views.hill import hill_view
from jumpcalc.plan.views.hit import impact_curve
from jumpcalc.plan.views.side import side_view
from jumpcalc.plan.views.stop import stop_view
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.paper import side as draw
from jumpcalc.show.paper.hill import hill
from jumpcalc.show.paper.hit import impact
from jumpcalc.show.paper.labels import INK, SMALL, TEXT, WIDTH, Flag, fan, wrapped
from jumpcalc.show.paper.svg import DARK, Dot, Frame, Line, Words, words_width
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import inward

EXAMPLES = sorted((Path(__file__).parent.parent / "examples").glob("*.toml"))

THREE = """
[run_in]
pieces = [ { length_m = 30, slope_deg = -9 } ]
""" + "".join(
    f"""
[[jump]]
name = "{name}"
shape = "tabletop"
lip = {{ angle_deg = 20, radius_m = 5 }}
landing = {{ gap_m = 2, angle_deg = 18, length_m = 4 }}
runout = {{ pieces = [ {{ length_m = 9, slope_deg = -4 }} ] }}
"""
    for name in ("the first of three tables", "second", "W" * 60)
)
NO_WINDOW = {
    "lip below the knuckle": "lip = { angle_deg = 5, radius_m = 5 }\n"
    "landing = { gap_m = 3, drop_m = -0.6, angle_deg = 20, length_m = 4 }",
    "face shorter than the bike": "lip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 3, angle_deg = 20, length_m = 1 }",
    "hits too hard": "lip = { angle_deg = 60, radius_m = 3 }\nlanding = { gap_m = 8, angle_deg = 0, length_m = 5 }",
}


def lines():
    for path in EXAMPLES:
        yield pytest.param(read_line(path), id=path.stem)
    yield pytest.param(parse_line(THREE), id="three in a row")
    for name, text in NO_WINDOW.items():
        yield pytest.param(parse_line(f"[[jump]]\n{text}"), id=name)


@pytest.fixture(scope="module", params=lines())
def answer(request):
    return solve(request.param)


def test_the_lines_without_a_window_have_none():
    for text in NO_WINDOW.values():
        assert solve(parse_line(f"[[jump]]\n{text}")).jumps[0].window.speeds is None


@cache
def views(answer):
    """What the drawings of an answer show: of each jump, and of the hill."""
    jumps = [(jump, side_view(answer, i), impact_curve(answer, i), stop_view(answer, i)) for i, jump in enumerate(answer.jumps)]
    return jumps, None if answer.ride is None else hill_view(answer)


@cache
def sheets(answer, reader):
    """Every drawing of an answer, with its name."""
    jumps, whole = views(answer)
    made = []
    for jump, side, hits, stop in jumps:
        made.append(("side", draw.side(side, reader, stamp="EXAMPLE")))
        made.append(("impact", impact(hits, jump, reader, stamp="EXAMPLE")))
        if stop is not None:
            made.append(("stopping", draw.stopping(stop, jump, reader, stamp="EXAMPLE")))
    if whole is not None:
        made.append(("hill", hill(whole, reader, stamp="EXAMPLE")))
    return made


def named(sheet, name):
    return [line for line in sheet.all(Line) if line.name == name]


@pytest.mark.parametrize("reader", Reader)
def test_nothing_is_cut_off_and_no_words_overlap(answer, reader):
    for name, sheet in sheets(answer, reader):
        seen = sheet.all(Words)
        for text in seen:
            left, top, right, bottom = text.box
            assert left >= 0 and top >= 0 and right <= sheet.width and bottom <= sheet.height, (name, text.text)
        for one, other in itertools.combinations(seen, 2):
            a, b = one.box, other.box
            across, up = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            assert across < 1 or up < 3, (name, one.text, other.text)  # a row has room above and below
        assert any(text.text == "EXAMPLE" for text in seen)


@pytest.mark.parametrize("reader", Reader)
def test_no_words_are_crossed_by_a_line(answer, reader):
    for name, sheet in sheets(answer, reader):
        assert [(name, *pair) for pair in crossed(sheet)] == []


def test_words_are_at_least_twelve_points_where_a_phone_shows_a_point_as_a_pixel(answer):
    """A phone 360 pixels wide leaves 344 for a drawing: `looks` pads by 8 on either side."""
    assert WIDTH <= 344 and min(SMALL, TEXT) >= 12
    for _, sheet in sheets(answer, Reader.metric):
        assert all(text.size >= 12 for text in sheet.all(Words))


places = st.lists(st.floats(20.0, 320.0), min_size=1, max_size=5)


@given(places, st.sampled_from([0.0, 1.0]), st.sampled_from(["aim 30 km/h", "too slow 27.3 km/h, short: into the near wall"]))
def test_no_leader_of_a_fan_runs_through_rows_nearer_to_the_ground(across, align, text):
    made = fan([Flag(at=(x, 0.0), text=text) for x in across], align=align)
    assert sorted(flag.at[0] for flag in made.flags) == sorted(across)
    for number, (rows, start) in enumerate(zip(made.rows, made.starts, strict=True)):
        width = max(words_width(row, SMALL) for row in rows)
        inside = start > 0 and start + width < WIDTH
        farther = [flag.at[0] for flag in made.flags[:number]]
        roomy = all(abs(a - b) > 75 for a, b in itertools.combinations([0.0, *across, WIDTH], 2))
        if roomy:  # closer together there may be no way
            assert inside and not any(start < x < start + width for x in farther)


@given(st.text(alphabet="abc  ", max_size=60), st.floats(10.0, 200.0))
def test_wrapped_text_is_the_same_text(text, room):
    rows = wrapped(text, room, SMALL)
    assert " ".join(rows) == text
    assert all(words_width(row, SMALL) <= room or " " not in row for row in rows)


@pytest.mark.parametrize("reader", Reader)
def test_side_view_is_true_to_scale_and_names_every_path(answer, reader):
    for index in range(len(answer.jumps)):
        view = side_view(answer, index)
        sheet = draw.side(view, reader)
        assert sheet.width == WIDTH
        said = [text.text for text in sheet.all(Words)]
        for path in view.paths:
            speed = reader.speed(inward(path.name, path.landing.lip_speed if path.before is None else path.before))
            assert sum(speed in text for text in said) >= 1
            if path.name == "aim" and view.shape != "drop":  # the drawing says what the first sentence says
                assert path.before == pytest.approx(answer.jumps[index].window.foot.aim, abs=1e-9) and "speeds: just before the lip" in said
            lines = [line for line in named(sheet, path.name) if len(line.points) == len(path.x)]
            scales = []
            for line in lines:
                first, last = line.points[0], line.points[-1]
                across = (last[0] - first[0]) / (path.x[-1] - path.x[0])
                top = min(y for _, y in line.points)
                if first[1] - top == pytest.approx(across * (max(path.z) - path.z[0]), abs=1e-6):
                    scales.append(across)
            assert len(scales) == 1 and scales[0] > 0
            across = scales[0]
        looks = {(line.dash, line.width) for path in view.paths for line in named(sheet, path.name)}
        assert len(looks) == len({path.name for path in view.paths})
        (bar,) = named(sheet, "scale")
        (text,) = [text for text in said if "true scale" in text]
        length = float(text.split()[-2]) * (1.0 if reader is Reader.metric else 0.3048)
        (start, _), (end, _) = bar.points
        if view.paths:
            assert (end - start) / length == pytest.approx(across, rel=1e-9)


@pytest.mark.parametrize("reader", Reader)
def test_every_drawing_is_xml_and_is_as_large_as_its_sheet(answer, reader):
    for _, sheet in sheets(answer, reader):
        root = ElementTree.fromstring(sheet.svg())
        assert root.attrib["viewBox"].split()[:3] == ["0", "0", f"{WIDTH:g}"]
        shown = ["".join(text.itertext()) for text in root.iter("{http://www.w3.org/2000/svg}text")]
        assert shown == [text.text for _, text in sorted(sheet.layers, key=lambda pair: pair[0]) if isinstance(text, Words)]
        assert "nan" not in sheet.svg()


def test_same_answer_same_bytes_also_in_another_process():
    path = next(path for path in EXAMPLES if path.stem == "first_gap")
    code = (
        "import sys; from jumpcalc import solve; from jumpcalc.show.paper import hit, side; from jumpcalc.plan.views.side import *\n"
        "from jumpcalc.plan.views.stop import *\nfrom jumpcalc.plan.views.hit import *\n"
        "from jumpcalc.show.files.linefile import read_line\n"
        "a = solve(read_line(sys.argv[1])); j = a.jumps[0]\n"
        "out = [side.side(side_view(a, 0)), hit.impact(impact_curve(a, 0), j), side.stopping(stop_view(a, 0), j)]\n"
        "sys.stdout.buffer.write(''.join(sheet.svg() for sheet in out).encode())"
    )
    there = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, check=True).stdout
    a = solve(read_line(path))
    here = [draw.side(side_view(a, 0)), impact(impact_curve(a, 0), a.jumps[0]), draw.stopping(stop_view(a, 0), a.jumps[0])]
    assert "".join(sheet.svg() for sheet in here).encode() == there


def test_drawings_need_no_plotting_library():
    code = (
        "import sys, jumpcalc.show.paper.side, jumpcalc.show.paper.hill, jumpcalc.show.paper.hit, jumpcalc.show.paper.strip; "
        "sys.exit('matplotlib' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def first_gap():
    answer = solve(read_line(next(path for path in EXAMPLES if path.stem == "first_gap")))
    return answer, impact_curve(answer, 0)


def speeds_along(sheet, curve):
    """Speed [m/s] that a place on the impact drawing stands for, from its own line of the limit."""
    (limit,) = named(sheet, "limit")
    (left, _), (right, _) = limit.points
    return lambda x: curve.speed[0] + (x - left) * (curve.speed[-1] - curve.speed[0]) / (right - left)


def test_impact_drawing_marks_ranges_and_the_wall():
    answer, curve = first_gap()
    sheet = impact(curve, answer.jumps[0])
    said = [text.text for text in sheet.all(Words)]
    for text in ("short", "clean", "long", "accepted: 1.0 m"):
        assert text in said
    assert "hatched: hits the near wall, no metres can be given" in " ".join(said)
    (clean,) = named(sheet, "clean")
    window, speed = answer.jumps[0].window.speeds, speeds_along(sheet, curve)
    assert window.min <= speed(clean.points[0][0]) and speed(clean.points[-1][0]) <= window.max
    (aim,) = [dot for dot in sheet.all(Dot) if dot.name == "aim"]
    assert speed(aim.at[0]) == pytest.approx(window.aim, abs=1e-9)
    # the aim's dot lies on the line of the hits
    near = min(range(len(clean.points) - 1), key=lambda i: abs(clean.points[i][0] - aim.at[0]))
    assert aim.at[1] == pytest.approx(clean.points[near][1], abs=3)


def test_foot_axis_stands_over_the_edge_speeds_it_becomes():
    answer, curve = first_gap()
    sheet = impact(curve, answer.jumps[0])
    speed = speeds_along(sheet, curve)
    top = [text for text in sheet.all(Words) if text.text.isdigit() and text.at[1] < 40]
    assert len(top) >= 3
    for text in top:
        middle = text.at[0] + 0.5 * text.width
        near = min(range(len(curve.speed)), key=lambda i: abs(curve.speed[i] - speed(middle)))
        assert math.isclose(curve.foot[near] * 3.6, float(text.text), abs_tol=0.36)


def test_a_line_that_leaves_its_frame_is_cut_off_there():
    answer, curve = first_gap()
    sheet = impact(curve, answer.jumps[0])
    for line in (line for line in sheet.all(Line) if line.name in ("short", "clean", "long")):
        assert isinstance(line.within, Frame)
    assert sheet.svg().count("<clipPath") == 1


def luminance(color):
    """Relative luminance: WCAG 2.2, definition of relative luminance."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """WCAG 2.2, contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_every_colour_has_one_for_the_dark(answer):
    view = hill_view(answer)
    sheets = [draw.side(side_view(answer, 0)), impact(impact_curve(answer, 0), answer.jumps[0]), *([hill(view)] if view else [])]
    stop = stop_view(answer, 0)
    sheets += [draw.stopping(stop, answer.jumps[0])] if stop else []
    for sheet in sheets:
        drawn = re.sub(r"<style>.*?</style>", "", sheet.svg())
        assert set(re.findall(r'(?:fill|stroke)="(#\w+)"', drawn)) <= set(DARK)


@pytest.mark.parametrize("shown", [lambda color: color, DARK.__getitem__], ids=["light", "dark"])
def test_words_stand_out_from_paper_and_earth(shown):
    """WCAG 2.2, 1.4.3 and 1.4.11: 4.5 for words, 3 for lines that carry a meaning."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    for color in (INK, *(look["color"] for look in draw.PATHS.values())):
        for ground in (draw.PAPER, draw.EARTH):
            assert contrast(shown(color), shown(ground)) >= 4.5, (color, ground)
    for ground in (draw.PAPER, draw.EARTH):
        assert contrast(shown(draw.SOIL), shown(ground)) >= 3
