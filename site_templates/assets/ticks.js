/**
 * Ticks on a stage page: everything with `data-tick` (an id) and `data-digest` can be ticked.
 *
 * What has `data-done` (`Step 3 is done`) gets a line with these words at its end; anything else
 * becomes the words of its own tick.
 */
import { KitRecord } from "./record.js";
import { kept, onChange } from "./storage.js";
import { all, day, filled, given, one } from "./texts.js";

/**
 * @param {HTMLElement} panel with `data-kit`, `data-stage` and `data-stages`
 * @param {string} root
 */
export function start(panel, root) {
  const { kit = "", stage = "", stages = "" } = panel.dataset;
  const page = /** @type {HTMLElement} */ (panel.parentElement);
  const record = new KitRecord(root, kit);
  const texts = given(panel);
  const ticks = all(page, "[data-tick]").map((element) => made(element));
  const steps = ticks.filter((tick) => tick.element.classList.contains("kd-step"));
  record.adopt(stage, stages.split(" "), ticks);

  for (const tick of ticks) {
    tick.box.addEventListener("change", () => {
      record.tick(`${stage}/${tick.id}`, tick.digest, tick.box.checked);
    });
  }
  onChange(panel, show);
  show();
  panel.hidden = false;

  function show() {
    const contents = record.contents();
    let done = 0;
    for (const tick of ticks) {
      const { state, at } = record.state(`${stage}/${tick.id}`, tick.digest, contents);
      tick.box.checked = state === "done";
      tick.element.dataset.state = state;
      tick.told.textContent = state === "changed" ? filled(texts.changed, { day: day(at) }) : "";
      tick.told.hidden = state !== "changed";
      if (state === "done" && steps.includes(tick)) done += 1;
    }
    const bar = one(panel, "progress");
    bar.setAttribute("max", String(Math.max(steps.length, 1)));
    bar.setAttribute("value", String(done));
    one(panel, ".kd-so-far").textContent = filled(texts.soFar, { done, all: steps.length });
    one(panel, ".kd-unkept").hidden = kept();
  }
}

/**
 * Put a tick into an element.
 * @param {HTMLElement} element
 */
function made(element) {
  const { tick: id = "", digest = "", done } = element.dataset;
  const label = document.createElement("label");
  label.className = "kd-check";
  const box = document.createElement("input");
  box.type = "checkbox";
  const words = document.createElement("span");
  label.append(box, words);
  const told = document.createElement("div");
  told.className = "kd-changed";
  told.id = `kd-changed-${id}`;
  told.hidden = true;
  box.setAttribute("aria-describedby", told.id);
  if (done) words.textContent = done;
  else words.append(...element.childNodes);
  element.append(told, label);
  return { id, digest, element, box, told };
}
