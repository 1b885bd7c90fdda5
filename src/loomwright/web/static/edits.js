// Buttons that carry edits of the plan: what flips a verdict, a cure, what is taken back. Each is one step.

import { page } from "./page.js";

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-edits]");
  if (button) page.change("edit", { edits: JSON.parse(button.dataset.edits), says: button.dataset.says }).catch(() => {});
});
