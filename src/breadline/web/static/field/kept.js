/* What lies on this phone: hives, the hive that is open, and records until the book has answered them.
   A record is waiting, sent, refused, or gone: taken back before it ever left the phone. */
import { openDB } from "/static/vendor/idb.js";

const SENT = 1000;  // records kept after the book has them, to go back to

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
const base = () => (db ??= open().catch((why) => { db = null; throw why; }));

/* One transaction, all of it or nothing. A store that the phone shut in the meantime is opened once more. */
async function within(names, mode, work) {
  for (let turn = 0; ; turn += 1) {
    try {
      const tx = (await base()).transaction(names, mode, { durability: "strict" });
      const [came] = await Promise.all([work(tx), tx.done]);
      return came;
    } catch (why) {
      if (turn) throw why;
      const old = db;
      db = null;
      (await old?.catch(() => null))?.close();
    }
  }
}
const writing = (work) => within(["records", "things"], "readwrite", (tx) => work(tx.objectStore("records"), tx.objectStore("things")));
const reading = (work) => within("records", "readonly", (tx) => work(tx.objectStore("records")));

export const thing = (name) => within("things", "readonly", (tx) => tx.store.get(name));
export const keep = (name, value) => writing((_, things) => things.put(value, name));
export const waiting = () => reading((rows) => rows.index("state").getAll("waiting"));
export const turnedBack = () => reading((rows) => rows.index("state").getAll("refused"));
export const record = (id) => reading((rows) => rows.get(id));
export const drop = (id) => writing((rows) => rows.delete(id));

const ofVisit = (one, visit) => one.yard === visit.yard && one.work === visit.work && (one.at || "").slice(0, 10) === visit.day;
const stands = (one) => one.state !== "gone" && one.state !== "refused" && !one.out && !one.withdraws;
/* The entries of a visit that hold, the newest of each hive, by tag. */
export async function entered(visit) {
  const rows = await reading((all) => all.getAll()), found = {};
  for (const one of rows) if (stands(one) && ofVisit(one, visit) && !(found[one.tag]?.id > one.id)) found[one.tag] = one;
  return found;
}

const untouched = (one) => Boolean(one && one.state === "waiting" && !one.tried);  // it never left the phone
const gone = (one) => ({ id: one.id, state: "gone", mends: one.mends });
/* What is a function makes the new thing of the one that lies there, whichever tab wrote it. */
async function putAll(things, told) {
  for (const [name, value] of Object.entries(told)) await things.put(typeof value === "function" ? value(await things.get(name)) : value, name);
}
/* Taps that are not entered, by hive: each is put in or taken out by itself, so that two tabs keep each other's. */
export const withDraft = (key, draft) => (all) => {
  const { [key]: _, ...others } = all || {};
  return draft ? { ...others, [key]: draft } : others;
};
export const keepOpen = (open, key, draft) => writing(async (_, things) => {
  await putAll(things, { open, drafts: key ? withDraft(key, draft) : (all) => all || {} });
  return things.get("drafts");
});

/* A record in the place of an earlier one, and the hive that follows it, in one transaction: none of it is
   there without the rest. What never left the phone is replaced by it; what may have left is mended by it. */
export const enter = (one, over, told = {}, again = null) => writing(async (rows, things) => {
  const there = over ? await rows.get(over) : null, made = { ...one, state: "waiting" };
  const never = untouched(there) || there?.state === "gone";
  const mends = never ? there.mends : over;
  if (mends) made.mends = mends;
  if (never && there.new) made.new = true;
  if (untouched(there)) rows.put(gone(there));
  if (again) rows.delete(again);  // a record that was refused, entered anew
  rows.put(made);
  await putAll(things, told);
  return made;
});

/* Taken back before it was sent: only then it is as if it had never been. */
export const takeBack = (id, told = {}) => writing(async (rows, things) => {
  const there = await rows.get(id);
  if (!untouched(there)) return false;
  rows.put(gone(there));
  for (const one of there.withdraws ? await rows.getAll() : []) {
    if (one.takenBy === id) rows.put(one.whole);  // it waits again, as if nothing had been
    else if (one.out === id) { delete one.out; rows.put(one); }
  }
  await putAll(things, told);
  return true;
});

/* Take an entry back whether it was sent or not: what never left goes, for the rest the book is told so. */
export const takeOut = (id, back, told = {}) => writing(async (rows, things) => {
  const there = await rows.get(id), never = untouched(there), of = never || there?.state === "gone" ? there.mends : id;
  if (never) rows.put({ ...gone(there), whole: there, takenBy: back.id });  // for whoever undoes it
  if (of) rows.put({ ...back, withdraws: of, state: "waiting" });
  const visit = { yard: back.yard, work: back.work, day: back.at.slice(0, 10) };
  for (const one of await rows.getAll()) {
    if (one.id !== back.id && one.tag === back.tag && stands(one) && ofVisit(one, visit) && !(never && one.id === id)) rows.put({ ...one, out: back.id });
  }
  await putAll(things, told);
  return Boolean(of);
});

/* From here on a record may be in the book, whatever answer comes. */
export const tried = (ids) => writing(async (rows) => {
  const marked = [];
  for (const id of ids) {
    const there = await rows.get(id);
    if (there?.state !== "waiting") continue;  // taken back in the meantime
    await rows.put({ ...there, tried: true });
    marked.push(there);
  }
  return marked;
});

/* What the book refused is sent once more. */
export const again = (ids) => writing(async (rows) => {
  for (const id of ids) {
    const there = await rows.get(id);
    if (there?.state === "refused") await rows.put({ ...there, state: "waiting", tried: true });
  }
});

export const answered = (answers) => writing(async (rows) => {
  for (const { id, answer, why } of answers) {
    const there = await rows.get(id);
    if (!there || there.state === "sent" || there.state === "gone") continue;
    const state = answer === "refused" ? "refused" : "sent";
    await rows.put({ ...there, state, answer, why, answeredAt: Date.now() });
  }
  for (const state of ["sent", "gone"]) {
    const old = (await rows.index("state").getAllKeys(state)).sort();
    for (const id of old.slice(0, Math.max(0, old.length - SENT))) await rows.delete(id);
  }
});

/* Ask the browser not to clear this away when room is short; whether it promised. */
export async function askToStay() {
  if (!navigator.storage || !navigator.storage.persist) return null;
  return await navigator.storage.persisted() || navigator.storage.persist();
}
