"""How fast to leave a bike jump's lip, how far off one may be, how hard it hits, and whether there is room to stop.

Axes and signs, used everywhere: x forward along the course, z up, y to the rider's left; the origin is
the lip edge of the jump in hand. SI units and radians inside. Slopes are positive uphill. Two things
are spoken of the other way round and kept so: a landing's angle is positive downhill, and `drop` is
how far the knuckle lies below the lip edge. Wind along the course is positive from behind, across it
positive towards the rider's left.

Three rooms; imports only go down: `jumpcalc.physics` (nature), `jumpcalc.plan` (jumps),
`jumpcalc.show` (paper and screens).
"""

from jumpcalc.errors import FileError, InputError, JumpcalcError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.line import Air, Bike, Jump, Landing, Limits, Line, Lip, Piece, Rider, RunIn, Runout, Skill
from jumpcalc.plan.solve import MODEL_DATE, solve

__version__ = "0.1.0"

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
    "solve",
]
