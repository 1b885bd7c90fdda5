// The sheet of paper: what lies under the pointer or in the direction of an arrow key, size and place of the
// view, and the mark behind what is chosen. All lengths are millimetres on the paper unless they say px.

import { page } from "./page.js";
import { thingsOn } from "./things.js";

const SVG = "http://www.w3.org/2000/svg";
/** The drawing itself, without the margin and the foot that the page shows beside it. */
const FIELD = { x: 19.6, y: 9.6, w: 342.2, h: 239.8 };
const PHONE_PX = 700;
const CLOSEST = 35;
const FARTHEST = 460;
const STEP = 1.25;
const REACH_PX = { mouse: 12, pen: 16, touch: 22 };
const DRAG_PX = 4;
/** Of a thing larger than this only the outline is marked. [mm²] */
const LARGE = 2500;

const host = document.getElementById("sheet");
const calm = matchMedia("(prefers-reduced-motion: reduce)");
const pointers = new Map();
let view = { ...FIELD };
let things = [];
let picker = null;
let dragged = false;

/** Let another module have the next things that are pointed at; null gives them back. */
export function pickWith(taker) {
  picker = taker;
  host.classList.toggle("picking", Boolean(taker));
}

export const svg = () => host.querySelector(":scope > svg");

// What is shown

page.addEventListener("shown", ({ detail: { board, before } }) => {
  const focused = document.activeElement?.closest("#sheet [data-kind]");
  if (board.drawing !== before.drawing) {
    host.innerHTML = board.drawing;
    things = svg() ? thingsOn(svg(), (thing) => label(thing)) : [];
  }
  if (!svg()) return;
  if (board.sheet !== before.sheet || before.rev === 0) view = fitted();
  mark(board);
  apply();
  const chosen = board.chosen && things.find((thing) => same(thing, board.chosen));
  rove((focused && things.find((thing) => same(thing, focused.dataset))) || chosen || things[0], Boolean(focused));
  if (board.chosen && !same(board.chosen, before.chosen)) reveal(board.marks);
});

const same = (one, other) => Boolean(one && other) && one.kind === other.kind && one.id === other.id;

function label({ kind, id }) {
  const name = page.thing({ kind, id })?.name;
  return `${kind} ${id}${name ? `, ${name}` : ""}`;
}

/** Lay the mark behind everything that belongs to what is chosen, and lead from it to the slip. */
function mark(board) {
  host.querySelectorAll(".mark, .leader").forEach((element) => element.remove());
  const band = document.createElementNS(SVG, "g");
  band.setAttribute("class", "mark");
  const marked = things.filter((thing) => board.marks.some((other) => same(other, thing)));
  for (const thing of marked) {
    for (const path of thing.paths) {
      const copy = document.createElementNS(SVG, "path");
      copy.setAttribute("d", path.getAttribute("d"));
      band.append(copy);
    }
    if (thing.paths.length === 0 && thing.kind !== "finding") thing.boxes.forEach((box) => band.append(frame(box)));
  }
  svg().querySelector("[data-layer]:not([data-layer=frame])")?.before(band);
  const first = marked.find((thing) => same(thing, board.chosen)) ?? marked[0];
  if (first) svg().append(leader(first.middle));
}

function frame({ x, y, width, height }) {
  const rect = document.createElementNS(SVG, "rect");
  const around = 1.2;
  for (const [name, value] of Object.entries({ x: x - around, y: y - around, width: width + 2 * around, height: height + 2 * around }))
    rect.setAttribute(name, value);
  if (width * height > LARGE) rect.setAttribute("class", "large");
  return rect;
}

function leader([x, y]) {
  const lead = document.createElementNS(SVG, "g");
  lead.setAttribute("class", "leader");
  lead.innerHTML = `<circle cx="${x}" cy="${y}" r="1.9"/><path d="M${x + 1.9} ${y}H1000"/>`;
  return lead;
}

// Size and place of the view

function fitted() {
  const { clientWidth: width, clientHeight: height } = host;
  if (width >= PHONE_PX || !width) return { ...FIELD };
  const w = (FIELD.h * width) / height;
  return w < FIELD.w ? { x: FIELD.x, y: FIELD.y, w, h: FIELD.h } : { ...FIELD };
}

function apply() {
  svg()?.setAttribute("viewBox", `${view.x} ${view.y} ${view.w} ${view.h}`);
}

/** Change the size by a factor; what lies at `x`, `y` on the screen stays there. */
export function zoom(factor, x, y) {
  if (!svg()) return;
  const box = host.getBoundingClientRect();
  const [px, py] = onPaper(x ?? box.x + box.width / 2, y ?? box.y + box.height / 2);
  const w = Math.min(FARTHEST, Math.max(CLOSEST, view.w / factor));
  const k = w / view.w;
  view = { x: px - (px - view.x) * k, y: py - (py - view.y) * k, w, h: view.h * k };
  apply();
}

export function fit() {
  view = fitted();
  apply();
}

function onPaper(x, y) {
  const point = new DOMPoint(x, y).matrixTransform(svg().getScreenCTM().inverse());
  return [point.x, point.y];
}

const pxToMm = () => 1 / svg().getScreenCTM().a;

