/**
 * The setting page: the place of each arm on a chosen day, from the table in the page.
 *
 * The table and the cubic between its samples are those of `kitdocs/sky/calendar.py`, the drawing
 * that of `kitdocs/pages/setting_dial.py`. Days are counted from the calendar's first, at 12:00 UT.
 *
 * @typedef {{first: number, step: number, start: number, rate: number, values: number[]}} Track
 * @typedef {{id: string, sky: string, shows: "longitude" | "elongation" | "date"}} Body
 * @typedef {{id: string, sky: string, base: string, clockwise: boolean, length: number}} Arm
 * @typedef {{x: number, y: number}} Point
 * @typedef {{from: string, to: string, bearing: number, bodies: Body[], arms: Arm[],
 *   tracks: Record<string, Track>}} Table
 */
import { all, filled, given, one } from "./texts.js";

const DAY = 86400000;
const MIDDLE = 200;
const [BESIDE, ABOVE, HALF, UPRIGHT] = [9, 12, 4, 0.4];

/**
 * The longitude on a day, degrees, counted on over whole turns.
 * @param {Track} track
 * @param {number} day
 */
export function longitude({ first, step, start, rate, values }, day) {
  const where = (day - first) / step;
  const i = Math.min(Math.max(Math.floor(where), 1), values.length - 3);
  const t = where - i;
  const cubic =
    (-values[i - 1] * t * (t - 1) * (t - 2)) / 6 +
    (values[i] * (t + 1) * (t - 1) * (t - 2)) / 2 -
    (values[i + 1] * (t + 1) * t * (t - 2)) / 2 +
    (values[i + 2] * (t + 1) * t * (t - 1)) / 6;
  return start + where * rate + cubic / 100;
}

/**
 * How far the Moon is from the Sun, degrees, counted on over whole turns.
 * @param {Record<string, Track>} tracks
 * @param {number} day
 */
export function elongation(tracks, day) {
  return longitude(tracks.moon, day) - longitude(tracks.earth, day) - 180;
}

/**
 * Days since new moon.
 * @param {Record<string, Track>} tracks
 * @param {number} day
 */
export function age(tracks, day) {
  const begun = Math.floor(elongation(tracks, day) / 360) * 360;
  let [early, late] = [day - 31, day];
  while (late - early > 1e-4) {
    const middle = (early + late) / 2;
    if (elongation(tracks, middle) > begun) late = middle;
    else early = middle;
  }
  return day - late;
}

/** @param {string} written a day such as 2026-11-25 */
function noon(written) {
  return Date.parse(`${written}T12:00:00Z`);
}

class Setting {
  /** @param {HTMLElement} element */
  constructor(element) {
    const { table, texts } = given(element);
    /** @type {Table} */
    this.table = table;
    this.texts = texts;
    this.element = element;
    const lang = document.documentElement.lang || undefined;
    this.number = new Intl.NumberFormat(lang, { maximumFractionDigits: 1 });
    /** @type {HTMLInputElement} */
    this.input = one(element, "input[name=day]");
    this.input.addEventListener("change", () => this.show(this.input.value));
    one(element, "[data-kd-today]").addEventListener("click", () => this.show(today()));
    /** @type {HTMLFormElement} */
    const form = one(element, "form");
    form.addEventListener("submit", (event) => event.preventDefault());
    form.hidden = false;
    this.show(today());
  }

  /** @param {string} wanted a day; nothing is changed where the field holds none */
  show(wanted) {
    const { from, to } = this.table;
    if (!wanted) return;
    const shown = wanted < from ? from : wanted > to ? to : wanted;
    const text = wanted < from ? this.texts.before : wanted > to ? this.texts.after : this.texts.on;
    const day = Math.round((noon(shown) - noon(from)) / DAY);
    this.input.value = shown;
    one(this.element, "[data-kd-status]").textContent = filled(text, { day: this.date(shown) });
    for (const body of this.table.bodies) this.read(body, day, shown);
    this.draw(day);
  }

