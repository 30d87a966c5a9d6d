/**
 * The one script that a page loads. For each element with `data-kd-module="NAME …"` it imports
 * the module NAME.js beside it and calls the `start(element, root)` that the module exports, once;
 * `root` is the address of the site's first page.
 *
 * It is a plain script, since a page that is opened from a disk can import nothing: there it
 * loads kitdocs-disk.js, in which the build has joined all modules.
 */
"use strict";

(() => {
  const here = /** @type {HTMLScriptElement} */ (document.currentScript).src;
  const root = new URL("../../", here).href;
  const onDisk = location.protocol === "file:";
  /** @type {Promise<(name: string) => any> | undefined} */
  let joined;

  /** @returns {Promise<(name: string) => any>} what gives modules by their file's name */
  function disk() {
    joined ??= new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.src = new URL("kitdocs-disk.js", here).href;
      script.onload = () => resolve(/** @type {any} */ (globalThis).kitdocsModule);
      script.onerror = () => reject(new Error(script.src));
      document.head.append(script);
    });
    return joined;
  }

  /**
   * @param {string} name
   * @returns {Promise<{start: (element: HTMLElement, root: string) => unknown}>}
   */
  async function module(name) {
    const file = `${name}.js`;
    return onDisk ? (await disk())(file) : import(new URL(file, here).href);
  }

  function begin() {
    const waiting = "[data-kd-module]:not([data-kd-begun])";
    for (const element of /** @type {NodeListOf<HTMLElement>} */ (
      document.querySelectorAll(waiting)
    )) {
      element.dataset.kdBegun = "";
      const names = (element.dataset.kdModule ?? "").split(" ");
      // Together: the first one shows the element, whose buttons are the others' too.
      Promise.allSettled(names.map(module)).then(() => {
        for (const name of names) module(name).then((found) => found.start(element, root));
      });
    }
  }

  // The theme changes pages without loading them anew where a publisher asks for it.
  const changes = /** @type {any} */ (globalThis).document$;
  if (changes) changes.subscribe(begin);
  else if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin);
  else begin();
})();
