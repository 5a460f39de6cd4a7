"""How the answers to bundled examples begin, from the library, so that the browser is asked for the same."""

from jumpcalc import solve
from jumpcalc.show.files.examples import examples
from jumpcalc.show.words.numbers import Reader

_GAP, _DROP = (solve(examples()[name]).jumps[0] for name in ("first_gap", "low_drop"))
MARK = Reader.metric.length(_GAP.run_in.marks[1])
RIDE = f"Ride at {Reader.metric.speed(_GAP.window.foot.aim)} just before the lip"
START = f"By this model: start {MARK} before the foot of the lip, to come to it at {Reader.metric.speed(_GAP.window.foot.aim)}"
DROP = f"Leave the edge at {Reader.metric.speed(_DROP.window.speeds.aim)}"
