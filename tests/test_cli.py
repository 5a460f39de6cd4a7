"""The command line: answers, units, exit statuses, one line for what is wrong."""

import contextlib
import json
import os
import re
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from jumpcalc.plan.inputs.dug import RunIn, Runout
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.card import card
from jumpcalc.show.cli import main
from jumpcalc.show.files.examples import examples
from jumpcalc.show.files.linefile import read_line, write_line
from jumpcalc.show.paper import card as sheet
from jumpcalc.show.paper.pages import FORMATS
from jumpcalc.show.words.numbers import Reader

ROOT = Path(__file__).parents[1]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
FIRST = ROOT / "examples" / "first_gap.toml"
LINE = read_line(FIRST)
JUMP = LINE.jumps[0]

# the keys of the JSON answer as the design of it has them
LANDING = set(
    "lip_speed_mps outcome x_m z_m along_face_m flight_s apex_m speed_mps descent_deg into_ground_mps along_ground_mps "
    "equivalent_fall_m side_drift_m".split()
)
TOP = {"title", "model_date", "fingerprint", "cautions", "warnings", "assumed", "air", "jumps", "ride"}
OF_A_JUMP = set(
    "name lip_speed_mps sure_lip_speed_mps point_lip_speed_mps point_foot_speed_mps foot_speed_mps room_percent "
    "max_limited_by heights rollable landings sensitivity stop run_in abort".split()
)
INSIDE = {
    "lip_speed_mps": {"min", "aim", "max"},
    "sure_lip_speed_mps": {"min", "max"},
    "point_lip_speed_mps": {"min", "aim", "max"},
    "point_foot_speed_mps": {"min", "aim", "max"},
    "foot_speed_mps": {"min", "aim", "max"},
    "room_percent": {"slow", "fast"},
    "heights": {"lip_m", "runout_start_below_foot_m"},
    "rollable": {"yes", "why"},
    "sensitivity": {"landing_m_per_mps", "landing_m_per_deg", "landing_m_per_mps_wind", "slow_10_percent",
                    "slow_5_percent", "fast_5_percent", "fast_10_percent"},
    "stop": {"from_speed_mps", "reaction_m", "braking_m", "total_m", "available_m", "margin_m", "stops"},
    "run_in": {"lip_speed_mps", "start_m_for_min", "start_m_for_aim", "start_m_for_max", "strokes_for_aim", "roll_time_s",
               "from_same_mark"},
    "abort": {"last_m_before_foot", "speed_there_mps", "exists"},
}  # fmt: skip
OF_A_RIDE = {"landings", "ended_by", "start_window_m", "tight_jump"}
OUTCOMES = {"short", "rear short", "clean", "front long", "long"}

SHORT_FACE = replace(JUMP, landing=replace(JUMP.landing, length=1.0))
VARIANTS = {
    "no window": replace(LINE, jumps=(SHORT_FACE,)),
    "one of two without a window": replace(LINE, jumps=(JUMP, SHORT_FACE)),
    "no run-in, no runout": replace(LINE, run_in=RunIn(), jumps=(replace(JUMP, runout=Runout()),)),
    "halts on the run-in": replace(LINE, run_in=RunIn(pieces=(replace(LINE.run_in.pieces[0], slope=0.2),), start_speed=1.0)),
    "too many strokes": replace(LINE, run_in=replace(LINE.run_in, strokes=14)),
    "rolled in too fast": replace(LINE, run_in=replace(LINE.run_in, start_speed=14.0)),
    "no grip known": replace(LINE, run_in=replace(LINE.run_in, surface="dry wood")),
}


def strict(text):
    """JSON that holds neither NaN nor Infinity."""
    return json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} in the JSON answer"))


@pytest.fixture(params=[path.stem for path in EXAMPLES] + list(VARIANTS))
def file(request, tmp_path):
    if request.param not in VARIANTS:
        return str(ROOT / "examples" / f"{request.param}.toml")
    path = tmp_path / "line.toml"
    path.write_text(write_line(VARIANTS[request.param]), encoding="utf-8")
    return str(path)


