// The text of the plan, in a drawer under the sheet. Typing moves the drawing; the text stays as typed even
// while it can't be read, and every error is told at its line.

import { page, selector } from "./page.js";
import { settle } from "./view.js";

const drawer = document.getElementById("drawer");
const field = drawer.querySelector("textarea");
const under = drawer.querySelector(".under");
const numbers = drawer.querySelector(".numbers");
const head = drawer.querySelector(".where");
const list = drawer.querySelector(".problems");
const PAUSE_MS = 250;

/** Text and revision as the server had them last; typing that it has not seen yet is only in the field. */
let known = { rev: 0, text: "" };
let timer = 0;
let sending = null;
/** What the keyboard was on when the drawer was opened. */
let from = "";

export const isOpen = () => !drawer.hidden;

export async function toggle(line) {
  if (isOpen() && line === undefined) return close();
  if (!isOpen()) from = selector(document.activeElement);
  drawer.hidden = false;
  await fetchText();
  const [first] = page.board.lines ?? [line ?? 1];
  goTo(line ?? first);
  field.focus();
  settle();
  return tell();
}

async function close() {
  await flush();
  drawer.hidden = true;
  tell();
  settle();
  const back = from && document.querySelector(from);
  back?.focus();
  if (!back || document.activeElement !== back) document.querySelector("[data-act=drawer]").focus();
}

function tell() {
  document.querySelector("[data-act=drawer]")?.setAttribute("aria-expanded", String(isOpen()));
}

async function fetchText() {
  known = await page.ask("/text");
  put(known.text);
}

function put(text) {
  if (field.value !== text) {
    const { selectionStart, scrollTop } = field;
    field.value = text;
    field.setSelectionRange(selectionStart, selectionStart);
    field.scrollTop = scrollTop;
  }
  draw();
}

// Typing

field.addEventListener("input", () => {
  draw();
  clearTimeout(timer);
  timer = setTimeout(flush, PAUSE_MS);
});

/** Send what has been typed and not been sent; one request at a time. */
export async function flush() {
  clearTimeout(timer);
  await sending;
  if (!isOpen() || field.value === known.text) return;
  const text = field.value;
  sending = page.change("type", { text }).then((board) => { known = { rev: board.rev, text }; }, () => {});
  await sending;
  sending = null;
  if (field.value !== text) timer = setTimeout(flush, PAUSE_MS);
}

page.addEventListener("shown", async ({ detail: { board } }) => {
  tell();
  if (!isOpen()) return;
  const mine = field.value !== known.text;
  if (board.text !== undefined && !mine) put((known = { rev: board.rev, text: board.text }).text);
  else if (board.rev > known.rev && !mine && !sending) await fetchText();
  draw();
});

// Marks and numbers

function draw() {
  if (!isOpen()) return;
  const { lines, problems, file } = page.board;
  const count = field.value.split("\n").length;
  const wrong = Map.groupBy(problems, (problem) => problem.line);
  const [first, last] = lines ?? [0, -1];
  const rows = [];
  const texts = [];
  for (let line = 1; line <= count; line += 1) {
    const number = document.createElement("span");
    number.textContent = String(line);
    if (wrong.has(line)) number.className = "wrong";
    rows.push(number);
    const row = document.createElement("span");
    row.className = wrong.has(line) ? "wrong" : line >= first && line <= last ? "chosen" : "";
    texts.push(row);
  }
  numbers.replaceChildren(...rows);
  under.replaceChildren(...texts);
  head.textContent = `${file}, ${lines ? `line ${first} of ${count}` : `${count} lines`}.`;
  list.replaceChildren(...problems.slice(0, 20).map(problemItem));
  list.hidden = problems.length === 0;
  follow();
}

function problemItem({ line, at, says }) {
  const item = document.createElement("li");
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = `Line ${line}`;
  button.addEventListener("click", () => goTo(line));
  item.append(button, ` ${at ? `${at}: ` : ""}${says}`);
  return item;
}

function follow() {
  numbers.style.transform = `translateY(${-field.scrollTop}px)`;
  under.style.transform = `translateY(${-field.scrollTop}px)`;
}

field.addEventListener("scroll", follow);

function goTo(line) {
  const before = field.value.split("\n").slice(0, line - 1);
  const start = before.join("\n").length + (before.length ? 1 : 0);
  field.setSelectionRange(start, start);
  field.scrollTop = Math.max(0, (line - 2) * parseFloat(getComputedStyle(field).lineHeight));
  field.focus();
  draw();
}

field.addEventListener("keydown", async (event) => {
  if (!(event.ctrlKey || event.metaKey) || !["z", "y"].includes(event.key.toLowerCase())) return;
  event.preventDefault();
  await flush();
  const again = event.key.toLowerCase() === "y" || event.shiftKey;
  await page.change(again ? "redo" : "undo").catch(() => {});
  await fetchText();
});

drawer.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  event.preventDefault();
  close();
});
drawer.querySelector("[data-close]").addEventListener("click", close);
