"""Sizing on the page: a site is typed, pasted, loaded and kept; a process of its own searches; what it found is picked and opened."""

import math
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from jumpcalc.errors import InputError
from jumpcalc.plan.studies.sizing.ground import laid_out
from jumpcalc.plan.studies.sizing.lay import Candidates
from jumpcalc.plan.studies.sizing.propose import proposal
from jumpcalc.plan.studies.sizing.rate import rated
from jumpcalc.plan.studies.sizing.search import Found
from jumpcalc.plan.studies.sizing.whole import Sized
from jumpcalc.plan.studies.sizing.why import Forbids
from jumpcalc.plan.views.proposed import proposed_view
from jumpcalc.show.files.examples import FOLDER, sites
from jumpcalc.show.files.linefile import parse_line
from jumpcalc.show.files.sitefile import parse_site, write_site
from jumpcalc.show.page import address, searches
from jumpcalc.show.page.stakes import as_text, pasted
from jumpcalc.show.paper.side import side
from jumpcalc.show.paper.svg import Dot, Line
from jumpcalc.show.paper.trade import nearest, trade
from jumpcalc.show.words.numbers import Reader

ROOT, DEG = Path(__file__).parents[1], math.pi / 180
TEXT = (FOLDER / "sites" / "hazel_bank.toml").read_text(encoding="utf-8")
ALONE = parse_site(TEXT[: TEXT.rindex("[[rider]]")])
GOOD = np.array([  # of those that a whole search proposes
    [49.5, 2.0, 12 * DEG, 5.0, 1.2, 0.5, 14 * DEG],
    [50.5, 2.75, 12 * DEG, 5.75, 1.2, 0.6, 14 * DEG],
    [47.0, 3.25, 12 * DEG, 5.75, 1.2, 0.7, 15 * DEG],
])  # fmt: skip


@pytest.fixture(scope="module")
def done():
    """Two proposals confirmed, a third jump not asked of yet."""
    laid = laid_out(ALONE)
    front = rated(laid, Candidates.of(GOOD))
    assert front.fits.all()
    made = tuple(proposal(laid, front, row, size=size) for row, size in enumerate(("small", "middle")))
    return Sized(site=laid.site, found=Found(front=front, nearest=front.rows([]), tried=3), made=made, done=True)


class Over:
    """A search that is over."""

    over, failed = True, ""

    def __init__(self, now):
        self.now = now


_SITE = ("site typed", "site riders", "site keep-outs")


def opened(monkeypatch=None, now=None, kept=None, **query):
    if monkeypatch is not None:
        monkeypatch.setattr(searches, "of", lambda site: None if now is None else Over(now))
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    page.session_state["size kind"] = "planned"
    page.session_state["groups"] = []
    for name, value in (kept or {}).items():
        page.session_state[name] = value
    for name, value in query.items():
        page.query_params[name] = value
    return seen(page.run())


def seen(page):
    assert not page.exception
    return page


def text_of(page):
    kinds = (page.main.markdown, page.main.warning, page.main.error)
    return "\n".join(element.value.replace("\\", "") for kind in kinds for element in kind)


@pytest.mark.parametrize(
    ("text", "stakes"),
    [
        ("0 0\n10 2.1\n20  4.1", [(0, 0), (10, 2.1), (20, 4.1)]),
        ("along;lower\n0;0\n10,5;2,1", [(0, 0), (10.5, 2.1)]),
        ("0\t0\n\n10,5\t2,1\n", [(0, 0), (10.5, 2.1)]),
        ("[0, 0], [10, 2.1],\n[20, 4.1]", [(0, 0), (10, 2.1), (20, 4.1)]),
        ("0,0\n10,2", [(0, 0), (10, 2)]),
    ],
)
def test_stakes_are_taken_as_people_write_them(text, stakes):
    assert pasted(text, "m") == tuple(stakes)
    assert pasted(as_text(pasted(text, "m"), "ft"), "ft") == pytest.approx(np.array(stakes, dtype=float), rel=1e-4)


@pytest.mark.parametrize("text", ["0 0\n10", "0 0\n10 2 3", "0 0\n10 x", "0 0\nten two"])
def test_a_row_that_is_no_stake_is_named(text):
    with pytest.raises(InputError, match="row 2"):
        pasted(text, "m")


def test_a_site_file_reads_back():
    assert parse_site(write_site(sites()["hazel_bank"])) == sites()["hazel_bank"]


