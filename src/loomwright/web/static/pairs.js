// Maps that are typed entry by entry: a load and how long it runs. A row is put in by choosing its name, and goes
// with its button or with its text.

import { flush, type } from "./forms.js";

const slip = document.getElementById("slip");

slip.addEventListener("change", ({ target }) => {
  if (!("pair" in target.dataset) || !target.value) return;
  const key = target.value;
  target.value = "";
  const there = document.getElementById(`${target.id}-${key}`);
  (there ?? row(target, key)).focus();
});

/** Put in a row for a name and return its field. */
function row(select, key) {
  const place = select.closest("fieldset");
  const made = place.querySelector("template").content.cloneNode(true);
  for (const element of made.querySelectorAll("*")) {
    for (const { name, value } of [...element.attributes]) element.setAttribute(name, value.replace("KEY", () => key));
  }
  made.querySelector("label").textContent = key;
  place.querySelector("ul").append(made);
  return document.getElementById(`${select.id}-${key}`);
}

slip.addEventListener("click", (event) => {
  const button = event.target.closest("[data-unpair]");
  if (!button) return;
  const field = document.getElementById(button.dataset.unpair);
  const select = button.closest("fieldset").querySelector("[data-pair]");
  const live = field.closest("form[data-at]");
  if (!live || !field.dataset.was) {
    field.closest("li").remove();
  } else {
    type(field, "");
    flush();
  }
  document.getElementById(select.id)?.focus();
});
