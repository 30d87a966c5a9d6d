/**
 * What a browser keeps for the site. Where it keeps nothing (a private window, a full disk, storage
 * switched off), values live as long as the page does, and `kept()` says so.
 */

/** @type {Map<string, string>} */
const memory = new Map();
const TRIAL = "kitdocs:trial";
let works = true;
let tried = false;

/** @returns {Storage} throws where the browser refuses it */
function store() {
  return globalThis.localStorage;
}

/**
 * The key of a value of this site. Two sites on one host keep theirs apart. On a disk the folder is
 * left out: the next revision is unpacked into another one, and takes over the ticks.
 * @param {string} root address of the site's first page
 * @param {string} name
 */
export function keyOf(root, name) {
  const { protocol, pathname } = new URL(root);
  return `kitdocs:${protocol === "file:" ? "" : pathname}:${name}`;
}

/**
 * @param {string} key
 * @returns {string | null}
 */
export function read(key) {
  if (memory.has(key)) return memory.get(key) ?? null;
  try {
    return store().getItem(key);
  } catch {
    works = false;
    return null;
  }
}

/**
 * @param {string} key
 * @param {string} value
 */
export function write(key, value) {
  try {
    store().setItem(key, value);
    memory.delete(key);
  } catch {
    memory.set(key, value);
    works = false;
  }
  tell();
}

/** Whether everything so far was kept; before the first value it is tried out. */
export function kept() {
  if (!tried) {
    tried = true;
    try {
      store().setItem(TRIAL, "1");
      store().removeItem(TRIAL);
    } catch {
      works = false;
    }
  }
  return works;
}

/** @type {Map<() => void, Element>} */
const watching = new Map();

/**
 * Call `changed` whenever a value may have changed: here, in another window, or while a browser
 * kept this page aside. It ends when `element` is no longer on the page.
 * @param {Element} element
 * @param {() => void} changed
 */
export function onChange(element, changed) {
  watching.set(changed, element);
}

function tell() {
  for (const [changed, element] of watching) {
    if (element.isConnected) changed();
    else watching.delete(changed);
  }
}

addEventListener("storage", (event) => {
  if (event.key !== TRIAL) tell();
});
addEventListener("pageshow", (event) => {
  if (event.persisted) tell();
});
