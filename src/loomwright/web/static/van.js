// The van sheet as a drawing board: places, parts and corners of paths are moved by mouse, finger or keys. Where
// they are is written into the plan at once, as one edit; what followed is said in words. Lengths are metres of
// the van, or millimetres on the paper where they say mm.

import { page } from "./page.js";
import { moveWith } from "./sheet.js";
import { tip } from "./tip.js";
import { mmPerPx } from "./view.js";

const SVG = "http://www.w3.org/2000/svg";
const GRID_M = 0.05;
const FAR_M = 0.25;
const SNAP_M = 0.1;
const REACH_PX = { mouse: 9, pen: 12, touch: 22 };
/** Presses of arrow keys within this time are one move. */
const BREATH_MS = 400;
/** The plan: rearward goes to the right of the sheet, to the vehicle's right up. */
const KEYS = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [1, 1], ArrowDown: [1, -1] };
const UP = { ArrowUp: [2, 1], ArrowDown: [2, -1] };

const host = document.getElementById("sheet");
const strip = document.getElementById("van");
let carried = null;
/** What the arrow keys have moved since it was last written down: its key, where it is, and the timer. */
let nudged = null;

const narrow = matchMedia("(max-width: 699px)");
page.asList = narrow.matches;

const keyOf = ({ thing }) => `${thing.kind} ${thing.id}`;
const handleOf = ({ kind, id }) => page.board.moving?.handles.find(({ thing }) => thing.kind === kind && thing.id === id);
const round = (metres, step) => Math.round(metres / step) * step;
const nameOf = ({ id, corner }) => (corner === undefined ? id : `corner ${corner + 1} of ${id}`);

/** Where a point is, without signs. */
function words([x, y, z]) {
  const metres = (one) => `${Math.abs(one).toFixed(2)} m`;
  const aside = Math.abs(y) < 0.005 ? "in the middle" : `${metres(y)} ${y > 0 ? "right" : "left"}`;
  return `${metres(x)} ${x < -0.005 ? "ahead" : "rearward"}, ${aside}, ${metres(z)} ${z < -0.005 ? "down" : "up"}`;
}

// By mouse and finger

moveWith({ grab, nudge });

/** Take the nearest handle under a pointer. */
function grab(event, [x, y]) {
  const { handles } = page.board.moving ?? {};
  const reach = (REACH_PX[event.pointerType] ?? REACH_PX.mouse) * mmPerPx();
  let best = null;
  for (const handle of handles ?? []) {
    for (const [view, hx, hy] of handle.spots) {
      const far = Math.hypot(hx - x, hy - y);
      if (far <= reach && (!best || far < best.far)) best = { far, handle, view, off: [hx - x, hy - y] };
    }
  }
  return best && carry(best);
}

function carry({ handle, view, off }) {
  flush();
  const ghost = ghostOf();
  let at = null;
  carried = {
    to([x, y]) {
      if (!ghost.isConnected) return;
      at = spotAt(handle, page.board.moving.views[view], [x + off[0], y + off[1]]);
      show(ghost, handle, at);
    },
    drop() {
      if (!ghost.isConnected) return;
      this.leave();
      if (at) send(handle, at);
    },
    leave() {
      ghost.remove();
      tip("");
      carried = null;
    },
  };
  return carried;
}

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || !carried) return;
  event.preventDefault();
  carried.leave();
}, true);

/** Where a spot of the paper is in the van: on a path that is near, else on a grid. */
function spotAt(handle, view, mm) {
  const at = [...handle.at];
  const axes = view.axes.map(([of]) => of);
  const free = view.axes.map(([, edge, perMm], way) => edge + (mm[way] - view.box[way]) * perMm);
  const near = onPath(handle, axes, free);
  axes.forEach((of, way) => {
    at[of] = near ? round(near[way], 0.01) : round(free[way], GRID_M);
  });
  return at;
}

/** The nearest point of a path, as a view shows it; null if none is near. */
function onPath(handle, [across, down], [x, y]) {
  let best = null;
  for (const [id, points] of Object.entries(page.board.moving.paths)) {
    if (handle.kind === "path" && handle.id === id) continue;
    points.slice(1).forEach((point, k) => {
      const [ax, ay, bx, by] = [points[k][across], points[k][down], point[across], point[down]];
      const [dx, dy] = [bx - ax, by - ay];
      const share = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)));
      const foot = [ax + share * dx, ay + share * dy];
      const far = Math.hypot(foot[0] - x, foot[1] - y);
      if (far <= SNAP_M && (!best || far < best.far)) best = { far, foot };
    });
  }
  return best?.foot ?? null;
}

