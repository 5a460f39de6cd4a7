"""A process that works out what the page asks of it, so that whoever else is on the page does not wait for that.

``python -m jumpcalc.show.page.worker`` takes names of functions with their inputs from its standard input, one after the other, and
writes what they give, or the error that they raise, to its standard output, pickled both ways by the page that started it. It
ends with its input.
"""

from __future__ import annotations

import gc
import os
import pickle
import sys
from importlib import import_module
from typing import Any

from jumpcalc.show.page import worked  # noqa: F401, what is mostly asked for
from jumpcalc.show.page.elsewhere import Elsewhere

__all__ = ["main"]


def main() -> None:
    """Work off what is asked."""
    gc.freeze()  # what was imported stays
    given = sys.stdin.buffer
    told = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # nothing else may be written among the answers
    while True:
        try:
            name, inputs = pickle.load(given)
        except EOFError:
            return
        told.write(answered(name, inputs))
        told.flush()


def answered(name: tuple[str, str], inputs: tuple[Any, ...]) -> bytes:
    """What comes back for one thing that is asked.

    Parameters
    ----------
    name : tuple of str
        Module and name of a function.
    inputs : tuple
        Its inputs.

    Returns
    -------
    bytes
        Pickled: "value" and what it gives, "error" and what it raises, or "lost" where neither can be handed over.
    """
    module, function = name
    try:
        found = getattr(import_module(module), function)
        answer = "value", found.here(*inputs) if isinstance(found, Elsewhere) else found(*inputs)
    except Exception as error:  # whoever asked gets to know it
        answer = "error", error
    try:
        made = pickle.dumps(answer, pickle.HIGHEST_PROTOCOL)
        if answer[0] == "error":
            pickle.loads(made)  # an error may be written and not be read
        return made
    except Exception:
        return pickle.dumps(("lost", True))


if __name__ == "__main__":
    main()
