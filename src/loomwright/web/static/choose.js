// What else could be fitted, on the tab Energy: run when asked for, told step by step, stopped when told.

import { page } from "./page.js";

const at = (id) => document.getElementById(id);
let running = 0;

document.addEventListener("submit", (event) => {
  if (event.target.id !== "choose-form") return;
  event.preventDefault();
  ask(page.board.rev, -1, Object.fromEntries(new FormData(event.target)));
});

document.addEventListener("click", ({ target }) => {
  if (target.id === "choose-stop") page.ask("/choice/stop", {}, true).catch(() => {});
});

page.addEventListener("shown", ({ detail: { board } }) => {
  if (at("choose") && running === board.rev) going(true);
  else running = 0;
});

async function ask(rev, have, typed = {}) {
  running = rev;
  going(true);
  const told = await page.ask(`/choice?${new URLSearchParams({ rev, have, ...typed })}`, undefined, true).catch(() => null);
  if (running !== rev) return;
  if (!told || told.rev !== rev || page.board.rev !== rev || !at("choose")) {
    running = 0;
    going(false);
    return;
  }
  if (told.ready) {
    running = 0;
    await page.look({}, () => page.board.rev === rev && at("choose") !== null);
    going(false);
    document.querySelector(".choice")?.focus();
    document.querySelector(".choice .picture")?.scrollIntoView({ block: "start" });
    return;
  }
  at("choose-said").textContent = told.says;
  if (told.runs) return ask(rev, told.done);
  running = 0;
  going(false);
}

/** Show that it runs, or that it can be asked for. */
function going(on) {
  if (!at("choose")) return;
  at("choose").disabled = on;
  at("choose-stop").hidden = !on;
}
