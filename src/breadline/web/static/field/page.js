/* The phone pages: which yard, which work, then hive by hive. Everything tapped is kept here first. */
import { asked } from "/static/field/asks.js";
import { banner } from "/static/field/given.js";
import { clock, reached, whenOf } from "/static/field/clock.js";
import { enter, entered, keep, keepOpen, record, takeBack, takeOut, thing, waiting, withDraft } from "/static/field/kept.js";
import { moment, newKey } from "/static/field/key.js";
import { offline } from "/static/field/offline.js";
import { button, crumb, make, safely, show, shut, told } from "/static/field/parts.js";
import { locale, otherLanguages, say } from "/static/field/say.js";
import { met } from "/static/field/send.js";
import { spoken } from "/static/field/spoken.js";
import { at, backTo, shows, walk } from "/static/field/steps.js";
import { hiveOf, tagsOf } from "/static/field/tags.js";
import { go, saving, showRefused, status, wait, waits } from "/static/field/waits.js";
import { chosen, otherHive, pick, which } from "/static/field/which.js";
import { CARE, WORKS, seenOf } from "/static/field/works.js";

const EVERY = 20000, PATIENCE = 20000, OPENING = 2500;  // ms
const place = document.getElementById("field");
/* The visit that is open with the taps of its hive, and those of hives that were left with taps not kept as entered. */
let yards = null, open = null, drafts = {}, last = null, who = "", behind = false;  // hives could not be asked for

const yardOf = (id) => (yards ? yards.yards : []).find((one) => one.id === id);
const here = () => yardOf(open.yard);
const stands = (yard) => yard.hives.filter((one) => one.standing === "stands");
const today = () => moment().slice(0, 10);
const dayWords = (day) => new Date(`${day}T12:00`).toLocaleDateString(locale, { day: "numeric", month: "short" });

/* ---- the way back */
const YARDS = { is: "yards" };
const workOf = (yard) => ({ is: "work", yard });
const hiveAt = (tag) => ({ is: "hive", yard: open.yard, work: open.work, means: open.means, tag, day: open.day });
const toYards = () => backTo(YARDS, chooseYard);
const under = ({ yard }) => (yard ? [YARDS, workOf(yard)] : []);  // of a screen that the page begins with

/* A screen of the way back, as it is now. */
async function arrive({ is, yard: id, work, means, tag, day }) {
  const yard = yardOf(id);
  told("");
  if (is === "refused") return showRefused();
  if (is === "yards" || !yard) return chooseYard();
  if (is === "work") { await hold(); return chooseWork(yard); }
  if (!open || open.yard !== id || open.work !== work) await visit(id, work, means);
  if (is === "hive") return drafts[`${day} ${id} ${work} ${tag}`] ? hive(tag, null, day) : chosen(tag);
  return is === "pick" ? pick() : nextHive();
}

/* ---- which yard, which work */
async function chooseYard() {
  await hold(); open = null; await keep("open", null); at(YARDS);
  if (!yards) return show(make("h1", {}, say("In the yard")), make("p", { class: "say" }, say("No yards on this phone yet.")), make("p", {}, say("Open this page once where it reaches the laptop; from then on it works without signal.")));
  const list = yards.yards.map((one) => make("button", { type: "button", class: "wide", onclick: () => chooseWork(one) }, make("b", {}, one.name), make("span", {}, say("{n} hives", { n: stands(one).length }))));
  return show(make("h1", {}, say("Which yard?")), ...list, ...older(),
    list.length ? null : make("p", {}, say("No yard in the book yet. Write one down on the laptop first.")), saving(),
    ...otherLanguages.map(([name, lang, speak]) => button(name, () => speak(told), { class: "plain", lang })));
}

function chooseWork(yard) {
  const works = Object.entries(WORKS).map(([key, one]) => button(one.name, () => begin(yard, key), { class: "wide" }));
  const plain = yards.definitions.map(([key, words]) => make("option", { value: key, selected: key === yards.usual }, words));
  const by = make("input", { type: "text", id: "who", maxlength: 60, value: who, autocomplete: "off", placeholder: say("Ana, or crew 2") });
  by.addEventListener("input", safely(() => { who = by.value.trim(); return keep("who", who); }));
  at(workOf(yard.id));
  show(crumb(say("Yards"), toYards), make("h1", {}, yard.name),
    make("p", { class: "say" }, say("What is this visit?")), ...works,
    make("label", { class: "field" }, say("Who enters it, asked once a phone"), by),
    make("label", { class: "field" }, say("What a frame of bees means to you"), make("select", { id: "means" }, ...plain)),
    make("details", { class: "care" }, make("summary", {}, say("Before you open hives")), ...CARE.map(([line, ask]) => make("p", {}, line, " ", make("span", { class: "soft" }, ask)))));
}

