// Findings by severity or by place: the choice is kept in this browser.

import { page } from "./page.js";

page.by = localStorage.getItem("findings-by") === "place" ? "place" : "severity";

document.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-by]");
  if (!button) return;
  page.by = button.dataset.by;
  localStorage.setItem("findings-by", page.by);
  await page.look().catch(() => {});
  document.getElementById(button.id)?.focus();
});
