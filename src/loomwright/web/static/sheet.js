// The sheet of paper: what lies under the pointer or in the direction of an arrow key, and the mark behind what
// is chosen. All lengths are millimetres on the paper unless they say px.

import { cameWithPage, page } from "./page.js";
import { canMove, put } from "./play.js";
import { neighbour, thingsOn, toBox } from "./things.js";
import { FIELD, begin, fit, mmPerPx, onPaper, pan, reveal, settle, zoom } from "./view.js";

const SVG = "http://www.w3.org/2000/svg";
const STEP = 1.25;
const REACH_PX = { mouse: 12, pen: 16, touch: 22 };
const DRAG_PX = 4;
/** Of a thing larger than this only the outline is marked. [mm²] */
const LARGE = 2500;
/** So near to a wire a pointer is on it. [mm] */
const NEAR = 0.8;
/** A place or a corner of a path this small is meant rather than the wires that end there. [mm²] */
const SPOT = 30;
/** Inside a part larger than this a wire in reach is meant rather than the part. [mm²] */
const ROOMY = 900;

const host = document.getElementById("sheet");
const pointers = new Map();
let things = [];
let picker = null;
let dragged = false;

/** Let another module have the next things that are pointed at; null gives them back. */
export function pickWith(taker) {
  picker = taker;
  host.classList.toggle("picking", Boolean(taker));
}

/** What moves things on the sheet: `grab` takes one under a pointer, `nudge` moves one by a key; in turn. */
const movers = [];
export const moveWith = (mover) => movers.push(mover);
/** What a pointer carries now. */
let carried = null;

export const isPicking = () => Boolean(picker);

const svg = () => host.querySelector(":scope > svg");

// What is shown

page.addEventListener("shown", ({ detail: { board, before } }) => {
  const focused = document.activeElement?.closest("#sheet [data-kind]");
  const kept = focused && { ...focused.dataset };
  const drew = Boolean(svg());
  if (board.drawing !== before.drawing) {
    if (!cameWithPage(board, before)) host.innerHTML = board.drawing;
    crop();
    things = svg() ? thingsOn(svg(), FIELD, label) : [];
  }
  if (!svg()) {
    markRows(board);
    return kept && hold(kept);
  }
  if (board.sheet !== before.sheet || before.rev === 0 || !drew) begin();
  else settle();
  mark(board);
  const chosen = board.chosen && find(board.chosen);
  rove((kept && find(kept)) || chosen || things[0], Boolean(kept));
  if (board.chosen && !same(board.chosen, before.chosen)) reveal(marked(board).flatMap((thing) => thing.boxes));
  else if (!board.chosen) settle();
  return undefined;
});

const same = (one, other) => Boolean(one && other) && one.kind === other.kind && one.id === other.id;
const find = (wanted) => things.find((thing) => same(thing, wanted));

/** On the lists, mark the rows of what is chosen. */
function markRows({ marks }) {
  for (const button of host.querySelectorAll("th button[data-kind]")) {
    if (marks.some((other) => same(other, button.dataset))) button.setAttribute("aria-current", "true");
    else button.removeAttribute("aria-current");
  }
}

/** On the lists, keep the keyboard on the row that it was on. */
function hold({ kind, id }) {
  const row = [...host.querySelectorAll("button[data-kind]")].find((button) => same(button.dataset, { kind, id }));
  (row ?? host).focus({ preventScroll: true });
}

function label({ kind, id }) {
  if (kind === "corner") return `corner ${id.split(" ")[1]} of path ${id.split(" ")[0]}`;
  if (kind === "entry") return id.replace(/^paths\./, "path ");
  const name = page.thing({ kind, id })?.name;
  return `${kind} ${id}${name ? `, ${name}` : ""}`;
}

/** Put another drawing of the same sheet in its place, seen as the last one was. */
export function draw(markup) {
  host.innerHTML = markup;
  crop();
  things = thingsOn(svg(), FIELD, label);
  settle();
}

