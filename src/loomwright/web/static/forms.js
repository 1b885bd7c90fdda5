// The forms of the slip. A field that changes is written into the plan at once; a value that can't be read stays
// as typed, with the reason under it. Forms with a button of their own are sent by it.

import { page } from "./page.js";

const slip = document.getElementById("slip");
const PAUSE_MS = 500;
let timer = 0;
let waiting = null;
/** A mouse button or finger is down: nothing may move under it, or its click would be lost. */
let pressed = false;
let held = false;
/** What was refused, by entry and field, until it is mended. */
const refusals = new Map();

const live = (element) => element.name && element.closest("form[data-at]");
const keyOfField = (field) => `${live(field).dataset.at} ${field.name}`;

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

document.addEventListener("pointerdown", () => { pressed = true; }, true);
for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, () => {
    pressed = false;
    if (held) flush();
  }, true);
}

/** Write the field that was typed into last. */
export async function flush() {
  clearTimeout(timer);
  held = pressed;
  if (held) return;
  const field = waiting;
  waiting = null;
  if (!field?.isConnected || field.value === field.dataset.was) return;
  const { at } = live(field).dataset;
  const [key, typed, was] = [keyOfField(field), field.value, field.dataset.was];
  field.dataset.was = typed;
  try {
    refusals.delete(key);
    await page.change("fields", { at, typed: { [field.name]: typed } });
  } catch (refused) {
    refusals.set(key, { typed, says: refused.message });
    const now = field.isConnected ? field : document.getElementById(field.id);
    if (!now) return;
    if (now !== field && now !== waiting) now.value = typed;
    now.dataset.was = was;
    tell(now, refused.message);
  }
}

function tell(field, words) {
  const help = slip.querySelector(`#${CSS.escape(`${field.id}-help`)}`);
  field.setAttribute("aria-invalid", "true");
  if (help) {
    help.dataset.help ??= help.textContent;
    help.textContent = words;
    help.classList.add("wrong");
    page.say("");
  }
}

/** What was wrong with a form is forgotten as it is sent once more. */
function forget(form) {
  form.querySelectorAll("[aria-invalid]").forEach((field) => field.removeAttribute("aria-invalid"));
  for (const help of form.querySelectorAll(".help.wrong")) {
    help.textContent = help.dataset.help;
    help.classList.remove("wrong");
  }
}

/** Say above the buttons of a form why it was refused, where that is no matter of one field. */
function tellForm(form, words) {
  form.querySelector(":scope > .refused")?.remove();
  const buttons = [...form.querySelectorAll(":scope > .keys, :scope > button")].pop();
  if (!words || !buttons) return;
  const told = document.createElement("p");
  told.className = "refused";
  told.setAttribute("role", "alert");
  told.textContent = words;
  buttons.before(told);
  told.scrollIntoView({ block: "nearest" });
  page.say("");
}

/** What was refused stays as typed when the slip is put in anew. */
function tellAgain() {
  for (const field of slip.querySelectorAll("form[data-at] [name]")) {
    const refusal = refusals.get(keyOfField(field));
    if (!refusal || waiting === field) continue;
    field.value = refusal.typed;
    tell(field, refusal.says);
  }
}

// Forms that are sent as a whole: a new part, a new circuit, another name

slip.addEventListener("submit", async (event) => {
  const form = event.target.closest("form");
  event.preventDefault();
  if (!form.dataset.send) return flush();
  const data = new FormData(form);
  const joins = data.getAll("joins");
  forget(form);
  data.delete("joins");
  const { send, rows, ...given } = form.dataset;
  try {
    const board = await page.change(send, { ...given, joins, typed: Object.fromEntries(data) });
    if (board.says) page.say(board.says);
    slip.scrollTop = 0;
    slip.querySelector("h1")?.focus({ preventScroll: true });
    await follow(board);
  } catch (refused) {
    const wrong = fieldOf(form, refused.problems?.[0]);
    if (form.isConnected) tellForm(form, wrong?.id ? "" : refused.message);
    if (wrong?.id && form.isConnected) {
      tell(wrong, refused.message);
      wrong.closest("details")?.setAttribute("open", "");
      wrong.focus();
    }
  }
  return undefined;
});

