// What would flip the verdict: asked for once the slip lies there, since it takes trying.

import { page } from "./page.js";

const PAUSE_MS = 700;
let asked = "";
let timer = 0;

page.addEventListener("shown", ({ detail: { board } }) => {
  const place = document.getElementById("flips");
  const wanted = place ? JSON.stringify([board.rev, place.dataset.kind, place.dataset.id]) : "";
  if (wanted === asked && place?.childElementCount) return;
  asked = wanted;
  wait();
});

// What is asked of a plan that is about to change would only hold the change up: the wait begins anew.
page.addEventListener("changing", wait);

function wait() {
  const wanted = asked;
  clearTimeout(timer);
  if (wanted && !document.getElementById("flips")?.childElementCount) timer = setTimeout(() => fill(wanted), PAUSE_MS);
}

async function fill(wanted) {
  if (wanted !== asked) return;
  const { kind, id } = document.getElementById("flips").dataset;
  const { html } = await page.ask(`/flips?${new URLSearchParams({ kind, id })}`, undefined, true);
  const place = document.getElementById("flips");
  if (place && wanted === asked) place.innerHTML = html;
}
