"""Which jumps fit a site: searched for only when asked, in a process of its own; three proposals, and what one costs the other."""

from __future__ import annotations

from functools import lru_cache, partial

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.studies.sizing.ground import laid_out
from jumpcalc.plan.studies.sizing.propose import Proposal, proposal, unconfirmed
from jumpcalc.plan.studies.sizing.whole import Sized
from jumpcalc.plan.views.proposed import proposed_view
from jumpcalc.show.files.examples import is_example_site
from jumpcalc.show.files.linefile import write_line
from jumpcalc.show.page import names, searches, site, site_form, state
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, said, small, table
from jumpcalc.show.page.player import player
from jumpcalc.show.paper import side as side_drawing
from jumpcalc.show.paper import trade as trade_drawing
from jumpcalc.show.paper.svg import Sheet
from jumpcalc.show.words import sizing as words
from jumpcalc.show.words.numbers import Reader

__all__ = ["PANEL"]

_LOOKS = 1.0  # s between two looks at a search
_COLUMNS = 5  # of what one costs the other
_EXAMPLE = "EXAMPLE, not your ground: type or paste yours below, or load a site file."


def _body(shown: Shown) -> None:
    """The site, the search, what it found."""
    site.begin()
    try:
        made = site.site()
        laid_out(made)
        refused = ""
    except InputError as error:
        made, refused = None, f"{error}. Everything typed is kept."
    for text in filter(None, (names.SITE_MESSAGE.value, refused)):
        st.error(plain(text))
    if made is not None and is_example_site(made):
        st.warning(plain(_EXAMPLE))
    site_form.show()
    if made is None:
        return
    site_form.keep(made)
    search = searches.of(made)
    if search is not None and not search.over:
        _watch(made)
        return
    if search is not None and search.failed:
        st.error(plain(f"No answer: {search.failed}."))
    done = None if search is None or search.failed else search.now
    if done is None or done.stopped:
        label = "Find jumps that fit" if done is None else "Search on to the end"
        st.button(label, key=names.SITE_BUTTON.of("begin").name, type="primary", on_click=_begin, args=(made,))
        small(plain("It tries some 40,000 jumps, which takes about half a minute; it can be stopped with what it has."))
    if done is not None:
        _found(made, done, shown)


def _begin(made: Site) -> None:
    names.SITE_PICK.forget()
    names.SITE_MESSAGE.put(searches.begin(made))


@st.fragment(run_every=_LOOKS)
def _watch(made: Site) -> None:
    """How far the search is; the rest of the page is left alone until it is over."""
    search = searches.of(made)
    if search is None or search.over:
        st.rerun()
    if search.waiting:
        text = "Waiting: another search is going on."
    elif search.now is None:
        text = "Trying the first jumps …"
    else:
        text = f"{words.progress(search.now)}."
    st.progress(search.share, text=plain(text))
    if search.enough:
        small(plain("Stopping: what was found is still being confirmed."))
    else:
        st.button("Stop, and show what there is", key=names.SITE_BUTTON.of("stop").name, on_click=search.stop)


def _found(made: Site, done: Sized, shown: Shown) -> None:
    """Proposals and the trade, or why nothing fits."""
    reader = shown.reader
    st.markdown(f"**{plain(words.headline(done))}** {plain('A model’s numbers, not a permit.')}")
    if not done.made:
        said(reader.texts(words.why_none(done)))
        return
    for one in done.made:
        _one(made, done, one, shown, one.size)
    st.markdown(f"#### {plain('What one costs the other')}")
    named = (*done.made, *done.others)
    pick = names.SITE_PICK.value
    if pick is not None and pick >= len(named) + len(done.found.front.jumps):  # of another site
        pick = None
        names.SITE_PICK.put(pick)
    _plot(made, done, reader, pick)
    # the rest of a row is told of the one that is picked: more columns are cut off on a phone
    table(words.trade_head(done.site)[:_COLUMNS], [reader.texts(words.row_of(one)[:_COLUMNS]) for one in words.in_order(done)])
    known = [*range(len(named)), *([pick] if pick is not None and pick >= len(named) else [])]
    st.selectbox(
        "Look closer at one, or tap it in the drawing", known, key=names.SITE_PICK.name, index=None,
        format_func=lambda number: _called(done, number, reader),
    )  # fmt: skip
    if pick is not None:
        _closer(made, done, pick, shown)
    off = "The drawings show who rolls off; the ground" if done.site.wanted.shape == "drop" else "In the drawings the ground"
    small(plain(f"{words.about(done.site)} {off} as it lies is dashed."))


