"""Every name under which the page keeps something, each declared once: in the session, in the address, on a widget.

No other file of the page touches the session's state or the address by a word of its own; a test holds that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType
from typing import Any

import streamlit as st

__all__ = ["Family", "Kept", "Lives", "Parameter", "Place", "declared"]


class Lives(Enum):
    """How long something is kept."""

    SHOWN = "while its widget stands on the page"
    SESSION = "until the page is loaded anew"
    LINK = "over a reload and in a link, too"


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """A word of the page's address."""

    name: str
    means: str

    @property
    def value(self) -> str | None:
        """What the address says, None where it says nothing."""
        return st.query_params.get(self.name)

    def put(self, value: str | None) -> None:
        """Have the address say it, None for nothing; only a change is sent to the browser."""
        if value is None:
            if self.name in st.query_params:
                del st.query_params[self.name]
        elif self.value != value:
            st.query_params[self.name] = value


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Something kept in the session, or under a widget's key; `by` says it in the address.

    `goes` where the widget is not always on the page: Streamlit forgets a value with its widget, `state.start` keeps it.
    """

    name: str
    means: str
    lives: Lives
    default: Any = None
    goes: bool = False
    by: Parameter | None = None

    @property
    def value(self) -> Any:
        """What is kept, or the default."""
        return st.session_state.get(self.name, self.default)

    @property
    def known(self) -> bool:
        """Whether something was put here."""
        return self.name in st.session_state

    def put(self, value: Any) -> None:
        """Keep it in place of what was kept."""
        st.session_state[self.name] = value

    def forget(self) -> None:
        """Let go of it."""
        st.session_state.pop(self.name, None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Widgets of one kind, one for each input or row."""

    prefix: str
    means: str

    def of(self, *parts: object) -> Kept:
        """The one of an input's key path, or of a row under it."""
        return Kept(name=" ".join([self.prefix, *map(str, parts)]), means=self.means, lives=Lives.SHOWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A part of the page that its style speaks of."""

    name: str
    means: str

    @property
    def css(self) -> str:
        """What the style calls it."""
        return f".st-key-{self.name}"


NOTHING: Mapping[Any, Any] = MappingProxyType({})

IN_EXAMPLE = Parameter(name="example", means="the bundled example that is shown, unchanged")
IN_LINE = Parameter(name="line", means="the whole line, where it is not an example's")
IN_SITE = Parameter(name="site", means="the whole site, where it is not a bundled one's")
IN_UNITS = Parameter(name="units", means="imperial; nothing is metric")
IN_WAY = Parameter(name="way", means="the way in; nothing is size")
IN_TODAY = Parameter(name="today", means="gusty: no wind to ride in; nothing is any other")

# the line and what is worked out of it
TYPED = Kept(name="typed", means="key path of every input to its SI value", lives=Lives.LINK, by=IN_LINE, default=NOTHING)
JUMPS = Kept(name="jumps", means="how many jumps the line has", lives=Lives.LINK, by=IN_LINE, default=1)
JUMP = Kept(name="jump", means="which jump is looked at, from 1", lives=Lives.SESSION, default=1)
EXAMPLE = Kept(name="example", means="the example begun from", lives=Lives.LINK, by=IN_EXAMPLE)
UNITS = Kept(name="units", means="metric or imperial", lives=Lives.LINK, by=IN_UNITS, default="metric")
ASSUMED = Kept(name="assumed", means="what the last answer assumed, by key path [SI]", lives=Lives.SESSION, default=NOTHING)
MESSAGE = Kept(name="message", means="why a file or an address could not be taken", lives=Lives.SESSION, default="")
SOURCE = Kept(name="source", means="the file that the line was loaded from", lives=Lives.SESSION, default="")
ROUND = Kept(name="round", means="counts up when all widgets are to show what is stored", lives=Lives.SESSION, default=0)
ROUNDS = Kept(name="rounds", means="by widget, the round in which it was filled", lives=Lives.SESSION, default=NOTHING)
ASIDE = Kept(name="aside", means="what was typed for choices that are not taken now", lives=Lives.SESSION, default=NOTHING)

# what is picked
WAY = Kept(name="way", means="the way in", lives=Lives.LINK, by=IN_WAY)
GROUPS = Kept(name="groups", means="groups of the form that stand open", lives=Lives.SESSION, goes=True)
FILES = Kept(name="line files", means="whether files are shown", lives=Lives.SESSION, goes=True, default=False)
SIZE_KIND = Kept(name="size kind", means="whether the jump stands or is planned", lives=Lives.SESSION, goes=True)
MORE_SIZE = Kept(name="more size", means="what more is shown in size it", lives=Lives.SESSION, goes=True)
MORE_RIDE = Kept(name="more ride", means="what more is shown in ride it", lives=Lives.SESSION, goes=True)
MORE_CHECK = Kept(name="more check", means="what more is shown in check it", lives=Lives.SESSION, goes=True)
MORE_EXPLAIN = Kept(name="more explain", means="what more is shown in explain it", lives=Lives.SESSION, goes=True)
OTHER_BIKE = Kept(name="other_bike", means="the bike beside that of the line", lives=Lives.SESSION, goes=True)

ODDS_RIDER = Kept(name="odds rider", means="who the odds are for", lives=Lives.SESSION, goes=True)

ODDS_COSTS = Kept(name="odds costs", means="by shape, what a landing costs, where changed", lives=Lives.SESSION, default=NOTHING)

# the site that jumps are looked for
SITE = Kept(name="site typed", means="key path of every input of the site to its SI value", lives=Lives.LINK, by=IN_SITE, default=NOTHING)
SITE_RIDERS = Kept(name="site riders", means="how many riders the site has", lives=Lives.LINK, by=IN_SITE, default=1)
SITE_KEEP_OUTS = Kept(name="site keep-outs", means="how many places nothing may be built on", lives=Lives.LINK, by=IN_SITE, default=0)
SITE_ASSUMED = Kept(name="site assumed", means="what is assumed of it, by key path [SI]", lives=Lives.SESSION, default=NOTHING)
SITE_EXAMPLE = Kept(name="site example", means="the bundled site begun from", lives=Lives.SESSION, goes=True)
SITE_SOURCE = Kept(name="site source", means="the file that the site was loaded from", lives=Lives.SESSION, default="")
SITE_MESSAGE = Kept(name="site message", means="why a site file could not be taken", lives=Lives.SESSION, default="")
SITE_PARTS = Kept(name="site parts", means="parts of the site that stand open", lives=Lives.SESSION, goes=True)
SITE_UPLOAD = Kept(name="site upload", means="a site file that is loaded", lives=Lives.SHOWN)
SITE_PICK = Kept(name="site pick", means="which jump of the trade is looked at closer", lives=Lives.SESSION, goes=True)
SITE_TAPPED = Kept(name="site tapped", means="the drawing of the trade that takes a tap", lives=Lives.SHOWN)

# today
RIDE_BIKE = Kept(name="ride bike", means="the kind of bike, as picked", lives=Lives.SHOWN)
RIDE_GROUND = Kept(name="ride surface", means="the ground today, as picked", lives=Lives.SHOWN)
RIDE_WIND = Kept(name="ride wind", means="the wind today, as seen", lives=Lives.LINK, by=IN_TODAY, goes=True)
OWN_WIND = Kept(name="own wind", means="the line's wind while another is seen [m/s]", lives=Lives.SESSION)
RIDE_MARK = Kept(name="ride mark", means="the rider's own start mark [m]", lives=Lives.SESSION)
RIDE_MARK_FIELD = Kept(name="ride mark field", means="the same in the units shown", lives=Lives.SHOWN)

# what was measured at the spot
READ_WAY = Kept(name="read way", means="how a speed was measured", lives=Lives.SESSION, goes=True)
READ = Kept(name="read", means="what was measured, by way and input [SI]", lives=Lives.SESSION, default=NOTHING)

# tries at the spot
TRIES = Kept(name="tries", means="the tries of a visitor whose log is kept nowhere here", lives=Lives.SESSION, default=())
TRIES_NEW = Kept(name="tries new", means="whether some of them are not in the visitor's file yet", lives=Lives.SESSION, default=False)
TRIES_TOLD = Kept(name="tries told", means="what came of the last try or file", lives=Lives.SESSION, default="")
TRY = Kept(name="try", means="the try that is being written down, by field [SI]", lives=Lives.SESSION, default=NOTHING)
LOG_UPLOAD = Kept(name="log upload", means="a log that is loaded", lives=Lives.SHOWN)
LEARN = Kept(name="learn", means="whether what the tries teach is shown", lives=Lives.SESSION, goes=True, default=False)

# a landing that is explained
TOUCHED = Kept(name="explain way", means="which part the rear wheel touched", lives=Lives.SESSION, goes=True)
TOUCHED_FAR = Kept(name="explain place", means="how far from the knuckle [m]", lives=Lives.SESSION)
TOUCHED_FIELD = Kept(name="explain far", means="the same in the units shown", lives=Lives.SHOWN)
BEGAN = Kept(name="explain start", means="the mark they started from [m]", lives=Lives.SESSION)
BEGAN_FIELD = Kept(name="explain start field", means="the same in the units shown", lives=Lives.SHOWN)
PEDALLED = Kept(name="explain strokes", means="how many strokes they made", lives=Lives.SESSION)
PEDALLED_FIELD = Kept(name="explain strokes field", means="the same, as typed", lives=Lives.SHOWN)
TAPPED = Kept(name="explain tapped", means="the drawing that takes a tap", lives=Lives.SHOWN)

# what only does something
UPLOAD = Kept(name="upload", means="a file that is loaded", lives=Lives.SHOWN)
DOWNLOAD = Kept(name="download", means="keeps the line as a file", lives=Lives.SHOWN)

INPUT = Family(prefix="in", means="the field of an input")
COST_FIELD = Family(prefix="cost", means="the field of what a landing is thought to cost")
SITE_FIELD = Family(prefix="site in", means="the field of an input of the site")
SITE_BUTTON = Family(prefix="site do", means="adds to the site, searches it, stops, keeps or opens what was found")
SIGN = Family(prefix="way", means="which way a signed input, or a row, goes")
MEASURED = Family(prefix="how", means="how a ground was measured")
ROW_KIND = Family(prefix="kind", means="straight or curve, of a row")
ROW_SIZE = Family(prefix="size", means="length or radius, of a row")
ROW_SLOPE = Family(prefix="slope", means="slope, of a row")
STAKE_ALONG = Family(prefix="along", means="how far along a stake stands")
STAKE_FALL = Family(prefix="fall", means="how much lower a stake stands")
ADD_ROW = Family(prefix="add", means="adds a row")
LESS_ROWS = Family(prefix="less", means="takes the last row away")
CARD = Family(prefix="card", means="makes the card")
TRY_FIELD = Family(prefix="try", means="a field of a try that is written down")
LOG_BUTTON = Family(prefix="log", means="adds, keeps or learns from tries")
POCKET = Family(prefix="pocket", means="makes the pocket page")
READ_FIELD = Family(prefix="read", means="a field of what was measured")
CHECK_PAGE = Family(prefix="check", means="makes the page of the speed check")
TESTDAY = Family(prefix="testday", means="makes the test day's page")

HEAD = Place(name="head", means="title, caution, the ways in, and whose jump it is")
CAUTION = Place(name="caution", means="the first caution")
FIRST = Place(name="first", means="what the first screen shows: the next three, side by side where there is room")
ANSWER = Place(name="answer", means="the answer in words and figures")
DRAWING = Place(name="drawing", means="the drawing")
ASK = Place(name="ask", means="what this way in asks")
REST = Place(name="rest", means="all that follows")
REFUSED = Place(name="refused", means="what is refused, said in the form")


def declared(kind: type) -> Iterator[Any]:
    """All names of one kind: `Kept`, `Parameter`, `Family` or `Place`."""
    return (one for one in globals().values() if isinstance(one, kind))
