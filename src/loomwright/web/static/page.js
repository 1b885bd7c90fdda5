// The page as one object: what it shows, and how a change of the plan reaches drawing, findings and forms.
// It tells "shown" after every redraw; whoever shows something listens and takes his part of the board.

const at = (id) => document.getElementById(id);
/** Said while an answer takes longer than this. */
const WORKING = "Working ...";
const SLOW_MS = 300;
const PIECES = ["caution", "tabs", "van", "loom", "play", "ledge", "block", "slip"];

class Page extends EventTarget {
  /** Name of this window among all that are open, so that it does not hear its own echo. */
  me = Math.random().toString(36).slice(2);
  board = { rev: 0, sheet: "", chosen: null, things: [], marks: [], problems: [], lines: null };
  evening = false;
  /** The state that is played: mode, what was moved since, sun; null: all is at rest. */
  play = null;
  /** What the bands of the van sheet say, and whether it is shown as a list. */
  band = "";
  asList = false;
  /** Whose mean day the system sheet shows; empty: that of the smallest margin. */
  month = "";
  /** What is tried on the sheet Mains, as the address has it. */
  mains = "";
  /** What findings are grouped by. */
  by = "severity";
  #asked = 0;
  #shown = 0;
  #awaited = {};
  #from = "";
  /** The change under way: the next one waits for it, so that it is made on what that leaves behind. */
  #last = Promise.resolve();

  /** Ask the server; `quietly` what says itself that it takes time, or nobody waits for. A refusal is said in its own words, then thrown. */
  async ask(address, body, quietly = false, as = (answer) => answer.json()) {
    const post = body && {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
    };
    let answer;
    let said = "";
    const slow = quietly ? 0 : setTimeout(() => {
      said = at("said").textContent;
      this.say(WORKING);
    }, SLOW_MS);
    try {
      answer = await fetch(address, post);
    } catch {
      this.say("Loomwright does not answer. Start it again; what you did up to now is kept as a draft.");
      throw new Error("no answer");
    } finally {
      clearTimeout(slow);
      if (at("said").textContent === WORKING) this.say(said === WORKING ? "" : said);
    }
    if (answer.ok) return as(answer);
    const told = await answer.json().catch(() => ({ says: `This went wrong (${answer.status}).` }));
    if (answer.status === 409) await this.#look();
    this.say(told.says);
    throw Object.assign(new Error(told.says), told, { status: answer.status });
  }

  /** Look for the first time; whatever is changed meanwhile waits for the answer. */
  begin(sheet, thing) {
    this.board.sheet = sheet;
    this.#last = this.#look(thing).catch(() => {});
    return this.#last;
  }

  /** Change the plan by one act and show what it has become; one change at a time. */
  change(act, what = {}) {
    const changed = this.#last.then(() => this.#change(act, what));
    this.#last = changed.catch(() => {});
    return changed;
  }

