"""Many people at once: sessions of the page that each change an input every two seconds or so.

``python tests/benchmarks/load_page.py`` starts the page on a free port of this machine, opens 25 sessions over its own
websocket, as a browser does, and prints how long a change takes until its drawing and until all of it has come, what
went wrong, and the memory of the server. It asks no other machine and ends by itself.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import random
import socket
import statistics
import subprocess
import sys
import time
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import websockets
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from streamlit.proto.WidgetStates_pb2 import WidgetState

ROOT = Path(__file__).parents[2]
GAP, FAR = "Gap, level from edge to knuckle (m)", "Distance from the knuckle, along the ground (m)"
WAYS = {"size": (GAP, 3.6, 4.8), "ride": (GAP, 3.6, 4.8), "explain": (FAR, 0.3, 4.0)}
"""Ways in: what is changed, and between what."""
MOST_SESSIONS, MOST_ROUNDS = 100, 100
LONGEST = 300.0  # s, all in all


@dataclass
class Measured:
    """What all sessions saw, in seconds; `lost` says what went wrong."""

    opened: list[float] = field(default_factory=list)
    drawn: list[float] = field(default_factory=list)
    finished: list[float] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)


class Session:
    """One visitor: keeps what the page's widgets are called and the query that the page has put into the address."""

    def __init__(self, base: str, way: str) -> None:
        self.host = urlsplit(base).netloc
        if urlsplit(base).hostname not in ("127.0.0.1", "localhost", "::1"):
            raise SystemExit(f"{base}: only a page on this machine is loaded")
        self.query, self.widgets, self.typed = f"way={way}", {}, {}

    async def __aenter__(self) -> Session:
        self.socket = await websockets.connect(
            f"ws://{self.host}/_stcore/stream", subprotocols=["streamlit"], max_size=None, open_timeout=60
        )
        return self

    async def __aexit__(self, *_: object) -> None:
        await self.socket.close()

    async def run(self, **values: float) -> tuple[float | None, float]:
        """Seconds until the first drawing of a run of the page and until its end; `values` are typed before, by label."""
        message = BackMsg()
        message.rerun_script.query_string = self.query
        for label, value in values.items():
            self.typed[self.widgets[label]] = value
        for name, value in self.typed.items():
            message.rerun_script.widget_states.widgets.append(WidgetState(id=name, double_value=value))
        begun, drawn = time.perf_counter(), None
        await self.socket.send(message.SerializeToString())
        while True:
            sent = ForwardMsg.FromString(await asyncio.wait_for(self.socket.recv(), 60))
            kind = sent.WhichOneof("type")
            if kind == "page_info_changed":
                self.query = sent.page_info_changed.query_string
            elif kind == "script_finished" and sent.script_finished == ForwardMsg.FINISHED_SUCCESSFULLY:
                return drawn, time.perf_counter() - begun
            elif kind == "delta" and sent.delta.WhichOneof("type") == "new_element":
                element = sent.delta.new_element
                match element.WhichOneof("type"):
                    case "exception":
                        raise RuntimeError(element.exception.message)
                    case "number_input":
                        self.widgets[element.number_input.label] = element.number_input.id
                    case "imgs" | "bidi_component":
                        drawn = drawn or time.perf_counter() - begun  # the drawing comes in the message itself


async def visit(base: str, way: str, measured: Measured, *, rounds: int, think: float, number: int) -> None:
    """One visitor's stay: the page opened, then changes with time to look between them."""
    chance = random.Random(number)
    label, low, high = WAYS[way]
    try:
        await asyncio.sleep(chance.uniform(0, think))
        async with Session(base, way) as session:
            measured.opened.append((await session.run())[1])
            for _ in range(rounds):
                await asyncio.sleep(chance.uniform(0.5, 1.5) * think)
                drawn, finished = await session.run(**{label: round(chance.uniform(low, high), 3)})
                measured.finished.append(finished)
                if drawn is not None:
                    measured.drawn.append(drawn)
    except Exception as error:  # one visitor's bad luck is counted and does not end the others' stay
        measured.lost.append(f"{way}, visitor {number}: {error!r}"[:300])


