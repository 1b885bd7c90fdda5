// Prints the van book, and looms, boards and labels: of what is on the board, saved or not, into a file that
// the browser keeps.

import { page } from "./page.js";
import { flush } from "./drawer.js";

let printing = false;

async function print(what = "book", paper = "a4") {
  if (printing) return;
  printing = true;
  tell();
  if (!page.board.rev) await new Promise((shown) => { page.addEventListener("shown", shown, { once: true }); });
  await flush();
  page.say(`Printing the ${what} ...`);
  const name = `${page.board.file.replace(/\.ya?ml$/i, "")}-${what}.pdf`;
  const from = what === "book" ? "/book?" : `/print?sheet=${what}&paper=${paper}&`;
  const made = await page.ask(`${from}rev=${page.board.rev}`, undefined, true, (answer) => answer.blob()).catch(() => null);
  printing = false;
  tell();
  if (!made) return; // why is said by then
  keep(made, name);
  page.say(`Printed: ${name}, among your downloads.`);
}

/** Hand a file to the browser, which keeps it where downloads go. */
function keep(made, name) {
  const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(made), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

function tell() {
  for (const button of document.querySelectorAll("[data-act=book], [data-print]")) {
    if (printing) button.setAttribute("aria-disabled", "true");
    else button.removeAttribute("aria-disabled");
  }
}

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-act=book]")) print();
  const sheet = event.target.closest("[data-print]");
  if (sheet) print(sheet.dataset.print, sheet.dataset.paper);
});
page.addEventListener("shown", tell);
