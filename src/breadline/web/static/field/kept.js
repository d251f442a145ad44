/* What lies on this phone: hives, the hive that is open, and records until the book has answered them. */
import { openDB } from "/static/vendor/idb.js";

const SENT = 500;  // records kept after the book has them, to go back to

function open() {
  return openDB("breadline-field", 1, {
    upgrade(db) {  // a later version adds stores and never drops one in which records wait
      db.createObjectStore("records", { keyPath: "id" }).createIndex("state", "state");
      db.createObjectStore("things");
    },
    blocking(_, __, event) { event.target.close(); db = null; },
    terminated() { db = null; },
  });
}
let db = null;
const base = () => (db ??= open());

export const thing = async (name) => (await base()).get("things", name);
export const keep = async (name, value) => (await base()).put("things", value, name);
export const forget = async (name) => (await base()).delete("things", name);

/* A record and the hive that follows it, in one transaction: neither is there without the other. */
export async function enter(record, open) {
  const tx = (await base()).transaction(["records", "things"], "readwrite", { durability: "strict" });
  tx.objectStore("records").put({ ...record, state: "waiting" });
  if (open) tx.objectStore("things").put(open, "open");
  await tx.done;
}
export const waiting = async () => (await base()).getAllFromIndex("records", "state", "waiting");
export const turnedBack = async () => (await base()).getAllFromIndex("records", "state", "refused");
export const record = async (id) => (await base()).get("records", id);
export const all = async () => (await base()).getAll("records");
export const drop = async (id) => (await base()).delete("records", id);

/* Taken back before it was sent: only then it is as if it had never been. */
export async function takeBack(id) {
  const tx = (await base()).transaction("records", "readwrite", { durability: "strict" });
  const there = await tx.store.get(id);
  const gone = Boolean(there && there.state === "waiting" && !there.tried);
  if (gone) await tx.store.delete(id);
  await tx.done;
  return gone;
}

/* From here on a record may be in the book, whatever answer comes. */
export async function tried(ids) {
  const tx = (await base()).transaction("records", "readwrite", { durability: "strict" }), marked = [];
  for (const id of ids) {
    const there = await tx.store.get(id);
    if (!there) continue;  // taken back in the meantime
    await tx.store.put({ ...there, tried: true });
    marked.push(there);
  }
  await tx.done;
  return marked;
}

export async function answered(answers) {
  const tx = (await base()).transaction("records", "readwrite", { durability: "strict" });
  for (const { id, answer, why } of answers) {
    const there = await tx.store.get(id);
    if (!there || there.state === "sent") continue;
    const state = answer === "refused" ? "refused" : "sent";
    await tx.store.put({ ...there, state, answer, why, answeredAt: Date.now() });
  }
  const sent = (await tx.store.index("state").getAllKeys("sent")).sort();
  for (const id of sent.slice(0, Math.max(0, sent.length - SENT))) await tx.store.delete(id);
  await tx.done;
}

/* Ask the browser not to clear this away when room is short; whether it promised. */
export async function askToStay() {
  if (!navigator.storage || !navigator.storage.persist) return null;
  return await navigator.storage.persisted() || navigator.storage.persist();
}
