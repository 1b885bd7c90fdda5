// Size and place of the drawing in its window. Lengths are millimetres on the paper unless they say px.

/** The drawing itself, without the margin and the foot that the page shows beside it. */
export const FIELD = { x: 19.6, y: 9.6, w: 342.2, h: 239.8 };
/** A narrow window begins at a size that can be read; "Fit" shows the whole sheet. [px, px per mm] */
const NARROW_PX = 900;
const READ = 3.2;
/** Nothing is shown larger than this. [px per mm] */
const LARGEST = 24;
const AROUND = 6;
const GLIDE_MS = 150;

const host = document.getElementById("sheet");
const over = [document.getElementById("slip"), document.getElementById("drawer")];
const calm = matchMedia("(prefers-reduced-motion: reduce)");
/** Left upper corner and size of what is seen; how it came about: "start", "whole", or "" by hand. */
let view = { x: FIELD.x, y: FIELD.y, scale: 1 };
let fitted = "start";
let kept = [];
let gliding = 0;

const svg = () => host.querySelector(":scope > svg");
const whole = () => Math.min(host.clientWidth / FIELD.w, host.clientHeight / FIELD.h);
const start = () => (host.clientWidth < NARROW_PX ? Math.max(whole(), READ) : whole());

/** How much of the window lies under the slip or the drawer, at its right and at its lower edge. [px] */
function covered() {
  const box = host.getBoundingClientRect();
  const hidden = { right: 0, bottom: 0 };
  for (const rect of over.filter((element) => !element.hidden).map((element) => element.getBoundingClientRect())) {
    if (rect.left >= box.right || rect.top >= box.bottom) continue;
    if (rect.left > box.left + box.width / 4) hidden.right = Math.max(hidden.right, box.right - rect.left);
    else if (rect.top > box.top) hidden.bottom = Math.max(hidden.bottom, box.bottom - rect.top);
  }
  return hidden;
}

/** Hold a view so that the paper stays in sight: no ground shows beside it that need not. */
function held({ x, y, scale }) {
  const { right, bottom } = covered();
  const along = (at, first, length, free) => {
    const last = first + length - free / scale;
    return Math.max(Math.min(first, last), Math.min(Math.max(first, last), at));
  };
  return {
    scale,
    x: along(x, FIELD.x, FIELD.w, host.clientWidth - right),
    y: along(y, FIELD.y, FIELD.h, host.clientHeight - bottom),
  };
}

function show(next) {
  view = held(next);
  const { x, y, scale } = view;
  host.style.setProperty("--px", `${1 / scale}px`);
  if (scale > 0) svg()?.setAttribute("viewBox", `${x} ${y} ${host.clientWidth / scale} ${host.clientHeight / scale}`);
}

/** Lay the sheet into the window anew, as after a change of either's size. */
export function settle() {
  cancelAnimationFrame(gliding);
  if (!svg() || !host.clientWidth) return;
  if (!fitted) return show(view);
  const scale = fitted === "start" ? start() : whole();
  const [blankX, blankY] = [host.clientWidth / scale - FIELD.w, host.clientHeight / scale - FIELD.h];
  show({ scale, x: FIELD.x - Math.max(0, blankX / 2), y: FIELD.y - Math.max(0, blankY / 2) });
  if (kept.length) show(beside(kept));
}

/** Begin a new sheet. */
export function begin() {
  fitted = "start";
  kept = [];
  settle();
}

/** Show the whole sheet. */
export function fit() {
  fitted = "whole";
  kept = [];
  settle();
}

/** Change the size by a factor; what lies at `px`, `py` on the screen stays there. */
export function zoom(factor, px, py) {
  if (!svg()) return;
  byHand();
  const box = host.getBoundingClientRect();
  const [ax, ay] = [(px ?? box.x + box.width / 2) - box.x, (py ?? box.y + box.height / 2) - box.y];
  const scale = Math.max(whole(), Math.min(LARGEST, view.scale * factor));
  show({ scale, x: view.x + ax / view.scale - ax / scale, y: view.y + ay / view.scale - ay / scale });
}

/** Move the paper by pixels of the screen. */
export function pan(dx, dy) {
  byHand();
  show({ ...view, x: view.x - dx / view.scale, y: view.y - dy / view.scale });
}

function byHand() {
  cancelAnimationFrame(gliding);
  fitted = "";
  kept = [];
}

/** The view that shows some boxes beside slip and drawer, moved no further than it must be. */
function beside(boxes) {
  const { right, bottom } = covered();
  const [w, h] = [(host.clientWidth - right) / view.scale, (host.clientHeight - bottom) / view.scale];
  const [near] = boxes;
  const left = Math.min(...boxes.map((box) => box.x));
  const wide = Math.max(...boxes.map((box) => box.x + box.width)) - left;
  const [x, width] = wide < w - 2 * AROUND ? [left, wide] : [near.x, near.width];
  const along = (at, from, length, free) =>
    Math.min(from - AROUND, Math.max(at, from + Math.min(length, free - 2 * AROUND) + AROUND - free));
  return { scale: view.scale, x: along(view.x, x, width, w), y: along(view.y, near.y, near.height, h) };
}

/** Move the paper so that some boxes, the most important first, can be seen; they stay so until it is moved. */
export function reveal(boxes) {
  kept = boxes;
  if (boxes.length) glide(held(beside(boxes)));
}

function glide(to) {
  cancelAnimationFrame(gliding);
  const from = { ...view };
  const began = performance.now();
  const step = (now) => {
    const part = calm.matches ? 1 : Math.min(1, Math.max(0, (now - began) / GLIDE_MS));
    show({ scale: to.scale, x: from.x + (to.x - from.x) * part, y: from.y + (to.y - from.y) * part });
    if (part < 1) gliding = requestAnimationFrame(step);
  };
  step(began);
}

/** A point of the screen on the paper. */
export function onPaper(px, py) {
  const box = host.getBoundingClientRect();
  return [view.x + (px - box.x) / view.scale, view.y + (py - box.y) / view.scale];
}

/** How many millimetres of the paper one pixel of the screen is. */
export const mmPerPx = () => 1 / view.scale;

new ResizeObserver(settle).observe(host);
