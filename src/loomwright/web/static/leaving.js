// Closing a window with unsaved work asks first; going from one of our own pages to another does not.

let inside = false;

/** Have the browser ask before the window is closed, as long as `unsaved` says so. */
export function warn(unsaved) {
  window.addEventListener("beforeunload", (event) => {
    if (!inside && unsaved()) event.preventDefault();
  });
  window.addEventListener("pageshow", () => { inside = false; });
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href]");
    if (link && !event.defaultPrevented && link.origin === location.origin && !link.target) stayInside();
  });
}

/** Say that the page is left for another one of ours. */
export function stayInside() {
  inside = true;
}
