"""A drawing to tap, over which two flights run on one clock: stepped by a finger, or slowly; still until someone asks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache

import streamlit as st
from streamlit.runtime import get_instance

from jumpcalc.show.page import names
from jumpcalc.show.paper.pick import LOOKS
from jumpcalc.show.paper.svg import DARK

__all__ = ["player"]

SLOWER = 4
"""How many times slower than it was a flight runs."""

_AIM, _THEIRS = (look["color"] for look in LOOKS.values())
_HTML = """
<div class="clock-stage"><img draggable="false"><svg aria-hidden="true"></svg></div>
<div class="clock-row" hidden>
  <button type="button">Run slowly</button>
  <label><span class="clock-name">Time since the edge</span> <output></output><input type="range" min="0" step="0.02"></label>
</div>
"""
_CSS = f"""
.clock-stage {{ position: relative; }}
.clock-stage img {{ width: 100%; display: block; cursor: crosshair; touch-action: manipulation; border-radius: 0.5rem; }}
.clock-stage svg {{ position: absolute; inset: 0; width: 100%; height: 100%; pointer-events: none; overflow: hidden; }}
.clock-stage g {{ fill: none; stroke: {_AIM}; stroke-width: 2; stroke-linecap: round; }}
.clock-stage g + g {{ stroke: {_THEIRS}; }}
.clock-stage .clock-head {{ fill: {_AIM}; stroke: none; }}
.clock-stage g + g .clock-head {{ fill: {_THEIRS}; }}
.clock-row {{ display: flex; gap: 0.75rem; align-items: center; margin-top: 0.5rem; font-family: inherit; color: inherit; }}
.clock-row[hidden] {{ display: none; }}
.clock-row label {{ flex: 1; font-size: 0.875rem; }}
.clock-row output {{ font-weight: 600; font-variant-numeric: tabular-nums; }}
.clock-row input {{ width: 100%; min-height: 1.75rem; margin: 0; accent-color: var(--st-primary-color, auto); }}
.clock-row button {{ min-height: 2.25rem; padding: 0 0.9rem; font: inherit; color: inherit; background: transparent;
  border: 1px solid currentColor; border-radius: 0.5rem; cursor: pointer; white-space: nowrap; }}
@media (pointer: coarse) {{ .clock-row button, .clock-row input {{ min-height: 2.75rem; }} }}
@media (prefers-reduced-motion: reduce) {{ .clock-row button {{ display: none; }} }}
@media (prefers-color-scheme: dark) {{
  .clock-stage g {{ stroke: {DARK[_AIM]}; }}
  .clock-stage g + g {{ stroke: {DARK[_THEIRS]}; }}
  .clock-stage .clock-head {{ fill: {DARK[_AIM]}; }}
  .clock-stage g + g .clock-head {{ fill: {DARK[_THEIRS]}; }}
}}
@media print {{ .clock-row {{ display: none; }} }}
"""
# the drawing is shown as a picture, so that nothing in it can run; the bikes over it are made of numbers alone
_JS = """
const NS = 'http://www.w3.org/2000/svg';

function bike(group, at, radius) {
  const [, rx, ry, fx, fy, hx, hy] = at;
  const frame = `M${rx} ${ry}L${fx} ${fy}M${(rx + fx) / 2} ${(ry + fy) / 2}L${hx} ${hy}`;
  const rings = [[rx, ry], [fx, fy]].map(([x, y]) =>
    `M${x - radius} ${y}a${radius} ${radius} 0 1 0 ${2 * radius} 0a${radius} ${radius} 0 1 0 ${-2 * radius} 0`);
  group.children[0].setAttribute('d', frame + rings.join(''));
  group.children[1].setAttribute('cx', hx);
  group.children[1].setAttribute('cy', hy);
}

function between(moments, time) {
  const next = moments.findIndex((moment) => moment[0] >= time);
  if (next === 0) return moments[0];
  if (next < 0) return moments[moments.length - 1];
  const [a, b] = [moments[next - 1], moments[next]], share = (time - a[0]) / (b[0] - a[0]);
  return a.map((value, part) => value + share * (b[part] - value));
}

