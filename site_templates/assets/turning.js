/**
 * The plan that turns: from a slider in turns of the crank, every wheel and arm at its angle.
 *
 * The geometry is that of `kitdocs/pages/turning.py`. The crank's place is a whole number of parts
 * of a turn and speeds are fractions, so that angles are exact after any number of turns.
 *
 * @typedef {[number, number]} Ratio a speed in turns for one of the crank
 * @typedef {{id: string, on: string, s: Ratio, at: [number, number], r: number, in: number,
 *   rim: number, items: string}} Move
 * @typedef {{on: string, s: Ratio, n: [number, number], wheels: number[][], handles: number[][],
 *   items: string}} Level
 * @typedef {{unit: number, way: number, proof: number, most: number, box: number[],
 *   moves: Move[], level: Level[], arms: [string, number, number, number[][]][],
 *   balls: [string, number, number, number][], names: [string, number, number, number, string][],
 *   rows: Ratio[], texts: any}} Data
 * @typedef {{x: number, y: number, turn: number}} Pose of a body: where its axis is, degrees
 */
import { all, filled, given, one } from "./texts.js";

const SVG = "http://www.w3.org/2000/svg";
const FRAME = "";
/** px of the name of a body, as it is seen; from a ball to its name; ms of a move of a button. */
const [LETTERS, APART, MOVE] = [12, 3, 600];
/** ms until a rest is told to those who listen; of a step where motion is to be reduced. */
const [REST, STEP] = [700, 1000];
const calm = matchMedia("(prefers-reduced-motion: reduce)");

/**
 * What is left of so many turns when whole ones are taken away, from 0 to 1, exactly.
 * @param {bigint} at parts of a turn of the crank
 * @param {number} unit how many parts a turn has
 * @param {Ratio} speed
 */
export function part(at, unit, [over, under]) {
  const parts = BigInt(unit) * BigInt(under);
  const rest = (at * BigInt(over)) % parts;
  return Number(rest < 0n ? rest + parts : rest) / Number(parts);
}

/**
 * Whole turns and degrees, rounded half to even as the proof's table is.
 * @param {bigint} at
 * @param {number} unit
 * @param {Ratio} speed
 * @returns {{turns: bigint, degrees: bigint, sense: number}}
 */
export function figure(at, unit, [over, under]) {
  const moved = at * BigInt(over);
  const parts = BigInt(unit) * BigInt(under);
  const size = moved < 0n ? -moved : moved;
  const rest = (size % parts) * 360n;
  const twice = (rest % parts) * 2n;
  let degrees = rest / parts;
  if (twice > parts || (twice === parts && degrees % 2n)) degrees += 1n;
  const over360 = degrees === 360n;
  return {
    turns: size / parts + (over360 ? 1n : 0n),
    degrees: over360 ? 0n : degrees,
    sense: moved < 0n ? -1 : moved > 0n ? 1 : 0,
  };
}

/**
 * Where each body is, those first that others go round on.
 * @param {Data} data
 * @param {bigint} at
 * @returns {Map<string, Pose>}
 */
export function poses({ moves, unit }, at) {
  /** @type {Map<string, Pose & {from: [number, number]}>} */
  const found = new Map([[FRAME, { x: 0, y: 0, turn: 0, from: [0, 0] }]]);
  for (const { id, on, s, at: from } of moves) {
    const carrier = /** @type {Pose & {from: [number, number]}} */ (found.get(on));
    const [x, y] = carried(carrier, from);
    found.set(id, { x, y, turn: part(at, unit, s) * 360, from });
  }
  return found;
}

/**
 * Where a point of a body comes. Seen from above, y downwards.
 * @param {any} pose
 * @param {number[]} point
 * @returns {[number, number]}
 */
function carried({ x, y, turn, from }, [px, py]) {
  const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)];
  const [dx, dy] = [px - from[0], py - from[1]];
  return [x + cos * dx + sin * dy, y - sin * dx + cos * dy];
}

/** @param {number} value */
const short = (value) => String(Math.round(value * 1000) / 1000);

/** @param {any} pose */
function placed({ x, y, turn, from }) {
  const [dx, dy] = [short(x - from[0]), short(y - from[1])];
  return `translate(${dx} ${dy}) rotate(${short(-turn)} ${from[0]} ${from[1]})`;
}

/**
 * The layer of the drawing that only turns: marks of wheels, arms, balls and names.
 */
class Drawing {
  /**
   * @param {SVGSVGElement} svg
   * @param {Data} data
   */
  constructor(svg, data) {
    this.svg = svg;
    this.data = data;
    this.still = svg.getAttribute("viewBox") ?? "";
    /** @type {[Element, string][]} what goes with which body */
    this.bound = [];
    /** @type {[Element, Level, (turn: number) => string][]} */
    this.rolling = [];
    this.turning = false;
  }