def test_json_has_every_key_of_the_design(file, capsys):
    assert main(["solve", file, "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    data = strict(out)
    assert data.keys() >= TOP and data["air"].keys() == {"density_kgm3"}
    line = read_line(file)
    assert len(data["jumps"]) == len(line.jumps) and data["fingerprint"] == line.fingerprint
    for number, jump in enumerate(data["jumps"]):
        assert jump.keys() >= OF_A_JUMP
        for key, inside in INSIDE.items():
            if jump[key] is not None:
                assert jump[key].keys() >= inside, key
        assert (jump["lip_speed_mps"] is None) == isinstance(jump["no_window"], str)
        assert len(jump["landings"]) == (0 if jump["lip_speed_mps"] is None else 3)
        landings = list(jump["landings"])
        if jump["sensitivity"] is not None:
            landings += [jump["sensitivity"][key] for key in INSIDE["sensitivity"] if key.endswith("percent")]
        for landing in landings:
            assert landing.keys() == LANDING and landing["outcome"] in OUTCOMES
        if number == 0:
            assert (jump["run_in"] is None) == (line.run_in.pieces is None and line.run_in.stakes is None)
            if jump["run_in"] is not None and jump["lip_speed_mps"] is not None:
                assert jump["run_in"]["roll_time_s"].keys() == {"min", "aim", "max"}
                assert len(jump["run_in"]["from_same_mark"]) == 8
        else:
            for key in ("start_m_for_min", "start_m_for_aim", "start_m_for_max", "roll_time_s"):
                assert jump["run_in"][key] is None
            reached = data["ride"]["landings"]
            speed = reached[number]["lip_speed_mps"] if number < len(reached) else None
            assert jump["run_in"]["lip_speed_mps"] == speed
    ride = data["ride"]
    if ride is not None:
        assert ride.keys() >= OF_A_RIDE
        assert all(landing.keys() == LANDING for landing in ride["landings"])
        assert ride["ended_by"] is None or isinstance(ride["ended_by"], str)
        assert (ride["start_window_m"] is None) == (ride["tight_jump"] is None) == isinstance(ride["no_start_window"], str)
        if ride["start_window_m"] is not None:
            assert 0 <= ride["start_window_m"]["shortest"] <= ride["start_window_m"]["longest"]
            assert set(ride["tight_jump"].values()) <= {jump["name"] for jump in data["jumps"]}


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_printed(file, units, capsys):
    assert main(["solve", file, "--units", units]) == 0
    out, err = capsys.readouterr()
    assert err == "" and out.endswith("\n")
    assert read_line(file).fingerprint in out
    assert "Cautions" in out and "not a permit" in out and "Assumed, not measured" in out
    own, other = ("km/h", "mph") if units == "metric" else ("mph", "km/h")
    assert own in out or "no lip speed lands" in out.lower()
    assert not re.search(rf"\d {other}\b|\d (ft|lb)\b" if units == "metric" else rf"\d {other}", out)


def test_units_do_not_change_the_json(capsys):
    main(["solve", str(FIRST), "--json"])
    metric = capsys.readouterr().out
    main(["solve", str(FIRST), "--json", "--units", "imperial"])
    assert capsys.readouterr().out == metric


BROKEN = {
    "no such file": None,
    "empty": "",
    "not TOML": "[rider\n",
    "unknown key": "[rider]\nmas_kg = 80\n[[jump]]\n",
    "strokes that do not fit": write_line(replace(LINE, run_in=replace(LINE.run_in, strokes=99))),
    "lip flatter than its foot": write_line(replace(LINE, jumps=(replace(JUMP, lip=replace(JUMP.lip, angle=-0.2)),))),
    "bad stakes": FIRST.read_text(encoding="utf-8").replace("strokes = 0", "strokes = 0\nstakes_m = [[0, 0]]"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_broken_files_are_one_line_and_status_2(name, tmp_path, capsys):
    path = tmp_path / "line.toml"
    if BROKEN[name] is not None:
        path.write_text(BROKEN[name], encoding="utf-8")
    for extra in ([], ["--json"]):
        assert main(["solve", str(path), *extra]) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.startswith(f"jumpcalc: {path}: ") and err.count("\n") == 1 and "Traceback" not in err


@pytest.mark.parametrize("words", [[], ["solve"], ["jump"], ["solve", str(FIRST), "--units", "leagues"], ["solve", "a", "b\nc"]])
def test_wrong_words_are_one_line_and_status_2(words, capsys):
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and "--help" in err


@pytest.mark.parametrize("words", [["--help"], ["solve", "--help"], ["compare", "--help"], ["card", "--help"]])
def test_help(words, capsys):
    assert main(words) == 0
    assert "line file" in capsys.readouterr().out


def run(*words, **more):
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "ascii"}
    return subprocess.run(
        [sys.executable, *words], capture_output=True, text=True, cwd=ROOT / "tests", env=environment, timeout=120, **more
    )


def test_as_a_module(capsys):
    done = run("-m", "jumpcalc", "solve", str(FIRST))
    assert (done.returncode, done.stderr) == (0, "")
    main(["solve", str(FIRST)])
    assert done.stdout == capsys.readouterr().out
    broken = run("-m", "jumpcalc", "solve", "nowhere.toml")
    assert (broken.returncode, broken.stdout) == (2, "")
    assert broken.stderr == "jumpcalc: nowhere.toml: no such file\n"


@pytest.mark.parametrize(
    "words", [["solve", str(FIRST)], ["solve", str(FIRST), "--json"], ["compare", str(FIRST), "--bike", "hardtail", "--bike", "dirt jump"]]
)  # fmt: skip
def test_neither_figures_nor_the_page_are_loaded_for_it(words):
    code = (
        "import sys; from jumpcalc.show.cli import main; "
        f"assert main({words!r}) == 0; "
        "print(sorted({'matplotlib', 'streamlit', 'pandas'} & set(sys.modules)), file=sys.stderr)"
    )
    done = run("-c", code)
    assert done.stderr.strip() == "[]"


def shell(command):
    """A command with `jumpcalc` in it, as a shell runs it."""
    command = f"jumpcalc() {{ {sys.executable} -m jumpcalc \"$@\"; }}; {command}"
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.run(["bash", "-c", command], capture_output=True, text=True, env=environment, timeout=120)


@pytest.mark.parametrize("command", [f"solve {FIRST}", "--help"])
def test_an_output_that_cannot_be_written_is_one_line_and_status_2(command):
    done = shell(f"jumpcalc {command} > /dev/full")
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "standard output: cannot be written: No space left" in done.stderr
    assert shell(f"jumpcalc {command} > /dev/full 2> /dev/full").returncode == 2


def test_closed_streams_are_no_traceback():
    done = shell(f"jumpcalc solve {FIRST} >&-")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "jumpcalc: standard output: cannot be written: it is closed\n"
    for where in (">&- 2>&-", "2>&-"):
        done = shell(f"jumpcalc solve nowhere.toml {where}")
        assert (done.returncode, done.stdout) == (2, "")


@pytest.mark.parametrize("command", [f"solve {FIRST}", "--help"])
def test_a_reader_that_has_left_is_told_nothing(command):
    done = shell(f"{{ jumpcalc {command}; echo $? >&2; }} | true")
    assert done.stderr in ("2\n", "0\n")  # 0 where all was taken before it left
    assert shell(f"jumpcalc {command} | head -n 1").stderr == ""


NAMES = {
    "": "'': an empty name",
    "examples": "a folder",
    "/dev/zero": "not an ordinary file",
    "of\udcffice.toml": r"'of\udcffice.toml': no such file",  # a name in another encoding, as Python hands it over
    "two\nrows.toml": r"'two\nrows.toml': no such file",
    "x" * 300: "File name too long",
}


@pytest.mark.parametrize("command", ["solve", "compare", "card"])
@pytest.mark.parametrize("name", NAMES)
def test_a_file_that_is_none_is_one_line(name, command, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    rest = {"solve": [], "compare": [str(FIRST)], "card": ["--out", str(tmp_path / "card.pdf")]}
    assert main([command, name, *rest[command]]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and err.startswith("jumpcalc: ") and NAMES[name] in err


def test_a_pipe_or_a_program_is_no_line_file(tmp_path, capsys):
    os.mkfifo(tmp_path / "pipe.toml")
    assert main(["solve", str(tmp_path / "pipe.toml")]) == 2
    assert "not an ordinary file" in capsys.readouterr().err
    (tmp_path / "program").write_bytes(b"\x7fELF\x02\x01\x01\x00\xff\xfe" * 99)
    assert main(["solve", str(tmp_path / "program")]) == 2
    assert "not UTF-8" in capsys.readouterr().err


@pytest.fixture(autouse=True)
def interruptible():
    """Ctrl-C is heard, also where the tests run in the background of a shell that takes it away from them."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def stopping(*_, **__):
    """Ctrl-C in the middle of something."""
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(5)
    pytest.fail("nothing was stopped")


def test_ctrl_c_is_one_line_and_status_130(monkeypatch, capsys):
    monkeypatch.setattr("jumpcalc.plan.solve.solve", stopping)
    assert main(["solve", str(FIRST)]) == 130
    assert capsys.readouterr() == ("", "jumpcalc: stopped\n")
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_ctrl_c_while_a_library_loads_is_the_same(monkeypatch, capsys):
    def loading(*_, **__):
        with contextlib.suppress(KeyboardInterrupt):
            stopping()
        raise ImportError("numpy.core.multiarray failed to import\nand more rows")

    monkeypatch.setattr("jumpcalc.plan.solve.solve", loading)
    assert main(["solve", str(FIRST)]) == 130
    assert capsys.readouterr() == ("", "jumpcalc: stopped\n")


def test_ctrl_c_gives_the_process_its_status():
    """Also where it came inside of what the interpreter takes for a program of its own."""
    code = (
        "import os, signal, jumpcalc.plan.solve as s; from jumpcalc.show.cli import main; "
        "s.solve = lambda line: exec('os.kill(os.getpid(), signal.SIGINT)'); "
        f"raise SystemExit(main(['solve', {str(FIRST)!r}]))"
    )
    done = run("-c", code)
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "jumpcalc: stopped\n")


def test_a_fault_of_our_own_is_one_line_too(monkeypatch, capsys):
    monkeypatch.setattr("jumpcalc.plan.solve.solve", lambda line: 1 / 0)
    assert main(["solve", str(FIRST)]) == 1
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and "a fault of jumpcalc: ZeroDivisionError in test_cli.py" in err


@pytest.mark.parametrize("terminal", [True, False])
def test_what_takes_long_says_so_on_a_terminal(terminal, monkeypatch, capsys):
    monkeypatch.setattr("jumpcalc.show.terminal._PATIENCE", 0.01)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: terminal)
    answered = solve(LINE)
    monkeypatch.setattr("jumpcalc.plan.solve.solve", lambda line: time.sleep(0.2) or answered)
    assert main(["solve", str(FIRST)]) == 0
    assert capsys.readouterr().err == (f"jumpcalc: still working on {FIRST}; Ctrl-C stops it\n" if terminal else "")


def test_what_is_quick_says_nothing(monkeypatch, capsys):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    answered = solve(LINE)
    monkeypatch.setattr("jumpcalc.plan.solve.solve", lambda line: answered)
    assert main(["solve", str(FIRST)]) == 0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("extra", [[], ["--json"]])
def test_a_title_moves_no_cursor(tmp_path, extra, capsys):
    path = tmp_path / "line.toml"
    path.write_text(write_line(replace(LINE, title="a\x1b[2Jb\r\x9bc\x7f")), encoding="utf-8")
    assert main(["solve", str(path), *extra]) == 0
    out, _ = capsys.readouterr()
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f]", out) and "[2Jb" in out
    if extra:
        assert strict(out)["title"] == "a\x1b[2Jb\r\x9bc\x7f"


CARD = b"a card"


@pytest.fixture
def quick(monkeypatch):
    """Cards that cost nothing."""
    examples()  # read before anything is put in the place of reading
    for ending in (".pdf", ".png"):
        monkeypatch.setitem(FORMATS, ending, lambda pages: CARD)
    monkeypatch.setattr("jumpcalc.show.paper.card.pages", lambda card, reader: None)
    monkeypatch.setattr("jumpcalc.plan.studies.card.card", lambda line, example: None)


@pytest.mark.parametrize("suffix, magic", [("pdf", b"%PDF-"), ("PNG", b"\x89PNG")])
def test_a_card_is_written(tmp_path, suffix, magic, capsys):
    """And is byte for byte the one that is made of the same line again."""
    out = tmp_path / f"card.{suffix}"
    assert main(["card", str(FIRST), "--out", str(out), "--units", "imperial"]) == 0
    assert capsys.readouterr() == (f"{out}: the card, made from {FIRST}\n", "")
    made = FORMATS[f".{suffix.lower()}"]
    assert out.read_bytes().startswith(magic)
    assert out.read_bytes() == made(sheet.pages(card(LINE, example=True), Reader.imperial))


@pytest.mark.parametrize(
    "name, why",
    [
        ("card.jpg", "a .pdf, a .png or an .html"),
        ("card", "a .pdf, a .png or an .html"),
        ("nowhere/card.pdf", "no such folder"),
        ("x" * 300 + ".pdf", "too long"),
    ],
)
def test_a_card_that_cannot_be_written_is_one_line(quick, tmp_path, name, why, capsys):
    assert main(["card", str(FIRST), "--out", str(tmp_path / name)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and why in err and name in err
    assert not list(tmp_path.iterdir())


def test_a_card_is_written_over_only_with_force(quick, tmp_path, monkeypatch, capsys):
    out = tmp_path / "card.pdf"
    out.write_bytes(b"mine")
    with monkeypatch.context() as patch:
        patch.setattr("jumpcalc.show.files.linefile.read_line", lambda file: pytest.fail("refused after all the work"))
        assert main(["card", str(FIRST), "--out", str(out)]) == 2
    assert capsys.readouterr().err == f"jumpcalc: {out}: is there already; --force writes over it\n"
    assert out.read_bytes() == b"mine"
    assert main(["card", str(FIRST), "--out", str(out), "--force"]) == 0
    assert out.read_bytes() == CARD and os.listdir(tmp_path) == ["card.pdf"]


@pytest.mark.parametrize("force", [[], ["--force"]])
def test_ctrl_c_leaves_no_part_of_a_card(quick, tmp_path, force, monkeypatch, capsys):
    out = tmp_path / "card.pdf"
    if force:
        out.write_bytes(b"mine")
    monkeypatch.setattr(os, "fsync", stopping)
    assert main(["card", str(FIRST), "--out", str(out), *force]) == 130
    assert capsys.readouterr().err == "jumpcalc: stopped\n"
    assert os.listdir(tmp_path) == (["card.pdf"] if force else [])
    assert not force or out.read_bytes() == b"mine"


def test_linear_algebra_is_told_to_keep_to_one_core_before_numpy_is_there():
    """Asked of a process of its own: by then, numpy must not have been loaded; what the environment says is heeded."""
    ask = "import sys, os, jumpcalc.show.cli; print('numpy' in sys.modules, os.environ['OPENBLAS_NUM_THREADS'])"
    bare = {key: value for key, value in os.environ.items() if not key.endswith("_NUM_THREADS")}
    for env, told in ((bare, "False 1"), ({**bare, "OPENBLAS_NUM_THREADS": "3"}, "False 3")):
        assert subprocess.run([sys.executable, "-c", ask], env=env, capture_output=True, text=True, check=True).stdout.strip() == told
