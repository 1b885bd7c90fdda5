// The year of the tab Energy: asked for again and again while the mean day stands there, then the picture is looked at.

import { page } from "./page.js";

let asks = 0;

page.addEventListener("shown", ({ detail: { board } }) => {
  if (document.getElementById("year") && asks !== board.rev) ask(board.rev, -1);
});

async function ask(rev, have) {
  asks = rev;
  const told = await page.ask(`/year?${new URLSearchParams({ rev, have })}`, undefined, true).catch(() => null);
  const place = document.getElementById("year");
  if (!told || told.rev !== rev || page.board.rev !== rev || !place) {
    if (asks === rev) asks = 0;
    return;
  }
  if (told.ready) {
    asks = 0;
    await page.look({}, () => page.board.rev === rev && document.getElementById("year") !== null);
    return;
  }
  if (told.says) place.textContent = told.says;
  ask(rev, told.done);
}
