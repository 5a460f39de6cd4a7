"""Drives the page in a real Chromium through Playwright.

When a rerun is over is counted on the websocket, with Streamlit's own protobuf classes, and the page is
then left to settle: the state that the page tells of itself is stale right after an action, and misses
runs that are very short.
"""
from __future__ import annotations

import contextlib
import re
import time
from urllib.parse import urlencode, urlsplit

from playwright.sync_api import Error, Locator, Page
from playwright.sync_api import TimeoutError as TimeoutError_
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

SETTLED_JS = """([ms, timeout]) => new Promise((resolve, reject) => {
  const idle = () => {
    const app = document.querySelector('[data-testid="stApp"]');
    return app && app.dataset.testScriptState === 'notRunning'
      && app.dataset.testConnectionState === 'CONNECTED'
      && !document.querySelector('[data-stale="true"], [data-testid="stSkeleton"], [data-testid="stSpinner"]')
      && [...document.querySelectorAll('[data-testid="stImage"] img')]
           .every(i => i.complete && i.naturalWidth > 0);
  };
  const t0 = performance.now();
  let since = null;
  const tick = () => {
    const now = performance.now();
    if (!idle()) since = null; else if (since === null) since = now;
    if (since !== null && now - since >= ms) resolve(true);
    else if (now - t0 > timeout) reject(new Error('page did not settle'));
    else setTimeout(() => requestAnimationFrame(tick), 15);
  };
  requestAnimationFrame(tick);
})"""


# A deep link (/upload) makes the front end look for its base path: it asks for
# /upload/_stcore/health and host-config first and gets two harmless 404s.
PROBE = re.compile(r"://[^/]+/[^?]+/_stcore/(health|host-config)$")


class StPage:
    """One page: what it asked for, what it complained of, and the ways to use it."""

    def __init__(self, page: Page, base_url: str, timeout: float = 20.0):
        self.page, self.base, self.timeout = page, base_url.rstrip("/"), timeout
        self.sent = self.finished = 0
        self.console: list[tuple[str, str]] = []
        self.external: list[str] = []
        self.http_errors: list[tuple[int, str]] = []
        self.listens = {
            "websocket": self._on_ws, "console": self._on_console, "pageerror": self._on_error,
            "request": self._on_request, "response": self._on_response,
        }  # fmt: skip
        for event, hear in self.listens.items():
            page.on(event, hear)

    def leave(self):
        """Hands the tab back as if it were new: nothing kept, nobody listening."""
        with contextlib.suppress(Error):  # a blank tab has no storage to empty
            self.page.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")
        self.page.goto("about:blank")
        for event, hear in self.listens.items():
            self.page.remove_listener(event, hear)
        self.page.context.clear_cookies()

    def _on_error(self, error):
        self.console.append(("pageerror", str(error)))

    def _on_console(self, m):
        if not (m.type == "error" and PROBE.search(m.location.get("url", ""))):
            self.console.append((m.type, m.text))

    def _on_response(self, r):
        if r.status >= 400 and not PROBE.search(r.url):
            self.http_errors.append((r.status, r.url))

    def _on_request(self, req):
        u = urlsplit(req.url)
        if u.scheme in ("http", "https") and u.netloc != urlsplit(self.base).netloc:
            self.external.append(req.url)

    def _on_ws(self, ws):
        if not ws.url.endswith("/_stcore/stream"):
            self.external.append(ws.url)
        ws.on("framereceived", self._rx)
        ws.on("framesent", self._tx)

    def _rx(self, payload):
        if isinstance(payload, bytes):
            msg = ForwardMsg.FromString(payload)
            if (msg.WhichOneof("type") == "script_finished"
                    and msg.script_finished != ForwardMsg.FINISHED_EARLY_FOR_RERUN):
                self.finished += 1

    def _tx(self, payload):
        if isinstance(payload, bytes) and BackMsg.FromString(payload).WhichOneof("type") == "rerun_script":
            self.sent += 1

    @property
    def errors(self):
        """Everything a clean page should not have."""
        return ([c for c in self.console if c[0] in ("error", "pageerror")]
                + self.http_errors + [("external", u) for u in self.external])

    def settle(self, quiet_ms: int = 50):
        self.page.evaluate(SETTLED_JS, [quiet_ms, self.timeout * 1000])

    def _wait_finished(self, count: int):
        end = time.monotonic() + self.timeout
        while self.finished < count:
            if time.monotonic() > end:
                raise TimeoutError(f"no script run finished (sent={self.sent}, finished={self.finished})")
            self.page.wait_for_timeout(20)  # pumps Playwright's event loop

    @contextlib.contextmanager
    def rerun(self):
        """with st.rerun(): <action that must cause a rerun>"""
        n = self.finished
        yield
        self._wait_finished(n + 1)
        self.settle()

    def until(self, check):
        """Waits until `check()` holds: an upload is followed by more runs than one."""
        end = time.monotonic() + self.timeout
        while not check():
            if time.monotonic() > end:
                raise TimeoutError("it did not come about")
            self.page.wait_for_timeout(50)

    def open(self, path: str = "/", **query):
        n = self.finished
        self.page.goto(self.base + path + ("?" + urlencode(query) if query else ""))
        self._wait_finished(n + 1)
        self.settle()
        return self

    def number(self, label: str) -> Locator:
        return self.page.get_by_test_id("stNumberInput").get_by_label(label, exact=True)

    def set_number(self, label: str, value):
        box = self.number(label)
        with self.rerun():
            box.fill(str(value))
            box.press("Enter")      # Tab / blur commit too; plain typing does not

    def click_radio(self, group: str, option: str):
        with self.rerun():
            (self.page.get_by_test_id("stRadio").filter(has_text=group)
             .get_by_text(option, exact=True).click())

    def select(self, label: str, option: str):
        box = self.page.get_by_role("combobox", name=label, exact=True)
        choice = self.page.get_by_role("option", name=option, exact=True)
        for _ in range(4):  # a list that opens while the page is still drawn closes again
            box.click()
            try:
                choice.wait_for(state="visible", timeout=4000)
                break
            except TimeoutError_:
                self.settle()
        with self.rerun():
            choice.click()

    def upload(self, label: str, *files):
        with self.rerun():
            (self.page.get_by_test_id("stFileUploader").filter(has_text=label)
             .locator('input[type="file"]').set_input_files([str(f) for f in files]))

    def download(self, button: str) -> tuple[str, bytes]:
        with self.page.expect_download() as info:
            self.page.get_by_role("button", name=button, exact=True).click()
        d = info.value
        with open(d.path(), "rb") as f:
            return d.suggested_filename, f.read()

    def screenshot(self, path, full: bool = True):
        """Whole page. full_page=True alone shows one viewport: Streamlit scrolls inside stMain."""
        size = self.page.viewport_size
        if full:
            need = self.page.evaluate(
                "() => Math.max(...['stMain','stSidebarContent'].map("
                "t => document.querySelector(`[data-testid=${t}]`)?.scrollHeight || 0))")
            if need > size["height"]:
                self.page.set_viewport_size({"width": size["width"], "height": need})
                self.settle(150)
        self.page.screenshot(path=str(path), animations="disabled", caret="hide")
        self.page.set_viewport_size(size)
