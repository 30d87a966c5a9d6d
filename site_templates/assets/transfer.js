/** Progress as a file: saved from here, and taken in again here or on another tablet. */
import { KitRecord } from "./record.js";
import { filled, given, one } from "./texts.js";

const LONGEST = 5_000_000;

/**
 * @param {HTMLElement} panel with `data-kit` and `data-revision`
 * @param {string} root
 */
export function start(panel, root) {
  const { kit = "", revision = "" } = panel.dataset;
  const record = new KitRecord(root, kit);
  const texts = given(panel);
  const told = one(panel, "[role=status]");
  const chosen = /** @type {HTMLInputElement} */ (one(panel, "input[type=file]"));

  one(panel, "[data-kd-save]").addEventListener("click", () => {
    const link = document.createElement("a");
    const address = URL.createObjectURL(
      new Blob([record.file(revision)], { type: "application/json" }),
    );
    link.href = address;
    link.download = `${kit}-progress.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    told.textContent = filled(texts.saved, { file: link.download });
  });
  chosen.addEventListener("change", async () => {
    const file = chosen.files?.[0];
    if (!file) return;
    told.textContent = await taken(file);
    chosen.value = ""; // so that the same file can be chosen again
  });
  panel.hidden = false;

  /** @param {File} file */
  async function taken(file) {
    const named = { file: file.name, kit };
    if (file.size > LONGEST) return filled(texts.damaged, named);
    const result = record.take(await file.text().catch(() => ""));
    if ("wrong" in result) {
      return filled(texts[result.wrong], { ...named, other: result.kit ?? "" });
    }
    return filled(texts.taken, { ...named, ...result });
  }
}
