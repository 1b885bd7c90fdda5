// Connect by pointing: the first end is chosen, the next thing pointed at (or reached by keys) is the other end.

import { page } from "./page.js";
import { focusSheet, pickWith } from "./sheet.js";

let start = "";

/** Wait for the other end; the sheet keeps its keys, Enter takes what they are on. */
export function connectFrom(end) {
  start = end;
  pickWith(take);
  page.say(`Point at what ${end} shall be connected with, or go there with the arrow keys and press Enter. Esc leaves it.`);
  focusSheet(page.board.chosen);
}

export function leave() {
  if (!start) return false;
  start = "";
  pickWith(null);
  page.say("");
  return true;
}

async function take(thing) {
  if (!thing || thing.kind === "finding" || thing.kind === "place") return;
  const from = start;
  const end = thing.kind === "wire" ? "" : thing.id;
  if (!end) {
    page.say("That is a wire. Point at a part, one of its terminals, or a stud.");
    return;
  }
  leave();
  const board = await page.change("connect", { start: from, end }).catch(() => null);
  if (!board) return;
  page.say(board.says);
  document.querySelector("#slip h1")?.focus();
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-act=connect]");
  if (!button) return;
  const chosen = document.querySelector("#c-start");
  connectFrom(chosen?.value || button.dataset.start);
});

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && leave()) event.preventDefault();
}, true);
