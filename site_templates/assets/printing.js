/** The button that prints a page. */

/** @param {HTMLElement} button */
export function start(button) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
