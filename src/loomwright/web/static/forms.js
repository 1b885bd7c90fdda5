// The forms of the slip. A field that changes is written into the plan at once; a value that can't be read stays
// as typed, with the reason under it. Forms with a button of their own are sent by it.

import { page } from "./page.js";

const slip = document.getElementById("slip");
const PAUSE_MS = 500;
let timer = 0;
let waiting = null;

const live = (element) => element.closest("form[data-at]");

slip.addEventListener("input", (event) => {
  const form = live(event.target);
  if (!form) return;
  clearTimeout(timer);
  waiting = event.target;
  timer = setTimeout(flush, event.target.tagName === "SELECT" ? 0 : PAUSE_MS);
});

slip.addEventListener("change", (event) => {
  if (live(event.target)) flush();
});

/** Write the field that was typed into last. */
export async function flush() {
  clearTimeout(timer);
  const field = waiting;
  waiting = null;
  if (!field?.isConnected || field.value === field.dataset.was) return;
  const { at } = live(field).dataset;
  const was = field.dataset.was;
  field.dataset.was = field.value;
  try {
    await page.change("fields", { at, typed: { [field.name]: field.value } });
  } catch (refused) {
    field.dataset.was = was;
    tell(field, refused.message);
  }
}

function tell(field, words) {
  const help = slip.querySelector(`#${CSS.escape(`${field.id}-help`)}`);
  field.setAttribute("aria-invalid", "true");
  if (help) {
    help.textContent = words;
    help.classList.add("wrong");
    page.say("");
  }
}

// Forms that are sent as a whole: a new part, a new circuit, another name

slip.addEventListener("submit", async (event) => {
  const form = event.target.closest("form");
  event.preventDefault();
  if (!form.dataset.send) return flush();
  const typed = Object.fromEntries(new FormData(form));
  const { send, ...given } = form.dataset;
  try {
    const board = await page.change(send, { ...given, typed });
    if (board.says) page.say(board.says);
    slip.querySelector("h1")?.focus();
  } catch (refused) {
    const wrong = refused.field && form.elements.namedItem(refused.field);
    if (wrong) {
      tell(wrong, refused.message);
      wrong.focus();
    }
  }
  return undefined;
});

// Buttons that ask for another slip: a new part, of one kind, a new stud ...

document.addEventListener("click", async (event) => {
  const add = event.target.closest("[data-add]");
  if (add) {
    await page.look({ kind: "add", id: add.dataset.add });
    slip.querySelector("h1")?.focus();
  }
  const change = event.target.closest("[data-change]");
  if (change) {
    const { change: act, ...given } = change.dataset;
    page.say((await page.change(act, given)).says);
  }
});

// What is opened stays open when the slip is put in anew

let opened = new Set();

slip.addEventListener("toggle", (event) => {
  const key = keyOf(event.target);
  if (event.target.open) opened.add(key);
  else opened.delete(key);
}, true);

function keyOf(details) {
  return details.dataset.key ?? details.querySelector("summary").textContent.trim();
}

page.addEventListener("shown", ({ detail: { board, before } }) => {
  const same = board.chosen?.kind === before.chosen?.kind && board.chosen?.id === before.chosen?.id;
  if (!same) opened = new Set([...slip.querySelectorAll("details[open]")].map(keyOf));
  else slip.querySelectorAll("details").forEach((details) => { details.open = opened.has(keyOf(details)); });
});
