// The start sheet: each way to begin puts a plan on the table; unsaved work is asked for first.

import { stayInside, warn } from "./leaving.js";

const { rev, unsaved, hasFile } = document.body.dataset;
const dialog = document.getElementById("unsaved");
const refused = document.getElementById("refused");
const me = Math.random().toString(36).slice(2);

/** What has been asked for while the dialog is open. */
let wanted = null;

async function ask(address, body) {
  const post = body && {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  };
  try {
    const answer = await fetch(address, post);
    const told = await answer.json().catch(() => ({ says: `This went wrong (${answer.status}).` }));
    return { ok: answer.ok, ...told };
  } catch {
    return { ok: false, says: "Loomwright does not answer. Start it again." };
  }
}

const change = (act, what) => ask(`/change/${act}`, { ...what, rev: Number(rev), by: me });

async function open(act, what) {
  const told = await change(act, what);
  if (told.ok) return go(told.begun ? "/" : "/start");
  if (told.unsaved && !what.keep) {
    wanted = { act, what };
    return dialog.showModal();
  }
  return act === "begin" && told.problems ? mark(told.problems) : say(told.says, told.problems);
}

function go(address) {
  stayInside();
  location.assign(address);
}

/** Say why something was refused; the problems of a text each with their line. */
function say(says, problems = []) {
  const list = document.createElement("ul");
  for (const { line, at, says: what } of problems.slice(0, 10)) {
    const item = document.createElement("li");
    item.textContent = `Line ${line}: ${at ? `${at}: ` : ""}${what}`;
    list.append(item);
  }
  refused.replaceChildren(problems.length ? "This is not a plan yet:" : says, ...(problems.length ? [list] : []));
  refused.hidden = false;
  refused.scrollIntoView({ block: "nearest" });
}

/** What the dialog's buttons do. */
const MINE = {
  back: () => dialog.close(),
  keep: () => {
    dialog.close();
    return open(wanted.act, { ...wanted.what, keep: true });
  },
  save: async () => {
    dialog.close();
    if (hasFile === undefined || !(await change("save", {})).ok) return go("/#save");
    return open(wanted.act, wanted.what);
  },
};

document.addEventListener("click", async (event) => {
  const button = event.target.closest("button");
  if (!button) return;
  const { open: act, mine, throw: draft, light, ...what } = button.dataset;
  if (act) await open(act, what);
  else if (mine) await MINE[mine]();
  else if (light) setLight(light, true);
  else if (draft) {
    const told = await change("throw-away", { draft });
    if (told.ok) button.closest("li").remove();
    else say(told.says);
  }
});

// The questions of a bare van

const questions = document.getElementById("questions");
const cards = document.querySelector(".cards");

function showQuestions(shown) {
  const back = questions.querySelector("[data-back]"); // there is none where the questions come first
  questions.hidden = !shown;
  cards.hidden = shown && Boolean(back);
  (shown ? questions.querySelector("input") : cards.querySelector("[data-questions]")).focus();
}

/** Say at each field why its answer can't be read, and go to the first such. */
function mark(problems) {
  const wrong = new Map(problems.map(({ at, says }) => [at, says]));
  for (const field of questions.querySelectorAll("input, select")) {
    const help = document.getElementById(`h-${field.name}`);
    field.toggleAttribute("aria-invalid", false);
    if (wrong.has(field.name)) field.setAttribute("aria-invalid", "true");
    help.textContent = wrong.get(field.name) ?? help.dataset.help;
    help.classList.toggle("wrong", wrong.has(field.name));
  }
  questions.querySelector("[aria-invalid]")?.focus();
}

questions.addEventListener("submit", (event) => {
  event.preventDefault();
  const answers = Object.fromEntries([...new FormData(questions)].filter(([, answer]) => answer.trim()));
  open("begin", { answers });
});
document.querySelector("[data-questions]").addEventListener("click", () => showQuestions(true));
questions.querySelector("[data-back]")?.addEventListener("click", () => showQuestions(false));

// A file

const drop = document.getElementById("drop");

async function openFile(file) {
  if (file) await open("open-text", { file: file.name, text: await file.text() });
}

drop.querySelector("input").addEventListener("change", async (event) => {
  const [file] = event.target.files;
  await openFile(file);
  event.target.value = "";
});
for (const name of ["dragover", "dragleave", "drop"]) {
  document.addEventListener(name, (event) => {
    event.preventDefault();
    drop.classList.toggle("over", name === "dragover");
    if (name === "drop") openFile(event.dataTransfer.files[0]);
  });
}

// Paper

async function setLight(name, keep) {
  document.documentElement.dataset.light = name;
  if (keep) localStorage.setItem("light", name);
  for (const button of document.querySelectorAll("button[data-light]")) {
    button.setAttribute("aria-pressed", String(button.dataset.light === name));
  }
  const picture = document.getElementById("picture");
  const told = picture && (await ask(`/start/picture?evening=${name === "evening"}`));
  if (told?.ok) picture.innerHTML = told.drawing;
}

setLight(localStorage.getItem("light") ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "evening" : "day"));
warn(() => unsaved !== undefined);