  begin() {
    if (this.turning) return;
    this.turning = true;
    this.layer ??= this.make();
    this.svg.append(this.layer);
    this.svg.setAttribute("viewBox", this.data.box.join(" "));
    this.svg.classList.add("kd-turning");
    this.fit();
  }

  end() {
    if (!this.turning) return;
    this.turning = false;
    this.svg.setAttribute("viewBox", this.still);
    this.svg.classList.remove("kd-turning");
    this.layer?.remove();
    for (const [element] of this.bound) element.removeAttribute("transform");
  }

  /** Names as large as the rest of the page, however wide the drawing is. */
  fit() {
    if (!this.turning || !this.layer) return;
    const { clientWidth, clientHeight } = this.svg;
    const [, , wide, high] = this.data.box;
    this.px = clientWidth ? Math.max(wide / clientWidth, high / clientHeight) : 1;
    this.layer.style.fontSize = `${short(LETTERS * this.px)}px`;
  }

  /** @returns {SVGGElement} */
  make() {
    const layer = this.add(this.svg, "g", { class: "kd-moving" });
    for (const { id, on, items } of [...this.data.moves, ...this.data.level.map(lying)]) {
      for (const item of items.split(" ").filter(Boolean)) {
        const drawn = this.svg.querySelectorAll(`[data-item="${CSS.escape(item)}"]`);
        for (const element of drawn) this.bound.push([element, id ?? on]);
      }
    }
    for (const { id, at, r, in: inner, rim } of this.data.moves) {
      const [x, y] = at;
      if (r) this.bind(layer, id, "path", { class: "kd-mark", d: `M${x + inner} ${y}L${x + r} ${y}` });
      if (rim) this.bind(layer, id, "circle", { class: "kd-rim", cx: at[0], cy: at[1], r: rim });
    }
    for (const level of this.data.level) this.roll(layer, level);
    for (const [body, x, y, tips] of this.data.arms) {
      const d = tips.map(([tx, ty]) => `M${x} ${y}L${tx} ${ty}`).join("");
      this.bind(layer, body, "path", { class: "kd-bar", d });
    }
    for (const [body, cx, cy, r] of this.data.balls) {
      this.bind(layer, body, "circle", { class: "kd-ball", cx, cy, r });
    }
    this.names = this.data.names.map((name) => {
      const text = this.add(layer, "text", {});
      text.textContent = name[4];
      return text;
    });
    return layer;
  }

  /**
   * @param {SVGGElement} layer
   * @param {Level} level
   */
  roll(layer, level) {
    const group = this.add(layer, "g", {});
    this.bound.push([group, level.on]);
    const [nx, ny] = level.n;
    for (const [ax, ay, bx, by, r] of level.wheels) {
      for (const third of [0, 120, 240]) {
        const line = this.add(group, "path", { class: "kd-mark", d: `M${ax} ${ay}L${bx} ${by}` });
        this.rolling.push([line, level, (turn) => {
          const angle = ((turn + third) * Math.PI) / 180;
          const out = r * Math.cos(angle);
          line.setAttribute("opacity", Math.sin(angle) > 0 ? "1" : "0"); // the others are below
          return `translate(${short(out * nx)} ${short(out * ny)})`;
        }]);
      }
    }
    for (const [x, y, reach] of level.handles) {
      const d = `M0 0L${short(nx * reach)} ${short(ny * reach)}`;
      const line = this.add(group, "path", { class: "kd-bar", d });
      this.rolling.push([line, level, (turn) =>
        `translate(${x} ${y}) scale(${short(Math.cos((turn * Math.PI) / 180))})`]);
    }
  }

  /** @param {bigint} at */
  show(at) {
    if (!this.turning) return;
    const found = poses(this.data, at);
    /** @type {Map<string, string>} */
    const moves = new Map();
    for (const [id, pose] of found) moves.set(id, placed(pose));
    for (const [element, id] of this.bound) {
      if (id !== FRAME) element.setAttribute("transform", moves.get(id) ?? "");
    }
    for (const [element, { s }, transform] of this.rolling) {
      element.setAttribute("transform", transform(part(at, this.data.unit, s) * 360));
    }
    const px = this.px ?? 1;
    this.data.names.forEach(([body, x, y, r], n) => {
      const [tx, ty] = carried(found.get(body), [x, y]);
      const up = ty - Math.max(r, 2 * px) - APART * px;
      this.names?.[n].setAttribute("transform", `translate(${short(tx)} ${short(up)})`);
    });
  }

