/**
 * Workers for pages that are opened from a disk, where browsers start none: the script runs in a
 * hidden frame instead. It does what the theme's search asks of a worker, and no more.
 */
"use strict";

if (location.protocol === "file:") {
  globalThis.Worker = class extends EventTarget {
    /** @param {string | URL} address */
    constructor(address) {
      super();
      const script = new URL(address, document.baseURI).href;
      this.frame = document.createElement("iframe");
      this.frame.hidden = true;
      this.frame.title = "";
      this.begun = this.begin(script);
    }

    /** @param {string} script */
    async begin(script) {
      if (!document.body) {
        await new Promise((done) => document.addEventListener("DOMContentLoaded", done));
      }
      document.body.append(this.frame);
      const inside = /** @type {any} */ (this.frame.contentWindow);
      const base = inside.document.createElement("base");
      base.href = script;
      inside.document.head.append(base);
      inside.importScripts = async (/** @type {string[]} */ ...scripts) => {
        for (const each of scripts) await loaded(inside.document, each);
      };
      inside.postMessage = (/** @type {unknown} */ data) => {
        this.dispatchEvent(new MessageEvent("message", { data }));
      };
      await loaded(inside.document, script);
      return inside;
    }

    /** @param {unknown} data */
    async postMessage(data) {
      const inside = await this.begun;
      inside.dispatchEvent(new inside.MessageEvent("message", { data }));
    }

    terminate() {
      this.frame.remove();
    }
  };
}

/**
 * @param {Document} within
 * @param {string} address
 */
function loaded(within, address) {
  return new Promise((resolve, reject) => {
    const script = within.createElement("script");
    script.src = address;
    script.onload = resolve;
    script.onerror = () => reject(new Error(address));
    within.head.append(script);
  });
}
