// Play: the van in a state set by hand. What was moved lives in this window only, with a history of its own;
// nothing of it is in the plan until it is kept there.

import { page } from "./page.js";

const strip = document.getElementById("play");
const ENGINE = "@engine";
const IGNITION = "@ignition";
const REST = { mode: "parked", sets: {}, sun: false };

/** States before the one that is shown, and those taken back. */
let past = [];
let taken = [];
/** The name that is being typed for a state to keep: the strip is put in anew with every move. */
let typed = "";

export const isPlaying = () => Boolean(page.play);

/** Show another state; what can't be shown is not kept. */
async function go(next, before = page.play) {
  page.play = next;
  try {
    await page.look();
    return true;
  } catch {
    page.play = before;
    return false;
  }
}

/** Go on to another state, so that it can be taken back. */
async function move(next) {
  const before = page.play;
  if (!(await go(next))) return;
  past.push(before);
  taken = [];
}

async function start() {
  [past, taken] = [[], []];
  if (!page.board.sheet.startsWith("wiring")) await page.look({ sheet: "wiring-1" });
  await go(REST);
  strip.querySelector("select")?.focus();
}

export async function stop() {
  await go(null);
  document.querySelector("[data-act=play]")?.focus();
}

export function back() {
  if (!past.length) return page.say("Nothing was moved before this.");
  taken.push(page.play);
  return go(past.pop());
}

export function again() {
  if (!taken.length) return page.say("Nothing was taken back.");
  past.push(page.play);
  return go(taken.pop());
}

/** Whether a hand can move a device. */
export const canMove = (device) => Boolean(page.board.playing?.hand[device]);

/** Put a device into a position, the next one if none is named. An engine runs with its ignition on only. */
export function put(device, to = after(device)) {
  const { mode, sets, sun, positions, turning } = page.board.playing;
  const next = { ...sets, [device]: to };
  if (device === ENGINE && to === "running") next[IGNITION] = "on";
  if (device === IGNITION && to === "off") next[ENGINE] = "stopped";
  const stood = Object.fromEntries(turning.map((id) => [id, positions[id]]));
  return move({ mode, sets: next, sun, stood });
}

function after(device) {
  const { hand, positions } = page.board.playing;
  const all = hand[device];
  return all[(all.indexOf(positions[device]) + 1) % all.length];
}

const BUTTONS = {
  back,
  again,
  rest: () => move({ ...page.play, sets: {}, stood: {} }),
  sun: () => move({ ...page.play, sun: !page.play.sun }),
};

strip.addEventListener("click", (event) => {
  const knob = event.target.closest("[data-device]");
  const button = event.target.closest("button[data-play]");
  if (knob) put(knob.dataset.device, knob.dataset.to);
  else if (button) BUTTONS[button.dataset.play]();
});

strip.addEventListener("change", (event) => {
  if (event.target.matches("select[data-play=mode]")) move({ ...page.play, mode: event.target.value, sets: {}, stood: {} });
});

strip.addEventListener("input", (event) => {
  if (event.target.name === "id") typed = event.target.value;
});

strip.addEventListener("submit", async (event) => {
  event.preventDefault();
  const id = new FormData(event.target).get("id");
  const done = await page.change("keep_state", { id, play: JSON.stringify(page.play) }).catch(() => null);
  if (!done) return;
  typed = strip.querySelector("[name=id]").value = "";
  page.say(done.says);
});

document.addEventListener("click", (event) => {
  const act = event.target.closest("[data-act]")?.dataset.act;
  if (act === "play") start();
  else if (act === "stop-play") stop();
});

page.addEventListener("shown", ({ detail: { board, before } }) => {
  strip.hidden = !board.playing;
  if (board.playing) strip.querySelector("[name=id]").value = typed;
  document.body.classList.toggle("playing", Boolean(board.playing));
  if (board.playing && before.playing) {
    const told = changes(before.playing, board.playing);
    if (told) page.say(told);
  }
});

/** What differs between two states, in words: what moved, what came on, what went off. */
function changes(before, now) {
  const name = (id) => page.thing({ kind: "part", id })?.name || id;
  const moved = Object.entries(now.positions).filter(([id, at]) => before.positions[id] !== undefined && before.positions[id] !== at);
  const on = now.on.filter((id) => !before.on.includes(id));
  const off = before.on.filter((id) => !now.on.includes(id));
  const says = [
    ...moved.map(([id, at]) => `${now.names[id] ?? id}: ${at}`),
    ...on.map((id) => `${name(id)} is on`),
    ...off.map((id) => `${name(id)} is off`),
  ];
  return says.length > 6 ? `${says.slice(0, 6).join("; ")} and ${says.length - 6} more.` : says.length ? `${says.join("; ")}.` : "";
}