  /**
   * @param {SVGGElement} layer
   * @param {string} body
   * @param {string} name
   * @param {Record<string, any>} attributes
   */
  bind(layer, body, name, attributes) {
    this.bound.push([this.add(layer, name, { "data-body": body, ...attributes }), body]);
  }

  /**
   * @param {any} parent
   * @param {string} name
   * @param {Record<string, any>} attributes
   * @returns {any}
   */
  add(parent, name, attributes) {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
    parent.append(made);
    return made;
  }
}

/** @param {Level} level */
function lying({ on, items }) {
  return { id: on, on, items };
}

class Turning {
  /**
   * @param {HTMLElement} panel
   * @param {SVGSVGElement} svg
   */
  constructor(panel, svg) {
    this.panel = panel;
    /** @type {Data} */
    this.data = given(panel);
    this.drawing = new Drawing(svg, this.data);
    this.at = 0n;
    /** Parts of a turn that play has gone beyond the last whole one. */
    this.beyond = 0;
    this.frame = 0;
    this.playing = false;
    /** Paper has the drawing that stands still. */
    this.printing = false;
    const lang = document.documentElement.lang || undefined;
    this.number = new Intl.NumberFormat(lang, { maximumFractionDigits: 3 });
    /** @type {HTMLInputElement} */
    this.slider = one(panel, "input[type=range]");
    /** @type {HTMLInputElement} */
    this.field = one(panel, "input[type=number]");
    /** @type {HTMLSelectElement} */
    this.speed = one(panel, "select");
    this.button = one(panel, "[data-kd-play]");
    this.backwards = one(panel, "[data-kd-backwards]");
    this.mark = panel.querySelector(".kd-there");
    this.told = one(panel, ".kd-told");
    this.cells = all(panel, "tbody tr").map((row) => [...row.querySelectorAll("td")]);
    this.span(0, this.data.most);
    this.listen();
  }

  listen() {
    const { panel, slider, field } = this;
    slider.addEventListener("input", () => this.stop(() => this.to(this.parts(slider.value))));
    field.addEventListener("change", () => {
      if (Number.isFinite(field.valueAsNumber)) {
        this.stop(() => this.glide(this.parts(field.value)));
      } else this.write();
    });
    for (const button of all(panel, "[data-kd-by]")) {
      const by = this.parts(button.dataset.kdBy ?? "0");
      button.addEventListener("click", () => this.stop(() => this.glide(this.aim() + by)));
    }
    panel.querySelector("[data-kd-proof]")?.addEventListener("click", () => {
      this.stop(() => this.glide(BigInt(this.data.proof)));
    });
    one(panel, "[data-kd-still]").addEventListener("click", () => {
      this.stop(() => this.to(0n));
      this.keepPlace(() => this.drawing.end());
    });
    this.button.addEventListener("click", () => (this.playing ? this.stop() : this.play()));
    this.backwards.addEventListener("click", () => {
      const on = this.backwards.getAttribute("aria-checked") !== "true";
      this.backwards.setAttribute("aria-checked", String(on));
    });
    const away = new AbortController();
    const { signal } = away;
    /** @param {() => void} act */
    const here = (act) => () => (panel.isConnected ? act() : away.abort());
    addEventListener("resize", here(() => {
      this.drawing.fit();
      this.drawing.show(this.at);
      this.place();
    }), { signal });
    let turned = false;
    addEventListener("beforeprint", here(() => {
      turned = this.drawing.turning;
      this.printing = true;
      this.drawing.end();
    }), { signal });
    addEventListener("afterprint", here(() => {
      this.printing = false;
      if (turned) this.to(this.at);
    }), { signal });
  }

  /** @param {string} turns */
  parts(turns) {
    return BigInt(Math.round(Number(turns) * this.data.unit));
  }

  /** Where the last button leads, or where the crank stands. */
  aim() {
    return this.goal ?? this.at;
  }

  /** @param {bigint} at parts of a turn from the start, forward */
  to(at) {
    this.at = at;
    this.goal = undefined;
    if (!this.drawing.turning && !this.printing) this.keepPlace(() => this.drawing.begin());
    this.show();
  }

  show() {
    const turned = this.at * BigInt(this.data.way);
    this.drawing.show(turned);
    this.write();
    const { texts, unit, rows } = this.data;
    rows.forEach((speed, n) => {
      const { turns, degrees, sense } = figure(turned, unit, speed);
      const [cells, ways] = [this.cells[n], texts.ways[n]];
      const told = [String(turns), filled(texts.degrees, { degrees: String(degrees) }),
        sense < 0 ? ways[0] : sense > 0 ? ways[1] : texts.none];
      told.forEach((text, c) => {
        if (cells[c].textContent !== text) cells[c].textContent = text;
      });
    });
    clearTimeout(this.rest);
    if (!this.playing) this.rest = setTimeout(() => this.tell(), REST);
  }

