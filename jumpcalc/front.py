"""The public names, as ``from jumpcalc import solve`` gives them."""

from jumpcalc.errors import FileError, InputError, JumpcalcError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.fly import land
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider, Skill
from jumpcalc.plan.solve import MODEL_DATE, solve
from jumpcalc.plan.vary import vary
from jumpcalc.show.files.linefile import read_line, write_line

__all__ = [
    "MODEL_DATE",
    "Air",
    "Answer",
    "Bike",
    "FileError",
    "InputError",
    "Jump",
    "JumpcalcError",
    "Landing",
    "Limits",
    "Line",
    "Lip",
    "Piece",
    "Rider",
    "RunIn",
    "Runout",
    "Skill",
    "land",
    "read_line",
    "solve",
    "vary",
    "write_line",
]
