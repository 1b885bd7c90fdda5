// The keyboard: single keys act outside fields only; everything that a mouse can do, keys can do.

import { page } from "./page.js";
import { again, back, isPlaying, stop } from "./play.js";
import { focusSheet } from "./sheet.js";
import { fit, zoom } from "./view.js";

const inField = (event) => event.target.closest("input, textarea, select, [contenteditable]");

/** Put the slip away; the keyboard goes back to where it came from, else to the thing on the sheet. */
export async function putAway() {
  const { chosen } = page.board;
  if (!chosen) return;
  const back = await page.putAway();
  if (back) back.focus();
  if (!back || document.activeElement !== back) focusSheet(chosen);
}

page.addEventListener("lost", ({ detail: chosen }) => focusSheet(page.board.chosen ?? chosen));

const press = (act) => document.querySelector(`[data-act=${act}]`)?.click();

const SINGLE = {
  "/": () => document.getElementById("find-what").focus(),
  "+": () => zoom(1.25),
  "-": () => zoom(0.8),
  "−": () => zoom(0.8),
  0: fit,
  "?": () => press("keys"),
  t: () => press("drawer"),
  a: () => document.querySelector("[data-add]").click(),
  c: () => press("connect"),
  p: () => press(isPlaying() ? "stop-play" : "play"),
};

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !event.defaultPrevented && !document.querySelector("dialog[open]")) {
    if (isPlaying() && !page.board.chosen) stop();
    else putAway();
  }
  if (event.altKey || (inField(event) && !event.ctrlKey && !event.metaKey)) return;
  if (event.ctrlKey || event.metaKey) {
    const key = event.key.toLowerCase();
    const act = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : key === "s" ? "save" : "";
    if (!act || (act !== "save" && inField(event))) return;
    event.preventDefault();
    if (isPlaying() && act !== "save") (act === "undo" ? back : again)();
    else press(act);
  } else if (SINGLE[event.key]) {
    event.preventDefault();
    SINGLE[event.key]();
  } else if (/^[1-9]$/.test(event.key)) {
    const tab = document.querySelectorAll("#tabs .tab")[Number(event.key)];
    const sheets = [...(tab?.querySelectorAll("[data-sheet]") ?? [])];
    const shown = sheets.findIndex((sheet) => sheet.hasAttribute("aria-current"));
    (sheets.length ? sheets[(shown + 1) % sheets.length] : tab)?.click();
  }
});
