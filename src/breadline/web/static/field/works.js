/* What is asked of a hive, by the work of the visit, as the page brought it along. */
import { say } from "/static/field/say.js";
export const WORKS = Object.fromEntries(JSON.parse(document.getElementById("works").textContent).map((one) => [one.work, one]));

/* What whoever opens hives has to mind, each with whom to ask. */
export const CARE = JSON.parse(document.getElementById("care").textContent);

const ASKS = Object.fromEntries(Object.values(WORKS).flatMap((one) => [...one.asks, ...one.more]).map((ask) => [ask.key, ask]));
export const ask = (key) => ASKS[key];

/* Taps as a record says them; what was not tapped is not in it, and is no nought. ``kg`` is of the unit in
   which hives are weighed. */
export function seenOf(taps, means, kg) {
  const told = {};
  for (const [key, value] of Object.entries(taps)) {
    const of = ASKS[key];
    if (value === null || value === undefined || !of) continue;
    told[of.kind] = of.unit ? { value: of.unit === "kg" ? Math.round(Number(value) * kg * 100) / 100 : Number(value), unit: of.unit } : { word: value };
    if (of.defined) told[of.kind].definition = means;
  }
  return told;
}

export function framesWords(value) {
  if (value === null || value === undefined) return "";
  const whole = Math.floor(value), part = { 0.25: "¼", 0.5: "½", 0.75: "¾" }[value - whole] || "";
  return whole || !part ? `${whole}${part}` : part;
}

/* Taps in words, for a person who has to judge them. */
export function tapsWords(taps) {
  const said = Object.entries(taps).map(([key, value]) => {
    if (key === "dead") return say("dead");
    const of = ASKS[key], words = of?.options.find(([one]) => one === value)?.[1];
    return `${of ? of.label : key}: ${words || (of?.way === "frames" ? framesWords(value) : `${value}${of?.way === "put" ? " g" : ""}`)}`;
  });
  return said.join("; ");
}
