"use strict";
const plan = JSON.parse(document.getElementById("plan").textContent);
const $ = (id) => document.getElementById(id);
const SVG = "http://www.w3.org/2000/svg";
const CARD = 85.6; // mm: ISO/IEC 7810, ID-1

// Each step is one opening, or the outline; `done` holds the places of those that are cut.
const steps = plan.openings.slice();
const outline = { outline: true, at: [plan.width / 2, plan.height], r: 0, strokes: plan.outline, sitting: 0 };
if (plan.outline_when === "first") steps.unshift(outline);
else steps.push(outline);
steps.forEach((step, place) => { step.place = place; });
const firstOpening = plan.outline_when === "first" ? 1 : 0;
outline.sitting = steps[plan.outline_when === "first" ? 1 : steps.length - 2].sitting;

const done = new Set();
let now = 0;
let stroke = 0;
let pxPerMm = 96 / 25.4;

// ------------------------------------------------------------------ what is kept between visits
let keeps = true;
function kept(name, value) {
  try {
    if (value === undefined) return localStorage.getItem(name);
    localStorage.setItem(name, value);
  } catch { keeps = false; }
  return null;
}
function ranges(numbers) {
  const parts = [];
  for (const n of [...numbers].sort((a, b) => a - b)) {
    const last = parts[parts.length - 1];
    if (last && last[1] === n - 1) last[1] = n;
    else parts.push([n, n]);
  }
  return parts.map(([a, b]) => (a === b ? `${a}` : `${a}-${b}`)).join(",");
}
function remember() { kept(plan.key, ranges(done)); tellKept(); }
function recall() {
  for (const part of (kept(plan.key) || "").split(",")) {
    const [a, b = a] = part.split("-").map(Number);
    if (part && a >= 0 && b < steps.length) for (let n = a; n <= b; n += 1) done.add(n);
  }
  const size = Number(kept("canivet-px-per-mm"));
  if (size > 1 && size < 20) pxPerMm = size;
  tellKept();
}
function tellKept() {
  $("kept").textContent = keeps
    ? "Ticks are kept in this browser, on this device."
    : "This browser keeps no ticks: note the last number before you close the page.";
}

// ------------------------------------------------------------------ drawing
const wide = plan.openings.length > plan.most_paths;
const wastes = wide ? [] : [...document.querySelectorAll("#waste path")];
let shapes = null;

function element(name, attributes, parent) {
  const made = document.createElementNS(SVG, name);
  for (const key in attributes) made.setAttribute(key, attributes[key]);
  parent.appendChild(made);
  return made;
}
function isFront() { return $("front").checked; }
function angle() {
  const one = steps[now] && steps[now].strokes[stroke];
  return $("turn").checked && one && one.angle !== null && !isFront() ? one.angle : 0;
}
/** The part of the sheet that is shown: its middle, and mm per CSS pixel. */
function view() {
  const box = $("picture").getBoundingClientRect();
  const margin = plan.margin;
  const turned = angle() % 180 === 0 ? [plan.width, plan.height] : [Math.hypot(plan.width, plan.height), Math.hypot(plan.width, plan.height)];
  const whole = Math.max((turned[0] + 2 * margin) / box.width, (turned[1] + 2 * margin) / box.height);
  const zoom = document.querySelector("input[name=zoom]:checked").value;
  const unit = zoom === "true" ? 1 / pxPerMm : zoom === "near" ? Math.min(whole, Math.max(whole / 4, 3.2 * Math.max(reachOf(steps[now]), 4) / Math.min(box.width, box.height))) : whole;
  const fits = unit >= whole * 0.999;
  const at = fits || !steps[now] ? [plan.width / 2, plan.height / 2] : placeOf(steps[now]);
  return { at, unit, wide: box.width * unit, high: box.height * unit };
}
function reachOf(step) {
  if (!step) return 10;
  if (step.outline) return Math.max(plan.width, plan.height);
  return step.reach;
}
function placeOf(step) { return step.outline ? [plan.width / 2, plan.height / 2] : step.at; }

