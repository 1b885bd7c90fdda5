// The sheet Mains: what is tried there lives in the address and in this window; nothing of it is in the plan.

import { page } from "./page.js";

const sheet = document.getElementById("sheet");
page.mains = new URLSearchParams(location.search).get("mains") ?? "";

/** Choose one thing; an empty choice of the second pitch puts that pitch away. */
async function choose(key, to) {
  const chosen = { ...page.board.mains, [key]: to };
  if (key === "source" || key === "beside_source") {
    const prefix = key.slice(0, -"source".length);
    delete chosen[`${prefix}earthing`];
    delete chosen[`${prefix}polarity`];
  }
  if (!chosen.beside_source) delete chosen.beside_source;
  const before = page.mains;
  page.mains = JSON.stringify(chosen);
  try {
    await page.look();
  } catch {
    page.mains = before;
    return;
  }
  const again = sheet.querySelector(`[data-mains="${CSS.escape(key)}"][data-to="${CSS.escape(to)}"]`);
  (again ?? sheet.querySelector("[data-mains=beside_source]"))?.focus({ preventScroll: true });
  page.say([...sheet.querySelectorAll(".says")].map((one) => one.textContent).join(" "));
}

/** On a narrow screen a row of buttons scrolls: what is chosen stays in sight. */
page.addEventListener("shown", () => {
  for (const row of sheet.querySelectorAll(".mains .options")) {
    const chosen = row.querySelector("[aria-pressed=true]");
    if (chosen) row.scrollLeft = chosen.offsetLeft - row.offsetLeft - 8;
  }
});

sheet.addEventListener("click", (event) => {
  const button = event.target.closest("[data-mains]");
  if (button) choose(button.dataset.mains, button.dataset.to);
});
