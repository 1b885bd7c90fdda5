// The cures of the findings: asked for once these are shown, since each takes trying, and put in as they come.
// A cure of several findings stands whole with the first of them in each list.

import { page } from "./page.js";

const PAUSE_MS = 700;
const LISTS = ["slip", "sheet", "ledge"];
let rev = 0;
let known = new Map();
let all = false;
let timer = 0;

page.addEventListener("shown", ({ detail: { board } }) => {
  if (board.rev !== rev) {
    rev = board.rev;
    known = new Map();
    all = false;
    clearTimeout(timer);
    if (document.querySelector("#ledge .finding")) timer = setTimeout(() => ask(board.rev, 0), PAUSE_MS);
  }
  show();
});

/** Ask for what has come, again and again until that is all, or the plan another. */
async function ask(of, have) {
  const told = await page.ask(`/cures?${new URLSearchParams({ rev: of, have })}`, undefined, true).catch(() => null);
  if (!told || of !== rev || told.rev !== rev) return;
  for (const cure of told.cures) known.set(cure.number, cure);
  all = told.done;
  show();
  if (!all) ask(of, told.have);
}

function show() {
  for (const id of LISTS) {
    const first = new Map();
    for (const place of document.querySelectorAll(`#${id} :is([data-cure-of], [data-cure-in-brief])`)) put(place, first);
  }
}

function put(place, first) {
  const brief = place.dataset.cureInBrief;
  const number = Number(brief ?? place.dataset.cureOf);
  const cure = known.get(number);
  const as = cure?.key ? (first.get(cure.key) ?? number) : number;
  if (cure?.key) first.set(cure.key, as);
  const text = cure ? (as === number ? "" : [`Cured with ${as}.`, ...(brief ? [] : [cure.figures])].join(" ").trim()) : all || brief ? "" : "A cure is looked for ...";
  const html = cure && !text ? cure.html : "";
  const shown = brief && !text ? (cure?.brief ?? "") : text;
  if (place.dataset.shows === `${shown}${html}`) return;
  place.dataset.shows = `${shown}${html}`;
  if (html && !brief) place.innerHTML = html;
  else place.textContent = shown;
}
