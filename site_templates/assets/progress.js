/**
 * Where was I: how far each stage of a kit is, and a link to what comes next.
 *
 * @typedef {{id: string, href: string, number: number, steps: [string, string][]}} StageOutline
 *   `steps` are ids and digests
 */
import { KitRecord } from "./record.js";
import { kept, keyOf, onChange, read } from "./storage.js";
import { all, day, filled, given, one } from "./texts.js";

/**
 * @param {HTMLElement} panel with `data-kit`; lines of stages have `data-stage` on its page
 * @param {string} root
 */
export function start(panel, root) {
  const { kit = "" } = panel.dataset;
  const record = new KitRecord(root, kit);
  const { stages, texts } = /** @type {{stages: StageOutline[], texts: any}} */ (given(panel));
  const page = /** @type {HTMLElement} */ (panel.parentElement);
  const names = stages.map((stage) => stage.id);
  for (const { id, steps } of stages) {
    const found = steps.map(([step, digest]) => ({ id: step, digest }));
    record.adopt(id, names, found);
  }
  onChange(panel, show);
  show();

  function show() {
    const contents = record.contents();
    const lines = stages.map((stage) => ({
      stage,
      steps: stage.steps.map(([id, digest], n) => ({
        id,
        number: n + 1,
        stage,
        ...record.state(`${stage.id}/${id}`, digest, contents),
      })),
    }));
    const steps = lines.flatMap((line) => line.steps);
    const done = steps.filter((step) => step.state === "done").length;
    const changed = steps.filter((step) => step.state === "changed");
    const begun = Boolean(done || changed.length);
    panel.hidden = !begun && kept();
    one(panel, ".kd-unkept").hidden = kept();
    bar(panel, done, steps.length, texts.soFar);
    one(panel, ".kd-last").textContent = lastTold();
    showNext(next());
    const list = one(panel, ".kd-again");
    list.hidden = !changed.length;
    const links = changed.map((step) => {
      const entry = document.createElement("li");
      entry.append(link(step, texts.step));
      return entry;
    });
    one(list, "ul").replaceChildren(...links);
    for (const { stage, steps } of lines) {
      for (const line of all(page, `[data-stage="${CSS.escape(stage.id)}"]`)) {
        const ticked = steps.filter((step) => step.state === "done").length;
        let place = /** @type {HTMLElement | null} */ (line.querySelector(".kd-stage-progress"));
        if (!place) {
          place = document.createElement("span");
          place.className = "kd-stage-progress";
          const words = document.createElement("span");
          words.className = "kd-so-far";
          place.append(document.createElement("progress"), words);
          line.append(place);
        }
        place.hidden = !begun;
        bar(place, ticked, steps.length, texts.soFar);
      }
    }

    function lastTold() {
      const last = record.last();
      const step = last && steps.find((s) => s.stage.id === last.stage && s.id === last.id);
      if (last && step) {
        const values = { stage: step.stage.number, step: step.number, day: day(last.at) };
        return filled(texts.last, values);
      }
      const stage = last && stages.find((s) => s.id === last.stage);
      return stage ? filled(texts.lastStage, { stage: stage.number, day: day(last.at) }) : "";
    }

    /** The first step to do after the last that was ticked, or else the first of all. */
    function next() {
      const last = record.last();
      const at = steps.findIndex((s) => s.stage.id === last?.stage && s.id === last.id);
      // A line of a proof has its stage's steps before it, of which one may have been left out.
      const begun = steps.findIndex((s) => s.stage.id === last?.stage);
      const from = at < 0 ? Math.max(begun, 0) : at + 1;
      /** @param {(typeof steps)[number]} step */
      const waits = (step) => step.state !== "done";
      return steps.slice(from).find(waits) ?? steps.find(waits);
    }

    /** @param {ReturnType<typeof next>} step */
    function showNext(step) {
      const place = one(panel, ".kd-next");
      if (!step) {
        place.textContent = texts.all;
        return;
      }
      const found = link(step, texts.next);
      found.className = "kd-go";
      place.replaceChildren(found);
    }
  }

  /**
   * @param {{id: string, number: number, stage: StageOutline}} step
   * @param {string} words
   */
  function link(step, words) {
    const mark = read(keyOf(root, "one")) === "on" ? "bench:" : "";
    const found = document.createElement("a");
    found.href = `${step.stage.href}#${mark}${step.id}`;
    found.textContent = filled(words, { stage: step.stage.number, step: step.number });
    return found;
  }
}

/**
 * @param {HTMLElement} place with a progress element and its words
 * @param {number} done
 * @param {number} all
 * @param {string} words
 */
function bar(place, done, all, words) {
  const found = one(place, "progress");
  found.setAttribute("max", String(Math.max(all, 1)));
  found.setAttribute("value", String(done));
  const told = filled(words, { done, all });
  found.setAttribute("aria-label", told);
  one(place, ".kd-so-far").textContent = told;
}
