/* What waits on this phone, how old it is, and what the book did not take. */
import { again, drop, record, tried, turnedBack, waiting } from "/static/field/kept.js";
import { moment } from "/static/field/key.js";
import { button, make, safely, show, shut, told } from "/static/field/parts.js";
import { say, sayCounted } from "/static/field/say.js";
import { files, hivesChanged, isOut, send } from "/static/field/send.js";
import { at } from "/static/field/steps.js";
import { tapsWords } from "/static/field/works.js";

const OLD = 3 * 86400000, LONG = 200;  // ms; records from which on a file is offered at once
const foot = document.getElementById("waiting");
let net = "", ways = {};
new ResizeObserver(() => document.documentElement.style.setProperty("--foot", `${foot.offsetHeight}px`)).observe(foot);  // what sticks above it

/* ``ways`` are those of the page: to fetch the hives anew, to go back, to open a record for entering anew,
   and how many entries of the book wait for a person. */
export function wait(given) { ways = given; }
export const waits = () => Number(foot.dataset.waiting) > 0;

const hivesOf = (rows) => new Set(rows.map((one) => `${one.yard} ${one.work} ${one.tag}`)).size;
const counted = (n) => sayCounted("{n} hive", "{n} hives", n);
const since = (ms) => (ms < 3600000 ? say("{n} min", { n: Math.max(1, Math.round(ms / 60000)) }) : ms < 2 * 86400000 ? `${Math.round(ms / 3600000)} h` : say("{n} days", { n: Math.round(ms / 86400000) }));

export const status = safely(async () => {
  const wait = await waiting(), refused = await turnedBack();
  const age = wait.length ? Date.now() - Math.min(...wait.map((one) => Date.parse(one.at))) : 0;
  const out = isOut(), why = out ? say("the laptop lets this phone in no longer") : { "no signal": say("no signal"), trouble: say("the laptop did not take them"), elsewhere: say("another tab sends them") }[net] || "";
  const asked = ways.asked?.() || 0, there = asked ? say("; entries that wait there for a word: {n}", { n: asked }) : "";
  const words = wait.length
    ? [make("b", {}, say("{hives} kept on this phone", { hives: counted(hivesOf(wait)) })), say(" not sent yet{why}; the oldest {age} old", { why: why && ": " + why, age: since(age) })]
    : refused.length ? [make("b", {}, say("{hives} not in the book", { hives: counted(hivesOf(refused)) })), asked ? say("; all else is on the laptop") : say("; all else is"), there]
      : asked ? [make("b", {}, say("Everything is on the laptop")), there] : [make("b", {}, say("Everything is in the book")), say(" on the laptop")];
  if (out && !wait.length) words.push(". ", say("The laptop lets this phone in no longer."));
  const more = out ? [make("a", { href: "/pair", class: "button" }, say("Pair it anew"))] : [];
  if (refused.length) more.push(button(say("{n} not taken: look", { n: refused.length }), () => showRefused(), { class: "plain warn" }));
  if (wait.length && !out) more.push(button(say("Send"), () => go(true), { class: "plain" }));
  if ((wait.length && (age > OLD || out || net === "trouble")) || wait.length > LONG) more.push(button(say("Save as file"), save, { class: "plain" }));
  foot.replaceChildren(make("p", {}, ...words), ...more);
  foot.dataset.waiting = wait.length;
  foot.classList.toggle("out", out);
  foot.classList.toggle("waits", out || wait.length + refused.length > 0);
});

export const go = safely(async (asked = false) => {
  const before = net;
  net = await send();
  const changed = hivesChanged();
  if (asked === true) told(net === "sent" ? say("Sent.") : net === "no signal" ? say("No signal. It stays on this phone.") : say("Not taken yet. It stays on this phone."));
  if (net === "sent" && (before !== "sent" || changed)) await ways.fetchYards();
  await status();
});

/* All that is not in the book, refused records too. From here on another machine may know them. */
async function save() {
  const rows = [...await waiting(), ...await turnedBack()].sort((a, b) => (a.id < b.id ? -1 : 1));
  await tried(rows.map((one) => one.id));
  const texts = await files(rows), day = moment().slice(0, 10);
  const links = texts.map((text, n) => {
    const part = texts.length > 1 ? `-${n + 1}-of-${texts.length}` : "";
    return make("a", { href: URL.createObjectURL(new Blob([text], { type: "application/json" })), download: `breadline-field-${day}${part}.json`, class: "button" }, say("File {n} of {many}", { n: n + 1, many: texts.length }));
  });
  if (!links.length) return told(say("Nothing waits on this phone: all of it was sent."));
  if (links.length > 1) return told(say("More than one file holds. Save each:"), ...links);
  links[0].click();
  return told(say("Saved. Bring the file to the laptop; what is in the book already is not added twice, so it may stay here too."));
}

/* For where no laptop is in reach at all: offered wherever a visit is at its end. */
export const saving = () => (waits() ? button(say("Save what waits as a file"), save, { class: "wide" }) : null);

export async function showRefused(said = "") {
  told(said);
  const rows = await turnedBack();
  if (!rows.length) return ways.back();
  at({ is: "refused" });
  return show(
    make("p", { class: "crumb" }, button(say("Back"), ways.back, { class: "plain" })), make("h1", {}, say("Not taken")),
    make("p", {}, say("The book on the laptop did not take these. They stay on this phone until it does, or until you forget them.")),
    ...rows.map(refusedOne),
    make("div", { class: "two" }, button(say("Send all again"), () => sendAgain(rows)), button(say("Save as file"), save)));
}
function refusedOne(one) {
  const says = one.withdraws ? say("taken back") : [tapsWords(one.taps || {}), one.spoken && `“${one.spoken}”`].filter(Boolean).join("; ");
  const drops = make("div", { class: "two" });
  const open = one.withdraws || !ways.knows(one) ? null : button(say("Open it"), () => ways.anew(one));
  const forget = () => drops.replaceChildren(button(say("Forget it for good"), async () => { await drop(one.id); await status(); await showRefused(say("{tag} is forgotten: it is in no book.", { tag: one.tag })); }, { class: "warn" }), button(say("Keep it"), ask));
  const ask = () => drops.replaceChildren(...[open, button(say("Forget it"), forget)].filter(Boolean));
  ask();
  return make("section", { class: "refused" }, make("h2", {}, one.tag), make("p", { class: "soft" }, one.at.slice(0, 16).replace("T", " ")),
    make("p", {}, says), make("p", { class: "why" }, say("Not taken: {why}", { why: one.why })), make("div", { class: "two" }, button(say("Send again"), () => sendAgain([one]))), drops);
}
async function sendAgain(rows) {
  await again(rows.map((one) => one.id));
  await go();
  const now = await Promise.all(rows.map((one) => record(one.id)));
  const in_ = now.filter((one) => one?.state === "sent").length, back = now.filter((one) => one?.state === "refused").length;
  await showRefused(back ? say("{n} of {many} not taken again: see why.", { n: back, many: rows.length }) : in_ === rows.length ? say("Sent.") : say("They wait to be sent: no signal."));
}
