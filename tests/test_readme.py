"""The READMEs say only what is true: tables, example output and list of simplifications are made, not typed."""

import re
from pathlib import Path

import pytest

from jumpcalc import solve
from jumpcalc.plan.inputs.declare import given
from jumpcalc.show.cli import main
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.readme import FILES, inputs_markdown, refreshed, surfaces_markdown
from jumpcalc.show.words.cautions import LEFT_OUT
from jumpcalc.show.words.report import report

ROOT = Path(__file__).parent.parent
README, EXAMPLES = (file.read_text(encoding="utf-8") for file in FILES)


def test_they_are_as_they_would_be_made():
    assert refreshed(README) == README
    assert refreshed(EXAMPLES) == EXAMPLES


def test_tables_are_those_of_the_declarations():
    assert inputs_markdown() in EXAMPLES
    assert surfaces_markdown() in EXAMPLES


def test_every_input_of_a_line_has_its_row():
    line = read_line(ROOT / "examples" / "first_gap.toml")
    missing = [path for path, _, _ in given(line) if f"| `{path.replace('[1]', '')}` |" not in EXAMPLES]
    assert not missing, missing


def test_every_line_beside_it_is_told():
    told = set(re.findall(r"^\| `(\w+\.(?:toml|py))` \|", EXAMPLES, flags=re.MULTILINE))
    assert told == {file.name for file in (ROOT / "examples").iterdir() if file.suffix in (".toml", ".py")}


def test_worked_example_is_what_is_printed():
    assert report(solve(read_line(ROOT / "examples" / "first_gap.toml"))) in README


def test_simplifications_are_listed():
    for text in LEFT_OUT:
        assert f"- {text}" in README


def test_the_first_screen_has_picture_caution_and_the_two_commands():
    first = README.split("\n## ")[0]
    assert len(first.split("\n")) <= 40
    for part in ("![", "a model's, not a permit", "streamlit run app.py", "bash tests/run"):
        assert part in first


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.parent.name)
def test_links_lead_to_files(file):
    links = re.findall(r"\]\((?!http)([^)#]+)", file.read_text(encoding="utf-8"))
    assert [link for link in links if not (file.parent / link).is_file()] == []


def test_the_python_of_the_readme_runs(capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    for code in re.findall(r"```python\n(.*?)```", README, flags=re.DOTALL):
        exec(compile(code, "README.md", "exec"), {})
    foot, edge = map(float, capsys.readouterr().out.split())
    assert 3 < edge < foot < 15


def test_commands_of_the_readme_are_known(capsys):
    for command in re.findall(r"^\| `jumpcalc (\w+)", README, flags=re.MULTILINE):
        assert main([command, "--help"]) == 0
        assert f"usage: jumpcalc {command}" in capsys.readouterr().out


def test_lines_of_an_example_read_as_told():
    """Pieces and stakes as the text writes them."""
    body = '[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 3, angle_deg = 20, length_m = 4 }\n'
    for written in re.findall(r"`((?:pieces|stakes_m) = [^`]+)`", EXAMPLES):
        assert parse_line(f"[run_in]\n{written}\n{body}").run_in