def test_what_is_typed_is_kept_also_where_it_is_refused_and_comes_back_with_the_address():
    page = opened()
    assert "EXAMPLE, not your ground" in text_of(page) and "site" not in page.query_params
    seen(page.text_area(key="site in ground.stakes_m").set_value("0 0\n10 2\nx 9").run())
    assert "row 3" in text_of(page) and page.text_area(key="site in ground.stakes_m").value == "0 0\n10 2\nx 9"
    assert "site do begin" not in [button.key for button in page.button]
    seen(page.text_area(key="site in ground.stakes_m").set_value("0 0\n30 6\n70 12\n110 14").run())
    seen(page.number_input(key="site in rider[2].mass_kg").set_value(50.0).run())
    typed = parse_site(address.unpacked(page.query_params["site"], "site"))
    base = sites()["hazel_bank"]
    stakes = ((0.0, 0.0), (30.0, 6.0), (70.0, 12.0), (110.0, 14.0))
    assert typed == replace(
        base, ground=replace(base.ground, stakes=stakes), riders=(base.riders[0], replace(base.riders[1], mass=50.0))
    )
    assert "EXAMPLE, not your ground" not in text_of(page)
    again = opened(site=page.query_params["site"])
    assert again.text_area(key="site in ground.stakes_m").value == "0  0\n30  6\n70  12\n110  14"
    assert again.number_input(key="site in rider[2].mass_kg").value == 50.0


def test_what_was_found_is_drawn_picked_and_opened(monkeypatch, done):
    page = opened(monkeypatch, done, site=address.packed(write_site(ALONE)))
    text = text_of(page)
    assert "2 tabletops that fit" in text and "Small: tabletop over 2.00 m" in text and "Middle: tabletop over 2.75 m" in text
    assert "| start before the foot |" in text and "not a permit" in text and "meets the published guidance" in text
    assert "Dirt 6.6 m³ as built and compacted: 7.3 m³ to be dug from the bank, 9.2 m³ loose" in text
    seen(page.selectbox(key="site pick").set_value(1).run())
    assert text_of(page).count("Middle: tabletop over 2.75 m") == 2
    # the third was not confirmed: the full answer is asked when it is picked
    other = opened(monkeypatch, done, kept={"site pick": 4, **{name: page.session_state[name] for name in _SITE}})
    assert "Tabletop over 3.25 m" in text_of(other) and "Tabletop over" not in text_of(page)
    seen(page.button(key="site do look middle").click().run())
    line = done.made[1].line
    assert parse_line(address.unpacked(page.query_params["line"], "line"), file="") == line
    assert "the jumps that fit Hazel Bank (EXAMPLE): Middle" in text_of(page) and "This one is shown at the top" in text_of(page)


def test_where_nothing_fits_the_page_says_why_and_what_helps(monkeypatch, done):
    none = Forbids(limit="room", by=3.2, others=(), cure=("room", 3.5), found=2.0)
    text = text_of(opened(monkeypatch, replace(done, made=(), none=none), site="broken"))
    assert "cut off or changed" in text
    assert "nothing fits" in text and "3.2 m of room to stop are missing" in text and "3.5 m more of ground at the end" in text


def test_a_tap_finds_the_jump_under_it(done):
    sheet = trade(done, chosen=4)
    dots = sheet.all(Dot)
    for one, number in (("small", 0), ("middle", 1)):
        at = next(dot.at for dot in dots if dot.name == one)
        assert nearest(done, Reader.metric, at[0] / sheet.width, at[1] / sheet.height) == number


def test_the_ground_as_it_lies_meets_what_is_built_at_both_ends(done):
    view = proposed_view(ALONE, done.made[1])
    built = [(x, z) for part in view.ground for x, z in zip(part.x, part.z, strict=True)]
    for x, z in (view.foot, built[-1]):
        assert np.interp(x, view.natural.x, view.natural.z) == pytest.approx(z, abs=0.06)
    assert np.interp(0.0, view.natural.x, view.natural.z) < -0.3
    assert "natural" in [line.name for line in side(view).all(Line)]


def test_a_process_of_its_own_answers():
    """On wet ground it answers without a search; who asks again finds the answer."""
    wet = replace(ALONE, ground=replace(ALONE.ground, surface="wet grass or clay"))
    assert searches.of(wet) is None and searches.begin(wet) == ""
    end = time.monotonic() + 60
    while not searches.of(wet).over:
        assert time.monotonic() < end
        time.sleep(0.02)
    now = searches.of(wet).now
    assert searches.of(wet).failed == "" and now.done and now.found is None and now.none.limit == "today"
    assert searches.begin(wet) == "" and searches.of(wet).now is now