export default function ({ parentElement, data, setTriggerValue }) {
  const find = (name) => parentElement.querySelector(name);
  const picture = find('img'), over = find('svg'), row = find('.clock-row');
  const slider = find('input'), told = find('output'), button = find('button');
  picture.src = 'data:image/svg+xml;charset=utf-8,' + encodeURIComponent(data.svg);
  picture.alt = data.alt;
  picture.onclick = (event) => {
    const box = picture.getBoundingClientRect();
    setTriggerValue('place', [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height]);
  };
  row.hidden = data.flights.length === 0;
  over.setAttribute('viewBox', `0 0 ${data.width} ${data.height}`);
  over.replaceChildren();
  if (row.hidden) return;
  const groups = data.flights.map(() => {
    const group = document.createElementNS(NS, 'g'), head = document.createElementNS(NS, 'circle');
    head.setAttribute('r', 4);
    head.setAttribute('class', 'clock-head');
    group.append(document.createElementNS(NS, 'path'), head);
    over.append(group);
    return group;
  });
  const end = Math.max(...data.flights.map((flight) => flight[flight.length - 1][0]));
  slider.max = (Math.ceil(end * 50) / 50).toFixed(2);
  const show = () => {
    const time = Number(slider.value);
    data.flights.forEach((flight, number) => bike(groups[number], between(flight, time), data.wheel));
    told.textContent = `${time.toFixed(2)} s`;
    slider.setAttribute('aria-valuetext', `${time.toFixed(2)} seconds since the edge`);
  };
  const key = JSON.stringify(data.flights);
  if (slider.dataset.flights !== key) {
    slider.dataset.flights = key;
    slider.value = slider.max;
  }
  let frame = 0;
  const stop = () => {
    cancelAnimationFrame(frame);
    frame = 0;
    button.textContent = 'Run slowly';
  };
  slider.oninput = () => { stop(); show(); };
  button.onclick = () => {
    if (frame) { stop(); return; }
    button.textContent = 'Stop';
    const from = Number(slider.value) < Number(slider.max) ? Number(slider.value) : 0, begun = performance.now();
    const run = (now) => {
      slider.value = from + Math.max(0, now - begun) / 1000 / data.slower;
      show();
      if (Number(slider.value) < Number(slider.max)) frame = requestAnimationFrame(run); else stop();
    };
    frame = requestAnimationFrame(run);
  };
  show();
  return stop;
}
"""


@lru_cache(maxsize=1)
def _component(server: object) -> Callable[..., object]:
    """The component of one running server."""
    return st.components.v2.component("jumpcalc_player", html=_HTML, css=_CSS, js=_JS, isolate_styles=False)


def player(
    size: tuple[float, float],
    svg: str,
    flights: Sequence[Sequence[Sequence[float]]],
    *,
    wheel: float,
    alt: str,
    key: names.Kept,
    take: Callable[[float, float], None],
) -> None:
    """A drawing, over it two bikes at one time since the edge; each tap calls `take`.

    Parameters
    ----------
    size : tuple of float
        Width and height of the drawing [pt].
    svg : str
        The drawing.
    flights : sequence of sequence of sequence of float
        From `paper.pick.clock`; empty where nothing flies.
    wheel : float
        Radius of a wheel [pt].
    alt : str
        The drawing's message in words.
    key : Kept
        Of the widget.
    take : callable
        Told the shares of width and height, 0 to 1 from the top left corner, at which it was tapped.
    """

    def told() -> None:
        place = key.value.place
        if place is not None:
            take(*(min(max(float(share), 0.0), 1.0) for share in place))

    data = {
        "svg": svg, "alt": alt, "width": size[0], "height": size[1], "flights": flights, "wheel": wheel, "slower": SLOWER,
    }  # fmt: skip
    _component(get_instance())(key=key.name, data=data, on_place_change=told)
