"""The terminal: standard output and standard error that may be full, closed or gone, Ctrl-C, and patience."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from typing import NoReturn, TextIO

__all__ = ["one_line", "patience", "put", "steps", "stoppable", "tell", "to_utf8"]

_PATIENCE = 2.0  # s without a word
_CONTROLS = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f]")  # all but the line break


class _Stopped(KeyboardInterrupt):
    """Ctrl-C, under a name that the interpreter does not know: after its own, the exit status is not always ours."""


@contextlib.contextmanager
def stoppable() -> Iterator[threading.Event]:
    """While it lasts, Ctrl-C sets the event and raises a KeyboardInterrupt, unless the caller has other plans for it.

    Yields
    ------
    threading.Event
        Set by Ctrl-C.
    """
    stopped = threading.Event()

    def stop(number: int, frame: object) -> NoReturn:
        stopped.set()
        raise _Stopped

    ours = threading.current_thread() is threading.main_thread()
    if not ours or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield stopped
        return
    signal.signal(signal.SIGINT, stop)
    try:
        yield stopped
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)


@contextlib.contextmanager
def patience(text: str) -> Iterator[None]:
    """While something takes long, tell so once, where a person looks on.

    Parameters
    ----------
    text : str
        What to tell.
    """
    if sys.stderr is None or not sys.stderr.isatty():
        yield
        return
    timer = threading.Timer(_PATIENCE, tell, [text])
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


@contextlib.contextmanager
def steps(what: str) -> Iterator[Callable[[int, int], None]]:
    """While something goes in steps, show how far it is, where a person looks on; the line is wiped at the end.

    Parameters
    ----------
    what : str
        What is done.

    Yields
    ------
    callable
        To be told how many steps are done, of how many at most.
    """
    looked_at = sys.stderr is not None and sys.stderr.isatty()

    def write(text: str) -> None:
        if looked_at:
            with contextlib.suppress(OSError):
                sys.stderr.write(f"\r{text}")
                sys.stderr.flush()

    try:
        yield lambda done, most: write(f"{what}: round {done} of at most {most}")
    finally:
        write(" " * (len(what) + 24) + "\r")


def to_utf8() -> None:
    """Have both streams write UTF-8, and a question mark for half a character of a file name."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")


def put(text: str) -> None:
    """Print on standard output, at once.

    Parameters
    ----------
    text : str
        What to print; control characters, which a line's title may hold, are escaped, as in JSON, so that none
        moves the cursor.

    Raises
    ------
    OSError
        If not all of it was taken; a BrokenPipeError where the reader has left, as ``| head`` does.
    """
    if sys.stdout is None:
        raise OSError("it is closed")
    try:
        sys.stdout.write(_CONTROLS.sub(lambda found: f"\\u{ord(found[0]):04x}", text))
        sys.stdout.flush()
    except OSError:
        _let_go(sys.stdout)
        raise


def tell(text: str) -> None:
    """Print one line on standard error, if anything takes it.

    Parameters
    ----------
    text : str
        What to tell.
    """
    if sys.stderr is None:
        return
    try:
        sys.stderr.write(one_line(f"jumpcalc: {text}"))
        sys.stderr.flush()
    except OSError:
        _let_go(sys.stderr)


def one_line(text: str) -> str:
    """Text as one line, with its line break; what cannot be printed is escaped.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        One line.
    """
    return "".join(c if c.isprintable() else repr(c)[1:-1] for c in text) + "\n"


def _let_go(stream: TextIO) -> None:
    """Send to nowhere what a stream still holds, or the interpreter would try again at its end and complain."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)
