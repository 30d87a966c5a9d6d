/**
 * Stands in place of the worker that keeps the site, where nothing is to be kept any more: in a
 * preview, and where the publisher has switched it off. It takes away what was kept, and itself.
 *
 * It does so as it is installed, not when it takes over: a browser lets the other worker go on for
 * minutes while a page is open. That one finds nothing kept then, and asks the network.
 */
"use strict";

const FAMILY = `kitdocs:${new URL("./", self.location.href).pathname}:`;

self.addEventListener("install", (event) => {
  event.waitUntil(forget());
  // Not waited for: browsers do it when the installing is over. From then on no page that is
  // opened belongs to either worker.
  self.registration.unregister().catch(() => {});
});
self.addEventListener("message", (event) => {
  if (event.data?.tell) event.ports[0].postMessage({ version: "", text: null, over: true });
});

async function forget() {
  const names = (await caches.keys()).filter((name) => name.startsWith(FAMILY));
  await Promise.all(names.map((name) => caches.delete(name)));
}