/** The field of a new entry that a problem is about: its own, the one that is missing, or the entry's name. */
function fieldOf(form, problem) {
  if (!problem) return null;
  const path = problem.at.split(".");
  const names = [/^(\w+) is missing/.exec(problem.says)?.[1], path.length > 2 && path.slice(2).join("."), path.length > 2 && path.at(-1)];
  const field = names.filter(Boolean).map((name) => form.elements.namedItem(name)).find(Boolean);
  if (field) return field;
  const id = form.elements.namedItem("new_id");
  return id?.value && problem.says.includes(id.value.trim()) ? id : null;
}

/** Go to a sheet that shows what has just been made, where the one that lies there does not. */
export async function follow(board) {
  const { chosen, sheet } = board;
  const sheets = (chosen && page.thing(chosen)?.sheets) ?? [];
  if (sheets.length && !sheets.includes(sheet) && sheet !== "list") await page.look({ sheet: sheets[0] }, () => page.board === board);
}

// Buttons of the slip

/** What the buttons do that carry one of these marks. */
const DOES = {
  add: async ({ add }) => {
    await page.look({ kind: "add", id: add });
    slip.scrollTop = 0;
    slip.querySelector("h1")?.focus({ preventScroll: true });
  },
  change: async ({ change, ...given }) => {
    const board = await page.change(change, given);
    page.say(board.says);
    if (board.chosen) slip.querySelector("h1")?.focus();
    await follow(board);
  },
  ask: async ({ ask, ...given }) => {
    const { html } = await page.ask(`/${ask}?${new URLSearchParams(given)}`);
    const asked = document.getElementById("asked");
    if (!asked) return;
    asked.innerHTML = html;
    asked.scrollIntoView({ block: "nearest" });
    asked.querySelector("button")?.focus({ preventScroll: true });
  },
  leave: () => {
    document.getElementById("asked").textContent = "";
    slip.querySelector("[data-ask]").focus();
  },
  jump: ({ jump }) => {
    const to = slip.querySelector(jump);
    to?.scrollIntoView({ block: "start" });
    to?.querySelector("input, select, summary, button")?.focus({ preventScroll: true });
  },
  put: ({ put, into }, button) => {
    const field = document.getElementById(into);
    const on = button.getAttribute("aria-pressed") === "true";
    button.setAttribute("aria-pressed", String(!on));
    type(field, on ? "" : put);
  },
  moreRows: (_, button) => {
    const rows = button.closest("fieldset").querySelectorAll("[data-row]");
    rows[rows.length - 1].after(nextRow(rows[rows.length - 1], rows.length + 1));
    button.closest("fieldset").querySelector("[data-row]:last-of-type input").focus();
  },
};

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  const mark = button && Object.keys(DOES).find((name) => name in button.dataset);
  if (mark) Promise.resolve(DOES[mark](button.dataset, button)).catch(() => {});
});

/** Write into a field as if it had been typed. */
export function type(field, text) {
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
}

/** A copy of a row of fields, empty, with the next number in its names. */
function nextRow(row, number) {
  const next = row.cloneNode(true);
  for (const element of next.querySelectorAll("[id], [name], [for]")) {
    for (const name of ["id", "name", "for"]) {
      if (element.hasAttribute(name)) element.setAttribute(name, element.getAttribute(name).replace(/\d+$/, number));
    }
    if (element.tagName === "INPUT") element.value = "";
  }
  for (const label of next.querySelectorAll("label")) label.textContent = label.textContent.replace(/\d+$/, number);
  return next;
}

slip.addEventListener("change", (event) => {
  const { terminal } = event.target.dataset;
  if (terminal !== undefined) {
    const id = event.target.value;
    page.look({ kind: id.includes(".") ? "terminal" : page.thing({ kind: "stud", id }) ? "stud" : "part", id });
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
  if (!same) refusals.clear();
  else tellAgain();
});
