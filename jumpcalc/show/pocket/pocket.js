"use strict";
// Looks up and reads off between solved rows; everything it shows was solved, within the errors that came with it.
const data = JSON.parse(document.getElementById("data").textContent);
const $ = (id) => document.getElementById(id);
const say = (key, places = {}) => Object.entries(places).reduce((text, [name, value]) => text.replaceAll(`<${name}>`, value), data.say[key]);

// numbers as they are read: ends of a band inward, so that what is printed is in it
const TINY = 1e-6;
function number(value, kind, round = Math.round) {
  const amount = value * data.units[kind].per;
  const whole = kind === "length" && data.units.wholeFeet !== null && Math.abs(amount) >= data.units.wholeFeet - 0.05;
  const places = whole ? 1 : 10;
  const nudge = round === Math.ceil ? -TINY : round === Math.floor ? TINY : 0;
  return (round(amount * places + nudge) / places).toFixed(whole ? 0 : 1);
}
const told = (value, kind, round) => `${number(value, kind, round)} ${data.units[kind].sign}`;
const band = (low, high, kind) => say("band", { low: number(low, kind, Math.ceil), high: told(high, kind, Math.floor) });

// between rows
const mix = (a, b, share) => (a === null || b === null ? null : Array.isArray(a) ? a.map((value, i) => mix(value, b[i], share)) : a + share * (b - a));
function between(places, at) {
  const last = places.length - 1;
  if (at < places[0] - TINY || at > places[last] + TINY) return null;
  let i = 0;
  while (i < last - 1 && at > places[i + 1]) i += 1;
  const share = (at - places[i]) / (places[i + 1] - places[i]);
  if (share < TINY) return [i, 0];
  return share > 1 - TINY ? [i + 1, 0] : [i, share];
}
function rowAt(setting, wind) {
  const found = between(data.winds, wind);
  if (found === null) return { no: say("between") };
  const [i, share] = found;
  const a = setting.rows[i];
  if (share === 0) return a.no === null ? { ...a, off: 0 } : { no: say("none", { why: a.no }) };
  const b = setting.rows[i + 1];
  const refused = a.no !== null ? a.no : b.no;
  if (refused !== null) return { no: say("none", { why: refused }) };
  if (!setting.spans[i]) return { no: say("between") };
  let stop = null;
  if (a.stop !== null && b.stop !== null) stop = a.stop.length && b.stop.length ? [Math.max(a.stop[0], b.stop[0]), Math.min(a.stop[1], b.stop[1])] : [];
  return { no: null, off: 1, note: share < 0.5 ? a.note || b.note : b.note || a.note, stop, go: mix(a.go, b.go, share), least: mix(a.least, b.least, share), t: mix(a.t, b.t, share), r: mix(a.r, b.r, share), room: mix(a.room, b.room, share) };
}
function speedsAt(setting, strokes, wind) {
  const found = between(data.winds, wind);
  if (found === null || !setting.v.length) return [];
  const squares = (row) => row.map((v) => (v === null ? null : v * v));
  const rows = setting.v[strokes].map(squares);
  return found[1] === 0 ? rows[found[0]] : mix(rows[found[0]], rows[found[0] + 1], found[1]);
}
function speedFrom(squares, mark) {
  const found = between(data.marks, mark);
  if (found === null || !squares.length) return null;
  const square = found[1] === 0 ? squares[found[0]] : mix(squares[found[0]], squares[found[0] + 1], found[1]);
  return square === null ? null : Math.sqrt(square);
}
function markFor(squares, speed) {
  const wanted = speed * speed;
  let first = null;
  for (let i = 0; i < squares.length; i += 1) {
    if (squares[i] === null) continue;
    if (first === null) first = squares[i];
    const before = i > 0 ? squares[i - 1] : null;
    if (before !== null && before <= wanted && wanted <= squares[i]) {
      return data.marks[i - 1] + ((wanted - before) / (squares[i] - before)) * (data.marks[i] - data.marks[i - 1]);
    }
  }
  return first !== null && first > wanted ? "fast" : null;
}

