"""A server, a browser and a page for each test; where there is no browser the tests are reported as not run."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
import warnings
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

ROOT = Path(__file__).parents[2]
CHROMIUM = os.environ.get("CHROMIUM") or next(
    filter(None, map(shutil.which, ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"))), None
)
ARGUMENTS = [
    "--no-sandbox",  # tests may run as root
    "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage",
]  # fmt: skip
NOT_RUN = "NOT RUN: no Chromium found (install chromium, or set CHROMIUM to its path)"


def pytest_collection_modifyitems(items):
    mine = [item for item in items if Path(item.fspath).parent == Path(__file__).parent]
    for item in mine:
        item.add_marker(pytest.mark.browser)
        if CHROMIUM is None:
            item.add_marker(pytest.mark.xfail(run=False, reason=NOT_RUN))
    if mine and CHROMIUM is None:
        warnings.warn(f"{len(mine)} tests of the page in a browser {NOT_RUN}", stacklevel=1)


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


@pytest.fixture(scope="session")
def server(tmp_path_factory):
    """The page as the README starts it, on a free port."""
    port = free_port()
    log = tmp_path_factory.mktemp("server") / "streamlit.log"
    command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(port)]
    with open(log, "wb") as out:
        process = subprocess.Popen(
            command, stdout=out, stderr=subprocess.STDOUT, cwd=ROOT
        )
    base = f"http://127.0.0.1:{port}"
    try:
        end = time.monotonic() + 60
        while True:
            if process.poll() is not None or time.monotonic() > end:
                raise RuntimeError("the page did not start:\n" + log.read_text())
            try:
                if urllib.request.urlopen(base + "/_stcore/health", timeout=1).read() == b"ok":
                    break
            except OSError:
                time.sleep(0.1)
        yield base
    finally:
        process.terminate()
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            process.kill()


@pytest.fixture(scope="session")
def browser():
    """One headless Chromium for all tests."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=CHROMIUM, headless=True, args=ARGUMENTS)
        yield found
        found.close()


@pytest.fixture(scope="session")
def tabs(browser):
    """One tab for a mouse and one for a thumb: a tab that has loaded the scripts before opens the page in half the time."""
    contexts = {
        touch: browser.new_context(
            locale="en-GB", timezone_id="UTC", reduced_motion="reduce", accept_downloads=True, has_touch=touch, is_mobile=touch
        )
        for touch in (False, True)
    }
    for context in contexts.values():
        context.set_default_timeout(20_000)
    yield {touch: context.new_page() for touch, context in contexts.items()}
    for context in contexts.values():
        context.close()


@pytest.fixture
def make_page(tabs, server):
    """Makes a page of a given size: the first in a tab that others have used and that is emptied, any other in a new one."""
    from driver import StPage

    made = []

    def make(width=1280, height=800, color_scheme="light", *, touch=False):
        tab = tabs[touch]
        if any(page.page is tab for page in made):
            tab = tab.context.new_page()
        tab.set_viewport_size({"width": width, "height": height})
        tab.emulate_media(color_scheme=color_scheme, reduced_motion="reduce")
        made.append(StPage(tab, server))
        return made[-1]

    yield make
    for page in made:
        page.leave()
        if page.page not in tabs.values():
            page.page.close()