def _called(done: Sized, number: int, reader: Reader) -> str:
    """What a jump of the trade is called where one is picked."""
    named = (*done.made, *done.others)
    if number >= len(named):
        return "the one that was tapped"
    name, dirt = reader.text(words.name(named[number])), reader.texts(words.row_of(named[number]))[3]
    return f"{name}, {dirt} of dirt"


def _plot(made: Site, done: Sized, reader: Reader, pick: int | None) -> None:
    """The trade as a drawing that takes a tap."""
    sheet, svg = _trade(done, reader, _stamp(made), pick)
    alt = "Tolerance over gap of every jump that nothing beats, the confirmed ones named; the table below has their numbers."

    def tapped(across: float, down: float) -> None:
        names.SITE_PICK.put(trade_drawing.nearest(done, reader, across, down))

    player((sheet.width, sheet.height), svg, (), wheel=0.0, alt=alt, key=names.SITE_TAPPED, take=tapped)


def _closer(made: Site, done: Sized, pick: int, shown: Shown) -> None:
    """One jump of the trade; the full answer is asked of one that was not confirmed yet."""
    named = (*done.made, *done.others)
    if pick < len(named):
        one = named[pick]
    else:
        with st.spinner("Asking the full answer …"):
            one = _asked(made, done, pick - len(named))
    if isinstance(one, str):
        st.markdown(plain(one))
        return
    _one(made, done, one, shown, "picked")


def _one(made: Site, done: Sized, one: Proposal, shown: Shown, key: str) -> None:
    """A jump: to scale, what is to be pegged out, who starts where, and its line file."""
    reader = shown.reader
    name = reader.text(words.name(one))
    st.markdown(f"#### {plain(name)}")
    drawing(_drawn(made, one, reader, _stamp(made)), alt=f"{name}, from the side to true scale, with the ground as it lies dashed.")
    said(reader.texts(words.built(one)))
    # a column for each rider: a row for each is wider than a phone
    head, *rows = zip(words.riders_head(done.site), *(reader.texts(row) for row in words.riders(one, done.site)), strict=True)
    table(head, rows)
    with st.container(horizontal=True, gap="small"):
        button = names.SITE_BUTTON.of
        st.button("Look at this one", key=button("look", key).name, on_click=_look, args=(made, one, name))
        st.download_button(
            "Keep its line file", partial(write_line, one.line), f"{one.size or 'jump'}.toml", "application/toml",
            key=button("line", key).name, on_click="ignore",
        )  # fmt: skip
    if shown.line == one.line:
        small(plain("This one is shown at the top of the page, its numbers are in the form, and every way in is about it."))


def _look(made: Site, one: Proposal, name: str) -> None:
    """Put a proposal's line in place of the one that the page shows."""
    state.load(one.line)
    example = " (EXAMPLE)" if is_example_site(made) else ""
    names.SOURCE.put(f"the jumps that fit {made.title or 'the site'}{example}: {name}, not built")


def _stamp(made: Site) -> str:
    return "EXAMPLE" if is_example_site(made) else ""


@lru_cache(maxsize=60)
def _drawn(made: Site, one: Proposal, reader: Reader, stamp: str) -> str:
    return side_drawing.side(proposed_view(made, one), reader, stamp=stamp).svg()


@lru_cache(maxsize=60)
def _trade(done: Sized, reader: Reader, stamp: str, pick: int | None) -> tuple[Sheet, str]:
    sheet = trade_drawing.trade(done, reader, stamp=stamp, chosen=pick)
    return sheet, sheet.svg()


@lru_cache(maxsize=60)
def _asked(made: Site, done: Sized, row: int) -> Proposal | str:
    """The jump with the full answers, or why they do not confirm it."""
    laid, front = laid_out(made), done.found.front
    return proposal(laid, front, row) or words.unconfirmed(unconfirmed(laid, front, row))


PANEL = Panel("Which jump fits your ground and riders", _body, lambda shown: names.SIZE_KIND.value == "planned")
