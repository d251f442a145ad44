/* What the phone's own dictation wrote, as taps: "twelve, six and a half, half left, ok". */
const NUMBERS = Object.fromEntries(
  "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
    .split(" ").map((word, n) => [word, n]).concat([["twenty", 20], ["thirty", 30], ["none", 0], ["nothing", 0], ["no", 0]]));
const PARTS = { "a half": 0.5, half: 0.5, "½": 0.5, "a quarter": 0.25, quarter: 0.25, "¼": 0.25,
  "three quarters": 0.75, "¾": 0.75 };

export function number(text) {
  let said = text.toLowerCase().trim().replace(/frames?( of bees)?$/, "").trim();
  if (!said) return null;
  if (said in PARTS) return PARTS[said];
  const comma = said.match(/^(\d+)[.,](\d+)$/);
  if (comma) return Number(`${comma[1]}.${comma[2]}`);
  const both = said.match(/^(.+?)\s*(?:and\s+)?(a half|a quarter|three quarters|½|¼|¾)$/);
  let part = 0;
  if (both) { part = PARTS[both[2]]; said = both[1].trim(); }
  if (/^\d+$/.test(said)) return Number(said) + part;
  const words = said.split(/[\s-]+/);
  if (!words.every((word) => word in NUMBERS)) return null;
  const sum = words.length === 2 && NUMBERS[words[0]] >= 20 && NUMBERS[words[1]] < 10
    ? NUMBERS[words[0]] + NUMBERS[words[1]] : words.length === 1 ? NUMBERS[words[0]] : null;
  return sum === null ? null : sum + part;
}

/* The parts of a line, each once: hive, frames of bees, left over, queen, dead. What is not understood is given back. */
export function spoken(line, tags) {
  const found = {}, rest = [];
  const parts = line.split(/[;]|,(?!\d)/).map((one) => one.trim()).filter(Boolean);
  parts.forEach((part, n) => {
    const low = part.toLowerCase(), value = number(low);
    const tag = n === 0 ? tags.find((one) => one.toLowerCase() === low
      || (value !== null && Number.isInteger(value) && one.toLowerCase() === String(value))) : undefined;
    if (tag) found.tag = tag;
    else if (/\bnot\b/.test(low)) rest.push(part);  // "not dead", "not sure": a note, no guess
    else if (/\b(dead|dead ?out)\b/.test(low)) found.dead = true;
    else if (/\bleft\b/.test(low)) {
      const much = /\b(none|nothing|no)\b/.test(low) ? "none" : /\b(most|nearly all|all)\b/.test(low) ? "most" : "some";
      found.left = much;
    } else if (/\bno\b.*\b(queen|eggs?)\b|\bneither\b/.test(low)) found.queen = "neither";
    else if (/\beggs?\b/.test(low)) found.queen = "eggs";
    else if (/^(queen )?(ok|okay|right|seen)$|\bqueen( seen| ok)?$/.test(low)) found.queen = "seen";
    else if (/\bmaggots?\b/.test(low)) found.maggots = /\bno\b/.test(low) ? 0 : 1;
    else if (value !== null && found.frames === undefined) found.frames = value;
    else rest.push(part);
  });
  return { found, rest };
}
