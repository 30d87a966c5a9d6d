/**
 * True sizes on the screen. A style sheet draws everything at actual size by `--kd-mm`, the length
 * of a millimetre; here a builder sets it, once, by a bank card or a ruler.
 *
 * Kept is how many dots of the screen make a millimetre, so that it still holds when the browser
 * shows the page larger or smaller.
 */
import { keyOf, onChange, read, write } from "./storage.js";
import { all, filled, given, one } from "./texts.js";

/** CSS takes an inch for 96 px. */
const NOMINAL = 96 / 25.4;

/**
 * @param {HTMLElement} panel
 * @param {string} root
 */
export function start(panel, root) {
  const key = keyOf(root, "dots-per-mm");
  const texts = given(panel);
  const told = one(panel, ".kd-so-far");
  const tools = panel.querySelector("[data-kd-measure]");
  const slider = /** @type {HTMLInputElement | null} */ (panel.querySelector("input[type=range]"));

  /** @returns {number | null} px in a millimetre of this screen */
  function measured() {
    const dots = Number.parseFloat(read(key) ?? "");
    const px = dots / devicePixelRatio;
    return px > NOMINAL / 4 && px < NOMINAL * 8 ? px : null;
  }

  function show() {
    const px = measured();
    const style = document.documentElement.style;
    if (px) style.setProperty("--kd-mm", `${px.toFixed(4)}px`);
    else style.removeProperty("--kd-mm");
    told.textContent = px ? texts.measured : texts.unmeasured;
    panel.classList.toggle("kd-measured", Boolean(px));
  }

  if (tools && slider) {
    /** @param {number} factor */
    const set = (factor) => {
      slider.value = String(factor);
      tryOut();
    };
    const tryOut = () => {
      const factor = slider.valueAsNumber;
      panel.style.setProperty("--kd-trial", `${(NOMINAL * factor).toFixed(4)}px`);
      slider.setAttribute("aria-valuetext", filled(texts.value, { percent: (factor * 100).toFixed(1) }));
    };
    slider.addEventListener("input", tryOut);
    for (const button of all(panel, "[data-kd-by]")) {
      button.addEventListener("click", () => set(slider.valueAsNumber + Number(button.dataset.kdBy)));
    }
    for (const choice of /** @type {HTMLInputElement[]} */ (all(panel, "input[type=radio]"))) {
      if (choice.checked) panel.dataset.by = choice.value; // after a reload, maybe not the first
      choice.addEventListener("change", () => {
        panel.dataset.by = choice.value;
      });
    }
    one(panel, "[data-kd-keep]").addEventListener("click", () => {
      const px = NOMINAL * slider.valueAsNumber;
      write(key, String(px * devicePixelRatio));
    });
    one(panel, "[data-kd-forget]").addEventListener("click", () => {
      write(key, "");
      set(1);
    });
    set((measured() ?? NOMINAL) / NOMINAL);
  }
  addEventListener("resize", show);
  onChange(panel, show);
  show();
  panel.hidden = false;
}
