// Hears of changes made in other windows and looks at the plan again.

import { page } from "./page.js";

const events = new EventSource("/events");
events.onmessage = (event) => {
  const { rev, by } = JSON.parse(event.data);
  if (by !== page.me) page.hear(rev);
};