async function begin(yard, work) {
  const means = document.getElementById("means").value;
  await visit(yard.id, work, means);
  return nextHive();
}
async function visit(yard, work, means) {
  await hold();
  open = { yard, work, means, taps: {}, tag: null, done: [], day: today() };
  open.done = Object.keys(await entered(open));
}

/* A visit is of one day: what was open on another is begun anew, and mends nothing of that day; its taps wait. */
async function ofDay(day) {
  if (!open || open.day === day) return;
  open = { ...open, day, tag: null, taps: {}, typed: {}, spoken: "", mends: null, fresh: false, tapped: null };
  open.done = Object.keys(await entered(open));
}
/* Taps of another day that were not entered; they are entered for their own day. */
function older() {
  return Object.entries(drafts).flatMap(([key, draft]) => {
    const [day, yard, work, ...words] = key.split(" "), tag = words.join(" "), of = yardOf(yard);
    const go = () => { open = { yard, work, means: draft.means ?? yards.usual, taps: {}, tag: null, done: [] }; return hive(tag, null, day); };
    return day === today() || !of ? [] : [button(say("{tag} of {name} has taps of {dayWords} that are not entered", { tag, name: of.name, dayWords: dayWords(day) }), go, { class: "wide warn" })];
  });
}

/* ---- from hive to hive */
const draftOf = (tag) => `${open.day} ${open.yard} ${open.work} ${tag}`;
const shape = (taps, line) => JSON.stringify([Object.entries(taps || {}).sort(), line || ""]);

/* Taps of the hive in hand are kept with it, and wait for it when it is left; only "Next hive" enters them. */
async function hold() {
  if (!open) return;
  const changed = open.tag && (shape(open.taps, open.spoken) !== (open.was || shape()) || Object.keys(open.typed || {}).length > 0);
  const draft = { taps: open.taps, typed: open.typed, spoken: open.spoken, fresh: open.fresh, means: open.means, tapped: open.tapped };
  drafts = await keepOpen(open, changed || (open.tag && open.tapped) ? draftOf(open.tag) : null, changed ? draft : null);  // else another tab’s, or none
}
/* Taps are of the moment of the last one; what was begun before midnight is of its day, and a change of that day’s entry too. */
async function touched() {
  const over = open.day !== today();
  if (over && !open.tapped && open.mends) open.tapped = (await record(open.mends)).at;
  else if (over && !open.tapped) await hive(open.tag, open);
  if (open.day === today()) open.tapped = moment();
  return hold();
}
const left = () => Object.keys(drafts).filter((key) => open && key.startsWith(draftOf(""))).map((key) => key.slice(draftOf("").length));

function nextHive() {
  const rows = stands(here());
  const from = rows.findIndex((one) => one.tag === open.tag);
  const order = [...rows.slice(from + 1), ...rows.slice(0, from + 1)];
  const next = order.find((one) => !open.done.includes(one.tag));
  return next ? hive(next.tag) : allDone();
}

async function allDone() {
  await hold();
  const yard = here(), rows = stands(yard);
  open.tag = null; open.taps = {};
  await hold();
  at({ is: "done", yard: open.yard, work: open.work, means: open.means });
  show(crumb(say("Yards"), toYards),
    make("h1", { class: "say" }, rows.length ? say("All {n} hives of {name} are entered.", { n: rows.length, name: yard.name }) : say("No hives are listed in {name} yet.", { name: yard.name })),
    undoing("wide"), saving(),
    ...left().map((tag) => button(say("{tag} has taps that are not entered", { tag }), () => chosen(tag), { class: "wide warn" })),
    rows.length ? null : make("p", {}, say("Type the tag of the first one, as it stands on its lid.")), ...otherHive(yard));
}

async function back() {
  const rows = stands(here()), nth = rows.findIndex((one) => one.tag === open.tag), to = nth > 0 ? hiveAt(rows[nth - 1].tag) : workOf(open.yard);
  return backTo(to, () => arrive(to));
}

