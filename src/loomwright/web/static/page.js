// The page as one object: what it shows, and how a change of the plan reaches drawing, findings and forms.
// It tells "shown" after every redraw; whoever shows something listens and takes his part of the board.

const at = (id) => document.getElementById(id);
const PIECES = ["caution", "tabs", "ledge", "block", "slip"];

class Page extends EventTarget {
  /** Name of this window among all that are open, so that it does not hear its own echo. */
  me = Math.random().toString(36).slice(2);
  board = { rev: 0, sheet: "", chosen: null, things: [] };
  evening = false;

  /** Ask the server. A refusal is said in its own words, then thrown. */
  async ask(address, body) {
    const post = body && {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(body),
    };
    let answer;
    try {
      answer = await fetch(address, post);
    } catch {
      this.say("Loomwright does not answer. Start it again; what you did up to now is kept as a draft.");
      throw new Error("no answer");
    }
    const told = await answer.json().catch(() => ({ says: `This went wrong (${answer.status}).` }));
    if (answer.ok) return told;
    if (answer.status === 409) await this.look();
    this.say(told.says);
    throw Object.assign(new Error(told.says), told, { status: answer.status });
  }

  /** Change the plan by one act and show what it has become. */
  async change(act, what = {}) {
    const board = await this.ask(`/change/${act}`, { ...what, rev: this.board.rev, by: this.me, show: this.#wanted() });
    this.say("");
    this.#show(board);
    return board;
  }

  /** Look at the plan as it lies there now: perhaps another sheet, or another thing chosen. */
  async look(changes = {}) {
    const asked = new URLSearchParams({ ...this.#wanted(), ...changes });
    const board = await this.ask(`/board?${asked}`);
    if (board.rev >= this.board.rev) this.#show(board);
  }

  /** Choose a thing and go to a sheet that shows it; null puts the slip away. */
  async choose(thing) {
    if (!thing) return this.look({ kind: "", id: "" });
    const sheets = this.thing(thing)?.sheets ?? [];
    const here = this.board.sheet;
    const stays = sheets.length === 0 || sheets.includes(here) || here === "system" || here === "list";
    return this.look({ ...thing, sheet: stays ? here : sheets[0] });
  }

  thing({ kind, id }) {
    return this.board.things.find((thing) => thing.kind === kind && thing.id === id);
  }

  say(text) {
    at("said").textContent = text;
  }

  #wanted() {
    const { sheet, chosen } = this.board;
    return { sheet, kind: chosen?.kind ?? "", id: chosen?.id ?? "", evening: this.evening };
  }

  #show(board) {
    const before = this.board;
    this.board = board;
    const focused = document.activeElement?.closest("[data-act], [data-kind], [name], [data-sheet]");
    const held = focused && !focused.closest("#sheet") ? selector(focused) : "";
    const typing = focused?.matches("#slip input") ? { text: focused.value, at: focused.selectionStart } : null;
    const scrolled = at("slip").scrollTop;
    for (const piece of PIECES) {
      if (board[piece] !== before[piece]) at(piece).innerHTML = board[piece];
    }
    at("slip").hidden = !board.slip;
    document.title = `${board.unsaved ? "* " : ""}${board.title} · Loomwright`;
    const { sheet, kind, id } = this.#wanted();
    history.replaceState(null, "", `/?${new URLSearchParams(kind ? { sheet, kind, id } : { sheet })}`);
    document.body.classList.toggle("with-slip", Boolean(board.slip));
    this.dispatchEvent(new CustomEvent("shown", { detail: { board, before } }));
    if (sameThing(board.chosen, before.chosen)) at("slip").scrollTop = scrolled;
    if (!held || document.activeElement?.matches(held)) return;
    const again = document.querySelector(held);
    again?.focus({ preventScroll: true });
    if (again && typing) {
      again.value = typing.text;
      again.setSelectionRange(typing.at, typing.at);
    }
  }
}

const sameThing = (one, other) => one?.kind === other?.kind && one?.id === other?.id;

/** A way to find a control again after its piece of the page was put in anew. */
function selector(element) {
  if (element.id) return `#${CSS.escape(element.id)}`;
  const place = element.closest("[id]")?.id;
  const marks = ["data-act", "data-kind", "data-id", "data-sheet", "name", "value"].filter(
    (name) => element.hasAttribute(name) && (name !== "value" || element.type === "radio"),
  );
  return `${place ? `#${place} ` : ""}${marks.map((name) => `[${name}=${JSON.stringify(element.getAttribute(name))}]`).join("")}`;
}

export const page = new Page();