function draw() {
  const seen = view();
  const turn = angle();
  const [x, y] = seen.at;
  $("picture").setAttribute("viewBox", `${x - seen.wide / 2} ${y - seen.high / 2} ${seen.wide} ${seen.high}`);
  const flip = isFront() && plan.mirrored ? ` translate(${plan.width} 0) scale(-1 1)` : "";
  $("sheet").setAttribute("transform", `rotate(${-turn} ${x} ${y})${flip}`);
  if (wide) drawWide(seen, turn, flip !== "");
  drawMarks(seen.unit, turn);
  drawNumbers(seen.unit, turn);
  drawWeak(seen.unit);
  $("side").textContent = isFront() ? "The finished front." : plan.side;
}
function drawWide(seen, turn, flipped) {
  const canvas = $("wide");
  const box = $("picture").getBoundingClientRect();
  const home = $("figure").getBoundingClientRect();
  const dense = window.devicePixelRatio || 1;
  canvas.hidden = false;
  Object.assign(canvas.style, { left: `${box.left - home.left}px`, top: `${box.top - home.top}px`, width: `${box.width}px`, height: `${box.height}px` });
  canvas.width = box.width * dense; canvas.height = box.height * dense;
  if (!shapes) shapes = plan.openings.map((one) => new Path2D(one.d));
  const to = canvas.getContext("2d");
  const scale = dense / seen.unit;
  to.setTransform(scale, 0, 0, scale, canvas.width / 2, canvas.height / 2);
  to.rotate((-turn * Math.PI) / 180);
  to.translate(-seen.at[0], -seen.at[1]);
  if (flipped) { to.translate(plan.width, 0); to.scale(-1, 1); }
  const front = isFront();
  const sheet = new Path2D(plan.paper);
  if (!front) { to.fillStyle = "#ffffff"; to.fill(new Path2D(plan.around)); }
  to.fillStyle = "#17140f"; to.fill(sheet);
  plan.openings.forEach((one, k) => {
    to.fillStyle = front ? $("ground").value : done.has(k + firstOpening) ? "#a9b8a3" : "#ffffff";
    to.fill(shapes[k]);
  });
}
function polyline(points) { return "M" + points.map((p) => p.join(" ")).join("L"); }

