"""Searches of sites in processes of their own, kept by site: as many at once as leave the page a core, the others wait."""

from __future__ import annotations

import pickle
import subprocess
import threading
import time
from collections import OrderedDict

from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.studies.sizing.whole import Sized
from jumpcalc.show.page.workers import child, cores

__all__ = ["Search", "begin", "of"]

_SEED = 0
_AT_ONCE = max(1, cores() - 1)
_MOST_KEPT = 40
_MOST_WAITING = 20
_UNSEEN = 120.0  # s after which a search that nobody looks at is given up
_STEPS = 18  # told by a search that finds all there is

_room = threading.Semaphore(_AT_ONCE)
_lock = threading.Lock()
_known: OrderedDict[Site, Search] = OrderedDict()


class Search:
    """One search: what it knows so far, whether it goes on, and why it gave nothing."""

    def __init__(self, site: Site) -> None:
        self.now: Sized | None = None
        self.failed = ""
        self.over = self.enough = self.waiting = False
        self._steps = 0
        self._seen = time.monotonic()
        self._child: subprocess.Popen[bytes] | None = None
        threading.Thread(target=self._run, args=(site,), daemon=True).start()

    @property
    def share(self) -> float:
        """About how much of it is done, from 0 to 1."""
        return min(self._steps / _STEPS, 0.97)

    def seen(self) -> None:
        """Somebody looks at it."""
        self._seen = time.monotonic()

    def stop(self) -> None:
        """Make do with what it has."""
        self.enough = True
        process = self._child
        if process is not None:
            try:
                process.stdin.write(b".")
                process.stdin.flush()
            except (OSError, ValueError):
                pass  # it has just ended

    def _run(self, site: Site) -> None:
        """Wait for a core, then listen to the process until it ends."""
        self.waiting = True
        with _room:
            self.waiting = False
            try:
                if not self._alone() and not self.enough:
                    self._listen(site)
            except OSError as error:
                self.failed = f"the search could not be started: {error.strerror or error}"
        if not self.failed and (self.now is None or not self.now.done):
            self.failed = "it was stopped before anything was found" if self.enough else "the search ended before it was done; ask again"
        self.over = True

    def _listen(self, site: Site) -> None:
        with child("jumpcalc.show.page.sizer") as process:
            pickle.dump((site, _SEED), process.stdin)
            process.stdin.flush()
            self._child = process
            if self.enough:
                self.stop()
            try:
                while not self._alone():
                    told = pickle.load(process.stdout)
                    if isinstance(told, str):
                        self.failed = told
                        return
                    self.now, self._steps = told, self._steps + 1
                    if told.done:
                        return
            except (EOFError, pickle.UnpicklingError):
                pass  # it died
            finally:
                self._child = None
                process.kill()

    def _alone(self) -> bool:
        """Whether nobody has looked at it for long."""
        return time.monotonic() - self._seen > _UNSEEN


def of(site: Site) -> Search | None:
    """The search of a site that was begun, None where there is none.

    Parameters
    ----------
    site : Site
        As typed.

    Returns
    -------
    Search or None
        Going on, or over.
    """
    found = _known.get(site)
    if found is not None:
        found.seen()
    return found


def begin(site: Site) -> str:
    """Begin the search of a site, or begin it anew where the last one gave less than all.

    Parameters
    ----------
    site : Site
        As typed.

    Returns
    -------
    str
        Why it cannot be begun now; empty where it was.
    """
    with _lock:
        old = _known.get(site)
        if old is not None and (not old.over or (not old.failed and not old.now.stopped)):
            return ""
        if sum(not one.over for one in _known.values()) >= _MOST_WAITING:
            return "Too many searches wait already: ask again in a few minutes."
        _known[site] = Search(site)
        _known.move_to_end(site)
        for other in [other for other, one in _known.items() if one.over][: max(0, len(_known) - _MOST_KEPT)]:
            del _known[other]
    return ""
