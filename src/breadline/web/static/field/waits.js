/* What waits on this phone, how old it is, and what the book did not take. */
import { again, drop, record, tried, turnedBack, waiting } from "/static/field/kept.js";
import { moment } from "/static/field/key.js";
import { button, make, safely, show, shut, told } from "/static/field/parts.js";
import { files, hivesChanged, send } from "/static/field/send.js";
import { tapsWords } from "/static/field/works.js";

const OLD = 3 * 86400000, LONG = 200;  // ms; records from which on a file is offered at once
const foot = document.getElementById("waiting");
let net = "", ways = {};
new ResizeObserver(() => document.documentElement.style.setProperty("--foot", `${foot.offsetHeight}px`)).observe(foot);  // what sticks above it

/* ``ways`` are those of the page: to fetch the hives anew, to go back, to open a record for entering anew. */
export function wait(given) { ways = given; }
export const waits = () => Number(foot.dataset.waiting) > 0;

const hivesOf = (rows) => new Set(rows.map((one) => `${one.yard} ${one.work} ${one.tag}`)).size;
const counted = (n) => `${n} ${n === 1 ? "hive" : "hives"}`;
const since = (ms) => (ms < 3600000 ? `${Math.max(1, Math.round(ms / 60000))} min` : ms < 2 * 86400000 ? `${Math.round(ms / 3600000)} h` : `${Math.round(ms / 86400000)} days`);

export const status = safely(async () => {
  const wait = await waiting(), refused = await turnedBack();
  const age = wait.length ? Date.now() - Math.min(...wait.map((one) => Date.parse(one.at))) : 0;
  const why = { "no signal": "no signal", trouble: "the laptop did not take them", elsewhere: "another tab sends them" }[net] || "";
  const words = wait.length
    ? [make("b", {}, `${counted(hivesOf(wait))} kept on this phone`), ` not sent yet${why ? `: ${why}` : ""}; the oldest ${since(age)} old`]
    : refused.length ? [make("b", {}, `${counted(hivesOf(refused))} not in the book`), "; all else is"]
      : [make("b", {}, "Everything is in the book"), " on the laptop"];
  const more = [];
  if (refused.length) more.push(button(`${refused.length} not taken: look`, () => showRefused(), { class: "plain warn" }));
  if (wait.length) more.push(button("Send", () => go(true), { class: "plain" }));
  if ((wait.length && (age > OLD || net === "trouble")) || wait.length > LONG) more.push(button("Save as file", save, { class: "plain" }));
  foot.replaceChildren(make("p", {}, ...words), ...more);
  foot.dataset.waiting = wait.length;
  foot.classList.toggle("waits", wait.length + refused.length > 0);
});

export const go = safely(async (asked = false) => {
  const before = net;
  net = await send();
  const changed = hivesChanged();
  if (asked === true) told(net === "sent" ? "Sent." : net === "no signal" ? "No signal. It stays on this phone." : "Not taken yet. It stays on this phone.");
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
    return make("a", { href: URL.createObjectURL(new Blob([text], { type: "application/json" })), download: `breadline-field-${day}${part}.json`, class: "button" }, `File ${n + 1} of ${texts.length}`);
  });
  if (!links.length) return told("Nothing waits: everything is in the book.");
  if (links.length > 1) return told("More than one file holds. Save each:", ...links);
  links[0].click();
  return told("Saved. Bring the file to the laptop; what is in the book already is not added twice, so it may stay here too.");
}

/* For where no laptop is in reach at all: offered wherever a visit is at its end. */
export const saving = () => (waits() ? button("Save what waits as a file", save, { class: "wide" }) : null);

async function showRefused(said = "") {
  told(said);
  const rows = await turnedBack();
  if (!rows.length) return ways.back();
  return show(
    make("p", { class: "crumb" }, button("Back", ways.back, { class: "plain" })), make("h1", {}, "Not taken"),
    make("p", {}, "The book on the laptop did not take these. They stay on this phone until it does, or until you forget them."),
    ...rows.map(refusedOne),
    make("div", { class: "two" }, button("Send all again", () => sendAgain(rows)), button("Save as file", save)));
}
function refusedOne(one) {
  const says = one.withdraws ? "taken back" : [tapsWords(one.taps || {}), one.spoken && `“${one.spoken}”`].filter(Boolean).join("; ");
  const drops = make("div", { class: "two" });
  const open = one.withdraws || !ways.knows(one) ? null : button("Open it", () => ways.anew(one));
  const forget = () => drops.replaceChildren(button("Forget it for good", async () => { await drop(one.id); await status(); await showRefused(`${one.tag} is forgotten: it is in no book.`); }, { class: "warn" }), button("Keep it", ask));
  const ask = () => drops.replaceChildren(...[open, button("Forget it", forget)].filter(Boolean));
  ask();
  return make("section", { class: "refused" }, make("h2", {}, one.tag), make("p", { class: "soft" }, one.at.slice(0, 16).replace("T", " ")),
    make("p", {}, says), make("p", { class: "why" }, `Not taken: ${one.why}`), make("div", { class: "two" }, button("Send again", () => sendAgain([one]))), drops);
}
async function sendAgain(rows) {
  await again(rows.map((one) => one.id));
  await go();
  const now = await Promise.all(rows.map((one) => record(one.id)));
  const in_ = now.filter((one) => one?.state === "sent").length, back = now.filter((one) => one?.state === "refused").length;
  await showRefused(back ? `${back} of ${rows.length} not taken again: see why.` : in_ === rows.length ? "Sent." : "They wait to be sent: no signal.");
}