/* ``given`` are taps to begin with; else those that wait for this hive, else those it was entered with. */
async function hive(tag, given = null, day = today()) {
  if (given === null || open.tag !== tag) await hold();
  await ofDay(day);
  const before = (await entered(open))[tag], from = given || drafts[draftOf(tag)] || before || {};
  open = { ...open, tag, taps: { ...from.taps }, typed: { ...from.typed }, spoken: from.spoken || "", fresh: from.fresh || (open.tag === tag && open.fresh) || false,
    again: given?.again || null, tapped: from.tapped || null, mends: before?.id || null, at: before ? before.at.slice(11, 16) : "", was: shape(before?.taps, before?.spoken) };
  await hold();
  at(hiveAt(tag));
  draw();
  window.scrollTo(0, 0);
}

/* ---- the hive in hand */
/* A field in one word: "Frames of brood" is "brood", since frames of bees stand above it. */
function shortly(one) {
  const words = one.label.toLowerCase().split(" ");
  return one.kind === "frames_of_brood" ? words[words.length - 1] : words[0];
}

function draw() {
  const yard = here(), work = WORKS[open.work], rows = stands(yard), row = yard.hives.find((one) => one.tag === open.tag);
  const desk = { open, yard, pieces: yards.pieces, weight: yards.weight || { unit: "kg", kg: 1 }, tapped: redraw, keep: safely(touched) };
  const entry = open.mends, nth = open.done.filter((one) => one !== open.tag && rows.some((r) => r.tag === one)).length + 1;
  const more = make("details", { open: work.more.some((one) => one.key in open.taps || one.key in (open.typed || {})) || Boolean(open.spoken) || open.more, ontoggle: (event) => { open.more = event.target.open; } },
    make("summary", {}, say("More: {what}, a line", { what: work.more.map(shortly).join(", ") })), ...work.more.map((one) => asked(one, desk)), line(yard));
  place.replaceChildren(
    make("p", { class: "head" }, make("b", {}, `${yard.name}, ${work.name.toLowerCase()}`), make("span", {}, say("{worked} of {many}", { worked: Math.min(nth, rows.length), many: rows.length }))),
    make("div", { class: "tag" }, make("h1", { class: open.tag.length > 7 ? "long" : "" }, open.tag), make("span", {}, row ? row.place : say("new hive")), button(say("Another"), pick, { class: "plain", "aria-label": say("Another hive") })),
    ...[open.day === today() || !open.tapped ? null : make("p", { class: "given none" }, say("Tapped on {dayWords}. “Next hive” enters it for that day.", { dayWords: dayWords(open.day) })), banner(yard, open), entry ? make("div", { class: "give" }, make("p", {}, say("Entered at {at}. What you change takes its place.", { at: open.at })), button(say("Take it back"), takeItBack, { class: "plain" })) : null].filter(Boolean),
    ...work.asks.map((one) => asked(one, desk)), more,
    make("div", { class: "row go" }, button(say("Back"), back, { class: "back" }), undoing(), button(entry ? say("Keep the change") : say("Next hive"), next, { class: "next" })));
}

async function redraw() {
  await touched();  // what is shown as tapped lies on the phone already
  const at = document.activeElement, of = at && at.closest("fieldset") ? at.closest("fieldset").dataset.of : null;
  const text = at ? at.textContent : "", y = window.scrollY;
  draw();
  window.scrollTo(0, y);
  const again = of && [...place.querySelectorAll(`fieldset[data-of="${of}"] button`)].find((one) => one.textContent === text);
  if (again) again.focus({ preventScroll: true });
}

function line(yard) {
  const typed = make("input", { type: "text", maxlength: 300, id: "line", value: open.spoken || "", placeholder: say("six and a half, half left, ok") });
  const hear = async () => {
    open.spoken = typed.value.trim();
    const { found, rest } = spoken(open.spoken, tagsOf(yard));
    if (found.tag) found.tag = hiveOf(yard, found.tag).tag;
    if (found.tag && found.tag !== open.tag) return told(say("You said {tag}, and this is {tag2}.", { tag: found.tag, tag2: open.tag }), button(say("Go to {tag}", { tag: found.tag }), async () => { const was = open.spoken; open.spoken = ""; await hive(found.tag); open.spoken = was; await redraw(); }));
    for (const key of ["frames", "left", "queen"]) if (found[key] !== undefined) open.taps[key] = found[key];
    if (found.maggots !== undefined) open.taps.maggots = String(found.maggots);
    if (found.dead) { delete open.taps.frames; open.taps.dead = true; }
    told(rest.length ? say("Kept as a note: {what}. The rest is tapped above.", { what: rest.join(", ") }) : "");
    return redraw();
  };
  typed.addEventListener("change", safely(hear));
  typed.addEventListener("input", safely(() => { open.spoken = typed.value; return touched(); }));
  return make("label", { class: "field" }, say("Say or type a line"), typed);
}

