/* What is asked of a hive, by the work of the visit; never more than six taps. */
const choice = (key, label, options) => ({ key, label, options });

const LEFT = choice("left", "Left over from last time", [["none", "None"], ["some", "Some"], ["most", "Most"]]);
const QUEEN = choice("queen", "Queen", [["seen", "Seen"], ["eggs", "Eggs"], ["neither", "Neither"]]);
const MAGGOTS = choice("maggots", "Beetle maggots in the feed", [["0", "No"], ["1", "Yes"]]);
const BREAD = choice("bread", "Bread, frames", [["0", "0"], ["0.25", "¼"], ["0.5", "½"], ["1", "1"], ["1.5", "1½"], ["2", "2"], ["3", "3"]]);
const frames = (key, label) => ({ key, label, frames: true });

export const WORKS = {
  round: { name: "Feeding round", asks: [frames("frames", "Frames of bees"), LEFT, { key: "put", label: "Put on", put: true }, MAGGOTS], more: [QUEEN] },
  look: { name: "A look inside", asks: [frames("frames", "Frames of bees"), BREAD, frames("brood", "Frames of brood")], more: [QUEEN, MAGGOTS] },
  grading: { name: "Grading", asks: [frames("frames", "Frames of bees")], more: [frames("brood", "Frames of brood"), QUEEN] },
};

const flag = (value) => ({ value: Number(value), unit: "yes/no" });
const SEEN = {
  frames: (value, means) => ["frames_of_bees", { value, unit: "frames", definition: means }],
  brood: (value) => ["frames_of_brood", { value, unit: "frames" }],
  bread: (value) => ["bread", { value: Number(value), unit: "frames" }],
  left: (word) => ["patty_left", { word }],
  put: (value) => ["put_on", { value: Number(value), unit: "g" }],
  queen: (word) => ["queen_status", { word }],
  maggots: (value) => ["maggots_seen", flag(value)],
};

/* Taps as a record says them; what was not tapped is not in it, and is no nought. */
export function seenOf(taps, means) {
  const told = {};
  for (const [key, value] of Object.entries(taps)) {
    if (value === null || value === undefined || !(key in SEEN)) continue;
    const [kind, one] = SEEN[key](value, means);
    told[kind] = one;
  }
  return told;
}

export function framesWords(value) {
  if (value === null || value === undefined) return "";
  const whole = Math.floor(value), part = { 0.25: "¼", 0.5: "½", 0.75: "¾" }[value - whole] || "";
  return whole || !part ? `${whole}${part}` : part;
}