// today
const ask = $("ask");
const picked = (name) => { const found = ask.querySelector(`input[name="${name}"]:checked`); return found === null ? null : found.value; };
const perUnit = 1 / data.units.speed.per;
const slider = $("blows");
slider.min = Math.ceil(data.winds[0] / perUnit - TINY);
slider.max = Math.floor(data.winds[data.winds.length - 1] / perUnit + TINY);
slider.value = Math.min(Math.max(Math.round(data.wind / perUnit), slider.min), slider.max);
const windNow = () => Number(slider.value) * perUnit;
const setting = () => data.settings.find((one) => one.bike === picked("bike") && one.ground === picked("ground"));
const strokesNow = () => Number(picked("strokes") ?? data.strokes.indexOf(data.own));
const mark = $("mark");
let markTouched = false;
if (mark !== null) {
  const step = data.units.length.sign === "m" ? 0.5 : 0.3048;
  mark.min = 0;
  mark.max = data.marks[data.marks.length - 1];
  mark.step = "any";
  mark.addEventListener("input", () => {
    mark.value = Math.min(Math.max(Math.round(mark.value / step), 1) * step, mark.max);
    markTouched = true;
    show();
  });
  mark.addEventListener("keydown", (event) => {
    const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
    if (!way) return;
    event.preventDefault();
    mark.value = Math.min(Math.max((Math.round(mark.value / step) + way) * step, step), mark.max);
    markTouched = true;
    show();
  });
}
function today() {
  if (picked("ground") === "wet") return { no: say("wet") };
  if (picked("wind") === "gusty") return { no: say("gusty") };
  if (picked("wind") === "side") return { no: $("side-told").textContent };
  const here = setting();
  if (here === undefined) return { no: say("between") };
  const row = rowAt(here, windNow());
  if (row.no !== null) return row;
  const off = row.off ? data.off.room : 0;
  if (row.room !== null && row.room - off < 0) return { no: say("room", { length: told(Math.max(off - row.room, 0.05), "length", Math.ceil) }) };
  return { ...row, squares: speedsAt(here, strokesNow(), windNow()) };
}
function element(name, text, parent) {
  const made = document.createElement(name);
  made.textContent = text;
  parent.append(made);
  return made;
}
function show() {
  const wind = windNow();
  const name = wind > TINY ? "behind" : wind < -TINY ? "ahead" : "still";
  $("blows-told").textContent = say(name, { speed: told(Math.abs(wind), "speed") });
  slider.setAttribute("aria-valuetext", $("blows-told").textContent);
  $("along").hidden = picked("wind") !== "along";
  const now = today();
  const answer = $("answer");
  answer.replaceChildren();
  answer.className = now.no === null ? "script" : "script no";
  if (now.no !== null) element("p", now.no, answer);
  else showAnswer(answer, now);
  showMark(now);
  showCheck(now);
  showDay(now);
}
function showDay(now) {
  // the steps are of the line as measured; nothing to ride by stands on a day that is none
  const own = picked("bike") === data.bike && picked("ground") === "dry" && Math.abs(windNow() - data.wind) <= data.windDoubt;
  const strokes = data.strokes.length === 0 || data.strokes[strokesNow()] === data.own;
  const holds = now.no === null && own && strokes;
  $("steps").hidden = !holds;
  $("not-for").hidden = holds;
  $("not-for").textContent = holds ? "" : say(now.no === null ? "not_for" : "no_day");
}
function showAnswer(answer, now) {
  const [low, aim, high] = now.go;
  const at = now.squares.length ? markFor(now.squares, aim) : undefined;
  let start = typeof at === "number" ? at : null;
  const top = now.squares.length ? now.squares[now.squares.length - 1] : null;
  let first = say("ride_no_mark", { aim: told(aim, "speed"), end: data.end });
  if (start !== null) first = say("ride", { mark: told(start, "length"), aim: told(aim, "speed"), foot: data.foot });
  else if (at === "fast") first = say("fast");
  else if (at === null && top !== null && Math.sqrt(top) - data.off.ridden - (now.off ? data.off.go : 0) >= now.least) {
    start = data.marks[data.marks.length - 1];
    first = say("from_top", { mark: told(start, "length"), speed: told(Math.sqrt(top), "speed"), foot: data.foot });
  } else if (at === null && top !== null) first = say("short", { speed: told(Math.sqrt(top), "speed"), end: data.end });
  else if (at === undefined) first = `${first} ${say("marks_unknown")}`;
  element("p", [data.notes[now.note], first].filter(Boolean).join(" "), answer);
  const list = element("dl", "", answer);
  const pair = (head, text) => { const both = element("div", "", list); element("dt", head, both); element("dd", text, both); };
  pair(say("go"), band(low, high, "speed"));
  let stop = say("last_unknown");
  const own = data.strokes.length === 0 || data.strokes[strokesNow()] === data.own;
  if (own && now.stop !== null && start !== null) {
    stop = now.stop.length ? say("last", { length: told(now.stop[0], "length", Math.ceil), foot: data.foot, speed: told(now.stop[1], "speed", Math.floor) }) : say("last_none");
  }
  pair(say("stop"), stop);
  const room = now.room === null ? null : now.off ? told(now.room - data.off.room, "length", Math.floor) : told(now.room, "length");
  pair(say("room_after"), room === null ? say("room_unknown") : room);
  if (mark !== null && !markTouched && start !== null) mark.value = start;
}
function showMark(now) {
  if (mark === null) return;
  const at = Number(mark.value);
  $("mark-told").textContent = told(at, "length");
  mark.setAttribute("aria-valuetext", told(at, "length"));
  const line = $("from-mark");
  if (now.no !== null) { line.textContent = ""; line.className = ""; return; }
  const speed = speedFrom(now.squares, at);
  const [low, aim, high] = now.go;
  const off = data.off.ridden + (now.off ? data.off.go : 0);
  let text = say("no_mark", { mark: told(at, "length") });
  let good = false;
  if (speed !== null && speed < 0.5 * aim) text = say("far_slow", { mark: told(at, "length") });
  else if (speed !== null) {
    text = say("from_mark", { mark: told(at, "length"), speed: told(speed, "speed"), end: data.end });
    good = speed - off >= low && speed + off <= high;
    if (good) text += say("in");
    else if (speed + off < low) text += say("slow", { speed: told(low - speed, "speed", Math.ceil) });
    else if (speed - off > high) text += say("too_fast", { speed: told(speed - high, "speed", Math.ceil) });
    else text += say("edge");
  }
  line.textContent = text;
  line.className = good ? "" : "no";
}
function showCheck(now) {
  const cells = document.querySelectorAll("#check td");
  data.ways.forEach((way, i) => {
    let text = "–";
    if (now.no === null) {
      const off = now.off ? data.off.times : 0;
      if (way.shows === "speed" && now.r !== null) text = band(now.r[0] + (now.off ? data.off.reads : 0), now.r[2] - (now.off ? data.off.reads : 0), "speed");
      if (way.shows === "time" && now.t !== null) text = `${(Math.ceil((now.t[2] + off) * 100 - TINY) / 100).toFixed(2)} to ${(Math.floor((now.t[0] - off) * 100 + TINY) / 100).toFixed(2)} s`;
      if (way.shows === "frames" && now.t !== null) {
        const least = Math.ceil((now.t[2] + off) * way.rate - TINY);
        const most = Math.floor((now.t[0] - off) * way.rate + TINY);
        if (least <= most) text = least === most ? `${most}` : `${least} to ${most}`;
      }
    }
    cells[i].textContent = text;
  });
}

