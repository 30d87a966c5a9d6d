/**
 * Has the site kept on this device, and tells when a newer build of it is there: which kits have
 * a new revision, and which of the steps that are ticked change. It is taken when asked for, never
 * by itself while pages are open; what is ticked is read here and never written.
 *
 * @typedef {{id: string, number: number, steps: [string, string][]}} StageMarks ids and digests
 * @typedef {{id: string, title: string, revision: string, stages: StageMarks[]}} KitMarks
 * @typedef {{kit: string, stage: number, step: number, gone: boolean}} Change
 */
import { KitRecord } from "./record.js";
import { keyOf, read, write } from "./storage.js";
import { day, filled, given, one } from "./texts.js";

const WORKER = "kitdocs-worker.js";
const PATIENCE = 5000; // ms to wait for a worker's answer

/**
 * @param {HTMLElement} bar with `data-kits`, the path of what a build says of its kits
 * @param {string} root
 */
export function start(bar, root) {
  const workers = found();
  if (!workers || location.protocol === "file:") return;
  const texts = given(bar);
  const take = /** @type {HTMLButtonElement} */ (one(bar, "[data-kd-take]"));
  const later = keyOf(root, "later");
  let controlled = Boolean(workers.controller);
  let asked = false;
  /** @type {() => void} */
  let taking = () => location.reload();
  let version = "";

  take.addEventListener("click", () => taking());
  one(bar, "[data-kd-later]").addEventListener("click", () => {
    write(later, today());
    bar.hidden = true;
  });
  workers.addEventListener("controllerchange", () => {
    if (asked) location.reload();
    else if (controlled) outdated();
    controlled = true;
  });
  // What the page itself needs comes first.
  if (document.readyState === "complete") keep();
  else addEventListener("load", keep, { once: true });

  async function keep() {
    const address = new URL(WORKER, root);
    const scope = new URL("./", root).pathname;
    try {
      const registration = await workers.register(address, { scope });
      if (registration.waiting) offer(registration.waiting);
      follow(registration.installing);
      registration.addEventListener("updatefound", () => follow(registration.installing));
      // A tablet at the bench may show one page for hours.
      document.addEventListener("visibilitychange", () => {
        if (document.visibilityState === "visible") registration.update().catch(() => {});
      });
    } catch {
      // Refused, or no network: the site works as any other, with a network.
    }
  }

  /** @param {ServiceWorker | null} worker */
  function follow(worker) {
    worker?.addEventListener("statechange", () => {
      if (worker.state === "installed") offer(worker);
    });
  }

  /** @param {ServiceWorker} worker a newer one, which waits to be taken */
  async function offer(worker) {
    const { controller } = workers;
    if (!controller) return; // the first one of all
    const path = bar.dataset.kits ?? "";
    const [next, now] = await Promise.all([told(worker, path), told(controller, path)]);
    if (next.over) {
      outdated(); // nothing is kept any more: whatever is opened next comes from the network
      return;
    }
    version = next.version;
    if (read(later) === today()) return;
    taking = () => {
      asked = true;
      take.disabled = true;
      worker.postMessage("take");
    };
    show(now.kits, next.kits);
    tell(texts.ready);
  }

  /** Newer pages are in use already, in another window or from the network. */
  function outdated() {
    taking = () => location.reload();
    take.textContent = texts.again;
    one(bar, ".kd-what").hidden = true;
    tell(texts.taken);
  }

  /** A reader who put it off is asked again the next day, or for the next version. */
  function today() {
    return `${version} ${day(Date.now())}`;
  }

  /** @param {string} words */
  function tell(words) {
    bar.hidden = false;
    one(bar, ".kd-told").textContent = words;
  }

  /**
   * @param {KitMarks[]} now
   * @param {KitMarks[]} next
   */
  function show(now, next) {
    const before = new Map(now.map((kit) => [kit.id, kit.revision]));
    const revised = next
      .filter((kit) => before.get(kit.id) !== kit.revision)
      .map(({ id, title, revision }) => {
        const values = { kit: title, revision, before: before.get(id) ?? "" };
        return filled(before.has(id) ? texts.revised : texts.added, values);
      });
    list(one(bar, ".kd-revisions"), revised.length ? revised : [texts.same]);
    const changes = next.flatMap((kit) => {
      const old = now.find((other) => other.id === kit.id);
      return old ? changesOf(new KitRecord(root, kit.id), old, kit) : [];
    });
    const words = changes.map((each) => filled(each.gone ? texts.gone : texts.changed, each));
    list(one(bar, ".kd-changes"), words);
    one(bar, ".kd-some").hidden = !words.length;
    one(bar, ".kd-none").hidden = words.length > 0;
    one(bar, ".kd-what").hidden = false;
  }
}

/** @returns {ServiceWorkerContainer | null} none without a secure connection, or where refused */
function found() {
  try {
    return globalThis.isSecureContext ? (navigator.serviceWorker ?? null) : null;
  } catch {
    return null;
  }
}

/**
 * What a version says of the kits; nothing where it does not answer. `over` is said by the worker
 * that ends the keeping.
 * @param {ServiceWorker} worker
 * @param {string} path
 * @returns {Promise<{version: string, kits: KitMarks[], over: boolean}>}
 */
function told(worker, path) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    const nothing = { version: "", kits: [], over: false };
    const end = setTimeout(() => resolve(nothing), PATIENCE);
    port1.onmessage = ({ data }) => {
      clearTimeout(end);
      const kits = data.text ? JSON.parse(data.text) : [];
      resolve({ version: data.version, kits, over: Boolean(data.over) });
    };
    worker.postMessage({ tell: path }, [port2]);
  });
}

/**
 * The steps that are ticked as they are now, and will not be as they were ticked.
 * @param {KitRecord} record
 * @param {KitMarks} now
 * @param {KitMarks} next
 * @returns {Change[]}
 */
function changesOf(record, now, next) {
  const contents = record.contents();
  const there = new Map(marksOf(next).map((mark) => [mark.name, mark]));
  /** @type {Change[]} */
  const found = [];
  for (const mark of marksOf(now)) {
    if (record.state(mark.name, mark.digest, contents).state !== "done") continue;
    const after = there.get(mark.name);
    if (after?.digest === mark.digest) continue;
    // Ticks go along with a step that is the same to the letter in another stage.
    const moved = (/** @type {Mark} */ m) => m.id === mark.id && m.digest === mark.digest;
    if (!after && [...there.values()].some(moved)) continue;
    const { stage, step } = after ?? mark;
    found.push({ kit: next.title, stage, step, gone: !after });
  }
  return found;
}

/**
 * @typedef {{name: string, id: string, digest: string, stage: number, step: number}} Mark
 * @param {KitMarks} kit
 * @returns {Mark[]}
 */
function marksOf(kit) {
  return kit.stages.flatMap((stage) =>
    stage.steps.map(([id, digest], n) => ({
      name: `${stage.id}/${id}`,
      id,
      digest,
      stage: stage.number,
      step: n + 1,
    })),
  );
}

/**
 * @param {HTMLElement} place
 * @param {string[]} lines
 */
function list(place, lines) {
  const entries = lines.map((words) => {
    const entry = document.createElement("li");
    entry.textContent = words;
    return entry;
  });
  place.replaceChildren(...entries);
}
