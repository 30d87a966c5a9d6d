/**
 * Keeps the whole site on this device: what stands here is `kitdocs`, which the build writes above
 * it: the version, and each file that is kept with the digest of its contents.
 *
 * A new version is taken whole or not at all. While it is fetched, and until a reader takes it, the
 * one before stays in use. What was fetched of one that broke off is used again the next time.
 */
"use strict";

/** @type {{version: string, files: Record<string, string>}} */
const { version, files } = self.kitdocs;
const SCOPE = new URL("./", self.location.href);
const FAMILY = `kitdocs:${SCOPE.pathname}:`;
const MINE = FAMILY + version;
const AT_ONCE = 6;

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(begin()));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  const inside = url.origin === SCOPE.origin && url.pathname.startsWith(SCOPE.pathname);
  // A part of a file, as players ask for, is not what is kept.
  if (request.method !== "GET" || !inside || request.headers.has("range")) return;
  const path = pathOf(url);
  if (kept(path)) event.respondWith(answer(path, request));
  else if (kept(`${path}index.html`)) event.respondWith(answer(`${path}index.html`, request));
  else if (kept(`${path}/index.html`)) event.respondWith(Response.redirect(withSlash(url)));
  else if (kept(`${path}.html`)) event.respondWith(answer(`${path}.html`, request));
});

self.addEventListener("message", (event) => {
  if (event.data === "take") self.skipWaiting();
  else if (kept(event.data?.tell)) event.waitUntil(tell(event.data.tell, event.ports[0]));
});

async function keepAll() {
  const cache = await caches.open(MINE);
  const names = (await family()).filter((name) => name !== MINE);
  const others = await Promise.all(names.map((name) => caches.open(name)));
  const wanted = new Map(Object.keys(files).map((path) => [keyOf(path), path]));
  const left = [...wanted.values()];
  const takeSome = async () => {
    for (let path = left.shift(); path !== undefined; path = left.shift()) {
      await take(path, cache, others);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, takeSome));
}

/**
 * Put a file into the cache: from an earlier version where it is the same, or else fetched.
 * @param {string} path
 * @param {Cache} cache
 * @param {Cache[]} others
 */
async function take(path, cache, others) {
  const key = keyOf(path);
  for (const there of [cache, ...others]) {
    const found = await there.match(key);
    if (found) return there === cache ? undefined : cache.put(key, found);
  }
  const address = new URL(path.replace(/(^|\/)index\.html$/, "$1").split("/").map(encodeURIComponent).join("/"), SCOPE);
  const response = await fetch(address, { cache: "no-cache", integrity: files[path] });
  if (!response.ok) throw new Error(`${response.status} ${address}`);
  // A response of its own: one that was redirected cannot answer for a page.
  const type = response.headers.get("content-type");
  const headers = type ? { "content-type": type } : undefined;
  return cache.put(key, new Response(await response.blob(), { headers }));
}

async function begin() {
  const old = (await family()).filter((name) => name !== MINE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
}

/**
 * @param {string} path
 * @param {Request} request
 */
async function answer(path, request) {
  const found = await caches.match(keyOf(path), { cacheName: MINE });
  return found ?? fetch(request); // a browser short of room may have thrown the cache away
}

/**
 * @param {string} path
 * @param {MessagePort} port
 */
async function tell(path, port) {
  const found = await caches.match(keyOf(path), { cacheName: MINE });
  port.postMessage({ version, text: found ? await found.text() : null });
}

async function family() {
  return (await caches.keys()).filter((name) => name.startsWith(FAMILY));
}

/** @param {unknown} path */
function kept(path) {
  return typeof path === "string" && Object.hasOwn(files, path);
}

/**
 * Files are kept by their contents, so that one that only moved is not fetched again; with the
 * ending of the name, since that is what their type comes from.
 * @param {string} path
 */
function keyOf(path) {
  const ending = path.slice(path.lastIndexOf(".") + 1);
  return new URL(`kept/${encodeURIComponent(files[path])}.${ending}`, SCOPE).href;
}

/** @param {URL} url */
function pathOf(url) {
  try {
    return decodeURIComponent(url.pathname.slice(SCOPE.pathname.length));
  } catch {
    return null;
  }
}

/** @param {URL} url */
function withSlash(url) {
  const found = new URL(url);
  found.pathname += "/";
  return found.href;
}
