"""A process of its own that searches one site, so that nobody else on the page waits for it.

``python -m jumpcalc.show.page.sizer`` takes a site from its standard input and writes what it knows, step by step, to its standard
output, both pickled by the page that started it. A further byte asks it to make do with what it has; the input's end that nobody waits.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.studies.sizing.whole import sized

__all__ = ["main"]

_NICE = 10


def main() -> None:
    """Search the site that is handed in."""
    if hasattr(os, "nice"):
        os.nice(_NICE)
    given, told = sys.stdin.buffer, sys.stdout.buffer
    site, seed = pickle.load(given)
    enough = threading.Event()

    def listen() -> None:
        while given.read(1):
            enough.set()
        os._exit(0)  # whoever asked is gone

    threading.Thread(target=listen, daemon=True).start()
    try:
        for now in sized(site, np.random.default_rng(seed), stop=enough.is_set):
            pickle.dump(now, told)
            told.flush()
    except InputError as error:
        pickle.dump(str(error), told)
        told.flush()
    os._exit(0)  # the listener waits in a read that nothing ends


if __name__ == "__main__":
    main()
