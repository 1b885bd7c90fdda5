// The month of the system sheet: whose mean day its bands and its tank show.

import { page } from "./page.js";

document.addEventListener("change", ({ target }) => {
  if (target.id !== "system-month") return;
  page.month = target.value;
  page.look();
});
