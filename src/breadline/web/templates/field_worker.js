/* Keeps the phone pages on the phone, all parts of one version together. A newer version is brought in beside
   the one that is shown and is there at the next opening, in the same worker: a worker that is taken over while
   a page comes in can leave that page blank. Records are not here: they lie in the page's own store. */
const OURS = "breadline-field-", WHICH = `${OURS}which`, SHOWN = "/field/", A_WHILE = 600000, PATIENCE = 60000;  // ms
const WHOLE = "/field/whole";  // lies in a version that came whole
const opened = new Map();  // the version that each page was opened with, as it lies in the store too
let now = null;

self.addEventListener("install", (event) => event.waitUntil(alone(brought)));
self.addEventListener("activate", (event) => event.waitUntil(alone(cleared).catch(() => {}).then(() => self.clients.claim())));
self.addEventListener("message", (event) => {
  const [asks] = event.ports;
  asks?.postMessage("heard");
  event.waitUntil(alone(brought).then(() => "came", () => "stays").then((became) => asks?.postMessage(became)).then(() => alone(cleared)));
});
self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url), opens = event.request.mode === "navigate";
  const ours = pathname === SHOWN || pathname === "/field/app.webmanifest" || (!opens && pathname.startsWith("/static/"));
  if (event.request.method === "GET" && origin === self.location.origin && ours) event.respondWith(part(event, pathname, opens));
});
/* One at a time, of this worker and of one that waits to take its place. */
const alone = (does) => navigator.locks.request(OURS, does);

async function part(event, pathname, opens) {
  const version = opens ? await shown() : await versionOf(event.clientId);
  if (opens && version) event.waitUntil(opening(event.resultingClientId, version));
  const had = version && await caches.match(pathname, { cacheName: OURS + version, ignoreVary: true });
  return whole(had || await fetch(event.request));
}
/* A browser breaks a body off that it still pumps out of this worker when it clears up here; one that is whole
   as it is handed over it reads by itself. */
async function whole(came) {
  if (came.status !== 200 || came.type !== "basic") return came;
  const { status, statusText } = came, headers = new Headers(came.headers), body = await came.blob();
  for (const name of ["content-encoding", "content-length"]) headers.delete(name);
  return new Response(body, { status, statusText, headers });
}

/* ---- which version */
const pin = (id) => `/field/opened/${id}`;
const noted = async (name) => (await caches.match(name, { cacheName: WHICH }))?.text();
const isWhole = (version) => caches.match(WHOLE, { cacheName: OURS + version });
async function shown() {
  now ??= await noted(WHICH) ?? null;
  if (now && await isWhole(now)) return now;
  for (const name of await caches.keys()) if (name.startsWith(OURS) && await isWhole(name.slice(OURS.length))) return name.slice(OURS.length);
  return null;
}
async function opening(id, version) {
  opened.set(id, version);
  await (await caches.open(WHICH)).put(pin(id), new Response(version, { headers: { date: new Date().toUTCString() } }));
}
/* Pages that the laptop writes anew each time, such as the questions, bring their own looks. */
async function versionOf(id) {
  const was = opened.get(id) ?? await noted(pin(id));
  if (was) return was;
  const page = id && await self.clients.get(id);
  return !page || new URL(page.url).pathname === SHOWN ? shown() : null;
}

/* ---- a newer version comes whole or not at all */
async function brought() {
  const { version, parts } = await there(), name = OURS + version;
  if (!await isWhole(version)) {
    try {
      const half = await caches.open(name);
      await half.addAll(parts.map((one) => new Request(one, { cache: "reload" })));
      if ((await there()).version !== version) throw new Error("the program is another one meanwhile");
      await half.put(WHOLE, new Response(""));
    } catch (why) { await caches.delete(name); throw why; }  // no page was given any of it
  }
  await (await caches.open(WHICH)).put(WHICH, new Response(version));
  now = version;
}
async function there() {
  const answer = await fetch("/field/parts.json", { cache: "no-store", signal: AbortSignal.timeout?.(PATIENCE) });
  if (!answer.ok) throw new Error(answer.status);
  return answer.json();
}
/* Versions that no page was opened with are gone. A page that is still coming in is no client yet. Only the worker
   in charge clears: one that waits would take its parts from it. */
async function cleared() {
  now = await noted(WHICH) ?? null;  // another worker may have noted a newer one
  const which = await caches.open(WHICH), stays = new Set([WHICH, OURS + now]);
  for (const one of await which.keys()) {
    const { pathname } = new URL(one.url), id = pathname.slice(pin("").length);
    if (!pathname.startsWith(pin(""))) continue;
    const was = await which.match(one), old = Date.now() - Date.parse(was.headers.get("date")) > A_WHILE;
    if (old && !await self.clients.get(id)) { opened.delete(id); await which.delete(one); } else stays.add(OURS + await was.text());
  }
  for (const name of await caches.keys()) {
    const coming = [...opened.values()].some((version) => OURS + version === name);  // not noted yet
    if (name.startsWith(OURS) && !stays.has(name) && !coming) await caches.delete(name);
  }
}