  async #change(act, what) {
    this.dispatchEvent(new CustomEvent("changing"));
    const board = await this.ask(`/change/${act}`, { ...what, rev: this.board.rev, by: this.me, show: this.#wanted() });
    this.say("");
    this.#show(board);
    return board;
  }

  /** Look at the plan as it lies there now: perhaps another sheet, or another thing chosen; if `still` wanted. */
  async look(changes = {}, still = () => true) {
    await this.#last;
    return this.#look(changes, still);
  }

  /** Look again if the plan has gone on to a later revision than what is shown once all answers are in. */
  async hear(rev) {
    await this.#last;
    if (rev > this.board.rev) await this.#look().catch(() => {});
  }

  /** Ask for the board. What was asked for meanwhile and is not there yet is asked for again, and an answer that
   *  a later one has overtaken is not shown. */
  async #look(changes = {}, still = () => true) {
    const turn = ++this.#asked;
    this.#awaited = { ...this.#awaited, ...changes };
    const asked = new URLSearchParams({ ...this.#wanted(), ...this.#awaited });
    let board;
    try {
      board = await this.ask(`/board?${asked}`);
    } finally {
      if (turn === this.#asked) this.#awaited = {};
    }
    if (board.rev < this.board.rev || turn < this.#shown || !still()) return;
    this.#shown = turn;
    this.#show(board);
  }

  /** Choose a thing and go to a sheet that shows it; null puts the slip away. */
  async choose(thing) {
    this.say("");
    if (!thing) return this.look({ kind: "", id: "" });
    const sheets = this.thing(thing)?.sheets ?? [];
    const here = this.board.sheet;
    const stays = sheets.length === 0 || sheets.includes(here) || here === "system" || here === "list";
    return this.look({ ...thing, sheet: stays ? here : sheets[0] });
  }

  /** Choose a thing and go on in its slip; `back` leads to where the keyboard was before. */
  async open(thing) {
    const here = document.activeElement;
    if (!here.closest("#slip, #find")) this.#from = selector(here);
    else if (here.closest("#find")) this.#from = "";
    await this.choose(thing);
    at("slip").querySelector("h1")?.focus();
  }

  /** Put the slip away and return what the keyboard was on before it was opened; null if that is gone. */
  async putAway() {
    await this.choose(null);
    return this.#from ? document.querySelector(this.#from) : null;
  }

  thing({ kind, id }) {
    return this.board.things.find((thing) => thing.kind === kind && thing.id === id);
  }

  say(text) {
    at("said").textContent = text;
  }

  #wanted() {
    const { sheet, chosen } = this.board;
    const play = this.play ? JSON.stringify(this.play) : "";
    return { sheet, kind: chosen?.kind ?? "", id: chosen?.id ?? "", evening: this.evening, by: this.by, play, ...this.#van(), ...this.#tried(), ...(sheet === "system" && this.month ? { month: this.month } : {}) };
  }

  #tried() {
    return this.mains ? { mains: this.mains } : {};
  }

  #van() {
    return this.board.sheet === "van" || this.band || this.asList ? { band: this.band, as_list: this.asList } : {};
  }

  #show(board) {
    const before = this.board;
    this.board = board;
    const had = document.activeElement;
    const held = had?.closest("#sheet") ? "" : selector(had);
    const typing = had?.matches("#slip input") ? { text: had.value, chosen: [had.selectionStart, had.selectionEnd] } : null;
    const inSlip = had?.closest("#slip");
    const scrolled = at("slip").scrollTop;
    const served = cameWithPage(board, before);
    for (const piece of PIECES) {
      if (board[piece] !== before[piece] && !served) at(piece).innerHTML = board[piece];
    }
    at("slip").hidden = !board.slip;
    document.title = `${board.unsaved ? "* " : ""}${board.title} · Loomwright`;
    const { sheet, kind, id } = this.#wanted();
    const tried = sheet === "mains" ? this.#tried() : {};
    history.replaceState(null, "", `/?${new URLSearchParams({ ...(kind ? { sheet, kind, id } : { sheet }), ...tried })}`);
    this.dispatchEvent(new CustomEvent("shown", { detail: { board, before } }));
    if (sameThing(board.chosen, before.chosen)) at("slip").scrollTop = scrolled;
    if (!had || had === document.body || document.activeElement === had) return;
    const again = held && document.querySelector(held);
    again?.focus?.({ preventScroll: true });
    if (again && typing) {
      again.value = typing.text;
      again.setSelectionRange(...typing.chosen);
    }
    if (document.activeElement !== document.body) return;
    if (inSlip && board.slip) at("slip").querySelector("h1")?.focus({ preventScroll: true });
    else this.dispatchEvent(new CustomEvent("lost", { detail: before.chosen }));
  }
}

/** True at first, if what the page was served with is what is to be shown: whatever is typed there stays. */
export function cameWithPage(board, before) {
  const { firstRev, firstSheet, chosenKind, chosenId } = at("paper").dataset;
  const { kind = "", id = "" } = board.chosen ?? {};
  const first = before.rev === 0 && !(board.sheet === "van" && page.asList) && !page.evening && !page.play && page.by === "severity" && String(board.rev) === firstRev;
  return first && board.sheet === firstSheet && kind === chosenKind && id === chosenId;
}

const sameThing = (one, other) => one?.kind === other?.kind && one?.id === other?.id;

const MARKS = ["data-act", "data-device", "data-play", "data-add", "data-kind", "data-id", "data-sheet", "data-zoom", "name", "value"];

/** A way to find a control again after its piece of the page was put in anew; empty if there is none. */
export function selector(element) {
  if (!element || element === document.body) return "";
  if (element.id) return `#${CSS.escape(element.id)}`;
  const place = element.closest("[id]")?.id;
  const summary = element.matches("summary") && element.closest("[data-key]");
  const owner = summary || element;
  const marks = [...MARKS, "data-key"].filter(
    (name) => owner.hasAttribute(name) && (name !== "value" || owner.type === "radio"),
  );
  if (!marks.length) return "";
  const wanted = marks.map((name) => `[${name}=${JSON.stringify(owner.getAttribute(name))}]`).join("");
  return `${place ? `#${CSS.escape(place)} ` : ""}${wanted}${summary ? " > summary" : ""}${owner.ownerSVGElement ? "[tabindex]" : ""}`;
}

export const page = new Page();
