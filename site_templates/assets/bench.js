/**
 * One step at a time. A card is all elements beside the panel with one id in `data-card`; the
 * address ends in `#bench:ID` while one is shown, so that Back leads to the card before.
 */
import { keyOf, onChange, write } from "./storage.js";
import { all, filled, given, one } from "./texts.js";
import { keepAwake } from "./wake.js";

const MARK = "#bench:";
/** Keys that an element needs for itself. */
const BUSY = "input:not([type=checkbox]), select, textarea, [contenteditable]";
const PRESSED_BY_SPACE = "input, button, a, summary, label";

/**
 * @param {HTMLElement} panel
 * @param {string} root
 */
export function start(panel, root) {
  const page = /** @type {HTMLElement} */ (panel.parentElement);
  const bar = one(page, ".kd-stepping");
  const texts = given(panel);
  const elements = all(page, "[data-card]");
  /** @param {Element | undefined | null} element */
  const idOf = (element) => /** @type {HTMLElement | undefined} */ (element)?.dataset.card;
  const cards = [...new Set(elements.map((element) => idOf(element) ?? ""))];
  const steps = elements.filter((element) => element.classList.contains("kd-step"));
  const back = one(bar, "[data-kd-go=back]");
  const next = one(bar, "[data-kd-go=next]");
  /** @type {string | undefined} */
  let shown;

  /** Show the card that the address names, or everything. */
  function follow() {
    const hash = decodeURIComponent(location.hash);
    const card = cards.find((id) => MARK + id === hash);
    if (card !== undefined) open(card);
    else if (shown !== undefined) close();
  }

  /** @param {string} card */
  function open(card) {
    if (card === shown) return;
    shown = card;
    page.classList.add("kd-one");
    document.documentElement.classList.add("kd-at-bench");
    bar.hidden = false;
    for (const element of elements) element.classList.toggle("kd-shown", idOf(element) === card);
    tell();
    const [first, ...more] = elements.filter((element) => idOf(element) === card);
    const heading = [first, ...more].map((e) => e.querySelector("h2, h3")).find(Boolean) ?? first;
    /** @type {HTMLElement} */ (heading).tabIndex = -1;
    /** @type {HTMLElement} */ (heading).focus({ preventScroll: true });
    scrollTo({ top: 0, behavior: "instant" });
  }

  function close() {
    const was = elements.find((element) => idOf(element) === shown);
    shown = undefined;
    page.classList.remove("kd-one");
    document.documentElement.classList.remove("kd-at-bench");
    bar.hidden = true;
    for (const element of elements) element.classList.remove("kd-shown");
    (named(location.hash) ?? was)?.scrollIntoView({ behavior: "instant" });
  }

  function tell() {
    if (shown === undefined) return;
    const at = cards.indexOf(shown);
    const passed = steps.filter((step) => cards.indexOf(idOf(step) ?? "") <= at);
    const step = steps.find((element) => idOf(element) === shown);
    const told = step ? texts.step : passed.length ? texts.after : texts.before;
    const values = { step: passed.length, all: steps.length };
    one(bar, ".kd-where").textContent = filled(told, values);
    back.toggleAttribute("disabled", at === 0);
    next.toggleAttribute("disabled", at === cards.length - 1);
    next.classList.toggle("kd-ready", Boolean(step?.querySelector(".kd-check input:checked")));
  }

  /** @param {string | undefined} card */
  function go(card) {
    if (card !== undefined) location.hash = MARK + card;
  }

  /** @param {number} by */
  function move(by) {
    if (shown !== undefined) go(cards[cards.indexOf(shown) + by]);
  }

  one(panel, "[data-kd-one]").addEventListener("click", () => {
    write(keyOf(root, "one"), "on");
    const begun = steps.some((step) => step.dataset.state !== "open");
    const waiting = steps.find((step) => step.dataset.state !== "done");
    go(begun ? (idOf(waiting) ?? cards.at(-1)) : cards[0]);
  });
  one(bar, "[data-kd-go=out]").addEventListener("click", () => {
    write(keyOf(root, "one"), "off");
    const step = steps.find((element) => idOf(element) === shown);
    location.hash = step ? (shown ?? "") : "kd-steps";
  });
  back.addEventListener("click", () => move(-1));
  next.addEventListener("click", () => move(1));
  onChange(panel, tell);
  page.addEventListener("click", (event) => {
    const link = /** @type {HTMLElement} */ (event.target).closest("a");
    if (shown === undefined || !link || !inPage(link)) return;
    const card = idOf(named(link.hash)?.closest("[data-card]"));
    if (card === undefined) return;
    event.preventDefault(); // a link to another step leads to its card
    go(card);
  });
  const away = new AbortController();
  const { signal } = away;
  addEventListener("hashchange", follow, { signal });
  document.addEventListener("keydown", press, { signal });

  /** @param {KeyboardEvent} event */
  function press(event) {
    if (!panel.isConnected) {
      away.abort(); // the theme has changed the page
      return;
    }
    const target = /** @type {HTMLElement} */ (event.target);
    const held = event.ctrlKey || event.altKey || event.metaKey;
    if (shown === undefined || held || event.defaultPrevented || target.closest(BUSY)) return;
    if (event.key === "ArrowRight") move(1);
    else if (event.key === "ArrowLeft") move(-1);
    else if (event.key === " " && !target.closest(PRESSED_BY_SPACE)) move(event.shiftKey ? -1 : 1);
    else return;
    event.preventDefault();
  }

  keepAwake(all(page, "button[data-kd-awake]"), root);
  follow();
}

/** @param {HTMLAnchorElement} link which may also say `./#ID`, as links between pages do */
function inPage({ origin, pathname, hash }) {
  return Boolean(hash) && origin === location.origin && pathname === location.pathname;
}

/** @param {string} hash */
function named(hash) {
  return document.getElementById(decodeURIComponent(hash.slice(1)));
}
