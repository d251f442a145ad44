/* Sends what waits, in the order in which it was entered; safe to be called by two tabs, and after a lost reply. */
import { answered, thing, tried, waiting } from "/static/field/kept.js";
import { reached } from "/static/field/clock.js";
import { moment } from "/static/field/key.js";

const MOST = 200, PATIENCE = 20000;
const A_FILE = Number(document.getElementById("main").dataset.aFile);  // records that the laptop takes at once
const LONGEST = 1000000, bytes = (said) => new TextEncoder().encode(said).length;  // of a saved file
let sending = null, hives = false, out = false;

/* Whether the laptop lets this phone in no longer: what waits stays here until it is paired anew. */
export const isOut = () => out;
export const met = (status) => { out = status === 401; };

const bare = ({ state, tried: _, answer, why, answeredAt, taps, out, ...told }) => told;  // what is the phone’s own stays here

const text = (phone, records) => JSON.stringify({ shape: "breadline.field/1", phone, now: moment(), records: records.map(bare) });

/* Records as the texts of files, none longer than the laptop takes. */
export async function files(records) {
  const phone = await thing("phone"), found = [];
  let part = [], long = 0;
  for (const one of records) {
    const more = bytes(JSON.stringify(bare(one))) + 1;
    if (part.length && (part.length === A_FILE || long + more > LONGEST)) { found.push(text(phone, part)); part = []; long = 0; }
    part.push(one); long += more;
  }
  return part.length ? [...found, text(phone, part)] : found;
}

/* One at a time on this phone: a second tab finds the lock taken and leaves it to the first. */
export function send() {
  sending ??= (navigator.locks ? navigator.locks.request("breadline send", { ifAvailable: true },
    (lock) => (lock ? sendAll() : "elsewhere")) : sendAll()).finally(() => { sending = null; });
  return sending;
}
/* Whether what was sent since the last asking changed which hives stand in the row, or how many wait for a word. */
export function hivesChanged() { const was = hives; hives = false; return was; }

async function sendAll() {
  if (navigator.onLine === false) return "no signal";  // nothing leaves the phone: what waits can still be taken back
  for (;;) {
    const next = (await waiting()).sort((a, b) => (a.id < b.id ? -1 : 1)).slice(0, MOST);
    if (!next.length) return "sent";
    const records = await tried(next.map((one) => one.id));
    if (!records.length) continue;
    const answer = await post(text(await thing("phone"), records));
    if (typeof answer === "string") return answer;
    if (!Array.isArray(answer?.answers)) return "trouble";
    await answered(answer.answers);
    if (answer.now) await reached(answer.now);
    hives ||= records.some((one) => one.standing || one.new || one.withdraws || one.mends) || answer.answers.some((one) => one.answer === "conflict");
    const named = new Set(answer.answers.map((one) => one.id));
    if (!records.some((one) => named.has(one.id))) return "trouble";
  }
}

/* What was asked has an answer in time or is given up, whatever became of it: what waits on it would wait for ever. */
async function post(body) {
  const cut = new AbortController(), late = {};
  late.over = new Promise((_, no) => { late.at = setTimeout(() => { no(new Error("over")); cut.abort(); }, PATIENCE); });
  late.over.catch(() => {});
  try {
    const came = await Promise.race([late.over, fetch("/field/send", {
      method: "POST", headers: { "content-type": "application/json" }, body, signal: cut.signal, cache: "no-store",
    })]);
    met(came.status);
    if (!came.ok) return "trouble";
    return await Promise.race([late.over, came.json()]);
  } catch { return "no signal"; } finally { clearTimeout(late.at); }
}
