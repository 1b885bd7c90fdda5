// Printing: the sheet alone, the whole of it at true size, in the inks of the day.

import { settle } from "./view.js";

const TOKENS = ["paper", "ink", "grey", "rule", "accent", "mark", "danger", "wire-outline", "slip", "tint"];
const root = document.documentElement;
let light = "";
let painted = [];

function inks(name) {
  root.dataset.light = name;
  const style = getComputedStyle(root);
  return TOKENS.map((token) => style.getPropertyValue(`--${token}`).trim());
}

/** Every colour of the drawing that is not the day's: element, attribute, colour. */
function coloured(svg, evening) {
  return ["fill", "stroke"].flatMap((name) => [...svg.querySelectorAll(`[${name}]`)]
    .map((element) => [element, name, element.getAttribute(name)])
    .filter(([, , colour]) => evening.includes(colour)));
}

window.addEventListener("beforeprint", () => {
  light = root.dataset.light;
  const evening = inks("evening");
  const day = inks("day");
  const svg = document.querySelector("#sheet > svg");
  svg?.setAttribute("viewBox", "0 0 420 297");
  painted = svg && light === "evening" ? coloured(svg, evening) : [];
  for (const [element, name, colour] of painted) element.setAttribute(name, day[evening.indexOf(colour)]);
});

window.addEventListener("afterprint", () => {
  root.dataset.light = light;
  for (const [element, name, colour] of painted) element.setAttribute(name, colour);
  painted = [];
  settle();
});
