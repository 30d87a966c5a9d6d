/** Words for scripts: they come from the page, so that they are in its language. */

/**
 * The texts that a template has written into an element, as JSON in a script of its own.
 * @param {HTMLElement} element
 * @returns {any}
 */
export function given(element) {
  const found = element.querySelector('script[type="application/json"]');
  return JSON.parse(found?.textContent ?? "{}");
}

/**
 * A text with its `{name}` filled in.
 * @param {string} text
 * @param {Record<string, string | number>} values
 */
export function filled(text, values) {
  return text.replace(/\{(\w+)\}/g, (all, name) =>
    Object.hasOwn(values, name) ? String(values[name]) : all,
  );
}

/**
 * A day as pages write it in every language, by ISO 8601: 2026-11-20.
 * @param {number} at milliseconds since 1970
 */
export function day(at) {
  const date = new Date(at);
  const local = new Date(at - date.getTimezoneOffset() * 60_000);
  return local.toISOString().slice(0, 10);
}

/**
 * @template {HTMLElement} E
 * @param {ParentNode} within
 * @param {string} selector
 * @returns {E}
 */
export function one(within, selector) {
  const found = /** @type {E | null} */ (within.querySelector(selector));
  if (!found) throw new Error(`no ${selector}`);
  return found;
}

/**
 * @template {HTMLElement} E
 * @param {ParentNode} within
 * @param {string} selector
 * @returns {E[]}
 */
export function all(within, selector) {
  return /** @type {E[]} */ ([...within.querySelectorAll(selector)]);
}
