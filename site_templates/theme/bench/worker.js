/* Lets the bench pages open without a network: the newest where there is one, else what was kept.
   It serves this site alone, and of it only the bench pages and what they are made of. */
"use strict";

const CACHE = "handbook-bench-1";
const WAIT_MS = 4000;
const ROOT = new URL("../", self.location).href, BENCH = new URL("./", self.location).href;

const isOurs = (url) => url.startsWith(BENCH) || url.startsWith(ROOT + "assets/");
const plain = (url) => url.split(/[?#]/)[0];

self.addEventListener("install", () => self.skipWaiting());

self.addEventListener("activate", (event) => {
  const stale = (names) => names.filter((one) => one.startsWith("handbook-bench-") && one !== CACHE);
  event.waitUntil(caches.keys().then((names) => Promise.all(stale(names).map((one) => caches.delete(one))))
    .then(() => self.clients.claim()));
});

async function stored(url) {
  const answer = await fetch(url, { cache: "no-cache" });
  if (answer.ok) await (await caches.open(CACHE)).put(plain(url), answer);
}

self.addEventListener("message", (event) => {
  const wanted = ((event.data && event.data.keep) || []).filter(isOurs);
  event.waitUntil(Promise.all(wanted.map((url) => stored(url).catch(() => null))));
});

// A network that is there and says nothing must not keep a candle waiting.
async function newest(request) {
  const cache = await caches.open(CACHE), key = plain(request.url);
  const asked = fetch(request).then(async (answer) => {
    if (answer.ok) await cache.put(key, answer.clone());
    return answer;
  });
  const late = new Promise((done) => { setTimeout(done, WAIT_MS); }).then(() => cache.match(key));
  try {
    return (await Promise.race([asked, late])) || (await asked);
  } catch (offline) {
    return (await cache.match(key)) || Response.error();
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && isOurs(request.url)) event.respondWith(newest(request));
});
