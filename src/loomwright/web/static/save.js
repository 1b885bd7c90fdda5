// Save, the questions that saving may bring, and the draft that is offered when a plan is opened.

import { page } from "./page.js";
import { flush } from "./drawer.js";
import { stayInside, warn } from "./leaving.js";

const dialog = document.getElementById("save");
const notice = document.getElementById("notice");

async function save(what = {}) {
  await flush();
  if (!page.board.has_file && !what.name) return ask();
  try {
    await page.change("save", what);
  } catch (refused) {
    return refused.says && ask(what, refused.says);
  }
  dialog.close();
  return page.say(`Saved: ${page.board.path}`);
}

/** Open the dialog; `says` is why what was tried has been refused. */
async function ask({ name = "", folder = "" } = {}, says = "") {
  const told = await page.ask(`/save?${new URLSearchParams({ name, folder })}`);
  dialog.innerHTML = told.dialog;
  const refused = dialog.querySelector(".refused");
  const explained = dialog.querySelector(".choices");
  refused.textContent = says;
  refused.hidden = !says || Boolean(explained);
  showPlace();
  page.say("");
  if (!dialog.open) dialog.showModal();
  (explained?.querySelector("button") ?? dialog.querySelector("input")).focus();
  if (!explained) dialog.querySelector("input").select();
}

function typed() {
  const { name, folder } = dialog.querySelector("form").elements;
  return { name: name.value.trim(), folder: folder.value.trim() || folder.defaultValue };
}

function showPlace() {
  const { name, folder } = typed();
  const shown = dialog.querySelector("[data-ends]");
  const divide = folder.includes("\\") ? "\\" : "/";
  shown.textContent = `${folder.replace(/[\\/]$/, "")}${divide}${name}${/\.ya?ml$/i.test(name) ? "" : shown.dataset.ends}`;
}

dialog.addEventListener("input", showPlace);
dialog.addEventListener("submit", (event) => {
  event.preventDefault();
  const what = typed();
  if (what.name) save(what);
  else ask(what, "Give the plan a name.");
});

/** What the buttons that carry `data-keep` do. */
const DOES = {
  back: () => dialog.close(),
  over: ({ over, name, folder }) => save(name ? { over, name, folder } : { over }),
  "other-version": async () => {
    await page.change("other-version");
    dialog.close();
  },
  "take-up": ({ draft }) => page.change("take-up", { draft }),
  leave: () => page.change("leave"),
};

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-keep]");
  if (button) DOES[button.dataset.keep]?.(button.dataset);
  if (event.target.closest("[data-act=save]")) save();
});

page.addEventListener("shown", ({ detail: { board, before } }) => {
  if (!board.begun) {
    stayInside();
    location.assign("/start");
  }
  if (board.notice !== before.notice) notice.innerHTML = board.notice;
  notice.hidden = !board.notice.trim() || (Boolean(board.chosen) && !notice.querySelector("[data-draft], [role=alert]"));
});

warn(() => page.board.unsaved);
if (location.hash === "#save") page.addEventListener("shown", () => save(), { once: true });
