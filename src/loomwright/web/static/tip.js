// A line at the foot of the paper that follows what the pointer or the keyboard does; it is read out, too.

const line = document.getElementById("tip");

/** Show a line; an empty one goes. */
export function tip(text) {
  if (line.textContent !== text) line.textContent = text;
}
