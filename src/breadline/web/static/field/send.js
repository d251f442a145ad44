/* Sends what waits, in the order in which it was entered; safe to be called by two tabs, and after a lost reply. */
import { answered, thing, tried, waiting } from "/static/field/kept.js";
import { moment } from "/static/field/key.js";

const MOST = 200, PATIENCE = 20000;
let sending = null;

export const bare = ({ state, tried: _, answer, why, answeredAt, taps, ...told }) => told;  // what is the phone’s own stays here

export async function batch(records) {
  return JSON.stringify({
    shape: "breadline.field/1", phone: await thing("phone"), now: moment(), records: records.map(bare),
  });
}

/* One at a time on this phone: a second tab finds the lock taken and leaves it to the first. */
export function send() {
  sending ??= (navigator.locks ? navigator.locks.request("breadline send", { ifAvailable: true },
    (lock) => (lock ? sendAll() : "elsewhere")) : sendAll()).finally(() => { sending = null; });
  return sending;
}

async function sendAll() {
  if (navigator.onLine === false) return "no signal";  // nothing leaves the phone: what waits can still be taken back
  for (;;) {
    const next = (await waiting()).sort((a, b) => (a.id < b.id ? -1 : 1)).slice(0, MOST);
    if (!next.length) return "sent";
    const records = await tried(next.map((one) => one.id));
    if (!records.length) continue;
    const answer = await post(await batch(records));
    if (typeof answer === "string") return answer;
    await answered(answer.answers);
    const named = new Set(answer.answers.map((one) => one.id));
    if (!records.some((one) => named.has(one.id))) return "trouble";
  }
}

async function post(body) {
  const until = AbortSignal.timeout ? AbortSignal.timeout(PATIENCE) : undefined;
  try {
    const came = await fetch("/field/send", {
      method: "POST", headers: { "content-type": "application/json" }, body, signal: until, cache: "no-store",
    });
    if (!came.ok) return "trouble";
    return await came.json();
  } catch { return "no signal"; }
}
