"""The page as a person meets it, in a real browser: nothing foreign is asked for, nothing is cut off, inputs work."""

import time

from answers import DROP, RIDE

from jumpcalc.show.files.examples import FOLDER as EXAMPLES
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.page.address import packed

WIDER_JS = """() => ['stMain', 'stSidebarContent'].map(name => {
  const e = document.querySelector(`[data-testid=${name}]`);
  return e && e.clientWidth ? Math.max(0, ...[...e.querySelectorAll('*')].filter(c => c.offsetParent)
    .map(c => c.getBoundingClientRect().right - e.getBoundingClientRect().right)) : 0;
}).concat(document.documentElement.scrollWidth - innerWidth)"""
GAP = "Gap, level from edge to knuckle (m)"


def headline(st):
    return st.page.get_by_test_id("stMain").get_by_role("heading", level=3).first.inner_text()


def drawing(st):
    return st.page.get_by_test_id("stImage").locator("img").first


def is_clean(st):
    assert st.errors == []
    assert st.page.get_by_test_id("stException").count() == 0


def opens_on_an_example(st):
    """No errors, no foreign requests, nothing wider than its place."""
    st.open()
    assert headline(st).startswith(RIDE)
    assert "EXAMPLE" in st.page.get_by_test_id("stAlert").inner_text()
    assert st.page.evaluate(WIDER_JS)[0] <= 0 and st.page.evaluate(WIDER_JS)[2] <= 0
    for image in st.page.get_by_test_id("stImage").locator("img").all():
        assert len(image.get_attribute("alt")) > 40
    is_clean(st)
    return st


def test_on_a_phone_the_answer_comes_first_and_the_form_is_one_tap_away(make_page):
    st = opens_on_an_example(make_page(390, 844))
    assert not st.number(GAP).is_visible() or st.number(GAP).bounding_box()["x"] < 0
    st.page.get_by_test_id("stExpandSidebarButton").click()
    st.page.wait_for_timeout(400)
    st.set_number(GAP, 4.6)
    assert st.page.evaluate(WIDER_JS)[1:] == [0, 0]
    assert st.page.get_by_text("EXAMPLE, not your jump").count() == 0
    is_clean(st)


def test_a_changed_gap_redraws_and_units_switch_back_and_forth(make_page):
    st = opens_on_an_example(make_page())
    before, source = headline(st), drawing(st).get_attribute("src")
    begun = time.perf_counter()
    st.set_number(GAP, 4.5)
    print(f"changed gap to new drawing: {time.perf_counter() - begun:.2f} s")
    assert headline(st) != before and drawing(st).get_attribute("src") != source
    st.click_radio("Units", "mph, ft, lb")
    assert "mph" in headline(st)
    assert st.number("Gap, level from edge to knuckle (ft)").input_value() == "14.764"
    st.click_radio("Units", "km/h, m, kg")
    assert st.number(GAP).input_value() == "4.5"
    is_clean(st)


def test_a_refused_value_is_one_line_and_stays_in_its_field(make_page):
    st = make_page().open()
    st.set_number("Lip angle at the edge (°)", 95)
    assert "95°; allowed -45 to 75°" in st.page.get_by_test_id("stMain").get_by_test_id("stAlert").inner_text()
    assert not st.page.locator(".st-key-refused").is_visible()  # the page beside the form says it
    assert st.number("Lip angle at the edge (°)").input_value() == "95"
    st.set_number("Lip angle at the edge (°)", 28)
    assert headline(st).startswith(RIDE)
    is_clean(st)


def test_on_a_phone_a_refused_value_is_said_in_the_form_that_hides_the_page(make_page):
    st = make_page(390, 844, touch=True).open()
    st.page.get_by_test_id("stExpandSidebarButton").click()
    length = "Length of the landing face (m)"
    st.number(length).scroll_into_view_if_needed()
    st.set_number(length, 0)
    said = st.page.locator(".st-key-refused")
    assert "Length of the landing face: 0 m; allowed" in said.inner_text()
    box = said.bounding_box()
    assert 0 <= box["y"] < 300 and box["x"] >= 0
    is_clean(st)


def test_line_files_go_up_and_come_down(make_page, tmp_path):
    st = make_page().open()
    with st.rerun():
        st.page.get_by_text("Line files: load or keep one", exact=True).click()
    bad = tmp_path / "bad.toml"
    bad.write_text("gap = = 4")
    st.upload("Load a line file", bad)
    st.until(lambda: "bad.toml: not TOML" in st.page.get_by_test_id("stAlert").first.inner_text())
    assert st.number(GAP).input_value() == "4.2"
    st.upload("Load a line file", EXAMPLES / "low_drop.toml")
    st.until(lambda: headline(st).startswith(DROP))
    name, content = st.download("Keep this line as a file")
    assert name == "line.toml"
    assert parse_line(content.decode()) == read_line(EXAMPLES / "low_drop.toml")
    is_clean(st)


def test_a_site_is_looked_through_in_a_process_of_its_own_and_comes_back_after_a_reload(make_page):
    """On wet ground, so that nothing has to be searched: the page waits for the answer and shows it by itself."""
    text = (EXAMPLES / "sites" / "pit_edge.toml").read_text(encoding="utf-8").replace('"hardpack"', '"wet grass or clay"')
    st = make_page(390, 844).open(site=packed(text))
    st.page.get_by_role("button", name="Find jumps that fit").click()
    st.page.get_by_text("no jump is proposed").wait_for(timeout=60_000)
    st.settle()
    assert st.page.get_by_text("Not today: wet ground").count() == 1
    st.page.reload()
    st.page.get_by_text("no jump is proposed").wait_for(timeout=60_000)
    st.settle()
    stakes = st.page.get_by_test_id("stTextArea").get_by_role("textbox").input_value()
    assert stakes.splitlines()[:2] == ["0  0", "8  1.2"]
    is_clean(st)
