/** The parts roll-call: tick what is in the bag; what is missing makes a list to send. */
import { KitRecord } from "./record.js";
import { kept, onChange } from "./storage.js";
import { all, filled, given, one } from "./texts.js";

/**
 * @param {HTMLElement} panel with `data-kit` and `data-stage`; the rows are the elements with
 *   `data-part` beside it
 * @param {string} root
 */
export function start(panel, root) {
  const { kit = "", stage = "" } = panel.dataset;
  const page = /** @type {HTMLElement} */ (panel.parentElement);
  const record = new KitRecord(root, kit);
  const texts = given(panel);
  const list = one(panel, ".kd-missing");
  const amounts = one(panel, ".kd-amounts");
  const letter = /** @type {HTMLTextAreaElement} */ (one(panel, "textarea"));
  const copied = one(panel, ".kd-copied");
  const rows = all(page, "[data-part]").map((element) => row(element, texts));
  if (!rows.length) return;

  for (const part of rows) {
    part.box.addEventListener("change", () => {
      record.find(`${stage}/${part.id}`, part.count, part.box.checked);
    });
    part.amount.addEventListener("input", write);
  }
  one(panel, "[data-kd-all]").addEventListener("click", () => {
    for (const part of rows.filter((r) => !r.box.checked)) {
      record.find(`${stage}/${part.id}`, part.count, true);
    }
  });
  one(panel, "[data-kd-list]").addEventListener("click", () => {
    list.hidden = false;
    show();
    one(list, "h3, h4, .kd-label").focus();
  });
  one(panel, "[data-kd-copy]").addEventListener("click", copy);
  onChange(panel, show);
  show();
  panel.hidden = false;
  page.dataset.begun = "";

  function show() {
    const { bag } = record.contents();
    for (const part of rows) {
      const found = bag.get(`${stage}/${part.id}`);
      part.box.checked = Boolean(found?.there) && Number(found?.count) >= part.count;
    }
    const missing = rows.filter((part) => !part.box.checked);
    const told = missing.length ? texts.soFar : texts.whole;
    const values = { there: rows.length - missing.length, all: rows.length };
    one(panel, ".kd-so-far").textContent = filled(told, values);
    one(panel, "[data-kd-list]").hidden = !missing.length;
    one(panel, "[data-kd-all]").hidden = !missing.length;
    one(panel, ".kd-unkept").hidden = kept();
    if (!missing.length) list.hidden = true;
    const lines = missing.map((part) => part.line);
    if (lines.some((line, n) => amounts.children[n] !== line) || amounts.children[lines.length]) {
      amounts.replaceChildren(...lines);
    }
    write();
  }

  function write() {
    copied.textContent = "";
    const missing = rows.filter((part) => !part.box.checked);
    const lines = missing.flatMap((part) => {
      const amount = Math.min(Math.max(Math.round(part.amount.valueAsNumber), 0), part.count);
      const of = { name: part.name, facts: part.facts, parcel: part.parcel };
      const words = part.facts ? texts.line : texts.bare;
      return amount ? filled(words, { ...of, missing: amount, count: part.count }) : [];
    });
    letter.value = [...texts.letter, "", ...lines, ""].join("\n");
    letter.rows = Math.min(lines.length + texts.letter.length + 2, 16);
  }

  async function copy() {
    letter.select();
    let done = false;
    try {
      await navigator.clipboard.writeText(letter.value);
      done = true;
    } catch {
      done = document.execCommand("copy"); // pages that are not served by https
    }
    copied.textContent = done ? texts.copied : texts.notCopied;
  }
}

/**
 * Put a tick into the row of a part.
 * @param {HTMLElement} element
 * @param {any} texts
 */
function row(element, texts) {
  const { part: id = "", count = "1", name = "", facts = "", parcel = "" } = element.dataset;
  const box = document.createElement("input");
  box.type = "checkbox";
  const label = document.createElement("label");
  label.className = "kd-check";
  const words = document.createElement("span");
  words.textContent = texts.there;
  const hidden = document.createElement("span");
  hidden.className = "kd-spoken";
  hidden.textContent = ` ${name}`;
  words.append(hidden);
  label.append(box, words);
  element.append(label);

  const amount = document.createElement("input");
  amount.type = "number";
  amount.min = "1";
  amount.max = count;
  amount.value = count;
  amount.inputMode = "numeric";
  const line = document.createElement("li");
  const line_label = document.createElement("label");
  line_label.append(amount, ` ${filled(texts.of, { count, name })}`);
  line.append(line_label);
  return { id, count: Number(count), name, facts, parcel, box, amount, line };
}
