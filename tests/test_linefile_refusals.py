"""What a line file is refused for: one line each, with the key path, what was given and what is allowed."""

import os

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jumpcalc.errors import FileError
from jumpcalc.show.files.linefile import LARGEST_BYTES, parse_line, read_line

JUMP = """
[[jump]]
lip = { angle_deg = 28, radius_m = 4.5 }
landing = { gap_m = 4.2, angle_deg = 24, length_m = 4.5 }
"""
DROP = JUMP.replace("[[jump]]", '[[jump]]\nshape = "drop"').replace(", radius_m = 4.5", "")
LIP, LANDING = "jump[1].lip", "jump[1].landing"
BROKEN = {
    "misspelt key": (JUMP.replace("length_m", "lenght_m"), f"{LANDING}.lenght_m", ["unknown key", "'length_m'"]),
    "unknown key": ("[bike]\ncolour = 1" + JUMP, "bike.colour", ["unknown key", "allowed kind, wheelbase_m"]),
    "plural of jump": ("jumps = 1" + JUMP, "jumps", ["did you mean 'jump'"]),
    "two units of one quantity": (
        JUMP.replace("gap_m = 4.2", "gap_m = 4.2, gap_ft = 14"), f"{LANDING}.gap_ft", ["as gap_m", "give one"]),
    "unit of another kind": (
        JUMP.replace("gap_m", "gap_kg"), f"{LANDING}.gap_kg", ["unknown unit 'kg'", "gap_m or gap_cm", "gap_ft"]),
    "no unit": (JUMP.replace("gap_m", "gap"), f"{LANDING}.gap", ["no unit", "gap_m or gap_cm", "gap_ft"]),
    "out of range": (JUMP.replace("gap_m = 4.2", "gap_m = 61"), f"{LANDING}.gap_m", ["61 m", "0.05 to 60 m"]),
    "just out of range": (
        JUMP.replace("gap_m = 4.2", "gap_m = 60.0001"), f"{LANDING}.gap_m", ["60.0001 m", "0.05 to 60 m"]),
    "out of range in feet": (
        JUMP.replace("radius_m = 4.5", "radius_ft = 1000"), f"{LIP}.radius_ft", ["1000 ft", "1.641 to 328 ft"]),
    "out of range in percent": (
        JUMP.replace("angle_deg = 24", "angle_percent = 500"), f"{LANDING}.angle_percent", ["500 %", "173.2 %"]),
    "out of range in fahrenheit": (
        "[air]\ntemperature_f = 500" + JUMP, "air.temperature_f", ["500 °F", "-40 to 131 °F"]),
    "out of range in mph": ("[air]\ntailwind_mph = 90" + JUMP, "air.tailwind_mph", ["90 mph", "-49.7 to 49.7 mph"]),
    "zero": (JUMP.replace("gap_m = 4.2", "gap_m = 0"), f"{LANDING}.gap_m", ["0 m", "0.05 to"]),
    "text for a number": (JUMP.replace("4.2", '"4.2"'), f"{LANDING}.gap_m", ["'4.2' is not a number", "60 m"]),
    "boolean for a number": (JUMP.replace("4.2", "true"), f"{LANDING}.gap_m", ["true is not a number", "60 m"]),
    "date for a number": (JUMP.replace("4.2", "2026-10-03"), f"{LANDING}.gap_m", ["2026-10-03 is not", "60 m"]),
    "list for a number": (JUMP.replace("4.2", "[4.2]"), f"{LANDING}.gap_m", ["a list is not a number", "60 m"]),
    "not a number": (JUMP.replace("4.2", "nan"), f"{LANDING}.gap_m", ["nan", "finite", "60 m"]),
    "infinite": (JUMP.replace("4.2", "-inf"), f"{LANDING}.gap_m", ["-inf", "finite", "60 m"]),
    "huge whole number": (JUMP.replace("4.2", "0x" + "f" * 5000), f"{LANDING}.gap_m", ["more than 60 digits", "60 m"]),
    "number for text": ("title = 3" + JUMP, "title", ["3", "text in quotes"]),
    "unknown word": (
        '[bike]\nkind = "unicycle"' + JUMP, "bike.kind", ["'unicycle'", '"hardtail" or "full suspension"']),
    "overlong word": (f'[bike]\nkind = "{"x" * 999}"' + JUMP, "bike.kind", ["'xxx", "…", '"hardtail"']),
    "control characters": ('[bike]\nkind = "a\\nb\\u0007"' + JUMP, "bike.kind", [r"'a\nb\x07'", '"hardtail"']),
    "control characters in a key": ('"a\\nb" = 1' + JUMP, r"'a\nb'", ["unknown key", "allowed title"]),
    "text for yes or no": (JUMP + 'way_round = "yes"', "jump[1].way_round", ["'yes'", "true or false"]),
    "half a stroke": ("[run_in]\nstrokes = 2.5" + JUMP, "run_in.strokes", ["2.5", "whole number", "0 to 100"]),
    "required key missing": (JUMP.replace("gap_m = 4.2, ", ""), f"{LANDING}.gap_m", ["not given", "60 m"]),
    "keys of the lip in the runout": (
        JUMP.replace("lip =", "runout ="), "jump[1].runout.angle_deg", ["belongs in", "lip"]),
    "lip missing": (
        "[[jump]]\nlanding = { gap_m = 4, angle_deg = 24, length_m = 4 }", "jump[1].lip", ["not given", "angle_deg"]),
    "radius missing": (JUMP.replace(", radius_m = 4.5", ""), f"{LIP}.radius_m", ["not given", "height_m"]),
    "radius and height": (
        JUMP.replace("radius_m = 4.5", "radius_m = 4.5, height_ft = 3"), f"{LIP}.height_ft", ["beside radius"]),
    "radius of a drop, in feet": (
        DROP.replace("28", "0, radius_ft = 9"), f"{LIP}.radius_ft", ["a drop has no lip", "leave it out"]),
    "a drop without its drop": (DROP, f"{LANDING}.drop_m", ["not given", "more than 0 m"]),
    "a drop that goes up": (DROP.replace("gap_m", "drop_m = -0.9, gap_m"), f"{LANDING}.drop_m", ["-0.9 m", "more than 0 m"]),
    "a drop of nothing": (DROP.replace("gap_m", "drop_ft = 0, gap_m"), f"{LANDING}.drop_ft", ["0 m", "more than 0 m"]),
    "no jump": ('title = "a"', "jump", ["one jump or more", "[[jump]]"]),
    "single brackets": (JUMP.replace("[[jump]]", "[jump]"), "jump", ["single table", "[[jump]]"]),
    "number for jumps": ("jump = 3", "jump", ["3", "[[jump]]"]),
    "number among jumps": ("jump = [3]", "jump[1]", ["3", "must be a table"]),
    "double brackets": ("[[rider]]\nmass_kg = 80" + JUMP, "rider", ["a list", "one table", "[rider]"]),
    "number for a table": ("rider = 80" + JUMP, "rider", ["80", "one table", "[rider]"]),
    "table in the wrong place": ("[lip]\nangle_deg = 20" + JUMP, "lip", ["belongs in [[jump]]"]),
    "key in the wrong table": ("[bike]\nmass_kg = 20" + JUMP, "bike.mass_kg", ["belongs in rider"]),
    "pieces not a list": ("[run_in]\npieces = 3" + JUMP, "run_in.pieces", ["3", "list of pieces", "to_slope_deg"]),
    "piece not a table": ("[run_in]\npieces = [3]" + JUMP, "run_in.pieces[1]", ["3", "must be a table of length_m"]),
    "no pieces": ("[run_in]\npieces = []" + JUMP, "run_in.pieces", ["empty list", "leave it out"]),
    "half a piece": ("[run_in]\npieces = [{ length_m = 3 }]" + JUMP, "run_in.pieces[1]", ["has length", "slope"]),
    "arc first": (
        "[run_in]\npieces = [{ radius_m = 3, to_slope_deg = 2 }]" + JUMP, "run_in.pieces[1]",
        ["first piece", "straight"]),
    "piece out of range": (
        JUMP + "runout = { pieces = [{ length_m = 3, slope_deg = 0 }, { length_ft = 9999, slope_deg = 0 }] }",
        "jump[1].runout.pieces[2].length_ft", ["9999 ft", "to 3280 ft"]),
    "surface beside what it would set": (
        '[run_in]\nsurface = "gravel"\nrolling_resistance = 0.03\ngrip = 0.3' + JUMP, "run_in.surface",
        ["beside grip and rolling_resistance"]),
    "second jump": (JUMP + JUMP.replace("gap_m = 4.2", "gap_m = -1"), "jump[2].landing.gap_m", ["-1 m", "60 m"]),
    "empty": ("", "", ["empty", "[[jump]]"]),
    "not TOML": ("[rider\nmass", "", ["not TOML", "line 1"]),
    "decimal comma": ("[rider]\nmass_kg = 80,5" + JUMP, "", ["not TOML", "line 2", "a point, not a comma"]),
    "key twice": ("[rider]\nmass_kg = 80\nmass_kg = 81" + JUMP, "", ["not TOML", "line 3"]),
    "too many digits": (JUMP.replace("4.2", "4" * 5000), "", ["not TOML", "number"]),
    "half a character": (f"title = '{chr(0xD800)}'" + JUMP, "", ["not text"]),
    "nested without end": ("a = " + "[" * 90000, "", ["nested too deeply"]),
    "key without end": ("a" + ".a" * 400000 + " = 1", "", ["more than 1000 dots"]),
}  # fmt: skip


