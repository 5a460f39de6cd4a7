"""The parts of the two READMEs that are made, not typed: tables, example output, simplifications, picture.

``python -m jumpcalc.show.readme`` writes them between their marks, and the picture beside the example.
"""

from __future__ import annotations

from jumpcalc.plan.inputs.declare import Input, declared, key_of, tables
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.inputs.surfaces import BIKES, NO_SOURCE, SURFACES
from jumpcalc.plan.solve import solve
from jumpcalc.show.files.examples import FIRST, FOLDER
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.words.cautions import LEFT_OUT
from jumpcalc.show.words.report import report

__all__ = ["FILES", "inputs_markdown", "refreshed", "surfaces_markdown"]

_EXAMPLE = FOLDER / f"{FIRST}.toml"
FILES = (FOLDER.parent / "README.md", FOLDER / "README.md")
"""What the program is, and what a line may say."""


def inputs_markdown(kind: type = Line) -> str:
    """The table of every key of a line file, or another: key, default, allowed range, source of the default, meaning."""
    rows = ["| key | default | allowed | source of the default | what it is |", "|---|---|---|---|---|"]
    for path, declaration in _keys(kind, ""):
        rows.append(
            f"| `{path}` | {_default(declaration)} | {_allowed(declaration)} | "
            f"{'' if declaration.required or not _has_default(declaration) else declaration.source} | {declaration.help} |"
        )
    return "\n".join(rows)


def surfaces_markdown() -> str:
    """The tables of surfaces and bikes with their sources."""
    rows = ["| surface | rolling resistance | from | grip | from |", "|---|---|---|---|---|"]
    for name, surface in SURFACES.items():
        grip = "none citable" if surface.grip is None else f"{surface.grip:.2f}"
        rows.append(
            f"| {name} | {surface.rolling_resistance:.3f} | {surface.rolling_source} | {grip} | {surface.grip_source} |"
        )
    rows += ["", NO_SOURCE, "", "| bike | wheelbase | brakes | rotating mass | from |", "|---|---|---|---|---|"]
    for name, bike in BIKES.items():
        rows.append(f"| {name} | {bike.wheelbase:.2f} m | {bike.brakes} | {bike.rotating_mass:g} kg | {bike.source} |")
    return "\n".join(rows)


def _keys(kind: type, prefix: str) -> list[tuple[str, Input]]:
    found = []
    for name, declaration in declared(kind).items():
        path = prefix + key_of(name, declaration)
        found.append((path, declaration))
        if declaration.kind == "pieces":
            found += [(f"{path}[].{key_of(n, d)}", d) for n, d in declared(Piece).items()]
    for name, (inner, many) in tables(kind).items():
        found += _keys(inner, f"{prefix}{name.removesuffix('s') if many else name}.")
    return found


def _has_default(declaration: Input) -> bool:
    return declaration.default is not None or bool(declaration.default_words)


def _default(declaration: Input) -> str:
    if declaration.required:
        return "**required**"
    if declaration.default_words:
        return declaration.default_words
    if declaration.default is None:
        return "none"
    return f'"{declaration.default}"' if isinstance(declaration.default, str) else f"{declaration.default:g}"


def _allowed(declaration: Input) -> str:
    if declaration.kind == "text":
        return "text"
    if declaration.kind == "flag":
        return "true or false"
    if declaration.kind == "pieces":
        return "a list of pieces"
    return declaration.allowed()


def refreshed(text: str) -> str:
    """A README's text with those of the made parts that it has made anew between their marks."""
    parts = {
        "example": f"```\n{report(solve(read_line(_EXAMPLE)))}```",
        "inputs: made from the declarations": inputs_markdown(),
        "site: made from the declarations": inputs_markdown(Site),
        "surfaces: made from the declarations": surfaces_markdown(),
        "left out": "\n".join(f"- {text}" for text in LEFT_OUT),
    }
    for name, part in parts.items():
        begin, end = f"<!-- {name} -->", f"<!-- end of {name.partition(':')[0]} -->"
        before, found, rest = text.partition(begin)
        _, _, after = rest.partition(end)
        text = f"{before}{begin}\n{part}\n{end}{after}" if found else text
    return text


def picture() -> str:
    """The README's picture: the side view of the worked example, as SVG."""
    from jumpcalc.plan.views.side import side_view
    from jumpcalc.show.paper import side as draw
    from jumpcalc.show.words.numbers import Reader

    return draw.side(side_view(solve(read_line(_EXAMPLE)), 0), Reader.metric).svg()


if __name__ == "__main__":
    for file in FILES:
        file.write_text(refreshed(file.read_text(encoding="utf-8")), encoding="utf-8")
    _EXAMPLE.with_suffix(".svg").write_text(picture(), encoding="utf-8")
