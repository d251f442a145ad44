/* What the phone's own dictation wrote, as taps: "twelve, six and a half, half left, ok"; in Spanish "seis y medio". */
import { language } from "/static/field/say.js";

const counted = (words, more) => Object.fromEntries(words.split(" ").map((word, n) => [word, n]).concat(more));
export const TALKS = {
  en: {
    numbers: counted("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen",
      [["twenty", 20], ["thirty", 30], ["none", 0], ["nothing", 0], ["no", 0]]),
    parts: { "a half": 0.5, half: 0.5, "½": 0.5, "a quarter": 0.25, quarter: 0.25, "¼": 0.25, "three quarters": 0.75, "¾": 0.75 },
    unit: /frames?( of bees)?$/, part: /^(.+?)\s*(?:and\s+)?(a half|a quarter|three quarters|½|¼|¾)$/, and: /[\s-]+/,
    not: /\bnot\b/, dead: /\b(dead|dead ?out)\b/,
    left: /\bleft\b/, none: /\b(none|nothing|no)\b/, most: /\b(most|nearly all|all)\b/,
    neither: /\bno\b.*\b(queen|eggs?)\b|\bneither\b/, eggs: /\beggs?\b/, seen: /^(queen )?(ok|okay|right|seen)$|\bqueen( seen| ok)?$/,
    maggots: /\bmaggots?\b/, no: /\bno\b/,
  },
  es: {
    numbers: counted("cero un dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince dieciséis diecisiete dieciocho diecinueve",
      [["uno", 1], ["una", 1], ["dieciseis", 16], ["veinte", 20], ["treinta", 30], ["nada", 0], ["ninguno", 0], ["ninguna", 0],
        ...["uno", "dós", "trés", "cuatro", "cinco", "séis", "siete", "ocho", "nueve"].flatMap((word, n) => [[`veinti${word}`, 21 + n], [`veinti${word.normalize("NFD").replace(/\u0301/g, "")}`, 21 + n]])]),
    parts: { medio: 0.5, media: 0.5, "½": 0.5, "un cuarto": 0.25, cuarto: 0.25, "¼": 0.25, "tres cuartos": 0.75, "¾": 0.75 },
    unit: /cuadros?( (de|con) abejas)?$/, part: /^(.+?)\s*(?:y\s+)?(medio|media|un cuarto|tres cuartos|½|¼|¾)$/, and: /(?:\s+y)?\s+/,
    not: /\bno\b(?!.*\b(reina|huevo|larva|gusano|qued|sobr))/, dead: /\bmuert[ao]\b/,
    left: /\b(sobr|qued)(a|an|ó|o|aron)(?![a-zñáéíóú])/, none: /\b(nada|no)\b/, most: /\b(casi tod[ao]|tod[ao]|la mayor parte)\b/,
    neither: /\b(no|sin|ni)\b.*\b(reina|huevos?)\b|\bninguno\b/, eggs: /\bhuevos?\b/, seen: /^(reina )?(bien|ok|okay|vista)$|\breina( vista| bien)?$/,
    maggots: /\b(larvas?|gusanos?)\b/, no: /\b(no|sin)\b/,
  },
};
const TALK = TALKS[language] || TALKS.en;

export function number(text, talk = TALK) {
  let said = text.toLowerCase().trim().replace(talk.unit, "").trim();
  if (!said) return null;
  if (said in talk.parts) return talk.parts[said];
  const comma = said.match(/^(\d+)[.,](\d+)$/);
  if (comma) return Number(`${comma[1]}.${comma[2]}`);
  const both = said.match(talk.part);
  let part = 0;
  if (both) { part = talk.parts[both[2]]; said = both[1].trim(); }
  if (/^\d+$/.test(said)) return Number(said) + part;
  const words = said.split(talk.and);
  if (!words.every((word) => word in talk.numbers)) return null;
  const sum = words.length === 2 && talk.numbers[words[0]] >= 20 && talk.numbers[words[1]] < 10
    ? talk.numbers[words[0]] + talk.numbers[words[1]] : words.length === 1 ? talk.numbers[words[0]] : null;
  return sum === null ? null : sum + part;
}

/* The parts of a line, each once: hive, frames of bees, left over, queen, dead. What is not understood is given back. */
export function spoken(line, tags, talk = TALKS[language] || TALKS.en) {
  const found = {}, rest = [];
  const parts = line.split(/[;]|,(?!\d)/).map((one) => one.trim()).filter(Boolean);
  parts.forEach((part, n) => {
    const low = part.toLowerCase(), value = number(low, talk);
    const tag = n === 0 ? tags.find((one) => one.toLowerCase() === low
      || (value !== null && Number.isInteger(value) && one.toLowerCase() === String(value))) : undefined;
    if (tag) found.tag = tag;
    else if (talk.not.test(low)) rest.push(part);  // "not dead", "not sure": a note, no guess
    else if (talk.dead.test(low)) found.dead = true;
    else if (talk.left.test(low)) found.left = talk.none.test(low) ? "none" : talk.most.test(low) ? "most" : "some";
    else if (talk.neither.test(low)) found.queen = "neither";
    else if (talk.eggs.test(low)) found.queen = "eggs";
    else if (talk.seen.test(low)) found.queen = "seen";
    else if (talk.maggots.test(low)) found.maggots = talk.no.test(low) ? 0 : 1;
    else if (value !== null && found.frames === undefined) found.frames = value;
    else rest.push(part);
  });
  return { found, rest };
}