/** Move the view so that what is marked can be seen beside the slip. */
function reveal(marks) {
  const boxes = things.filter((thing) => marks.some((other) => same(other, thing))).flatMap((thing) => thing.boxes);
  if (!boxes.length) return;
  const near = boxes[0];
  const [left, right] = [Math.min(...boxes.map((b) => b.x)), Math.max(...boxes.map((b) => b.x + b.width))];
  const wide = right - left > view.w * 0.8 ? near : { x: left, width: right - left };
  const slip = document.getElementById("slip").getBoundingClientRect();
  const box = host.getBoundingClientRect();
  const hidden = Math.max(0, box.right - slip.left) < box.width ? Math.max(0, box.right - slip.left) * pxToMm() : 0;
  const to = { ...view };
  const margin = 6;
  if (wide.x < view.x + margin) to.x = wide.x - margin;
  if (wide.x + wide.width > view.x + view.w - hidden - margin) to.x = wide.x + wide.width + margin + hidden - view.w;
  if (near.y < view.y) to.y = near.y - margin;
  if (near.y + near.height > view.y + view.h && near.height < view.h) to.y = near.y + near.height + margin - view.h;
  glide(to);
}

function glide(to) {
  const from = { ...view };
  const start = performance.now();
  const step = (now) => {
    const part = calm.matches ? 1 : Math.min(1, (now - start) / 150);
    view.x = from.x + (to.x - from.x) * part;
    view.y = from.y + (to.y - from.y) * part;
    apply();
    if (part < 1) requestAnimationFrame(step);
  };
  step(calm.matches ? start + 150 : start);
}

// Pointing

/** What a pointer means: a sign it is on, else the nearest wire in reach, else the smallest part around it. */
function pick(event) {
  const [x, y] = onPaper(event.clientX, event.clientY);
  const reach = REACH_PX[event.pointerType] * pxToMm() || 2;
  const ranked = things
    .map((thing) => [thing.distance(x, y), thing])
    .filter(([distance]) => distance <= reach)
    .sort(([a, one], [b, other]) => a - b || one.size - other.size);
  const on = ranked.filter(([distance]) => distance === 0).map(([, thing]) => thing);
  return on.find((thing) => thing.kind === "finding") ?? on.find((thing) => thing.kind === "terminal")
    ?? on.find((thing) => thing.kind === "stud") ?? on.find((thing) => thing.kind === "wire")
    ?? on.sort((one, other) => one.size - other.size).find((thing) => thing.size < 900)
    ?? ranked.find(([, thing]) => thing.kind === "wire")?.[1] ?? ranked[0]?.[1] ?? null;
}

host.addEventListener("pointerdown", (event) => {
  if (!svg() || event.button > 0) return;
  pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  dragged = pointers.size > 1;
});

host.addEventListener("pointermove", (event) => {
  const before = pointers.get(event.pointerId);
  if (!before) return;
  const [dx, dy] = [event.clientX - before.x, event.clientY - before.y];
  if (!dragged && Math.hypot(dx, dy) < DRAG_PX) return;
  if (!dragged) host.setPointerCapture(event.pointerId);
  dragged = true;
  const now = { x: event.clientX, y: event.clientY };
  if (pointers.size === 2) {
    const other = [...pointers].find(([id]) => id !== event.pointerId)[1];
    const spread = (point) => Math.hypot(point.x - other.x, point.y - other.y) || 1;
    zoom(spread(now) / spread(before), (now.x + other.x) / 2, (now.y + other.y) / 2);
  }
  const mm = pxToMm() / pointers.size;
  view.x -= dx * mm;
  view.y -= dy * mm;
  apply();
  pointers.set(event.pointerId, now);
});

for (const end of ["pointerup", "pointercancel"]) {
  host.addEventListener(end, (event) => {
    const clicked = pointers.delete(event.pointerId) && !dragged && end === "pointerup";
    if (clicked && svg()) take(pick(event));
  });
}

function take(thing) {
  if (picker) picker(thing && { kind: thing.kind, id: thing.id });
  else if (thing || page.board.chosen) page.choose(thing && { kind: thing.kind, id: thing.id });
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

new ResizeObserver(() => apply()).observe(host);

// Keys

/** Make one thing the stop of the Tab key on this sheet. */
function rove(thing, focus) {
  if (!thing) return;
  for (const other of things) other.element.setAttribute("tabindex", other === thing ? "0" : "-1");
  if (focus) thing.element.focus({ preventScroll: true });
}

/** Go from thing to thing: the nearest in the direction of the arrow, what lies straight ahead first. */
function go(dx, dy) {
  const here = things.find((thing) => thing.element === document.activeElement);
  if (!here) return rove(things[0], true);
  const far = (thing) => {
    const [x, y] = [thing.middle[0] - here.middle[0], thing.middle[1] - here.middle[1]];
    const along = x * dx + y * dy;
    return along > 0.5 ? along + 3 * Math.abs(x * dy + y * dx) : Infinity;
  };
  const next = things.reduce((best, thing) => (far(thing) < far(best) ? thing : best), here);
  if (next === here) return undefined;
  rove(next, true);
  return reveal([next]);
}

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

host.addEventListener("keydown", (event) => {
  const thing = things.find((other) => other.element === event.target);
  if (ARROWS[event.key] && svg()) {
    event.preventDefault();
    go(...ARROWS[event.key]);
  } else if (thing && (event.key === "Enter" || event.key === " ")) {
    event.preventDefault();
    if (picker) return picker({ kind: thing.kind, id: thing.id });
    page.choose({ kind: thing.kind, id: thing.id }).then(() => document.querySelector("#slip h1")?.focus());
  }
  return undefined;
});

/** Put the keyboard back on the sheet, on what was chosen last. */
export function focusSheet(thing) {
  rove(things.find((other) => same(other, thing)) ?? things[0], true);
}
