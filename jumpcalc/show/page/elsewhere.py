"""What the page has worked out in processes of its own, kept by what it was made of.

One process of Python computes on one core, and while it computes for one visitor all others wait. So the process that serves
visitors only writes the page, and what takes long is worked out by workers, one a core. Functions marked `elsewhere` are asked
for as any other; outside a running page, in a worker and where no worker can be had they are worked out in place.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from functools import lru_cache
from typing import Any

from jumpcalc.show.page import workers

__all__ = ["Elsewhere", "elsewhere"]

_LOOK = 0.02  # s between two looks whether the visitor has asked for something newer meanwhile


class Elsewhere:
    """A function that a worker works out; what it gave for the `most` latest inputs is kept.

    Parameters
    ----------
    function : callable
        One that can be found by its name in a module without Streamlit; its first input is what its work belongs to: the same
        worker gets all of that, since it has begun on it already.
    most : int
        How many results are kept.
    when : When
        What it goes before.
    """

    def __init__(self, function: Callable[..., Any], *, most: int, when: workers.When) -> None:
        self.here = lru_cache(maxsize=most)(function)
        self.__doc__ = function.__doc__
        self._name = function.__module__, function.__qualname__
        self._most, self._when = most, when
        self._known: OrderedDict[tuple[Hashable, ...], workers.Job] = OrderedDict()
        self._lock = threading.Lock()

    def __call__(self, *given: Hashable) -> Any:
        """What it gives, waited for."""
        job = self.ahead(*given)
        if job is None:
            return self.here(*given)
        if not job.over.is_set():
            with job.awaited():
                while not job.over.wait(_LOOK):
                    _give_way()
        if job.lost:
            self._forget(given, job)
            return self.here(*given)
        if job.error is not None:
            self._forget(given, job)  # an error that is raised again and again grows
            raise job.error
        return job.value

    def ahead(self, *given: Hashable) -> workers.Job | None:
        """Have it worked out without waiting for it; None where no worker does."""
        with self._lock:
            job = self._known.get(given)
            if job is None or job.dropped:
                job = workers.ask(self._name, given, self._when)
                if job is None:
                    return None
                self._known[given] = job
            self._known.move_to_end(given)
            while len(self._known) > self._most:
                self._known.popitem(last=False)
        return job

    def _forget(self, given: tuple[Hashable, ...], job: workers.Job) -> None:
        with self._lock:
            if self._known.get(given) is job:
                del self._known[given]


def elsewhere(most: int, when: workers.When) -> Callable[[Callable[..., Any]], Elsewhere]:
    """Mark a function as one that workers work out.

    Parameters
    ----------
    most : int
        How many results are kept.
    when : When
        What it goes before.

    Returns
    -------
    callable
        Takes the function.
    """
    return lambda function: Elsewhere(function, most=most, when=when)


def _give_way() -> None:
    """End this run of the page where its visitor has asked for another or has gone, as each element sent would."""
    from streamlit.runtime.scriptrunner import get_script_run_ctx

    context = get_script_run_ctx(suppress_warning=True)
    if context is not None:
        context.yield_check()