def refusal(text, file="club.toml"):
    with pytest.raises(FileError) as caught:
        parse_line(text, file=file)
    return caught.value


@pytest.mark.parametrize(("text", "key", "words"), BROKEN.values(), ids=BROKEN)
def test_a_broken_file_is_refused_in_one_line(text, key, words):
    error = refusal(text)
    told = str(error)
    assert told.isprintable(), "one line, no control characters"
    assert told.startswith(f"club.toml: {key}: " if key else "club.toml: ")
    assert (error.file, error.key) == ("club.toml", key)
    assert all(word in error.text for word in words), told
    assert len(told) < 300


def test_what_was_given_is_cut_to_sixty_characters():
    told = refusal(f'[bike]\nkind = "{"x" * 999}"' + JUMP).text
    assert len(told.split(";")[0]) == 60
    assert len(refusal("k" * 999 + " = 1" + JUMP).key) == 60


def unreadable(path):
    with pytest.raises(FileError) as caught:
        read_line(path)
    assert str(caught.value).isprintable()
    return str(caught.value)


def test_files_that_cannot_be_read(tmp_path):
    assert unreadable(tmp_path / "none.toml") == f"{tmp_path / 'none.toml'}: no such file"
    assert "a folder" in unreadable(tmp_path)
    assert "no such file" in unreadable(tmp_path / "a\nb.toml")
    assert "cannot be read" in unreadable("a\0b")
    assert unreadable("").startswith("'': an empty name")
    assert unreadable("a\udcff.toml") == r"'a\udcff.toml': no such file"
    path = tmp_path / "line.toml"
    path.write_text("")
    assert "empty" in unreadable(path)
    path.write_bytes(JUMP.encode("utf-16"))
    assert "not UTF-8" in unreadable(path)
    path.write_bytes(b'title = "M\xfcller"' + JUMP.encode())
    assert "not UTF-8 text (byte 11)" in unreadable(path)


def test_a_large_file_is_refused_unread(tmp_path):
    path = tmp_path / "line.toml"
    with path.open("wb") as stream:
        stream.truncate(10**12)  # a hole in the disk: reading it would take all memory
    assert "at most 1 MB" in unreadable(path)
    path.write_text(JUMP + "#" * (LARGEST_BYTES - len(JUMP)))
    assert read_line(path) == parse_line(JUMP)
    path.write_text(JUMP + "#" * (LARGEST_BYTES - len(JUMP) + 1))
    assert "at most 1 MB" in unreadable(path)


def test_a_file_that_tells_no_size_is_read_no_further_than_a_line_file_goes(tmp_path, monkeypatch):
    path = tmp_path / "line.toml"
    path.write_text("#" * (LARGEST_BYTES + 1))
    about = os.stat_result((*path.stat()[:6], 0, *path.stat()[7:]))
    monkeypatch.setattr(type(path), "stat", lambda self: about)
    assert "at most 1 MB" in unreadable(path)


@settings(max_examples=150, deadline=None)
@given(text=st.text(max_size=60) | st.text("[]{}=.,'\"#\n ajump_123", max_size=60))
def test_any_text_is_refused_in_one_line(text):
    assert str(refusal(text)).isprintable()