// what is kept: ticks and tries
let keeps = false;
let kept = { ticks: {}, tries: [] };
try {
  const there = localStorage.getItem(data.key);
  if (there !== null) kept = { ...kept, ...JSON.parse(there) };
  localStorage.setItem(data.key, there ?? JSON.stringify(kept));
  keeps = true;
} catch (refused) { keeps = false; }
function keep() {
  try { localStorage.setItem(data.key, JSON.stringify(kept)); keeps = true; } catch (refused) { keeps = false; }
  $("storage").textContent = data.kept[keeps ? 1 : 0];
  showTries();
}
addEventListener("beforeunload", (event) => { if (!keeps && kept.tries.length) event.preventDefault(); });
// another window of the same page may have kept something meanwhile
addEventListener("storage", (event) => { if (event.key === data.key && event.newValue !== null) { kept = JSON.parse(event.newValue); showTicks(); showTries(); } });

const boxes = [...document.querySelectorAll("[data-tick]")];
function showTicks() {
  for (const box of boxes) box.checked = Boolean(kept.ticks[box.dataset.tick]);
  if ($("ticked") !== null) $("ticked").textContent = say("done", { done: boxes.filter((box) => box.checked).length, all: boxes.length });
}
for (const box of boxes) box.addEventListener("change", () => { kept.ticks[box.dataset.tick] = box.checked; keep(); showTicks(); });

