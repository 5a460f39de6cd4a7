"""The log of tries after kills: two writers at once, one of them killed at a random moment, again and again.

``python tests/benchmarks/kill_log.py 500`` prints how many tries were confirmed, how many of them are in the file and how many
rows are torn.
"""

from __future__ import annotations

import os
import random
import select
import signal
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, fields
from pathlib import Path

from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.show.files.tries_csv import append_tries
from jumpcalc.show.files.tries_read import read_tries

LONGEST = 0.03  # s until a writer is killed
A_LOG = 25  # rounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Killed:
    """How many tries writers were told are kept, how many of them are not there, and how many rows are no try of theirs."""

    kills: int
    confirmed: int
    lost: int
    torn: int
    refused: int


def written(writer: int, number: int) -> Try:
    """A try that says who wrote it, as long as a row gets."""
    return Try(date="2026-11-14", rider=f"writer {writer}", strokes=number % 100, outcome="clean", note=f"{number} " + 'long, "note" ' * 30)


def write_for_ever(log: Path, writer: int, told: int) -> None:
    """Append tries and tell each one's number once it is kept."""
    number = 0
    while True:
        append_tries(log, [written(writer, number)])
        os.write(told, number.to_bytes(4, "big"))
        number += 1


def kill_writers(log: Path, *, kills: int, rng: random.Random) -> Killed:
    """Kill writers of one log, with a second one writing beside each."""
    confirmed: Counter[Try] = Counter()
    may: set[Try] = set()
    for kill in range(kills):
        children = []
        for writer in (2 * kill, 2 * kill + 1):
            seen, told = os.pipe()
            child = os.fork()
            if child == 0:
                try:
                    os.close(seen)
                    write_for_ever(log, writer, told)
                finally:
                    os._exit(1)
            os.close(told)
            children.append((writer, child, seen))
        select.select([children[0][2]], [], [], 5)  # until the first one writes
        time.sleep(rng.uniform(0, LONGEST))
        for _, child, _ in children:
            os.kill(child, signal.SIGKILL)
            time.sleep(rng.uniform(0, LONGEST / 10))
        for writer, child, seen in children:
            os.waitpid(child, 0)
            numbers = b""
            while more := os.read(seen, 65536):
                numbers += more
            os.close(seen)
            count = len(numbers) // 4
            confirmed.update(written(writer, n) for n in range(count))
            may.update(written(writer, n) for n in range(count + 1))  # the last one may be kept without a word
    read = read_tries(log)
    there = Counter(read.tries)
    return Killed(
        kills=2 * kills,
        confirmed=confirmed.total(),
        lost=(confirmed - there).total(),
        torn=sum(count for one, count in there.items() if one not in may or count > 1),
        refused=len(read.refused),
    )


if __name__ == "__main__":
    rounds, rng, found = int(sys.argv[1] if len(sys.argv) > 1 else 500) // 2, random.Random(1), []  # two kills a round
    with tempfile.TemporaryDirectory() as folder:
        for first in range(0, rounds, A_LOG):  # one log of all would be longer than any that is read
            log = Path(folder) / f"log_{first}.csv"
            found.append(kill_writers(log, kills=min(A_LOG, rounds - first), rng=rng))
    print(Killed(**{field.name: sum(getattr(one, field.name) for one in found) for field in fields(Killed)}))
