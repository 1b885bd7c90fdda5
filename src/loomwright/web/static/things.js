// What can be chosen on a drawn sheet: each thing of the plan with all that is drawn of it.

/** An end of a wire this near to a part or to another wire is joined with it. [mm] */
const JOINED = 1.2;
/** Layers in which a thing is itself; elsewhere it is only spoken of. */
const FIRST = ["wires", "symbols", "findings", "rails"];

/** Return the things within the field of a sheet, from left to right; `label` tells how one is read out. */
export function thingsOn(svg, field, label) {
  const inside = (element) => {
    const box = element.getBBox();
    return box.x < field.x + field.w && box.y < field.y + field.h;
  };
  const drawn = [...svg.querySelectorAll("g[data-kind]")].filter(inside);
  const groups = Map.groupBy(drawn, (g) => `${g.dataset.kind} ${g.dataset.id}`);
  const things = [...groups.values()].map((elements) => thingOf(elements));
  things.sort((one, other) => one.middle[0] - other.middle[0] || one.middle[1] - other.middle[1]);
  for (const thing of things) {
    thing.element.setAttribute("role", "button");
    thing.element.setAttribute("aria-label", label(thing));
    thing.element.setAttribute("tabindex", "-1");
  }
  return things;
}

const layer = (element) => element.parentNode.dataset.layer;

function thingOf(elements) {
  const { kind, id } = elements[0].dataset;
  const rank = (element) => (FIRST.indexOf(layer(element)) + 1 || FIRST.length + 1);
  const drawn = elements.filter((element) => layer(element) !== "text").sort((one, other) => rank(one) - rank(other));
  const wires = elements.filter((element) => layer(element) === "wires");
  const lined = { wire: wires, entry: drawn }[kind] ?? [];
  const paths = lined.flatMap((element) => [...element.querySelectorAll(":scope > path")]);
  const lines = paths.flatMap((path) => segments(path.getAttribute("d")));
  const ends = lines.flatMap(([x1, y1, x2, y2]) => [[x1, y1], [x2, y2]]);
  const boxes = (drawn.length ? drawn : elements).map((element) => element.getBBox());
  const sizes = boxes.map((box) => box.width * box.height);
  const middle = lines.length ? middleOf(lines) : [boxes[0].x + boxes[0].width / 2, boxes[0].y + boxes[0].height / 2];
  const distance = (x, y) => Math.min(...(lines.length
    ? lines.map((line) => Math.max(0, toLine(x, y, line) - 0.8))
    : boxes.map((box) => toBox(x, y, box))));
  const far = (x, y) => (lines.length ? Math.min(...lines.map((line) => toLine(x, y, line))) : 0);
  const element = drawn[0] ?? elements[0];
  return { kind, id, element, paths, ends, boxes, middle, distance, far, size: Math.max(...sizes) };
}

/** The straight pieces of a path of M and L. */
function segments(d) {
  const points = d.slice(1).split("L").map((pair) => pair.trim().split(" ").map(Number));
  return points.slice(1).map((point, index) => [...points[index], ...point]);
}

function middleOf(lines) {
  const [x1, y1, x2, y2] = lines.reduce((best, line) => (length(line) > length(best) ? line : best));
  return [(x1 + x2) / 2, (y1 + y2) / 2];
}

const length = ([x1, y1, x2, y2]) => Math.hypot(x2 - x1, y2 - y1);

function toLine(x, y, [x1, y1, x2, y2]) {
  const [dx, dy] = [x2 - x1, y2 - y1];
  const part = Math.min(1, Math.max(0, ((x - x1) * dx + (y - y1) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(x - x1 - part * dx, y - y1 - part * dy);
}

export function toBox(x, y, box) {
  const dx = Math.max(box.x - x, 0, x - box.x - box.width);
  const dy = Math.max(box.y - y, 0, y - box.y - box.height);
  return Math.hypot(dx, dy);
}

/**
 * Where an arrow key leads from one thing: up and down go along the wire to what it is joined with, else, and to
 * the sides, to what lies nearest in that direction; what lies straight ahead comes first.
 */
export function neighbour(things, here, [dx, dy]) {
  const [x, y] = here.middle;
  const far = ([px, py]) => {
    const along = (px - x) * dx + (py - y) * dy;
    return along > 0.5 ? along + 3 * Math.abs((px - x) * dy + (py - y) * dx) : Infinity;
  };
  const nearest = (among, points) => {
    const ranked = among.map((thing) => [Math.min(...points(thing).map(far)), thing]);
    const [distance, thing] = ranked.reduce((best, one) => (one[0] < best[0] ? one : best), [Infinity, null]);
    return distance < Infinity ? thing : null;
  };
  const joined = dy ? things.filter((thing) => areJoined(here, thing)) : [];
  return nearest(joined, (thing) => [thing.middle, ...thing.ends]) ?? nearest(things, (thing) => [thing.middle]);
}

function areJoined(one, other) {
  const touches = (wire, thing) => wire.ends.some(([x, y]) => thing.distance(x, y) <= JOINED);
  return one !== other && (one.paths.length || other.paths.length) && one.kind !== "finding" && other.kind !== "finding"
    && (touches(one, other) || touches(other, one));
}