function drawMarks(unit, turn) {
  const marks = $("marks");
  marks.replaceChildren();
  const step = steps[now];
  if (!step || isFront()) return;
  if (!step.outline) element("path", { d: step.d, class: "coming" }, marks);
  step.strokes.forEach((one, k) => {
    const current = k === stroke;
    const width = Math.min((current ? 5 : 2.2) * unit, Math.max(unit, (current ? 0.35 : 0.16) * (step.r || 99)));
    const line = { d: polyline(one.points), class: "stroke", "stroke-width": width, "data-tool": one.tool };
    element("path", { ...line, class: "halo", "stroke-width": width + 3 * unit }, marks);
    if (one.tool === "scissors") line["stroke-dasharray"] = `${7 * unit} ${3.5 * unit}`;
    if (current) line["marker-end"] = "url(#tip)";
    element("path", line, marks);
    if (current && one.overrun) drawOverrun(one, unit, marks);
  });
  if (step.pierce) {
    const [x, y, arm] = step.pierce;
    const a = arm * Math.SQRT1_2;
    element("path", { d: `M${x - a} ${y - a}L${x + a} ${y + a}M${x - a} ${y + a}L${x + a} ${y - a}`, class: "stroke", "stroke-width": 2.5 * unit }, marks);
  }
  if (!step.outline) drawAim(step, unit, turn, marks);
}
function drawOverrun(one, unit, marks) {
  const [a, b] = one.points.slice(-2);
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  const end = [b[0] + ((b[0] - a[0]) / length) * one.overrun, b[1] + ((b[1] - a[1]) / length) * one.overrun];
  element("path", { d: polyline([b, end]), class: "stroke", "stroke-width": 2 * unit }, marks);
}
/** Fine lines in from the edges, and the number on a plate beside the opening. */
function drawAim(step, unit, turn, marks) {
  const [x, y] = step.at;
  const ring = step.reach + 10 * unit;
  const far = plan.margin;
  element("path", { d: `M${-far} ${y}H${x - ring}M${x + ring} ${y}H${plan.width + far}M${x} ${-far}V${y - ring}M${x} ${y + ring}V${plan.height + far}`, class: "halo", "stroke-width": 3.4 * unit }, marks);
  element("path", { d: `M${-far} ${y}H${x - ring}M${x + ring} ${y}H${plan.width + far}M${x} ${-far}V${y - ring}M${x} ${y + ring}V${plan.height + far}`, class: "aim", "stroke-width": 1.3 * unit }, marks);
  element("circle", { cx: x, cy: y, r: ring, class: "halo", "stroke-width": 6 * unit }, marks);
  element("circle", { cx: x, cy: y, r: ring, class: "aim", "stroke-width": 3 * unit }, marks);
  const text = String(step.number);
  const size = 24 * unit;
  const away = (x > plan.width / 2 ? -1 : 1) * (ring + (8 + 8 * text.length) * unit);
  const [lx, ly] = [x + away, y - ring - 14 * unit];
  const label = element("g", { transform: `rotate(${turn} ${x} ${y}) translate(${lx} ${ly})` }, marks);
  element("rect", { x: (-10 - 7 * text.length) * unit, y: -size * 0.72, width: (20 + 14 * text.length) * unit, height: size * 1.44, rx: 4 * unit, class: "label", "stroke-width": 2 * unit }, label);
  element("text", { class: "number", "font-size": size, "font-weight": 600 }, label).textContent = text;
}
function drawNumbers(unit, turn) {
  const group = $("numbers");
  group.toggleAttribute("hidden", !$("show-numbers").checked || isFront());
  if (group.hasAttribute("hidden")) return;
  group.replaceChildren();
  const seen = view();
  for (const step of plan.openings) {
    const size = Math.min(14 * unit, (1.5 * step.r) / Math.max(1, 0.55 * String(step.number).length));
    if (size < 6.5 * unit || done.has(step.place)) continue;
    if (Math.abs(step.at[0] - seen.at[0]) > seen.wide || Math.abs(step.at[1] - seen.at[1]) > seen.high) continue;
    const at = { class: "number", x: step.at[0], y: step.at[1], "font-size": size };
    if (turn) at.transform = `rotate(${turn} ${step.at[0]} ${step.at[1]})`;
    element("text", at, group).textContent = step.number;
  }
}
function drawWeak(unit) {
  const group = $("weak");
  group.toggleAttribute("hidden", !$("show-weak").checked);
  group.replaceChildren();
  plan.weak.forEach((place) => {
    const r = Math.max(2.2 * place.width, 9 * unit);
    const [x, y] = place.at;
    for (const [kind, width] of [["weak", 6], ["weak-in", 3]]) {
      const ring = element("path", { d: `M${x} ${y - r}L${x + r} ${y}L${x} ${y + r}L${x - r} ${y}Z`, class: kind, "stroke-width": width * unit }, group);
      element("title", {}, ring).textContent = place.words;
    }
  });
}
function drawGone(place) {
  if (steps[place].outline) document.body.classList.toggle("outline-gone", done.has(place));
  else if (!wide) wastes[place - firstOpening].classList.toggle("gone", done.has(place));
}

