/** A switch that keeps the screen on, where the browser offers that. */
import { keyOf, read, write } from "./storage.js";

/**
 * @param {HTMLButtonElement[]} switches of one page; they stay hidden where nothing is offered
 * @param {string} root
 */
export function keepAwake(switches, root) {
  if (!("wakeLock" in navigator)) return;
  const key = keyOf(root, "awake");
  let wanted = read(key) === "on";
  /** @type {WakeLockSentinel | undefined} */
  let lock;

  async function ask() {
    if (!wanted || document.visibilityState !== "visible" || (lock && !lock.released)) return;
    try {
      const found = await navigator.wakeLock.request("screen");
      lock = found;
      found.addEventListener("release", show);
      if (!wanted) await found.release(); // switched off while it was asked for
    } catch {
      lock = undefined; // refused, as by a battery that is nearly empty: the switch shows it
    }
    show();
  }

  function show() {
    const on = Boolean(lock && !lock.released);
    for (const button of switches) button.setAttribute("aria-checked", String(on));
  }

  for (const button of switches) {
    button.hidden = false;
    button.addEventListener("click", () => {
      wanted = button.getAttribute("aria-checked") !== "true";
      write(key, wanted ? "on" : "off");
      if (wanted) ask();
      else lock?.release().then(show, show);
    });
  }
  document.addEventListener("visibilitychange", ask);
  show();
  ask();
}
