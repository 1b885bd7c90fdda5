// Shorts along a wire: what one draws at the metre that is pointed at, and when it is over there. The keyboard
// goes along the wire that it is on with left and right.

import { page } from "./page.js";
import { moveWith, wireAt } from "./sheet.js";
import { tip } from "./tip.js";
import { onPaper } from "./view.js";

const STEP_M = 0.25;
const FAR_M = 1;
const host = document.getElementById("sheet");
/** The wire that the keyboard is on, and at which of its metres. */
let on = { id: "", m: 0 };

const amps = (value) => (value >= 100 ? Math.round(value).toLocaleString("en") : String(Number(value.toPrecision(3))));
const seconds = (value) => (value < 0.1 ? `${Math.round(1000 * value)} ms` : `${Number(value.toPrecision(2))} s`);

/** Between two metres the ohms of the loop grow evenly. */
function ampsAt(rows, m, which) {
  const next = Math.max(1, rows.findIndex(([at]) => at >= m));
  const [one, other] = [rows[next - 1], rows[next] ?? rows[next - 1]];
  const share = other[0] > one[0] ? (m - one[0]) / (other[0] - one[0]) : 0;
  return 1 / ((1 - share) / one[which] + share / other[which]);
}

function ends([, , word, harmed, low, high]) {
  const said = {
    never: low === null ? "it is never over" : `it is over after ${seconds(low)} at the best, perhaps never`,
    "not known": "when it is over is not known",
    "folds back": "its source folds back, no fuse need open",
  }[word] ?? (low < 0.001 ? `over within ${seconds(high)}` : `over after ${seconds(low)} to ${seconds(high)}`);
  return `${said}${harmed ? "; the cable burns before" : ""}`;
}

/** What a short does at a metre of a wire, in words. */
function told(id, m) {
  const { at, stretches } = page.board.along[id];
  const [least, most] = [ampsAt(at, m, 1), ampsAt(at, m, 2)].map(amps);
  const here = stretches.find(([, to]) => m <= to + 1e-9) ?? stretches.at(-1);
  return `${id} at ${m.toFixed(1)} m: a short draws ${least === most ? least : `${least} to ${most}`} A, ${ends(here)}.`;
}

/** Of a wire whose metres can't be told on this sheet: what holds all along it. */
function toldWhole(id) {
  const { at, stretches } = page.board.along[id];
  const worst = stretches.find(([, , , harmed]) => harmed) ?? stretches.reduce((one, other) => ((other[5] ?? Infinity) > (one[5] ?? Infinity) ? other : one));
  const least = amps(Math.min(...at.map(([, low]) => low)));
  return `${id}, all along: a short draws ${least} to ${amps(Math.max(...at.map(([, , high]) => high)))} A, at its worst ${ends(worst)}.`;
}

/** The metre of a wire that is nearest to a spot of the paper; null if its lines tell none. */
function metreAt(lines, x, y) {
  let best = null;
  for (const line of lines) {
    line.slice(1).forEach(([bx, by, n], k) => {
      const [ax, ay, m] = line[k];
      const [dx, dy] = [bx - ax, by - ay];
      const share = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)));
      const far = Math.hypot(x - ax - share * dx, y - ay - share * dy);
      if (!best || far < best.far) best = { far, m: m + share * (n - m) };
    });
  }
  return best && best.m;
}

/** Where a metre of a wire is on the paper; null if no line shows it. */
function spotOf(lines, m) {
  for (const line of lines) {
    for (let k = 1; k < line.length; k += 1) {
      const [[ax, ay, from], [bx, by, to]] = [line[k - 1], line[k]];
      if (m < Math.min(from, to) - 1e-6 || m > Math.max(from, to) + 1e-6) continue;
      const share = to === from ? 0 : (m - from) / (to - from);
      return [ax + share * (bx - ax), ay + share * (by - ay)];
    }
  }
  return null;
}

function mark(spot) {
  host.querySelector(".metre")?.remove();
  if (!spot) return;
  const circle = document.createElementNS("http://www.w3.org/2000/svg", "circle");
  circle.setAttribute("class", "metre");
  for (const [name, value] of [["cx", spot[0]], ["cy", spot[1]], ["r", 1.6]]) circle.setAttribute(name, value);
  host.querySelector(":scope > svg").append(circle);
}

function tell(id, m) {
  if (page.board.figures) return tip(`${id}: ${page.board.figures[id]}`);
  const { lines } = page.board.along[id];
  mark(lines.length ? spotOf(lines, m) : null);
  return tip(lines.length ? told(id, m) : toldWhole(id));
}

function nothing() {
  mark(null);
  if (telling()) tip("");
}

/** What is known of wires on this sheet: shorts along them, or one figure each. */
const telling = () => page.board.along ?? page.board.figures;
const known = (thing) => thing?.kind === "wire" && Boolean(telling()?.[thing.id]);

host.addEventListener("pointermove", (event) => {
  if (!telling() || event.buttons) return;
  const thing = wireAt(event);
  if (!known(thing)) return nothing();
  const [x, y] = onPaper(event.clientX, event.clientY);
  return tell(thing.id, metreAt(page.board.along?.[thing.id].lines ?? [], x, y) ?? 0);
});

host.addEventListener("pointerleave", () => telling() && nothing());

host.addEventListener("focusin", (event) => {
  const thing = event.target.closest("g[data-kind]")?.dataset;
  if (!telling() || !event.target.matches(":focus-visible")) return;
  if (!known(thing)) return nothing();
  on = { id: thing.id, m: on.id === thing.id ? on.m : 0 };
  return tell(on.id, on.m);
});

host.addEventListener("focusout", () => telling() && nothing());

moveWith({
  grab: () => null,
  nudge(thing, event) {
    const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (!way || !page.board.along || !known(thing) || event.altKey || event.ctrlKey || event.metaKey) return false;
    const { long } = page.board.along[thing.id];
    const m = (on.id === thing.id ? on.m : 0) + way * (event.shiftKey ? FAR_M : STEP_M);
    on = { id: thing.id, m: Math.min(long, Math.max(0, m)) };
    tell(on.id, on.m);
    return true;
  },
});
