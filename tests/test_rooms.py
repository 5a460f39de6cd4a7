"""The rooms: imports only go down, nothing below `show` touches the world, and public things say what they take."""

import ast
import importlib
import inspect
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "jumpcalc"
FILES = {path.relative_to(ROOT).with_suffix("").as_posix().replace("/", "."): path for path in sorted(ROOT.rglob("*.py"))}
BELOW = {name: path for name, path in FILES.items() if name.split(".")[0] in ("physics", "plan", "units", "errors")}
MAY = {
    "errors": (),
    "units": ("jumpcalc.errors",),
    "physics": ("jumpcalc.errors", "jumpcalc.units", "jumpcalc.physics"),
    "plan": ("jumpcalc.errors", "jumpcalc.units", "jumpcalc.physics", "jumpcalc.plan"),
    "show": ("jumpcalc.errors", "jumpcalc.units", "jumpcalc.physics", "jumpcalc.plan", "jumpcalc.show"),
}
LIBRARIES = {"errors": set(), "units": set(), "physics": {"numpy", "scipy"}, "plan": {"numpy", "scipy"}}
FORBIDDEN_MODULES = {
    "matplotlib", "pandas", "streamlit", "logging", "time", "datetime", "random", "io", "os", "pathlib", "sys", "warnings",
    "subprocess", "socket", "tempfile", "shutil", "secrets", "urllib",
}  # fmt: skip
FORBIDDEN_CALLS = {"print", "open", "input", "exec", "eval", "__import__"}


def tree_of(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def imports(path):
    """Modules imported anywhere in a file, also inside functions."""
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}:{node.lineno}: a relative import"
            if node.module == "jumpcalc":
                yield from ((f"jumpcalc.{alias.name}", node.lineno) for alias in node.names)
            elif node.module in ("jumpcalc.physics", "jumpcalc.plan", "jumpcalc.show"):
                yield from ((f"{node.module}.{alias.name}", node.lineno) for alias in node.names)
            else:
                yield node.module, node.lineno


def test_there_are_rooms():
    assert {name.split(".")[0] for name in FILES} >= {"physics", "plan", "show", "errors", "units"}
    assert len(BELOW) > 15


@pytest.mark.parametrize("name", [name for name in FILES if name.split(".")[0] in MAY])
def test_imports_only_go_down(name):
    room = name.split(".")[0]
    for module, row in imports(FILES[name]):
        top = module.split(".")[0]
        if top == "jumpcalc":
            assert module.startswith(MAY[room]), f"{name}:{row} imports {module}"
        elif room in LIBRARIES:
            assert top in LIBRARIES[room] or top in sys.stdlib_module_names, f"{name}:{row} imports {module}"


@pytest.mark.parametrize("name", BELOW)
def test_nothing_below_show_touches_the_world(name):
    for module, row in imports(BELOW[name]):
        assert module.split(".")[0] not in FORBIDDEN_MODULES, f"{name}:{row} imports {module}"
    for node in ast.walk(tree_of(BELOW[name])):
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            assert called not in FORBIDDEN_CALLS, f"{name}:{node.lineno} calls {called}"
            assert not re.match(r"(np|numpy)\.(random|load|save|savetxt|loadtxt|fromfile|seterr)\b", called), called
        assert not isinstance(node, ast.Global), f"{name}:{node.lineno} has a global"


PUBLIC = [name for name in BELOW if not name.endswith("__init__")]


@pytest.mark.parametrize("name", PUBLIC)
def test_all_lists_names_of_the_module_itself(name):
    module = importlib.import_module(f"jumpcalc.{name}")
    listed = set(module.__all__)
    assert listed and len(module.__all__) == len(listed)
    assert all(hasattr(module, key) for key in listed)
    imported = {n.asname or n.name for s in ast.walk(tree_of(BELOW[name])) if isinstance(s, ast.ImportFrom) for n in s.names}
    assert not listed & imported


def functions():
    for name in PUBLIC:
        module = importlib.import_module(f"jumpcalc.{name}")
        for key in module.__all__:
            value = getattr(module, key)
            if inspect.isfunction(value):
                yield pytest.param(value, id=f"{name}.{key}")


def sections(text):
    """Numpydoc sections of a docstring: head and body."""
    parts = re.split(r"^(\w[\w ]*)\n-{3,}$", inspect.cleandoc(text), flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


@pytest.mark.parametrize("function", list(functions()))
def test_docstrings_say_what_goes_in(function):
    """Every parameter of the signature stands in the Parameters section, in order, and no other."""
    taken, found = list(inspect.signature(function).parameters), sections(inspect.getdoc(function))
    if taken:
        assert "Parameters" in found, "no Parameters section"
        told = []
        for row in found["Parameters"].split("\n"):
            if row and not row[0].isspace():
                told += [part.strip().lstrip("*") for part in row.split(":")[0].split(",")]
        assert told == taken
    if function.__annotations__.get("return") not in (None, "None"):
        assert {"Returns", "Yields"} & found.keys(), "no Returns section"


def test_the_linter_has_nothing_to_say():
    """Its rules stand in pyproject.toml."""
    found = subprocess.run([sys.executable, "-m", "ruff", "check", "--no-cache", "."], cwd=ROOT.parent, capture_output=True, text=True)
    assert found.returncode == 0, found.stdout + found.stderr
