/* When a record is of. A phone's clock may be wrong, and may be put right before the record is sent. */
import { keep, record, thing } from "/static/field/kept.js";
import { moment } from "/static/field/key.js";

const YEAR = 365 * 86400000;

/* The laptop told its time: how far this phone is ahead of it, and when that was seen. */
export const reached = (now) => (Number.isNaN(Date.parse(now)) ? undefined : keep("clock", { ahead: Math.round((Date.now() - Date.parse(now)) / 1000), met: now }));
/* The same for a record, so that the book can tell its day whatever becomes of the clock. */
export async function clock() { const known = await thing("clock"); return known ? { clock: known } : {}; }

/* A refused record that is entered anew is of its own day, unless the clock was wrong then. */
export async function whenOf(again) {
  const old = again ? await record(again) : null, age = old ? Date.now() - Date.parse(old.at) : -1;
  return age >= 0 && age < YEAR ? old.at : moment();
}