// ------------------------------------------------------------------ words
function counted(n, word) { return `${n} ${word}${n === 1 ? "" : "s"}`; }
function tell() {
  const step = steps[now];
  $("bar").firstElementChild.style.width = `${(100 * done.size) / steps.length}%`;
  const left = steps.reduce((sum, one) => sum + (done.has(one.place) ? 0 : one.minutes || 0), 0);
  $("progress").textContent = `${done.size} of ${steps.length} cut; about ${inHours(left)} to go.`;
  $("back").disabled = now === 0 && stroke === 0;
  if (!step) {
    $("which").textContent = "All is cut.";
    $("where").textContent = "Lift the piece out; whatever still hangs is cut again, never tugged.";
    $("how").textContent = "";
    return;
  }
  $("which").textContent = step.outline ? "The outline" : `Opening ${step.number} of ${plan.openings.length}`;
  const [x, y] = step.at;
  const r = (v) => Math.round(v);
  $("where").textContent = step.outline
    ? "All round the piece; what lies outside is your handle until then."
    : `Sitting ${step.sitting} of ${plan.sittings}; ${r(x)} mm from the left, ${r(plan.height - y)} mm from the foot, as it lies before you.`;
  $("how").textContent = howTo(step);
}
function howTo(step) {
  const knife = step.strokes.filter((one) => one.tool === "knife").length;
  const scissors = step.strokes.length - knife;
  const said = [];
  if (knife) said.push(`${counted(knife, "stroke")} of the knife`);
  if (step.pierce) said.push("an X with the knife to let the scissors in");
  if (scissors) said.push(`${counted(scissors, "run")} of the scissors`);
  const one = step.strokes[stroke];
  if (!one) return `${said.join(", ")}.`;
  const turned = one.angle === null ? "" : `, sheet turned ${Math.round(one.angle)}°`;
  const ends = one.frees ? "; it frees the waste" : one.overrun ? `; stop within ${one.overrun} mm of the corner` : "";
  const below = one.below ? ", from below" : "";
  return `${said.join(", ")}. Now: ${one.tool} ${stroke + 1}${turned}${below}${ends}.`;
}
function inHours(minutes) {
  const whole = Math.round(minutes);
  return whole < 90 ? `${whole} min` : `${Math.floor(whole / 60)} h ${String(whole % 60).padStart(2, "0")} min`;
}

// ------------------------------------------------------------------ stepping
function show() { tell(); draw(); listed(); }
function setDone(place, cut) {
  if (cut) done.add(place); else done.delete(place);
  drawGone(place);
}
function forward() {
  if (!steps[now]) return;
  setDone(now, true);
  do { now += 1; } while (now < steps.length && done.has(now));
  stroke = 0; remember(); show();
}
function backward() {
  if (now === 0) return;
  now -= 1; stroke = 0;
  setDone(now, false); remember(); show();
}
function strokeForward() {
  if (steps[now] && stroke < steps[now].strokes.length - 1) { stroke += 1; show(); } else forward();
}
function strokeBackward() {
  if (stroke > 0) { stroke -= 1; show(); } else backward();
}
function goTo(place) { now = place; stroke = 0; show(); }

