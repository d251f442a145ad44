/* Keeps the phone pages on the phone, all parts of one version together; a newer version comes with a
   worker of its own, at the next opening. Records are not here: they lie in the page's own store. */
const KEPT = "breadline-field-{{ digest }}", SHELL = {{ shell | tojson }};

self.addEventListener("install", (event) => event.waitUntil(
  caches.open(KEPT).then((kept) => kept.addAll(SHELL.map((one) => new Request(one, { cache: "reload" }))))
    .then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil(
  caches.keys().then((names) => Promise.all(names.filter((one) => one.startsWith("breadline-field-") && one !== KEPT).map((one) => caches.delete(one))))
    .then(() => self.clients.claim())));
self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== self.location.origin || !SHELL.includes(pathname)) return;
  event.respondWith(newest(event.request, pathname));
});
async function newest(request, pathname) {
  const kept = await caches.open(KEPT), had = await kept.match(pathname);
  return had ?? fetch(request);  // a newer shell comes whole, with its own worker, or not at all
}