  /**
   * @param {Body} body
   * @param {number} day
   * @param {string} shown
   */
  read(body, day, shown) {
    const { tracks } = this.table;
    const readings = {
      day: () => this.date(shown),
      age: () => this.number.format(age(tracks, day)),
      place: () => this.degrees(longitude(tracks.moon, day)),
      angle: () => {
        if (body.shows === "date") return this.degrees(ofTheYear(shown));
        if (body.shows === "elongation") return this.degrees(elongation(tracks, day));
        return this.degrees(longitude(tracks[body.sky], day));
      },
    };
    for (const cell of all(this.element, `[data-kd-body="${body.id}"]`)) {
      const what = /** @type {keyof typeof readings} */ (cell.dataset.kdRead);
      cell.textContent = readings[what]();
    }
  }

  /** @param {number} value */
  degrees(value) {
    const turned = ((value % 360) + 360) % 360;
    return `${this.number.format(turned >= 359.95 ? 0 : turned)}°`;
  }

  /** @param {string} written */
  date(written) {
    const lang = document.documentElement.lang || "en";
    if (lang.startsWith("en")) return written;
    return new Date(noon(written)).toLocaleDateString(lang, { dateStyle: "long", timeZone: "UTC" });
  }

  /** @param {number} day */
  draw(day) {
    const { arms, bearing, tracks } = this.table;
    const towards = Object.fromEntries(
      arms.map((arm) => {
        const along = longitude(tracks[arm.sky], day) * (arm.clockwise ? -1 : 1);
        return [arm.id, (bearing + along) % 360];
      }),
    );
    const carried = Object.fromEntries(arms.map((arm) => [arm.base, arm.id]));
    /** @type {Record<string, Point>} */
    const ends = {};
    arms.forEach((arm, number) => {
      const at = towards[arm.id];
      const from = ends[arm.base] ?? { x: MIDDLE, y: MIDDLE };
      const end = (ends[arm.id] = point(from, arm.length, arm.length, at));
      this.element
        .querySelector(`[data-kd-arm="${arm.id}"]`)
        ?.setAttribute("transform", `translate(${from.x} ${from.y}) rotate(${-at})`);
      const beyond = towards[carried[arm.id]];
      const below = beyond === undefined ? number % 2 === 1 : Math.sin(radians(beyond - at)) > 0;
      const nameAt = arm.base ? at : at + (below ? -90 : 90);
      this.name(arm.id, point(end, BESIDE, ABOVE, nameAt), Math.cos(radians(nameAt)));
    });
  }

  /**
   * @param {string} id
   * @param {Point} place
   * @param {number} across how far to the right of its ball a name stands, -1 to 1
   */
  name(id, { x, y }, across) {
    const name = this.element.querySelector(`[data-kd-name="${id}"]`);
    const anchor = across > UPRIGHT ? "start" : across < -UPRIGHT ? "end" : "middle";
    name?.setAttribute("x", x.toFixed(1));
    name?.setAttribute("y", (y + HALF).toFixed(1));
    name?.setAttribute("text-anchor", anchor);
  }
}

/** @param {number} degrees */
function radians(degrees) {
  return (degrees * Math.PI) / 180;
}

/**
 * A point at a bearing from another, so far at most across and up.
 * @param {Point} from
 * @param {number} across
 * @param {number} up
 * @param {number} bearing degrees
 * @returns {Point}
 */
function point(from, across, up, bearing) {
  const at = radians(bearing);
  return { x: from.x + across * Math.cos(at), y: from.y - up * Math.sin(at) };
}

/** Today where the reader is, as 2026-11-25. */
function today() {
  const now = new Date();
  const here = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate());
  return new Date(here).toISOString().slice(0, 10);
}

/**
 * The turn of a date dial since 1 January, degrees.
 * @param {string} written
 */
function ofTheYear(written) {
  const year = Number(written.slice(0, 4));
  const begun = noon(`${written.slice(0, 4)}-01-01`);
  const next = noon(`${String(year + 1).padStart(4, "0")}-01-01`);
  return (360 * (noon(written) - begun)) / (next - begun);
}

/** @param {HTMLElement} element */
export function start(element) {
  new Setting(element);
}
