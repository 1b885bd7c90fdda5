// Fields that take several: each stands in a row of its own, to be taken out or moved one earlier. What is typed
// in the field stays the truth; a map (`{pump: {length: 2 m}}`) is typed there alone.

import { page } from "./page.js";
import { type } from "./forms.js";

const slip = document.getElementById("slip");

/** The items of a list as typed, split at the commas that stand in no brackets; null for a map. */
export function itemsOf(text) {
  const typed = text.trim();
  if (!typed || typed.startsWith("{")) return typed ? null : [];
  const inside = typed.startsWith("[") && typed.endsWith("]") ? typed.slice(1, -1) : typed;
  const items = [""];
  let depth = 0;
  for (const character of inside) {
    if ("[{".includes(character)) depth += 1;
    if ("]}".includes(character)) depth -= 1;
    if (character === "," && depth === 0) items.push("");
    else items[items.length - 1] += character;
  }
  return items.map((item) => item.trim()).filter(Boolean);
}

const written = (items) => (items.length === 1 && !/[[{]/.test(items[0]) ? items[0] : items.length ? `[${items.join(", ")}]` : "");

/** Show the rows of a field as they are typed now. */
function show(list) {
  const field = document.getElementById(list.dataset.itemsOf);
  if (list.dataset.shown === field.value) return;
  list.dataset.shown = field.value;
  const items = itemsOf(field.value) ?? [];
  const only = items.length === 1 && "needed" in list.dataset;
  list.replaceChildren(...(only ? [] : items).map((item, at) => row(field, item, at)));
}

function row(field, item, at) {
  const line = document.createElement("li");
  const words = document.createElement("span");
  words.textContent = item;
  line.append(words);
  if (at) line.append(button(field, "earlier", at, "↑", `${item}: one earlier`));
  line.append(button(field, "out", at, "×", `Take ${item} out`));
  return line;
}

function button(field, way, at, sign, words) {
  const made = document.createElement("button");
  made.type = "button";
  made.id = `${field.id}-${way}-${at}`;
  Object.assign(made.dataset, { way, at, field: field.id });
  made.textContent = sign;
  made.setAttribute("aria-label", words);
  return made;
}

/** What the buttons of a row make of the items. */
const WAYS = {
  out: (items, at) => items.toSpliced(at, 1),
  earlier: (items, at) => items.toSpliced(at - 1, 2, items[at], items[at - 1]),
};

slip.addEventListener("click", (event) => {
  const pressed = event.target.closest("[data-way]");
  if (!pressed) return;
  const { way, at, field: id } = pressed.dataset;
  const field = document.getElementById(id);
  type(field, written(WAYS[way](itemsOf(field.value), Number(at))));
  const next = Math.max(0, Number(at) - (way === "earlier" ? 1 : 0));
  (document.getElementById(`${id}-${way}-${next}`) ?? document.getElementById(`${id}-out-${next}`) ?? field).focus();
});

slip.addEventListener("change", ({ target }) => {
  const { append } = target.dataset;
  if (!append || !target.value) return;
  const field = document.getElementById(append);
  const items = itemsOf(field.value);
  if (items) type(field, written([...items, target.value]));
  else page.say("These have fields of their own: add one more in the line itself.");
  target.value = "";
});

slip.addEventListener("input", ({ target }) => {
  const list = target.id && slip.querySelector(`[data-items-of="${CSS.escape(target.id)}"]`);
  if (list) show(list);
});

page.addEventListener("shown", () => slip.querySelectorAll("[data-items-of]").forEach(show));