// ------------------------------------------------------------------ the lists, filled as they are opened
const rows = new Map();
function makeLists() {
  for (let sitting = 1; sitting <= plan.sittings; sitting += 1) {
    const own = steps.filter((step) => step.sitting === sitting);
    const list = document.createElement("details");
    const head = document.createElement("summary");
    head.textContent = `Sitting ${sitting}: ${counted(own.length, "step")}, about ${inHours(own.reduce((sum, one) => sum + (one.minutes || 0), 0))}`;
    list.append(head);
    list.addEventListener("toggle", () => { if (list.open && list.children.length === 1) fill(list, own); });
    $("lists").append(list);
  }
}
function fill(list, own) {
  for (const step of own) {
    const label = document.createElement("label");
    const box = document.createElement("input");
    box.type = "checkbox"; box.checked = done.has(step.place);
    box.addEventListener("change", () => {
      setDone(step.place, box.checked); remember();
      now = steps.findIndex((one) => !done.has(one.place));
      if (now < 0) now = steps.length;
      stroke = 0; show();
    });
    label.append(box, step.outline ? "the outline" : `${step.number}: ${step.kind}`);
    rows.set(step.place, [box, label]);
    list.append(label);
  }
  listed();
}
let marked = null;
function listed() {
  for (const [place, [box]] of rows) if (box.checked !== done.has(place)) box.checked = done.has(place);
  if (marked) marked.classList.remove("now");
  const row = rows.get(now);
  marked = row ? row[1] : null;
  if (marked) marked.classList.add("now");
}
/** For paper: every step with a box to tick, by sitting; made only when it is printed. */
function makeTable() {
  const table = $("table");
  table.replaceChildren();
  for (let sitting = 1; sitting <= plan.sittings; sitting += 1) {
    const head = document.createElement("h2");
    head.textContent = `Sitting ${sitting}`;
    table.append(head);
    for (const step of steps.filter((one) => one.sitting === sitting)) {
      const line = document.createElement("p");
      line.textContent = `${done.has(step.place) ? "☑" : "☐"} ${step.outline ? "the outline" : `${step.number}: ${step.kind}`}`;
      table.append(line);
    }
  }
}

// ------------------------------------------------------------------ hands
$("next").addEventListener("click", forward);
$("back").addEventListener("click", backward);
$("stroke-next").addEventListener("click", strokeForward);
$("stroke-back").addEventListener("click", strokeBackward);
$("find").addEventListener("submit", (event) => {
  event.preventDefault();
  const number = Number($("number").value);
  const place = steps.findIndex((step) => step.number === number);
  if (place < 0) $("how").textContent = `There is no opening ${$("number").value}; they run from 1 to ${plan.openings.length}.`;
  else goTo(place);
});
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.target.matches("input, summary")) return;
  const does = { ArrowRight: forward, ArrowLeft: backward, PageDown: forward, PageUp: backward, ArrowDown: strokeForward, ArrowUp: strokeBackward }[event.key];
  if (does) { event.preventDefault(); does(); }
});
let from = null;
$("figure").addEventListener("pointerdown", (event) => { from = event.pointerType === "mouse" ? null : [event.clientX, event.clientY]; });
$("figure").addEventListener("pointercancel", () => { from = null; });
$("figure").addEventListener("pointerup", (event) => {
  if (!from) return;
  const dx = event.clientX - from[0];
  const dy = event.clientY - from[1];
  from = null;
  if (Math.abs(dx) > 50 && Math.abs(dx) > 2 * Math.abs(dy)) (dx < 0 ? forward : backward)();
});
for (const id of ["turn", "show-numbers", "show-weak"]) $(id).addEventListener("change", show);
document.querySelectorAll("input[name=zoom]").forEach((one) => one.addEventListener("change", show));
$("front").addEventListener("change", () => { document.body.classList.toggle("front", isFront()); show(); });
$("ground").addEventListener("input", () => { document.documentElement.style.setProperty("--ground", $("ground").value); if (wide) draw(); });
$("card-width").addEventListener("input", () => {
  pxPerMm = Number($("card-width").value) / CARD;
  $("card-bar").style.width = `${$("card-width").value}px`;
  kept("canivet-px-per-mm", String(pxPerMm)); tellKept(); draw();
});
window.addEventListener("resize", draw);
window.addEventListener("beforeprint", makeTable);

// ------------------------------------------------------------------ begin
recall();
document.body.classList.toggle("wide", wide);
done.forEach(drawGone);
now = steps.findIndex((step) => !done.has(step.place));
if (now < 0) now = steps.length;
$("card-width").value = pxPerMm * CARD;
$("card-bar").style.width = `${pxPerMm * CARD}px`;
document.documentElement.style.setProperty("--ground", $("ground").value);
if (!plan.weak.length) $("show-weak").parentElement.hidden = true;
makeLists();
show();