// What is shown while something moves

function ghostOf() {
  const ghost = document.createElementNS(SVG, "g");
  ghost.setAttribute("class", "ghost");
  host.querySelector(":scope > svg").append(ghost);
  return ghost;
}

/** Show where something is taken, in every view that shows it. */
function show(ghost, handle, at) {
  const lines = handle.spots.map(([number, x, y]) => {
    const { axes, box } = page.board.moving.views[number];
    const [nx, ny] = axes.map(([of, edge, perMm], way) => box[way] + (at[of] - edge) / perMm);
    return `<path d="M${x} ${y}L${nx} ${ny}"/><circle cx="${nx}" cy="${ny}" r="1.8"/>`;
  });
  ghost.innerHTML = lines.join("");
  tip(`${nameOf(handle)}: ${words(at)}`);
}

async function send({ kind, id, corner, at: before }, at) {
  if (at.every((metres, way) => Math.abs(metres - before[way]) < 0.005)) return;
  const to = at.map((metres) => Number(metres.toFixed(3)));
  const done = await page.change("move", corner === undefined ? { kind, id, to } : { kind, id, corner, to }).catch(() => null);
  if (done) page.say(done.says);
}

// By keys

/** Move what the keyboard is on; true if the key was meant for that. */
function nudge(thing, event) {
  const handle = handleOf(thing);
  const [way, sign] = (event.altKey ? UP : KEYS)[event.key] ?? [];
  if (!handle || way === undefined || event.ctrlKey || event.metaKey) return false;
  if (nudged && nudged.key !== keyOf(handle)) flush();
  const at = [...(nudged?.at ?? handle.at)];
  const step = event.shiftKey ? FAR_M : GRID_M;
  at[way] = round(at[way] + sign * step, 0.01);
  const ghost = nudged?.ghost.isConnected ? nudged.ghost : ghostOf();
  clearTimeout(nudged?.timer);
  nudged = { key: keyOf(handle), handle, at, ghost, timer: setTimeout(flush, BREATH_MS) };
  show(ghost, handle, at);
  return true;
}

/** Write down what the arrow keys have moved. */
function flush() {
  if (!nudged?.timer) return;
  clearTimeout(nudged.timer);
  nudged.timer = 0;
  send(nudged.handle, nudged.at);
}

page.addEventListener("shown", ({ detail: { board, before } }) => {
  if (board.rev === before.rev) return;
  if (nudged && !nudged.timer) nudged = null;
  if (!nudged && !carried) tip("");
});

// The strip over the sheet, and the list

strip.addEventListener("change", (event) => {
  if (event.target.id !== "van-band") return;
  page.band = event.target.value;
  page.look().catch(() => {});
});

strip.addEventListener("click", async (event) => {
  const middle = event.target.closest("[data-middle]");
  if (event.target.closest("#van-as-list")) {
    page.asList = !page.asList;
    page.look().catch(() => {});
  } else if (middle) {
    const done = await page.change("put_in_the_middle", { kind: middle.dataset.sort, id: middle.dataset.middle }).catch(() => null);
    if (done) page.say(done.says);
  }
});

let field = "";
host.addEventListener("focusin", (event) => {
  field = event.target.closest(".list.spots") ? event.target.id : "";
});

host.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-corner-of]");
  if (!button) return;
  const { cornerOf: id, number, what } = button.dataset;
  const done = await page.change("corner", { id, corner: Number(number), what }).catch(() => null);
  if (done) page.say(done.says);
});

host.addEventListener("change", async (event) => {
  const { move: kind, of: id, corner } = event.target.dataset;
  if (!kind) return;
  const all = [...host.querySelectorAll("input[data-move]")]
    .filter(({ dataset }) => dataset.move === kind && dataset.of === id && dataset.corner === corner);
  if (all.some((input) => !input.value.trim())) return;
  const what = { kind, id, to: all.map((input) => input.value) };
  try {
    const done = await page.change("move", corner === undefined ? what : { ...what, corner: Number(corner) });
    page.say(done.says);
  } catch {
    document.getElementById(event.target.id)?.setAttribute("aria-invalid", "true");
  }
});

page.addEventListener("shown", () => {
  if (field && document.activeElement === document.body) document.getElementById(field)?.focus({ preventScroll: true });
});