/* ---- entering, and taking back */
let busy = false;  // a glove that bounces is one tap
async function next() {
  if (busy) return;
  busy = true;
  try { await nextOnce(); } finally { busy = false; }
}
async function nextOnce() {
  const taps = { ...open.taps }, dead = taps.dead === true, was = open.tag;
  const wrong = place.querySelector("[aria-invalid]:enabled");
  if (wrong) { wrong.closest("details")?.setAttribute("open", ""); wrong.focus(); return told(say("{field}: “{value}” is not taken. Mend it, or empty it.", { field: wrong.getAttribute("aria-label"), value: wrong.value })); }
  if (!Object.keys(taps).length && !open.spoken) return told(say("Nothing is tapped yet."));
  const done = [...new Set([...open.done, was])];
  if (open.mends && shape(taps, open.spoken) === open.was) { open.done = done; return nextHive(); }
  const seen = dead ? {} : seenOf(taps, open.means, yards.weight?.kg ?? 1), row = here().hives.find((one) => one.tag === was);
  const kept = open.day !== today() && open.tapped, at = kept || await whenOf(open.again), now = at.slice(0, 10) === open.day, key = draftOf(was);
  const one = { id: newKey(), work: open.work, yard: open.yard, tag: was, at, seen, spoken: open.spoken || "", taps, by: who, ...(kept || open.again ? {} : await clock()) };
  if (dead) one.standing = "dead";
  if (open.fresh || row?.fresh) one.new = true;  // in no list of the book yet
  if (!row) here().hives.push({ tag: was, place: "", standing: "stands", fresh: true });
  const after = { ...open, taps: {}, typed: {}, spoken: "", mends: null, fresh: false, again: null, tapped: null, was: shape(), done: now ? done : open.done };
  await enter(one, now ? open.mends : null, { open: after, drafts: withDraft(key, null), ...(row ? {} : { yards }) }, open.again);
  open = after; drafts = withDraft(key, null)(drafts); last = { id: one.id, tag: was };
  await status();  // what waits is told before the hive after it is shown
  told(say("{tag} is kept.", { tag: was }));
  await nextHive();
  go();
}

const undoing = (kind = "") => (last ? button(kind ? say("Undo {tag}", { tag: last.tag }) : say("Undo"), undo, { class: kind, "aria-label": say("Undo {tag}", { tag: last.tag }) }) : null);

/* The last thing done, undone: an entry opens again as it was tapped, one taken back holds again. */
async function undo() {
  const one = last && await record(last.id);
  last = null; told("");
  if (!one || one.state === "gone") return again();
  const day = one.at.slice(0, 10), back = { taps: one.taps, spoken: one.spoken, fresh: one.new, tapped: one.at };
  const never = await takeBack(one.id, one.withdraws ? {} : { drafts: withDraft(`${day} ${one.yard} ${one.work} ${one.tag}`, back) });
  if (never) { drafts = await thing("drafts") || {}; await unlist(one); }
  if (one.withdraws && !never) return told(say("{tag} was taken back in the book already. Enter it again.", { tag: one.tag }));
  if (!open || open.yard !== one.yard || open.work !== one.work) { told(never ? say("{tag} is undone.", { tag: one.tag }) : ""); return status(); }
  open.done = Object.keys(await entered(open));  // what was sent holds until it is mended
  await hive(one.tag, one.withdraws ? null : back, one.withdraws ? today() : day);
  return status();
}

