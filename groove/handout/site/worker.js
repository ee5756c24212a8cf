// Keeps the pages of a pack, so that they open offline, and whatever else was opened but sound. Each
// version of the pack has a cache of its own; those of other versions go. While a site has files of two
// versions, as during an upload, the version before stays.

const OURS = `groove ${self.registration.scope} `;
const CACHE = `${OURS}{{version}}`;
const FIRST = {{first}}; // the SHA-256 of each file that is kept at once
const LATER = {{later}};

const addressOf = (file) => new URL(file, self.registration.scope).href;
const ours = new Set([...Object.keys(FIRST), ...LATER].map(addressOf));

/** The address of what a request asks for, without the settings behind it. */
function asked(request) {
  const address = request.url.split(/[?#]/)[0];
  return address === self.registration.scope ? addressOf(Object.keys(FIRST)[0]) : address;
}

/**
 * Fetches a file from the site itself, since another cache may have an older one, and keeps it, unless the
 * cache has gone meanwhile because another version has taken its place.
 */
async function fetched(address) {
  const answer = await fetch(address, { cache: "reload" });
  if (!answer.ok) return answer;
  const type = answer.headers.get("Content-Type") ?? "";
  const whole = new Response(await answer.blob(), { headers: { "Content-Type": type } });
  if (await caches.has(CACHE)) await (await caches.open(CACHE)).put(address, whole.clone());
  return whole;
}

async function answer(request, address) {
  const kept = await caches.match(address, { cacheName: CACHE });
  return kept ?? (request.method === "GET" ? fetched(address) : fetch(request));
}

async function digest(answer) {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", await answer.arrayBuffer()));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function keepFirst() {
  await caches.open(CACHE);
  const kept = Object.entries(FIRST).map(async ([file, meant]) => {
    const answer = await fetched(addressOf(file));
    return answer.ok && (await digest(answer)) === meant;
  });
  if ((await Promise.all(kept)).every(Boolean)) return;
  await caches.delete(CACHE); // the browser tries again at the next visit
  throw new Error("files of the pack are missing, or of another version");
}

async function forgetOthers() {
  const others = (await caches.keys()).filter((name) => name.startsWith(OURS) && name !== CACHE);
  await Promise.all(others.map((name) => caches.delete(name)));
  await self.clients.claim();
}

self.addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(keepFirst());
});
self.addEventListener("activate", (event) => event.waitUntil(forgetOthers()));
self.addEventListener("fetch", (event) => {
  const address = asked(event.request);
  const reads = ["GET", "HEAD"].includes(event.request.method);
  if (reads && ours.has(address)) event.respondWith(answer(event.request, address));
});
