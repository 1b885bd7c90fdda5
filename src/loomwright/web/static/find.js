// Find a wire, part, stud or place by its id or its name; a wire by its number, colour, size and whereabouts too.

import { page } from "./page.js";
import { focusSheet, isPicking } from "./sheet.js";

const form = document.getElementById("find");
const field = document.getElementById("find-what");
const list = document.getElementById("found");
const SHOWN = 8;

const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

/** Things whose id or name holds what was typed, ids that begin with it first; then wires that fit each word of it. */
function found(typed) {
  const wanted = plain(typed.trim());
  if (!wanted) return [];
  const words = wanted.replace(/(\d),(?=\d)/g, "$1.").split(/[\s,;]+/).filter(Boolean);
  const rank = ({ id, name, said = "" }) => {
    const known = plain(id);
    if (known === wanted || said.startsWith(`${wanted}: `)) return 0;
    if (known.startsWith(wanted)) return 1;
    if (plain(name).includes(wanted)) return 2;
    if (known.includes(wanted)) return 3;
    return said && words.every((word) => `${known} ${plain(said)}`.includes(word)) ? 4 : Infinity;
  };
  return page.board.things
    .filter((thing) => thing.kind !== "finding" && rank(thing) < Infinity)
    .sort((one, other) => rank(one) - rank(other))
    .slice(0, SHOWN);
}

function show() {
  const rows = found(field.value).map((thing) => {
    const row = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    Object.assign(button.dataset, { kind: thing.kind, id: thing.id });
    const [id, kind] = thing.kind === "entry" ? [thing.id.replace(/^paths\./, ""), "path"] : [thing.id, thing.kind];
    const name = thing.name || thing.said;
    button.textContent = `${id}${name ? `, ${name}` : ""} (${kind})`;
    row.append(button);
    return row;
  });
  list.replaceChildren(...rows);
  list.hidden = rows.length === 0;
}

function done() {
  field.value = "";
  show();
}

field.addEventListener("input", show);
list.addEventListener("click", (event) => {
  const button = event.target.closest("[data-kind]");
  if (button) goTo({ kind: button.dataset.kind, id: button.dataset.id });
});

/** Open a thing; while another end of a wire is pointed at, go there on its sheet instead. */
async function goTo(thing) {
  done();
  if (!isPicking()) return page.open(thing);
  const sheets = page.thing(thing)?.sheets ?? [];
  if (sheets.length && !sheets.includes(page.board.sheet)) await page.look({ sheet: sheets[0] });
  return focusSheet(thing);
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const [first] = found(field.value);
  if (!first) return page.say(`Nothing here is called "${field.value}".`);
  return goTo({ kind: first.kind, id: first.id });
});

form.addEventListener("keydown", (event) => {
  if (event.key === "Escape") {
    event.preventDefault();
    done();
    focusSheet(page.board.chosen);
  }
  if (event.key !== "ArrowDown" && event.key !== "ArrowUp") return;
  event.preventDefault();
  const stops = [field, ...list.querySelectorAll("button")];
  const next = stops.indexOf(document.activeElement) + (event.key === "ArrowDown" ? 1 : -1);
  stops[Math.max(0, Math.min(stops.length - 1, next))].focus();
});
