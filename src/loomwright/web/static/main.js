// Sets the page up: each module takes its part of it.

import { page } from "./page.js";
import { toggle } from "./drawer.js";
import { putAway } from "./keys.js";
import "./van.js";
import "./along.js";
import "./book.js";
import "./choose.js";
import "./connect.js";
import "./cures.js";
import "./edits.js";
import "./find.js";
import "./grouping.js";
import "./flips.js";
import "./forms.js";
import "./sheet.js";
import "./play.js";
import "./print.js";
import "./lists.js";
import "./pairs.js";
import "./month.js";
import "./live.js";
import "./mains.js";
import "./save.js";
import "./whatif.js";
import "./year.js";

const paper = document.getElementById("paper").dataset;
const evening = localStorage.getItem("light") ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "evening" : "day");

function setLight(name) {
  page.evening = name === "evening";
  document.documentElement.dataset.light = name;
  nameLight();
}

function nameLight() {
  document.querySelector("[data-act=light]").textContent = page.evening ? "By day" : "For the evening";
}

page.addEventListener("shown", () => {
  nameLight();
  document.querySelector("#loom details:not(.told)")?.toggleAttribute("open", matchMedia("(min-width: 1024px)").matches);
  for (const shown of ["#tabs .open", "#tabs [aria-current]", "#ledge [aria-current]"]) {
    document.querySelector(shown)?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }
});

/** What the buttons that carry `data-act` do. */
const ACTS = {
  undo: () => page.change("undo").catch(() => {}),
  redo: () => page.change("redo").catch(() => {}),
  drawer: () => toggle(),
  keys: () => document.getElementById("keys").showModal(),
  "put-away": () => putAway(),
  light: () => {
    setLight(page.evening ? "day" : "evening");
    localStorage.setItem("light", document.documentElement.dataset.light);
    return page.look();
  },
};

document.addEventListener("click", (event) => {
  const tab = event.target.closest("[data-sheet]");
  const thing = event.target.closest("button[data-kind]:not(#found *)");
  const act = event.target.closest("[data-act]");
  if (tab && tab.dataset.sheet !== "start") {
    event.preventDefault();
    page.look({ sheet: tab.dataset.sheet });
  } else if (thing) page.open({ kind: thing.dataset.kind, id: thing.dataset.id });
  else if (act && act.getAttribute("aria-disabled") !== "true" && ACTS[act.dataset.act]) ACTS[act.dataset.act]();
});

setLight(evening);
page.begin(paper.firstSheet, { kind: paper.chosenKind, id: paper.chosenId });