  /** Say where everything stands once it rests; not while it moves. */
  tell() {
    const { texts } = this.data;
    const rows = all(this.panel, "tbody tr").map((row, n) => {
      const [turns, degrees, way] = this.cells[n].map((cell) => cell.textContent ?? "");
      const name = row.querySelector("th")?.textContent?.trim() ?? "";
      return filled(texts.row, { name, turns, degrees, way });
    });
    this.told.textContent = [filled(texts.crank, { turns: this.words() }), ...rows].join(" ");
  }

  words() {
    return this.number.format(Number(this.at) / this.data.unit);
  }

  /** The slider and the field, where the crank stands. */
  write() {
    const turns = Number(this.at) / this.data.unit;
    const [least, most] = [Number(this.slider.min), Number(this.slider.max)];
    if (turns < least || turns > most) {
      this.span(Math.min(least, Math.floor(turns)), Math.max(most, Math.ceil(turns)));
    }
    this.slider.value = String(turns);
    this.slider.setAttribute("aria-valuetext", this.words());
    if (document.activeElement !== this.field || !this.playing) {
      this.field.value = String(Math.round(turns * 1000) / 1000);
    }
  }

  /**
   * @param {number} least
   * @param {number} most
   */
  span(least, most) {
    this.slider.min = String(least);
    this.slider.max = String(most);
    this.place();
  }

  /** The mark of the proof, under its place on the slider. */
  place() {
    if (!(this.mark instanceof HTMLElement)) return;
    const [least, most] = [Number(this.slider.min), Number(this.slider.max)];
    const share = (this.data.proof / this.data.unit - least) / (most - least);
    this.mark.style.setProperty("--kd-share", short(share));
  }

  /** @param {() => void} [then] */
  stop(then) {
    cancelAnimationFrame(this.frame);
    clearInterval(this.steps);
    const was = this.playing;
    this.playing = false;
    this.button.textContent = this.data.texts.play;
    then?.();
    if (was && !then) this.show();
  }

  play() {
    this.stop();
    this.playing = true;
    this.button.textContent = this.data.texts.pause;
    const backwards = () => (this.backwards.getAttribute("aria-checked") === "true" ? -1 : 1);
    if (calm.matches) {
      const by = this.data.unit / 10;
      this.steps = setInterval(() => {
        if (!this.panel.isConnected) return this.stop();
        this.to(this.at + BigInt(Math.round(by) * backwards()));
      }, STEP);
      return;
    }
    let before = performance.now();
    this.beyond = 0;
    /** @param {number} now */
    const next = (now) => {
      if (!this.playing || !this.panel.isConnected) return;
      const seconds = Math.min(now - before, 100) / 1000; // not all the time that a tab slept
      before = now;
      this.beyond += seconds * Number(this.speed.value) * this.data.unit * backwards();
      const whole = Math.trunc(this.beyond);
      this.beyond -= whole;
      this.to(this.at + BigInt(whole));
      this.frame = requestAnimationFrame(next);
    };
    this.frame = requestAnimationFrame(next);
  }

  /**
   * Turn there, or be there at once where motion is to be reduced.
   * @param {bigint} goal
   */
  glide(goal) {
    if (calm.matches || goal === this.at) {
      this.to(goal);
      return;
    }
    const [from, begun] = [this.at, performance.now()];
    /** @param {number} now */
    const next = (now) => {
      const share = Math.min(Math.max((now - begun) / MOVE, 0), 1);
      const eased = share * share * (3 - 2 * share);
      const way = BigInt(Math.round(Number(goal - from) * eased));
      this.to(share < 1 ? from + way : goal);
      if (share < 1) {
        this.goal = goal;
        this.frame = requestAnimationFrame(next);
      }
    };
    this.goal = goal;
    this.frame = requestAnimationFrame(next);
  }

  /**
   * The drawing changes its height; what the hand is on stays under it.
   * @param {() => void} change
   */
  keepPlace(change) {
    const before = this.panel.getBoundingClientRect().top;
    change();
    scrollBy({ top: this.panel.getBoundingClientRect().top - before, behavior: "instant" });
  }
}

/** @param {HTMLElement} panel */
export function start(panel) {
  const svg = panel.parentElement?.querySelector("svg");
  if (!svg) return;
  panel.hidden = false;
  new Turning(panel, svg);
}
