/* The way back: each screen is a step of the browser’s history, so that Back of the phone shows the one before. */
const FAR = 40;  // a browser keeps 50 steps
const PASSING = new Set(["pick", "refused"]);  // what is chosen there takes its place
let here = { trail: [], step: 0 }, coming = null, busy = false, way = {};  // the last of a trail is shown

const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);
const shown = () => here.trail.at(-1);
export const shows = (screen) => same(screen, shown());
const onto = (trail, step) => { here = { trail: trail.slice(-FAR), step }; stands(); return here; };
const stands = () => { document.documentElement.dataset.step = here.step; };  // for whoever waits for a screen

/* ``given``: how a screen is shown again, and which screens lie under one that is opened at once. */
export function walk(given) {
  way = given;
  if (history.state?.trail) here = history.state;
  window.addEventListener("popstate", ({ state }) => { if (state?.trail) { coming = state; come(); } });
}
/* One at a time; of several that come quickly the last. What is shown already is passed over. */
async function come() {
  if (busy) return;
  busy = true;
  try {
    while (coming) {
      const on = coming.step < here.step ? -1 : 1, was = shown();
      [here, coming] = [coming, null];
      if (same(was, shown()) && here.trail.length > 1) history.go(on);
      else await way.show(shown());
    }
    stands();
  } finally { busy = false; }
}

/* This screen is shown now. */
export function at(screen) {
  const { trail, step } = here;
  if (coming || same(screen, shown())) return;
  if (!trail.length) {
    const [first, ...rest] = [...way.under(screen), screen];
    history.replaceState(onto([first], step), "");
    rest.forEach(push);
  } else if (busy || PASSING.has(shown().is)) history.replaceState(onto([...trail.slice(0, -1), screen], step), "");
  else push(screen);
}
const push = (screen) => history.pushState(onto([...here.trail, screen], here.step + 1), "");

/* Back on the page: to where this screen lies in the history, or else on to it. */
export function backTo(screen, open) {
  const n = here.trail.slice(0, -1).findLastIndex((one) => same(one, screen));
  return n < 0 ? open() : history.go(n + 1 - here.trail.length);
}
