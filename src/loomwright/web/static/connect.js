// Connect by pointing: the first end is chosen, the next thing pointed at (or reached by keys) is the other end.
// A switch that is pointed at on the way is passed through; pointed at once more it is the end.

import { follow } from "./forms.js";
import { page } from "./page.js";
import { focusSheet, pickWith } from "./sheet.js";

let start = "";
let through = [];

/** Wait for the other end; the sheet keeps its keys, Enter takes what they are on. */
export function connectFrom(end) {
  start = end;
  through = [];
  pickWith(take);
  ask();
  focusSheet(page.board.chosen);
}

function ask(before = "") {
  const from = through.length ? `${start} through ${through.join(", ")}` : start;
  page.say(`${before}From ${from}: point at the other end, or go there with the arrow keys and press Enter. Esc leaves it.`);
}

export function leave() {
  if (!start) return false;
  start = "";
  pickWith(null);
  page.say("");
  return true;
}

async function take(thing) {
  if (!thing || thing.kind === "finding" || thing.kind === "place") return ask("There is nothing to join a wire to. ");
  if (thing.kind === "wire") return ask(`${thing.id} is a wire. Point at a part, one of its terminals, or a stud. `);
  if (passes(thing) && !through.includes(thing.id)) {
    through.push(thing.id);
    return ask();
  }
  return join(thing.id);
}

const passes = (thing) => thing.kind === "part" && thing.id !== start.split(".")[0] && page.thing(thing)?.passes;

/** Run the wire; one that can't be is told in words, and another end may be pointed at. */
async function join(end) {
  const passed = through.filter((id) => id !== end);
  let board;
  try {
    board = await page.change("connect", { start, end, through: passed.join(", ") });
  } catch (refused) {
    through = passed;
    return ask(`${refused.message} `);
  }
  leave();
  page.say(board.says);
  document.querySelector("#slip h1")?.focus();
  return follow(board);
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-act=connect]");
  if (!button) return;
  const chosen = document.querySelector("#c-start");
  connectFrom(chosen?.value || button.dataset.start);
});

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && leave()) {
    event.preventDefault();
    event.stopPropagation();
  }
}, true);
