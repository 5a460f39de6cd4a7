"""The sheet that drawings are made on: widths of words, round numbers, places, and SVG that stays SVG."""

import re
from pathlib import Path
from xml.etree import ElementTree

import matplotlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jumpcalc.show.paper.svg import Area, Dot, Frame, Line, Sheet, Words, ticks, words_width

FONTS = Path(matplotlib.get_data_path()) / "fonts" / "pdfcorefonts"
NAMES = {"°": "degree", "²": "twosuperior", "½": "onehalf", "–": "endash", "−": "minus", "×": "multiply", "…": "ellipsis"}


@pytest.mark.parametrize("bold, file", [(False, "Helvetica.afm"), (True, "Helvetica-Bold.afm")])
def test_widths_are_those_of_the_published_font_metrics(bold, file):
    """Adobe's Core 14 font metrics, as matplotlib brings them along."""
    rows = re.findall(r"C -?\d+ ; WX (\d+) ; N (\w+) ;", (FONTS / file).read_text(encoding="latin-1"))
    width = {name: int(value) for value, name in rows}
    code = {int(c): int(w) for c, w in re.findall(r"C (\d+) ; WX (\d+) ;", (FONTS / file).read_text(encoding="latin-1"))}
    # these two places hold other signs in the font's own encoding
    code[39], code[96] = width["quotesingle"], width["grave"]
    for at in range(32, 127):
        assert words_width(chr(at), 1000, bold=bold) == code[at], chr(at)
    for sign, name in NAMES.items():
        assert words_width(sign, 1000, bold=bold) == width[name]


@given(low=st.floats(-50, 50), span=st.floats(1e-3, 500), most=st.integers(2, 12))
def test_ticks_are_round_inside_and_not_too_many(low, span, most):
    found = ticks(low, low + span, most)
    assert 0 <= len(found) <= most
    assert all(low - 1e-6 <= value <= low + span + 1e-6 for value in found)
    if len(found) > 1:
        step = f"{found[1] - found[0]:.6e}"
        assert step[0] in "125" and float(step) == pytest.approx(float(f"{step[0]}e{step.split('e')[1]}"), rel=1e-4)
    # the next finer step would be too many
    if len(found) > 2:
        assert (most + 1) * (found[1] - found[0]) >= 0.39 * span


def test_a_frame_puts_its_corners_on_its_corners():
    frame = Frame(left=-2.0, right=8.0, low=-1.0, high=3.0, x=10.0, y=20.0, width=300.0, height=120.0)
    assert frame.at(-2.0, 3.0) == (10.0, 20.0)
    assert frame.at(8.0, -1.0) == (310.0, 140.0)
    assert frame.scale == 30.0
    assert frame.points([0, 1], [0, 0]) == ((70.0, 110.0), (100.0, 110.0))


HOSTILE = "</text><script>alert(1)</script>&amp;\x07\u202e\U0001f6b2"


def a_sheet(text):
    sheet = Sheet(100.0, 50.0, "#fff")
    frame = Frame(left=0, right=1, low=0, high=1, x=5.0, y=5.0, width=90.0, height=40.0)
    sheet.put(2, Words(at=(5, 5), text=text, size=10, color="#000", paper="#eee", bold=True))
    sheet.put(1, Line(points=frame.points([0, 1], [0, 1]), color="#111", width=2, dash=(1, 2), within=frame, name=text))
    sheet.put(3, Area(points=[(0, 0), (1, 0), (1, 1)], fill="#222", hatched=True), Dot(at=(1, 1), radius=2, color="#333", ring=1))
    sheet.put(0, Words(at=(5, 45), text="turned", size=10, color="#000", turned=True))
    return sheet


@pytest.mark.parametrize("text", ["gap 4.2 m", HOSTILE, ""])
def test_whatever_a_name_holds_the_drawing_is_one_document_with_its_text(text):
    root = ElementTree.fromstring(a_sheet(text).svg())
    tags = [element.tag.rpartition("}")[2] for element in root.iter()]
    assert "script" not in tags
    shown = [element.text or "" for element in root.iter() if element.tag.endswith("}text")]
    assert shown == ["turned", "".join(c if c.isprintable() else " " for c in text)]


def test_higher_layers_come_later_and_words_keep_their_width():
    root = ElementTree.fromstring(a_sheet("gap").svg())
    drawn = [e for e in root if e.tag.rpartition("}")[2] in ("text", "polyline", "polygon", "circle")]
    assert [e.tag.rpartition("}")[2] for e in drawn] == ["text", "polyline", "text", "polygon", "circle"]
    assert float(drawn[2].attrib["textLength"]) == pytest.approx(words_width("gap", 10, bold=True), abs=0.01)
    assert drawn[1].attrib["stroke-dasharray"] == "2 4"
    left, top, right, bottom = Words(at=(5, 45), text="turned", size=10, color="#000", turned=True).box
    assert right - left == pytest.approx(11.6) and bottom - top == pytest.approx(words_width("turned", 10))
