/* Keeps the phone pages on the phone, all parts of one version together. A newer version is brought in beside
   the one that is shown and is there at the next opening, in the same worker: a worker that is taken over while
   a page comes in can leave that page blank. Records are not here: they lie in the page's own store. */
const OURS = "breadline-field-", WHICH = `${OURS}which`, SHOWN = "/field/", A_WHILE = 600000, PATIENCE = 60000;  // ms
const opened = new Map();  // the version that each page was opened with, and when
let now = null, bringing = null;

self.addEventListener("install", (event) => event.waitUntil(bring()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("message", (event) => event.waitUntil(
  bring().then(() => true, () => false).then((came) => event.ports[0]?.postMessage(came))));
self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url), opens = event.request.mode === "navigate";
  const ours = pathname === SHOWN || pathname === "/field/app.webmanifest" || (!opens && pathname.startsWith("/static/"));
  if (event.request.method === "GET" && origin === self.location.origin && ours) event.respondWith(part(event, pathname, opens));
});

async function part({ request, clientId, resultingClientId }, pathname, opens) {
  const version = opens ? await current() : await versionOf(clientId);
  if (opens) opened.set(resultingClientId, { version, at: Date.now() });
  const had = version && await caches.match(pathname, { cacheName: OURS + version, ignoreVary: true });
  return whole(had || await fetch(request));
}
/* A browser breaks a body off that it still pumps out of this worker when it clears up here; one that is whole
   as it is handed over it reads by itself. */
async function whole(came) {
  if (!came.ok || came.type !== "basic") return came;
  const { status, statusText } = came, headers = new Headers(came.headers), body = await came.blob();
  for (const name of ["content-encoding", "content-length"]) headers.delete(name);
  return new Response(body, { status, statusText, headers });
}
/* Pages that the laptop writes anew each time, such as the questions, bring their own looks. */
async function versionOf(id) {
  if (opened.has(id)) return opened.get(id).version;
  const page = id && await self.clients.get(id);
  return !page || new URL(page.url).pathname === SHOWN ? current() : null;
}
const current = async () => (now ??= (await caches.match(WHICH, { cacheName: WHICH }).then((kept) => kept?.text())) ?? null);

/* A newer version comes whole or not at all, and only one at a time. */
function bring() {
  bringing ??= brought().finally(() => { bringing = null; });
  return bringing;
}
async function brought() {
  const { version, parts } = await there(), name = OURS + version;
  if (await current() !== version || !await caches.has(name)) {
    const kept = await caches.open(name);
    await kept.addAll(parts.map((one) => new Request(one, { cache: "reload" })));
    if ((await there()).version !== version) throw new Error("the program is another one meanwhile");
    await (await caches.open(WHICH)).put(WHICH, new Response(version));
    now = version;
  }
  await clear();
}
async function there() {
  const answer = await fetch("/field/parts.json", { cache: "no-store", signal: AbortSignal.timeout?.(PATIENCE) });
  if (!answer.ok) throw new Error(answer.status);
  return answer.json();
}
/* Versions that no page was opened with are gone; a page that is still coming in is no client yet. */
async function clear() {
  for (const [id, { at }] of opened) if (Date.now() - at > A_WHILE && !await self.clients.get(id)) opened.delete(id);
  const stays = new Set([WHICH, OURS + now, ...[...opened.values()].map(({ version }) => OURS + version)]);
  for (const name of await caches.keys()) if (name.startsWith(OURS) && !stays.has(name)) await caches.delete(name);
}
