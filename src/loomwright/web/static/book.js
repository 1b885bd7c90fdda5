// Prints the van book: of what is on the board, saved or not, into a file that the browser keeps.

import { page } from "./page.js";
import { flush } from "./drawer.js";

let printing = false;

async function print() {
  if (printing) return;
  printing = true;
  tell();
  if (!page.board.rev) await new Promise((shown) => { page.addEventListener("shown", shown, { once: true }); });
  await flush();
  page.say("Printing the book ...");
  const name = `${page.board.file.replace(/\.ya?ml$/i, "")}-book.pdf`;
  const made = await page.ask(`/book?rev=${page.board.rev}`, undefined, true, (answer) => answer.blob()).catch(() => null);
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
  const button = document.querySelector("[data-act=book]");
  if (printing) button.setAttribute("aria-disabled", "true");
  else button.removeAttribute("aria-disabled");
}

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-act=book]")) print();
});
page.addEventListener("shown", tell);
