"""Files that are written whole or not at all, and names of files as a message shows them."""

from __future__ import annotations

import contextlib
import os
import stat
from pathlib import Path

from jumpcalc.errors import FileError
from jumpcalc.plan.inputs.valid import echo

__all__ = ["check_free", "folder", "shown_name", "write_whole"]

_LONGEST = 1000  # characters of a name


def shown_name(path: str | Path) -> str:
    """The name of a file on one line: in quotes where it is empty or holds what cannot be printed.

    Parameters
    ----------
    path : str or pathlib.Path
        A name as the caller gave it.

    Returns
    -------
    str
        Printable text.
    """
    name = str(path)
    return name if name and name.isprintable() and len(name) <= _LONGEST else echo(name, longest=_LONGEST)


def check_free(path: str | Path, *, force: bool = False) -> None:
    """Refuse a name that `write_whole` would not write to, before anything is worked out for it.

    Parameters
    ----------
    path : str or pathlib.Path
        Name of the file to be.
    force : bool
        Whether a file that is there may be written over.

    Raises
    ------
    FileError
        If there is a file and `force` is not given, or something that is not a file.
    """
    try:
        mode = os.stat(path).st_mode
    except FileNotFoundError:
        return
    except (OSError, ValueError) as error:
        raise _not_written(path, error) from None
    if stat.S_ISDIR(mode):
        raise FileError("a folder; give the name of a file", file=shown_name(path))
    if not stat.S_ISREG(mode):
        raise FileError("not an ordinary file; give another name", file=shown_name(path))
    if not force:
        raise _there(path)


def folder(path: str | Path) -> None:
    """Make a folder where there is none.

    Parameters
    ----------
    path : str or pathlib.Path
        Its name.

    Raises
    ------
    FileError
        If something else has the name, or it cannot be made.
    """
    try:
        Path(path).mkdir(exist_ok=True)
    except FileExistsError:
        raise FileError("not a folder; give another name", file=shown_name(path)) from None
    except (OSError, ValueError) as error:
        raise _not_written(path, error) from None


def write_whole(path: str | Path, content: bytes, *, force: bool = False) -> None:
    """Write a file whole, or leave everything as it was.

    Parameters
    ----------
    path : str or pathlib.Path
        Name of the file.
    content : bytes
        What it will hold.
    force : bool
        Whether a file that is there may be written over.

    Raises
    ------
    FileError
        If there is a file and `force` is not given, also one that came meanwhile, or it cannot be written.

    Notes
    -----
    The content goes to a file beside it, which takes the name when all of it is on the disk. A link is
    followed, so that the file that it names is written, and a file written over keeps its permissions.
    """
    import secrets  # brings cryptography along, and most commands write no file

    check_free(path, force=force)
    target = Path(os.path.realpath(path))
    beside = target.with_name(f".jumpcalc-{secrets.token_hex(8)}.part")
    try:
        with beside.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        if force:
            with contextlib.suppress(FileNotFoundError):
                os.chmod(beside, stat.S_IMODE(os.stat(target).st_mode))
            os.replace(beside, target)
        else:
            _take_name(beside, target)
    except FileExistsError:
        raise _there(path) from None
    except OSError as error:
        raise _not_written(path, error) from None
    finally:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)


def _take_name(beside: Path, target: Path) -> None:
    """Give a file the name that nothing has; FileExistsError where something has it, or gets it meanwhile."""
    try:
        os.link(beside, target)
    except FileExistsError:
        raise
    except OSError:  # memory cards and some network drives know no second name: keep the place with an empty file
        target.open("xb").close()
        try:
            os.replace(beside, target)
        except BaseException:
            target.unlink()
            raise


def _there(path: str | Path) -> FileError:
    return FileError("is there already; --force writes over it", file=shown_name(path))


def _not_written(path: str | Path, error: OSError | ValueError) -> FileError:
    reason = getattr(error, "strerror", None) or str(error)
    if isinstance(error, FileNotFoundError):
        reason = "there is no such folder"
    return FileError(f"cannot be written: {reason}", file=shown_name(path))
