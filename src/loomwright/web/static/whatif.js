// What if, on the tab Energy: sliders that draw the year anew while they are moved. What they stand at lives in
// this window only; nothing of it is in the plan until it is written there.

import { page } from "./page.js";
import { draw } from "./sheet.js";

const at = (id) => document.getElementById(id);
/** A hand that rests so long has all years run. [ms] */
const RESTS_MS = 600;
/** Years that are run while a hand is on a slider, and once it rests. */
const FEW = 20;
const ALL = 100;

/** What the sliders stand at, by name, and of which revision; what is asked, and whether the picture is theirs. */
let values = {};
let of = 0;
let asks = false;
let again = false;
let drawn = false;
let rest = 0;

const sliders = () => [...document.querySelectorAll("#what-if input")];
const isMoved = (slider) => slider.value !== slider.dataset.now;
const moved = () => Object.fromEntries(sliders().filter(isMoved).map(({ name, value }) => [name, value]));

document.addEventListener("input", ({ target }) => {
  if (!target.closest("#what-if")) return;
  label(target);
  at("what-if-write").disabled = true;
  values = moved();
  of = page.board.rev;
  ask();
});

document.addEventListener("submit", (event) => {
  if (event.target.id === "what-if") event.preventDefault();
});

document.addEventListener("click", ({ target }) => {
  if (target.id !== "what-if-back") return;
  put({});
  planned();
  sliders()[0]?.focus();
});

document.addEventListener("toggle", ({ target }) => {
  if (target.dataset?.key !== "what-if") return;
  if (!target.open) planned();
  else if (Object.keys(moved()).length) ask();
  else page.ask(`/what-if?${new URLSearchParams({ rev: page.board.rev, years: FEW })}`, undefined, true).catch(() => {});
}, true);

page.addEventListener("shown", ({ detail: { board, before } }) => {
  if (!at("what-if") || board.rev !== of) {
    values = {};
    drawn = false;
    clearTimeout(rest);
    return;
  }
  if (board.drawing !== before.drawing || board.sheet !== before.sheet) drawn = false;
  if (!Object.keys(values).length) return;
  put(values);
  at("what-if").closest("details").open = true;
  if (!drawn) ask();
});

/** Put the sliders where they are to stand; those not named, as planned. */
function put(wanted) {
  values = wanted;
  for (const slider of sliders()) {
    slider.value = wanted[slider.name] ?? slider.dataset.now;
    label(slider);
  }
}

function label(slider) {
  const { now, unit } = slider.dataset;
  const says = `${slider.value} ${unit}`;
  slider.labels[0].parentElement.querySelector("output").textContent = isMoved(slider) && now !== "0" ? `${says}, planned ${now}` : says;
  slider.setAttribute("aria-valuetext", isMoved(slider) ? says : `${says}, as planned`);
}

/** Show the plan's own picture and words again. */
function planned() {
  clearTimeout(rest);
  if (drawn) draw(page.board.drawing);
  drawn = false;
  if (!at("what-if")) return;
  at("what-if-said").textContent = "As planned.";
  at("what-if-write").hidden = at("what-if-back").hidden = true;
}

/** Have the years run: few at once, all when the sliders rest; one question at a time, the last one counts. */
async function ask(years = FEW) {
  clearTimeout(rest);
  if (asks) {
    again = true;
    return;
  }
  const wanted = moved();
  if (!Object.keys(wanted).length) return planned();
  const { rev } = page.board;
  asks = true;
  const asked = new URLSearchParams({ rev, years, evening: page.evening, ...wanted });
  const told = await page.ask(`/what-if?${asked}`, undefined, true).catch(() => null);
  asks = false;
  const still = at("what-if")?.closest("details").open && page.board.rev === rev;
  const now = moved();
  const isLast = JSON.stringify(now) === JSON.stringify(wanted);
  if (still && told?.drawing && Object.keys(now).length) show(told, years, isLast);
  if (again) {
    again = false;
    return still && ask();
  }
  if (still && told && isLast && years < ALL) rest = setTimeout(() => ask(ALL), RESTS_MS);
}

/** Show an answer; it may be written into the plan only if the sliders still stand where they were asked about. */
function show(told, years, isLast) {
  drawn = true;
  draw(told.drawing);
  const few = years < ALL ? ` ${told.years} years of weather; a hundred follow.` : ` ${told.years} years of weather.`;
  at("what-if-said").textContent = `${told.says.join(" ")}${few}`;
  at("what-if-back").hidden = false;
  const write = at("what-if-write");
  write.hidden = !told.edits;
  write.disabled = !isLast;
  if (told.edits) Object.assign(write.dataset, { edits: told.edits, says: told.step });
}
