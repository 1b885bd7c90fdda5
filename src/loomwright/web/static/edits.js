// Buttons that carry edits of the plan: what flips a verdict, a cure, what is taken back. Each is one step.

import { page } from "./page.js";

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-edits]");
  if (!button) return;
  const { edits, says, done = "" } = button.dataset;
  page.change("edit", { edits: JSON.parse(edits), says }).then(() => page.say(done), () => {});
});