/** What stands beside the field is left out: the page shows it in words of its own size. */
function crop() {
  if (!svg()) return;
  const clip = make("clipPath", { id: "field" });
  clip.append(make("rect", { x: FIELD.x, y: FIELD.y, width: FIELD.w, height: FIELD.h }));
  svg().prepend(clip);
  for (const layer of svg().querySelectorAll(":scope > [data-layer]")) layer.setAttribute("clip-path", "url(#field)");
}

function make(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

/** The things of this sheet that are marked, the chosen one first. */
function marked(board) {
  const here = things.filter((thing) => board.marks.some((other) => same(other, thing)));
  return here.sort((one, other) => same(other, board.chosen) - same(one, board.chosen));
}

/** Lay the mark behind everything that belongs to what is chosen, and lead from it to the slip. */
function mark(board) {
  host.querySelectorAll(".mark, .leader").forEach((element) => element.remove());
  const band = make("g", { class: "mark", "clip-path": "url(#field)" });
  const all = marked(board);
  for (const thing of all) {
    band.append(...thing.paths.map((path) => make("path", { d: path.getAttribute("d") })));
    if (thing.paths.length === 0 && thing.kind !== "finding") band.append(...thing.boxes.map(frame));
  }
  svg().querySelector("[data-layer]:not([data-layer=frame])")?.before(band);
  if (all.length) svg().append(leader(all[0].middle));
}

function frame({ x, y, width, height }) {
  const around = 1.2;
  const large = width * height > LARGE ? { class: "large" } : {};
  return make("rect", { x: x - around, y: y - around, width: width + 2 * around, height: height + 2 * around, ...large });
}

function leader([x, y]) {
  const lead = make("g", { class: "leader" });
  lead.append(make("circle", { cx: x, cy: y, r: 1.9 }), make("path", { d: `M${x + 1.9} ${y}H1000` }));
  return lead;
}

// Pointing

/** What a pointer means: a sign it is on, else the nearest wire in reach, else the smallest part around it. */
function pick(event) {
  const [x, y] = onPaper(event.clientX, event.clientY);
  const reach = (REACH_PX[event.pointerType] ?? REACH_PX.mouse) * mmPerPx();
  const ranked = (picker ? things.filter((thing) => thing.kind !== "wire") : things)
    .map((thing) => [thing.distance(x, y), thing])
    .filter(([distance]) => distance <= reach)
    .sort(([a, one], [b, other]) => a - b || one.far(x, y) - other.far(x, y) || one.size - other.size);
  const on = ranked.filter(([distance]) => distance === 0).map(([, thing]) => thing);
  return on.find((thing) => thing.kind === "finding") ?? on.find((thing) => thing.kind === "terminal")
    ?? on.find((thing) => thing.kind === "stud")
    ?? on.find((thing) => thing.kind === "place" && thing.size < SPOT)
    ?? on.find((thing) => thing.kind === "corner") ?? on.find((thing) => thing.kind === "wire")
    ?? on.sort((one, other) => one.size - other.size).find((thing) => thing.size < ROOMY)
    ?? ranked.find(([, thing]) => thing.kind === "wire")?.[1] ?? ranked[0]?.[1] ?? null;
}

/** The contact or fuse under a pointer that a hand can move, while the van is played; a finger may miss it a little. */
function deviceAt(event) {
  if (picker) return null;
  const [x, y] = onPaper(event.clientX, event.clientY);
  const reach = (event.pointerType === "mouse" ? 3 : REACH_PX.touch) * mmPerPx();
  const near = [...svg().querySelectorAll("[data-device]")]
    .filter((sign) => canMove(sign.dataset.device))
    .map((sign) => [toBox(x, y, sign.getBBox()), sign.dataset.device])
    .filter(([distance]) => distance <= reach)
    .sort(([a], [b]) => a - b);
  return near[0]?.[1] ?? null;
}

/** The nearest wire that a pointer is on; null if there is none. */
export function wireAt(event) {
  if (!svg()) return null;
  const [x, y] = onPaper(event.clientX, event.clientY);
  const near = things.filter((thing) => thing.kind === "wire" && thing.distance(x, y) <= NEAR);
  return near.reduce((best, thing) => (best && best.far(x, y) <= thing.far(x, y) ? best : thing), null);
}

host.addEventListener("pointerdown", (event) => {
  if (!svg() || event.button > 0) return;
  pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  dragged = pointers.size > 1;
  carried?.leave();
  carried = null;
  if (dragged || picker) return;
  for (const mover of movers) carried ??= mover.grab(event, onPaper(event.clientX, event.clientY));
});

host.addEventListener("pointermove", (event) => {
  const before = pointers.get(event.pointerId);
  if (!before) return;
  const [dx, dy] = [event.clientX - before.x, event.clientY - before.y];
  if (!dragged && Math.hypot(dx, dy) < DRAG_PX) return;
  if (!dragged) host.setPointerCapture(event.pointerId);
  dragged = true;
  const now = { x: event.clientX, y: event.clientY };
  if (carried) {
    carried.to(onPaper(now.x, now.y));
    pointers.set(event.pointerId, now);
    return;
  }
  if (pointers.size === 2) {
    const other = [...pointers].find(([id]) => id !== event.pointerId)[1];
    const spread = (point) => Math.hypot(point.x - other.x, point.y - other.y) || 1;
    zoom(spread(now) / spread(before), (now.x + other.x) / 2, (now.y + other.y) / 2);
  }
  pan(dx / pointers.size, dy / pointers.size);
  pointers.set(event.pointerId, now);
});

for (const end of ["pointerup", "pointercancel"]) {
  host.addEventListener(end, (event) => {
    const clicked = pointers.delete(event.pointerId) && !dragged && end === "pointerup";
    if (dragged && end === "pointerup") carried?.drop();
    else carried?.leave();
    carried = null;
    if (!clicked || !svg()) return;
    const device = deviceAt(event);
    if (device) put(device);
    else take(pick(event));
  });
}

/** What is chosen with a thing: with a corner its path. */
function meant({ kind, id }) {
  return kind === "corner" ? { kind: "entry", id: `paths.${id.split(" ")[0]}` } : { kind, id };
}

function take(thing) {
  if (picker) picker(thing && { kind: thing.kind, id: thing.id });
  else if (thing || page.board.chosen) page.choose(thing && meant(thing));
  if (thing) rove(thing, false);
}

host.addEventListener("wheel", (event) => {
  if (!svg()) return;
  event.preventDefault();
  zoom(event.deltaY < 0 ? STEP : 1 / STEP, event.clientX, event.clientY);
}, { passive: false });

document.getElementById("zoom").addEventListener("click", (event) => {
  const way = event.target.closest("[data-zoom]")?.dataset.zoom;
  if (way === "fit") fit();
  else if (way) zoom(way === "in" ? STEP : 1 / STEP);
});

// Keys

/** Make one thing the stop of the Tab key on this sheet. */
function rove(thing, focus) {
  if (!thing) return focus && host.focus();
  for (const other of things) other.element.setAttribute("tabindex", other === thing ? "0" : "-1");
  if (focus) thing.element.focus({ preventScroll: true });
  return undefined;
}

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** The page keys go through all things from left to right, so that none is out of reach. */
const PAGES = { PageUp: -1, PageDown: 1 };

function go(key) {
  const here = things.findIndex((thing) => thing.element === document.activeElement);
  const next = here < 0 ? things[0]
    : ARROWS[key] ? neighbour(things, things[here], ARROWS[key])
    : things[here + PAGES[key]];
  if (!next) return;
  rove(next, true);
  reveal(next.boxes.slice(0, 1));
}

host.addEventListener("keydown", (event) => {
  const thing = things.find((other) => other.element === event.target);
  if (thing && !picker && movers.some((mover) => mover.nudge(thing, event))) {
    event.preventDefault();
  } else if ((ARROWS[event.key] || PAGES[event.key]) && svg()) {
    event.preventDefault();
    go(event.key);
  } else if (thing && (event.key === "Enter" || event.key === " ")) {
    event.preventDefault();
    if (picker) return picker({ kind: thing.kind, id: thing.id });
    page.open(meant(thing));
  }
  return undefined;
});

/** Put the keyboard back on the sheet, on what was chosen last. */
export function focusSheet(thing) {
  if (svg()) return rove((thing && find(thing)) || things.find((other) => other.element.tabIndex === 0) || things[0], true);
  return hold(thing ?? {});
}
