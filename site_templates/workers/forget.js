/**
 * Stands in place of the worker that keeps the site, where nothing is to be kept any more: in a
 * preview, and where the publisher has switched it off. It takes away what was kept, and itself.
 */
"use strict";

const FAMILY = `kitdocs:${new URL("./", self.location.href).pathname}:`;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(leave()));

async function leave() {
  const names = (await caches.keys()).filter((name) => name.startsWith(FAMILY));
  await Promise.all(names.map((name) => caches.delete(name)));
  await self.registration.unregister();
}
