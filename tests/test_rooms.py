"""The rooms: imports only go down, nothing below `show` touches the world, and public things say what they take.

Each test looks at every file or function and lists all that offend, so that one run tells everything.
"""

import ast
import importlib
import inspect
import re
import subprocess
import sys
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

ROOT = Path(__file__).parents[1] / "jumpcalc"
FILES = {path.relative_to(ROOT).with_suffix("").as_posix().replace("/", "."): path for path in sorted(ROOT.rglob("*.py"))}
BELOW = [name for name in FILES if name.split(".")[0] in ("physics", "plan", "units", "errors")]
PUBLIC = [name for name in BELOW if not name.endswith("__init__")]
MAY = {
    "errors": (),
    "units": ("jumpcalc.errors",),
    "physics": ("jumpcalc.errors", "jumpcalc.units", "jumpcalc.physics"),
    "plan": ("jumpcalc.errors", "jumpcalc.units", "jumpcalc.physics", "jumpcalc.plan"),
    "show": ("jumpcalc.errors", "jumpcalc.units", "jumpcalc.physics", "jumpcalc.plan", "jumpcalc.show"),
}
LIBRARIES = {"errors": set(), "units": set(), "physics": {"numpy", "scipy"}, "plan": {"numpy", "scipy"}}
FLOORS = [{"inputs"}, {"limits", "notes", "outcome", "answer", "terrain", "vary"}, {"ask"}, {"solve", "fly"}, {"studies", "views"}]
"""The floors of `plan`, from the ground up."""
FORBIDDEN_MODULES = {
    "matplotlib", "pandas", "streamlit", "logging", "time", "datetime", "random", "io", "os", "pathlib", "sys", "warnings",
    "subprocess", "socket", "tempfile", "shutil", "secrets", "urllib",
}  # fmt: skip
FORBIDDEN_CALLS = {"print", "open", "input", "exec", "eval", "__import__"}


@cache
def tree_of(name):
    return ast.parse(FILES[name].read_text(encoding="utf-8"))


def imports(name):
    """Modules imported anywhere in a file, also inside functions, with their rows."""
    for node in ast.walk(tree_of(name)):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            if node.level or node.module is None:
                yield "." * node.level + (node.module or ""), node.lineno
                continue
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                is_module = whole.removeprefix("jumpcalc.") in FILES or node.module == "jumpcalc" or is_package(whole)
                yield (whole if is_module else node.module), node.lineno


def is_package(module):
    return f"{module.removeprefix('jumpcalc.')}.__init__" in FILES


def calls(name):
    return (node for node in ast.walk(tree_of(name)) if isinstance(node, ast.Call))


def test_there_are_rooms():
    assert {name.split(".")[0] for name in FILES} >= {"physics", "plan", "show", "errors", "units"}
    assert len(BELOW) > 15 and len(PUBLIC) > 15 and len(list(functions())) > 40


def test_imports_only_go_down():
    offenders = []
    for name in FILES:
        room = name.split(".")[0]
        for module, row in imports(name) if room in MAY else ():
            top = module.split(".")[0]
            if top == "jumpcalc":
                right = module.startswith(MAY[room])
            else:
                right = room not in LIBRARIES or top in LIBRARIES[room] or top in sys.stdlib_module_names
            if not right:
                offenders.append(f"{name}:{row} imports {module}")
    assert not offenders, "\n".join(offenders)


def test_no_import_is_relative():
    offenders = [f"{name}:{row} imports {module}" for name in FILES for module, row in imports(name) if module.startswith(".")]
    assert not offenders, "\n".join(offenders)


def test_floors_of_plan():
    """A file of `plan` imports from its own floor and those below."""
    floor = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}
    offenders = []
    for name in PUBLIC:
        if not name.startswith("plan."):
            continue
        own = name.split(".")[1]
        if own not in floor:
            offenders.append(f"{name} has no floor")
            continue
        for module, row in imports(name):
            if module.startswith("jumpcalc.plan.") and floor[own] < floor.get(module.split(".")[2], 99):
                offenders.append(f"{name}:{row} imports {module}")
    assert not offenders, "\n".join(offenders)


def test_no_file_needs_itself():
    graph = {f"jumpcalc.{name}": {module for module, _ in imports(name)} - {f"jumpcalc.{name}"} for name in PUBLIC}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        raise AssertionError(" <- ".join(error.args[1])) from None


def test_nothing_below_show_imports_what_touches_the_world():
    offenders = [
        f"{name}:{row} imports {module}" for name in BELOW for module, row in imports(name) if module.split(".")[0] in FORBIDDEN_MODULES
    ]
    assert not offenders, "\n".join(offenders)


def test_nothing_below_show_touches_the_world():
    offenders = []
    for name in BELOW:
        for node in calls(name):
            called = ast.unparse(node.func)
            if called in FORBIDDEN_CALLS or re.match(r"(np|numpy)\.(random|load|save|savetxt|loadtxt|fromfile|seterr)\b", called):
                offenders.append(f"{name}:{node.lineno} calls {called}")
        offenders += [f"{name}:{node.lineno} has a global" for node in ast.walk(tree_of(name)) if isinstance(node, ast.Global)]
    assert not offenders, "\n".join(offenders)


def test_all_lists_names_of_the_module_itself():
    offenders = []
    for name in PUBLIC:
        module = importlib.import_module(f"jumpcalc.{name}")
        listed = getattr(module, "__all__", [])
        imported = {n.asname or n.name for s in ast.walk(tree_of(name)) if isinstance(s, ast.ImportFrom) for n in s.names}
        if not listed:
            offenders.append(f"{name} has no __all__")
        if len(set(listed)) != len(listed):
            offenders.append(f"{name} lists a name twice")
        offenders += [f"{name} lists {key}, which it does not have" for key in listed if not hasattr(module, key)]
        offenders += [f"{name} lists {key}, which it imports" for key in listed if key in imported]
    assert not offenders, "\n".join(offenders)


def functions():
    for name in PUBLIC:
        module = importlib.import_module(f"jumpcalc.{name}")
        for key in module.__all__:
            value = getattr(module, key)
            if inspect.isfunction(value):
                yield f"{name}.{key}", value


def sections(function):
    """Numpydoc sections of a docstring: head and body."""
    parts = re.split(r"^(\w[\w ]*)\n-{3,}$", inspect.getdoc(function) or "", flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def test_docstrings_say_what_goes_in():
    """Every parameter of the signature stands in the Parameters section, in order, and no other."""
    offenders = []
    for name, function in functions():
        taken, told = list(inspect.signature(function).parameters), []
        for row in sections(function).get("Parameters", "").split("\n"):
            if row and not row[0].isspace():
                told += [part.strip().lstrip("*") for part in row.split(":")[0].split(",")]
        if told != taken:
            offenders.append(f"{name} takes {taken}, its docstring tells {told}")
    assert not offenders, "\n".join(offenders)


def test_docstrings_say_what_comes_back():
    offenders = []
    for name, function in functions():
        gives = function.__annotations__.get("return") not in (None, "None")
        if gives and not {"Returns", "Yields"} & sections(function).keys():
            offenders.append(f"{name} has no Returns section")
    assert not offenders, "\n".join(offenders)


def test_the_linter_has_nothing_to_say():
    """Its rules stand in pyproject.toml."""
    found = subprocess.run([sys.executable, "-m", "ruff", "check", "--no-cache", "."], cwd=ROOT.parent, capture_output=True, text=True)
    assert found.returncode == 0, found.stdout + found.stderr