/* The entry of this hive is wrong altogether: the book is told so, and the hive is open again. */
async function takeItBack() {
  const tag = open.tag, back = { id: newKey(), work: open.work, yard: open.yard, tag, at: moment(), seen: {}, by: who };
  const done = open.done.filter((one) => one !== tag), old = await record(open.mends), without = withDraft(draftOf(tag), null);
  const after = { ...open, done, taps: {}, typed: {}, spoken: "", mends: null, at: "", was: shape(), tapped: null, fresh: Boolean(old?.new) };
  const sent = await takeOut(open.mends, back, { open: after, drafts: without });
  open = after; drafts = without(drafts); last = sent ? { id: back.id, tag } : null;
  if (old) await unlist(old);
  told(say("{tag} is taken back.", { tag }));
  draw(); await status(); go();
}

/* A hive that was new with an entry that is gone stands in no row of this phone either. */
async function unlist(one) {
  const yard = yardOf(one.yard), row = yard?.hives.find((each) => each.fresh && each.tag === one.tag);
  if (!row || !one.new || (await waiting()).some((each) => each.yard === one.yard && each.tag === one.tag && !each.withdraws)) return;
  yard.hives.splice(yard.hives.indexOf(row), 1);
  await keep("yards", yards);
}

/* ---- beginning */
async function fetchYards() {
  let came;
  try {
    const until = yards && AbortSignal.timeout ? AbortSignal.timeout(PATIENCE) : undefined;  // the first time there is nothing else to show
    const answer = await fetch("/field/yards.json", { cache: "no-store", signal: until });
    met(answer.status);
    if (!answer.ok) return false;
    came = await answer.json();
  } catch { behind = true; return false; }  // no signal, or too little: those kept on the phone hold
  for (const one of await waiting()) {  // hives that the book does not know yet stay in the row
    const yard = one.new && came.yards.find((each) => each.id === one.yard);
    if (yard && !yard.hives.some((each) => each.tag === one.tag)) yard.hives.push({ tag: one.tag, place: "", standing: "stands", fresh: true });
  }
  yards = came; behind = false;
  await keep("yards", yards);
  await reached(came.now);
  return true;
}
/* A record that was refused, opened as it was tapped; kept anew it takes the place of the refused one. */
async function anew(one) {
  const mine = open && open.yard === one.yard && open.work === one.work;
  if (!mine) await visit(one.yard, one.work, yards.usual);
  told(say("{tag} as it was tapped on {at}. Mend it; “Next hive” enters it anew, for {day}.", { tag: one.tag, at: one.at.slice(0, 10), day: (await whenOf(one.id)).slice(0, 10) }));
  return hive(one.tag, { taps: one.taps, spoken: one.spoken, fresh: one.new, again: one.id });
}
async function again() {
  if (!open || !yards || !here()) return chooseYard();
  return open.tag ? hive(open.tag, open) : nextHive();
}
/* Where signal is weak a connection comes about and no answer does: what lies on the phone is shown all the same. */
const inTime = (coming) => Promise.race([coming, new Promise((over) => { setTimeout(over, OPENING, "late"); })]);
async function start() {
  walk({ show: safely(arrive), under });
  which({ here, hive, nextHive, hold, left, yards: toYards, open: () => open, draft: (tag) => drafts[draftOf(tag)] });
  wait({ fetchYards, anew, asked: () => yards?.asked, knows: (one) => Boolean(yardOf(one.yard)), back: again });
  if (!await thing("phone")) await keep("phone", newKey());
  [yards, open, drafts, who] = [await thing("yards") || null, await thing("open") || null, await thing("drafts") || {}, await thing("who") || ""];
  const coming = fetchYards(), late = await (yards ? inTime(coming) : coming) === "late";
  await hold(); await ofDay(today());
  await again();
  if (yards && open && older().length) told(say("Taps of another day are not entered."), button(say("Look"), chooseYard));
  place.dataset.ready = "yes";
  await status(); go(); offline();
  if (late && await coming) await (shows(YARDS) ? chooseYard() : status());
}
window.addEventListener("online", () => go());
document.addEventListener("visibilitychange", safely(async () => {
  if (document.hidden) return;
  await go();
  if (yards?.asked && await fetchYards()) await status();  // somebody may have given their word meanwhile
}));
setInterval(safely(async () => { if (waits()) return go(); if (behind) await fetchYards(); return status(); }), EVERY);
start().catch((why) => {
  shut(why);
  show(make("h1", { class: "say" }, say("Nothing can be kept on this phone.")), make("p", {}, say("Its browser lets no page write anything down: a private window, or no room left. Enter nothing here; use paper, or another phone.")));
  place.dataset.ready = "yes";
});
