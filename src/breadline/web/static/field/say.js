/* The words of these pages in the language of the page; English stands here, others came with the shell. */
import { newer } from "/static/field/newer.js";

const told = JSON.parse(document.getElementById("words").textContent);
export const language = document.documentElement.lang || "en";
export const locale = { es: "es-MX" }[language] || "en-GB";

const filled = (message, fields) => message.replace(/\{(\w+)\}/g, (whole, name) => (name in fields ? String(fields[name]) : whole));
export const say = (message, fields = {}) => filled(told[message] || message, fields);
/* The form for a number, which is the field ``n``. */
export function sayCounted(one, many, n, fields = {}) {
  const [single, several] = told[one] || [one, many];
  return filled(n === 1 ? single : several, { n, ...fields });
}

/* Another language comes from the laptop with a shell of its own: where it is out of reach nothing changes. A
   cookie takes its time: only once the laptop answers in the language is its shell asked for. */
const TRIES = 50, PAUSE = 100, PATIENCE = 20000;  // ms
const chosen = (code) => { document.cookie = `language=${code}; path=/; max-age=31536000; samesite=lax`; };
/* The language of its answer; none where something else answers, null where nothing does. */
const answered = () => fetch("/field/parts.json", { cache: "no-store", signal: AbortSignal.timeout?.(PATIENCE) })
  .then((came) => (came.ok ? came.json().then((told) => told.language) : "")).catch(() => null);
async function answeredIn(code) {
  for (let n = 0; n < TRIES; n += 1) {
    if (await answered() === code) return true;
    await new Promise((over) => { setTimeout(over, PAUSE); });
  }
  return false;
}
async function speak(code, told) {
  told(say("One moment …"));
  if (await answered() === null) return told(say("No signal: the language is changed where this phone reaches the laptop."));
  chosen(code);
  if (await answeredIn(code) && await newer()) return location.reload();
  chosen(language);
  return told(say("The language stays: the page did not come whole. Try again, or close every page of Breadline on this phone first."));
}
const languages = JSON.parse(document.getElementById("words").dataset.languages);
export const otherLanguages = Object.entries(languages).filter(([code]) => code !== language)
  .map(([code, name]) => [name, code, (tell) => speak(code, tell)]);