async def load(base: str, *, sessions: int, rounds: int, think: float, ways: list[str], again: int) -> Measured:
    """All visitors at once; each time `again` they type other numbers, so that nothing is known of them yet."""
    measured = Measured()
    stays = [
        visit(base, ways[n % len(ways)], measured, rounds=rounds, think=think, number=again * sessions + n)
        for n in range(sessions)
    ]
    await asyncio.wait_for(asyncio.gather(*stays), LONGEST)
    return measured


def memory(process: int) -> tuple[float, list[float]]:
    """Memory of the server and of each of its workers [MB]; NaN and none where the system does not tell."""

    def resident(one: int | str) -> float:
        rows = Path(f"/proc/{one}/status").read_text().split("\n")
        return next(int(row.split()[1]) for row in rows if row.startswith("VmRSS")) / 1024

    try:
        children = {child for tasks in Path(f"/proc/{process}/task").iterdir() for child in (tasks / "children").read_text().split()}
        return resident(process), [resident(child) for child in sorted(children)]
    except OSError:
        return float("nan"), []


def told_memory(process: int) -> str:
    """The same in words."""
    server, workers = memory(process)
    return f"server {server:.0f} MB, workers {', '.join(f'{one:.0f}' for one in workers) or 'none'}"


def start_page() -> tuple[subprocess.Popen[bytes], str]:
    """The page as the README starts it, on a free port: its process and address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(port)],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=ROOT,
    )  # fmt: skip
    base, end = f"http://127.0.0.1:{port}", time.monotonic() + 60
    while process.poll() is None and time.monotonic() < end:
        try:
            if urllib.request.urlopen(base + "/_stcore/health", timeout=1).read() == b"ok":
                return process, base
        except OSError:
            time.sleep(0.1)
    process.kill()
    raise SystemExit("the page did not start")


def quantile(seconds: list[float], share: float) -> float:
    """The value under which a share of them lies."""
    return sorted(seconds)[min(len(seconds) - 1, int(share * len(seconds)))]


def told(name: str, seconds: list[float]) -> str:
    """Median, 95th percentile and most, as a row."""
    if not seconds:
        return f"{name:38s} none"
    return f"{name:38s} median {statistics.median(seconds):6.2f} s, 95 % {quantile(seconds, 0.95):6.2f} s, most {max(seconds):6.2f} s"


def main() -> None:
    """Load the page and print what was measured."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sessions", type=int, default=25, help=f"visitors at once, at most {MOST_SESSIONS}")
    parser.add_argument("--rounds", type=int, default=10, help=f"changes that each makes, at most {MOST_ROUNDS}")
    parser.add_argument("--think", type=float, default=2.0, help="seconds between changes of one visitor, half to half as many again")
    parser.add_argument("--ways", default="size,ride,explain", help="ways in, taken in turn")
    parser.add_argument("--again", type=int, default=1, help="how often all of it is repeated: memory is to stay flat")
    asked = parser.parse_args()
    sessions, rounds = min(asked.sessions, MOST_SESSIONS), min(asked.rounds, MOST_ROUNDS)
    process, base = start_page()
    try:
        print(f"{sessions} visitors, {rounds} changes each, one about every {asked.think:g} s, {os.cpu_count()} cores")
        for again in range(asked.again):
            before, begun = told_memory(process.pid), time.perf_counter()
            measured = asyncio.run(
                load(base, sessions=sessions, rounds=rounds, think=asked.think, ways=asked.ways.split(","), again=again)
            )
            wall = time.perf_counter() - begun
            print(told("page opened", measured.opened))
            print(told("change to the new drawing", measured.drawn))
            print(told("change to all of the page", measured.finished))
            print(f"{len(measured.finished) / wall:.1f} changes a second, {len(measured.lost)} visitors lost")
            print(f"memory before: {before}; after: {told_memory(process.pid)}")
            for row in measured.lost:
                print("  ", row)
    finally:
        process.terminate()
        process.wait(10)


if __name__ == "__main__":
    main()
