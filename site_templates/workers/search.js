/**
 * Stands before the theme's search worker, so that neither it nor what it searches is loaded before
 * a reader types. `kitdocs`, which the build writes above this, has the name of the theme's worker.
 * The address that this one is started by says which entries belong to the page's language.
 *
 * The kinds of message are the theme's.
 */
"use strict";

const SETUP = 0;
const READY = 1;
const QUERY = 2;
const RESULT = 3;
const post = self.postMessage.bind(self);
/** @type {any} */
let setup;
/** @type {any} what was asked last, while there is nobody yet to answer */
let asked;
let begun = false;
let ready = false;

self.addEventListener("message", (event) => {
  if (ready || event.data.passed) return;
  event.stopImmediatePropagation();
  if (event.data.type === SETUP) {
    setup = event.data;
    post({ type: READY });
  } else if (event.data.type === QUERY) {
    asked = event.data;
    if (!asked.data) post({ type: RESULT, data: { items: [] } });
    else if (!begun) begin();
  }
});

async function begin() {
  begun = true;
  try {
    const name = new URL(self.location.href).searchParams.get("entries");
    const response = await fetch(new URL(`../../../search/${name}`, self.location.href));
    if (!response.ok) throw new Error(String(response.status));
    const docs = await response.json();
    importScripts(self.kitdocs.theme);
    self.postMessage = answered;
    pass({ ...setup, data: { ...setup.data, docs } });
  } catch {
    begun = false; // no network now; the next key tries again
  }
}

/** @param {any} message from the theme's worker */
function answered(message) {
  if (message.type !== READY) return post(message);
  ready = true;
  self.postMessage = post;
  return pass(asked);
}

/** @param {any} data */
function pass(data) {
  self.dispatchEvent(new MessageEvent("message", { data: { ...data, passed: true } }));
}
