/* The words of these pages in the language of the page; English stands here, others came with the shell. */
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

/* Another language comes from the laptop with a shell of its own: where it is out of reach nothing changes. */
async function speak(code, told) {
  const there = await fetch("/field/yards.json", { cache: "no-store" }).catch(() => null);
  if (!there?.ok) return told(say("No signal: the language is changed where this phone reaches the laptop."));
  document.cookie = `language=${code}; path=/; max-age=31536000; samesite=lax`;
  if (window.caches) for (const name of await caches.keys()) if (name.startsWith("breadline-field-")) await caches.delete(name);
  return location.reload();
}
const languages = JSON.parse(document.getElementById("words").dataset.languages);
export const otherLanguages = Object.entries(languages).filter(([code]) => code !== language)
  .map(([code, name]) => [name, code, (tell) => speak(code, tell)]);
