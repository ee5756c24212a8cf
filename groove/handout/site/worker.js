// Keeps the pages of a pack, so that they open offline, and whatever else was opened but sound. Each
// version of the pack has a cache of its own; those of other versions go.

const OURS = `groove ${self.registration.scope} `;
const CACHE = `${OURS}{{version}}`;
const FIRST = {{first}};
const LATER = {{later}};

const addressOf = (file) => new URL(file, self.registration.scope).href;
const ours = new Set([...FIRST, ...LATER].map(addressOf));

/** The address of what a request asks for, without the settings behind it. */
function asked(request) {
  const address = request.url.split(/[?#]/)[0];
  return address === self.registration.scope ? addressOf(FIRST[0]) : address;
}

/** Fetches a file from the site itself, since another cache may have an older one, and keeps it. */
async function fetched(address) {
  const answer = await fetch(address, { cache: "reload" });
  if (!answer.ok) return answer;
  const type = answer.headers.get("Content-Type") ?? "";
  const whole = new Response(await answer.blob(), { headers: { "Content-Type": type } });
  await (await caches.open(CACHE)).put(address, whole.clone());
  return whole;
}

async function answer(request, address) {
  const kept = await (await caches.open(CACHE)).match(address);
  return kept ?? (request.method === "GET" ? fetched(address) : fetch(request));
}

async function keepFirst() {
  const answers = await Promise.all(FIRST.map(addressOf).map(fetched));
  if (!answers.every(({ ok }) => ok)) throw new Error("a file of the pack is missing");
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
