/**
 * How far a builder has got with one kit: ticks, and what was found in the bag. It belongs to the
 * kit, not to a revision. Names in it are `stage/step` and `stage/part`.
 *
 * @typedef {{digest: string, done: boolean, at: number}} Tick `digest` is that of the step when it
 *   was ticked, `at` the time of the last change in milliseconds since 1970
 * @typedef {{count: number, there: boolean, at: number}} Found so many of a part were in the bag
 * @typedef {{ticks: Map<string, Tick>, bag: Map<string, Found>}} Contents
 * @typedef {"open" | "done" | "changed"} State
 */
import { keyOf, read, write } from "./storage.js";

const FORMAT = "kitdocs progress";
const VERSION = 1;

export class KitRecord {
  /**
   * @param {string} root address of the site's first page
   * @param {string} kit
   */
  constructor(root, kit) {
    this.kit = kit;
    this.key = keyOf(root, `progress:${kit}`);
  }

  /** @returns {Contents} as kept now; another window may have written since */
  contents() {
    const found = parsed(read(this.key) ?? "");
    return typeof found === "string" || found.kit !== this.kit ? empty() : found;
  }

  /**
   * What has become of a step, or of anything else that can be ticked.
   * @param {string} name
   * @param {string} digest of what the page shows now
   * @param {Contents} [contents]
   * @returns {{state: State, at: number}}
   */
  state(name, digest, contents = this.contents()) {
    const tick = contents.ticks.get(name);
    if (!tick?.done) return { state: "open", at: tick?.at ?? 0 };
    return { state: tick.digest === digest ? "done" : "changed", at: tick.at };
  }

  /**
   * @param {string} name
   * @param {string} digest
   * @param {boolean} done
   */
  tick(name, digest, done) {
    const contents = this.contents();
    const at = later(contents.ticks.values());
    contents.ticks.set(name, { digest, done, at });
    this.#keep(contents);
  }

  /**
   * @param {string} name
   * @param {number} count
   * @param {boolean} there
   */
  find(name, count, there) {
    const contents = this.contents();
    const at = later(contents.bag.values());
    contents.bag.set(name, { count, there, at });
    this.#keep(contents);
  }

  /**
   * Give the ticks of a stage that the kit no longer has to the steps of this one that are the same
   * to the letter: the stage was renamed, or a step has moved out of a stage that is gone.
   * @param {string} stage
   * @param {readonly string[]} stages of the kit as it is now
   * @param {readonly {id: string, digest: string}[]} steps of this stage
   */
  adopt(stage, stages, steps) {
    const contents = this.contents();
    let found = false;
    for (const [name, tick] of [...contents.ticks]) {
      const [old, id] = split(name);
      const step = steps.find((s) => s.id === id && s.digest === tick.digest);
      const mine = `${stage}/${id}`;
      if (!step || stages.includes(old) || contents.ticks.has(mine)) continue;
      contents.ticks.set(mine, tick);
      found = true;
    }
    if (found) this.#keep(contents);
  }

  /** The last thing that was ticked and still is. */
  last() {
    let found = null;
    for (const [name, tick] of this.contents().ticks) {
      if (!tick.done || (found && found.at >= tick.at)) continue;
      const [stage, id] = split(name);
      found = { stage, id, at: tick.at };
    }
    return found;
  }

  /**
   * @param {string} revision of the site that writes it
   * @returns {string} the record as a file
   */
  file(revision) {
    return `${JSON.stringify(written(this.kit, this.contents(), revision), null, 1)}\n`;
  }

  /**
   * Take in a file; of two records of one thing the later one counts.
   * @param {string} text
   * @returns {{wrong: "damaged" | "other" | "newer", kit?: string} | {taken: number, all: number}}
   */
  take(text) {
    const found = parsed(text);
    if (typeof found === "string") return { wrong: found };
    if (found.kit !== this.kit) return { wrong: "other", kit: found.kit };
    const mine = this.contents();
    const taken = merge(mine.ticks, found.ticks) + merge(mine.bag, found.bag);
    if (taken) this.#keep(mine);
    return { taken, all: found.ticks.size + found.bag.size };
  }

  /** @param {Contents} contents */
  #keep(contents) {
    const before = read(this.key);
    if (before && typeof parsed(before) === "string") write(`${this.key}:unread`, before);
    write(this.key, JSON.stringify(written(this.kit, contents, "")));
  }
}

/** @returns {Contents} */
function empty() {
  return { ticks: new Map(), bag: new Map() };
}

/**
 * Now; but after every change before, whatever the clock was when that was made: a tablet that lay
 * flat for months may begin in another year, and some browsers tell the time by tenths of a second.
 * @param {Iterable<{at: number}>} before
 */
function later(before) {
  return Math.max(Date.now(), ...Array.from(before, ({ at }) => at + 1));
}

/**
 * @param {string} name
 * @returns {[string, string]}
 */
function split(name) {
  const at = name.indexOf("/");
  return [name.slice(0, at), name.slice(at + 1)];
}

/**
 * @template {{at: number}} T
 * @param {Map<string, T>} mine
 * @param {Map<string, T>} other
 * @returns {number} how many were taken over
 */
function merge(mine, other) {
  let taken = 0;
  for (const [name, value] of other) {
    if ((mine.get(name)?.at ?? 0) >= value.at) continue;
    mine.set(name, value);
    taken += 1;
  }
  return taken;
}

/**
 * @param {string} kit
 * @param {Contents} contents
 * @param {string} revision
 */
function written(kit, { ticks, bag }, revision) {
  const of = { format: FORMAT, version: VERSION, kit, ...(revision ? { revision } : {}) };
  return { ...of, ticks: Object.fromEntries(ticks), bag: Object.fromEntries(bag) };
}

/**
 * @param {string} text
 * @returns {Contents & {kit: string} | "damaged" | "newer"}
 */
function parsed(text) {
  /** @type {any} */
  let data;
  try {
    data = JSON.parse(text);
  } catch {
    return "damaged";
  }
  if (data?.format !== FORMAT || typeof data.kit !== "string") return "damaged";
  if (Number.isInteger(data.version) && data.version > VERSION) return "newer";
  const ticks = entries(data.ticks, (t) => typeof t.digest === "string" && isBoolean(t.done));
  const bag = entries(data.bag, (f) => Number.isInteger(f.count) && isBoolean(f.there));
  if (data.version !== VERSION || !ticks || !bag) return "damaged";
  return { kit: data.kit, ticks, bag };
}

/**
 * @param {unknown} data
 * @param {(value: any) => boolean} right
 * @returns {Map<string, any> | null} null where anything in it is not as it has to be
 */
function entries(data, right) {
  if (typeof data !== "object" || data === null || Array.isArray(data)) return null;
  const found = Object.entries(data);
  const sound = found.every(
    ([name, value]) => name.includes("/") && Number.isFinite(value?.at) && right(value),
  );
  return sound ? new Map(found) : null;
}

/** @param {unknown} value */
function isBoolean(value) {
  return typeof value === "boolean";
}