// the log's table: SI, km/h as its columns say
const form = $("try");
const columnOf = (name) => data.columns.find((column) => column === name || column.replace(/_(m|s|kmh)$/, "") === name);
function cell(text) {
  const plain = String(text ?? "").replace(/\s+/g, " ").trim();
  const guarded = data.dangerous.some((start) => plain.startsWith(start)) && !/^-?\d+(\.\d+)?$/.test(plain) ? `'${plain}` : plain;
  return /[",\n]/.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
}
function csv() {
  const rows = [data.columns.join(",")];
  for (const one of kept.tries) rows.push(data.columns.map((column) => cell(column === "whole_row" ? "yes" : one[column])).join(","));
  return `\ufeff${rows.join("\n")}\n`;
}
function showTries() {
  const count = kept.tries.length;
  $("count").textContent = !keeps ? say("not_kept", { count }) : count === 1 ? say("one_kept") : say("kept", { count });
  $("list").replaceChildren();
  for (const one of kept.tries) {
    const parts = [one.date, one.start_mark_m && told(Number(one.start_mark_m), "length"), one.measured, one.outcome, one.note];
    element("li", parts.filter(Boolean).join(", "), $("list"));
  }
  for (const id of ["share", "save", "show"]) $(id).disabled = count === 0;
}
const NEEDS = { "by hand": ["stretch", "before_foot", "time"], filmed: ["stretch", "before_foot", "frames", "rate"], "wheel sensor": ["speed", "before_foot"] };
function showHow() {
  for (const label of $("how").children) label.hidden = !label.dataset.for.split(",").includes(form.measured.value);
  if (data.cones !== null && form.measured.value && form.measured.value !== "wheel sensor" && !form.stretch.value) {
    form.stretch.value = number(data.cones[0], "length");
  }
  if (data.cones !== null && form.measured.value && !form.before_foot.value) form.before_foot.value = number(data.cones[1], "length");
}
form.measured.addEventListener("change", showHow);
const nameOf = (field) => field.labels[0].firstChild.textContent.trim();
function typed(field) {
  // a number in the unit of the form, as the log has it; throws a sentence where it is none
  const text = field.value.trim().replace(",", ".").replace(/[\u2212\u2013]/, "-");
  if (text === "") return null;
  const kind = field.dataset.kind;
  const unit = data.units[kind];
  const value = Number(text) / (unit ? unit.per : 1);
  const [low, high] = data.bounds[field.name];
  const inside = value >= low - 1e-9 && value <= high + 1e-9 && (kind !== "count" || Number.isInteger(value));
  if (!Number.isFinite(value) || !inside) {
    const shown = (end) => (unit ? told(end, kind) : String(end));
    throw new Error(say("number", { name: nameOf(field), given: field.value, low: shown(low), high: shown(high) }));
  }
  return Number((kind === "speed" ? value * 3.6 : value).toPrecision(10));
}
function read() {
  if (!form.date.value) throw new Error(say("date"));
  const one = { fingerprint: data.key.split(" ")[1], date: form.date.value, rider: form.rider.value, outcome: form.outcome.value, note: form.note.value };
  const names = ["start_mark", "start_speed", "tailwind", "touched", "air_time"];
  if (form.measured.value) {
    one.measured = form.measured.value;
    names.push(...NEEDS[one.measured], ...(one.measured === "by hand" ? ["runs"] : []));
  }
  for (const name of names) {
    const value = typed(form[name]);
    if (value !== null) one[columnOf(name)] = value;
    else if (one.measured && NEEDS[one.measured].includes(name)) throw new Error(say("needs", { name: nameOf(form[name]) }));
  }
  if (!one.measured && !one.outcome && one[columnOf("touched")] === undefined && one[columnOf("air_time")] === undefined) throw new Error(say("nothing"));
  const blown = columnOf("tailwind");
  if (one[blown] === undefined && picked("wind") === "along" && Math.abs(windNow() - data.wind) > data.windDoubt / 2) one[blown] = Number((windNow() * 3.6).toPrecision(10));
  if (picked("bike") !== data.bike) one.bike = picked("bike");
  if (data.strokes.length) one.strokes = data.strokes[strokesNow()];
  if (picked("ground") !== "dry") one.note = [one.note, `${picked("ground")} ground`].filter(Boolean).join("; ");
  return one;
}
form.addEventListener("submit", (event) => {
  event.preventDefault();
  $("wrong").textContent = "";
  let one;
  try { one = read(); } catch (wrong) { $("wrong").textContent = wrong.message; return; }
  kept.tries.push(one);
  keep();
  form.touched.value = form.air_time.value = form.note.value = form.time.value = form.frames.value = form.speed.value = "";
  form.outcome.value = "";
  $("count").textContent = `${say(keeps ? "added" : "added_not_kept")} ${$("count").textContent}`;
});
const fileOf = () => new File([csv()], `tries-${data.key.split(" ")[1]}.csv`, { type: "text/csv" });
$("save").addEventListener("click", () => {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(fileOf());
  link.download = fileOf().name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
});
$("show").addEventListener("click", () => {
  $("copy").hidden = false;
  const box = $("copy").querySelector("textarea");
  box.value = csv().slice(1);
  box.focus();
  box.select();
});
let shares = false;
try { shares = Boolean(navigator.canShare && navigator.canShare({ files: [fileOf()] })); } catch (refused) { shares = false; }
$("share").hidden = !shares;
$("share").addEventListener("click", () => navigator.share({ files: [fileOf()] }).catch(() => {}));
$("sure").addEventListener("change", () => { $("clear").disabled = !$("sure").checked; });
$("clear").addEventListener("click", () => {
  kept.tries = [];
  $("sure").checked = false;
  $("clear").disabled = true;
  $("copy").hidden = true;
  keep();
});

// begin
document.documentElement.classList.add("runs");
const day = new Date();
form.date.value = `${day.getFullYear()}-${String(day.getMonth() + 1).padStart(2, "0")}-${String(day.getDate()).padStart(2, "0")}`;
ask.addEventListener("input", show);
ask.addEventListener("submit", (event) => event.preventDefault());
showHow();
showTicks();
keep();
show();
