"""Where the wheels touch and how hard it hits, over the speed at the lip's edge, in three winds.

``python examples/landings_over_speed.py landings.png`` draws it for the first gap; a second word names another line.
"""

import sys
from pathlib import Path

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from jumpcalc import land, read_line, solve

KMH = 1 / 3.6  # m/s
WINDS = {"headwind of 10 km/h": (-10 * KMH, ":"), "still air": (0.0, "-"), "tailwind of 10 km/h": (10 * KMH, "--")}


def draw(line_file: Path, picture: Path) -> None:
    """Draw the landings of a line's first jump into a file; its ending says which kind."""
    line = read_line(line_file)
    window = solve(line).jumps[0].window.speeds
    landing = line.jumps[0].landing
    speeds = np.linspace(3.0, 15.0, 801) if window is None else np.linspace(0.8 * window.min, 1.3 * window.max, 801)

    figure = Figure(figsize=(7, 7), layout="constrained")
    FigureCanvasAgg(figure)
    where, hit = figure.subplots(2, 1, sharex=True)
    for name, (tailwind, style) in WINDS.items():
        # arrays in, arrays out: one call for all speeds
        landed = land(line, speeds, tailwind=tailwind)
        clean = np.array([outcome == "clean" for outcome in landed.outcomes])
        along = np.where(landed.reached, landed.along, np.nan)
        where.plot(speeds / KMH, along, "k" + style, lw=0.8, label=name)
        where.plot(speeds / KMH, np.where(clean, along, np.nan), "k" + style, lw=2.4)
        hit.plot(speeds / KMH, np.where(landed.reached, landed.fall_height, np.nan), "k" + style, lw=0.8)
    where.axhspan(0, landing.length, color="0.9")
    where.text(0.02, landing.length / 2, "the face", va="center", transform=where.get_yaxis_transform())
    where.set_ylim(-0.5, landing.length + 3)
    where.set_ylabel("down the landing from its knuckle (m)")
    where.legend(title="thick: clean")
    hit.set_ylim(0, 3)
    hit.set_ylabel("hits as hard as a drop of (m)")
    hit.set_xlabel("speed at the lip's edge (km/h)")
    where.set_xlim(speeds[0] / KMH, speeds[-1] / KMH)
    if window is not None:
        for panel in (where, hit):
            panel.axvspan(window.min / KMH, window.max / KMH, color="tab:brown", alpha=0.15, lw=0)
        hit.text(window.aim / KMH, 2.8, "clean in\nthe line's wind", ha="center", va="top", fontsize=8)
    figure.suptitle(f"{line.title}: a model's numbers, not a permit")
    figure.savefig(picture, dpi=120)


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        raise SystemExit("give the picture's file, and a line file if it is not the first gap")
    draw(Path(sys.argv[2] if len(sys.argv) == 3 else Path(__file__).parent / "first_gap.toml"), Path(sys.argv[1]))
