/* The phone pages: which yard, which work, then hive by hive. Everything tapped is kept here first. */
import { all, answered, askToStay, drop, enter, forget, keep, record, takeBack, thing, turnedBack, waiting } from "/static/field/kept.js";
import { moment, newKey } from "/static/field/key.js";
import { batch, send } from "/static/field/send.js";
import { spoken } from "/static/field/spoken.js";
import { framesWords, seenOf, WORKS } from "/static/field/works.js";

const OLD = 3 * 86400000, EVERY = 20000, PHOTO = 1600;
const place = document.getElementById("field"), foot = document.getElementById("waiting");
const say = document.getElementById("said");
let yards = null, open = null, last = null, net = "";

function make(kind, told = {}, ...inside) {
  const one = document.createElement(kind);
  for (const [key, value] of Object.entries(told)) {
    if (key.startsWith("on")) one.addEventListener(key.slice(2), value);
    else if (value === true) one.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) one.setAttribute(key, value);
  }
  one.append(...inside.filter((part) => part !== null && part !== undefined && part !== ""));
  return one;
}
const button = (text, press, told = {}) => make("button", { type: "button", onclick: press, ...told }, text);
const yardOf = (id) => (yards ? yards.yards : []).find((one) => one.id === id);
const stands = (yard) => yard.hives.filter((one) => one.standing === "stands");
const told = (text, more = null) => { say.replaceChildren(...[text, more].filter(Boolean)); say.hidden = !text; };

/* ---- screens */
function show(...parts) { place.replaceChildren(...parts.filter(Boolean)); window.scrollTo(0, 0); }

function chooseYard() {
  open = null; forget("open");
  if (!yards) return show(make("p", { class: "say" }, "No yards on this phone yet."), make("p", {}, "Open this page once where it reaches the laptop; from then on it works without signal."));
  const list = yards.yards.map((one) => button("", () => chooseWork(one), { class: "wide" }));
  list.forEach((one, n) => one.append(make("b", {}, yards.yards[n].name), make("span", {}, `${stands(yards.yards[n]).length} hives`)));
  show(make("h1", {}, "Which yard?"), ...list,
    list.length ? null : make("p", {}, "No yard in the book yet. Write one down on the laptop first."));
}

function chooseWork(yard) {
  const works = Object.entries(WORKS).map(([key, one]) => button(one.name, () => begin(yard, key), { class: "wide" }));
  const plain = yards.definitions.map(([key, words]) => make("option", { value: key, selected: key === yards.usual }, words));
  const means = make("select", { id: "means" }, ...plain);
  show(make("p", { class: "crumb" }, button("Yards", chooseYard, { class: "plain" })), make("h1", {}, yard.name),
    make("p", { class: "say" }, "What is this visit?"), ...works,
    make("label", { class: "field" }, "What a frame of bees means to you", means));
}

async function begin(yard, work) {
  const means = document.getElementById("means").value;
  open = { yard: yard.id, work, means, taps: {}, tag: null, done: [], day: moment().slice(0, 10) };
  const today = moment().slice(0, 10);
  const before = (await all()).filter((one) => one.yard === yard.id && one.work === work && one.at.slice(0, 10) === today);
  open.done = [...new Set(before.map((one) => one.tag))];
  nextHive();
}

function nextHive() {
  const yard = yardOf(open.yard), rows = stands(yard);
  const from = rows.findIndex((one) => one.tag === open.tag);
  const order = [...rows.slice(from + 1), ...rows.slice(0, from + 1)];
  const next = order.find((one) => !open.done.includes(one.tag));
  if (!next) return allDone(yard);
  hive(next.tag);
}

function allDone(yard) {
  open.tag = null; open.taps = {}; keep("open", open);
  const rows = stands(yard);
  show(make("p", { class: "crumb" }, button("Yards", chooseYard, { class: "plain" })),
    make("p", { class: "say" }, rows.length ? `All ${rows.length} hives of ${yard.name} are entered.` : `No hives are listed in ${yard.name} yet.`),
    rows.length ? null : make("p", {}, "Type the tag of the first one, as it stands on its lid."), ...otherHive(yard));
}

/* Any hive by its tag, from the list, typed, or read off a photo of its code. */
function otherHive(yard) {
  const typed = make("input", { type: "text", maxlength: 40, autocomplete: "off", autocapitalize: "characters", id: "tag" });
  const go = () => { const tag = typed.value.trim(); if (tag) chosen(yard, tag); };
  const photo = make("input", { type: "file", accept: "image/*", capture: "environment", class: "unseen", id: "photo", onchange: () => scan(yard, photo) });
  return [
    make("div", { class: "tags" }, ...yard.hives.map((one) => button(one.tag, () => chosen(yard, one.tag), { class: open.done.includes(one.tag) ? "done" : "", "aria-label": `${one.tag}${open.done.includes(one.tag) ? ", entered" : ""}` }))),
    make("label", { class: "field", for: "tag" }, "Another tag"), make("div", { class: "row" }, typed, button("Go", go)),
    make("label", { class: "button wide", for: "photo" }, "Photograph its code"), photo,
  ];
}

function chosen(yard, tag) {
  const known = yard.hives.find((one) => one.tag.toLowerCase() === tag.toLowerCase());
  if (!known) {
    return show(make("p", { class: "say" }, `No hive ${tag} is listed in ${yard.name}.`),
      button(`It is a new hive`, () => { open.fresh = true; hive(tag); }, { class: "wide" }),
      button("I misread it", () => pick(yard), { class: "wide" }));
  }
  if (known.standing !== "stands") {
    told(`${known.tag} is written down as ${known.standing}${known.into ? ` into ${known.into}` : ""}. Enter it all the same: somebody will look at it.`);
  }
  hive(known.tag);
}
function pick(yard) {
  show(make("p", { class: "crumb" }, button("Back", () => (open.tag ? hive(open.tag, true) : nextHive()), { class: "plain" })), make("h1", {}, "Which hive?"), ...otherHive(yard));
}

async function hive(tag, keepTaps = false) {
  ofToday();
  if (!keepTaps) { open.taps = {}; open.spoken = ""; open.mends = null; }
  open.tag = tag;
  const yard = yardOf(open.yard), today = moment().slice(0, 10);
  const before = (await all()).filter((one) => one.yard === open.yard && one.work === open.work && one.tag === tag && one.at.slice(0, 10) === today && one.state !== "refused").sort((a, b) => (a.id < b.id ? 1 : -1))[0];
  if (before && !keepTaps) { open.taps = { ...before.taps }; open.spoken = before.spoken || ""; open.mends = before.id; open.fresh = false; }
  await keep("open", open);
  draw(yard, before);
}

function draw(yard, before) {
  const work = WORKS[open.work], rows = stands(yard), row = yard.hives.find((one) => one.tag === open.tag);
  const dead = open.taps.dead === true;
  const asks = work.asks.map((one) => ask(one, dead));
  const more = make("details", { open: work.more.some((one) => one.key in open.taps) || Boolean(open.spoken) }, make("summary", {}, "More"), ...work.more.map((one) => ask(one, dead)), note(yard));
  show(
    make("p", { class: "head" }, make("b", {}, `${yard.name}, ${work.name.toLowerCase()}`), make("span", {}, `${Math.min(open.done.filter((one) => rows.some((r) => r.tag === one)).length + (before ? 0 : 1), rows.length)} of ${rows.length}`)),
    make("div", { class: "tag" }, make("h1", {}, open.tag), make("span", {}, row ? row.place : "new hive"), button("Other", () => pick(yard), { class: "plain", "aria-label": "Another hive" })),
    before ? make("p", { class: "give" }, `Entered at ${before.at.slice(11, 16)}. What you change takes its place.`) : null,
    ...asks, more,
    make("div", { class: "row go" }, button("Back", back, { class: "back" }), button(before ? "Keep the change" : "Next hive", next, { class: "next" })));
}

function ask(one, dead) {
  const body = one.frames ? pad(one.key) : one.put ? put() : choices(one);
  if (dead && one.key !== "frames") body.querySelectorAll("button, input").forEach((each) => { each.disabled = true; });
  return make("fieldset", { "data-of": one.key }, make("legend", {}, one.label, one.frames ? make("output", { class: "value" }, dead && one.key === "frames" ? "dead" : framesWords(open.taps[one.key])) : ""), body);
}

/* A visit is of one day: what was open on another is begun anew, and mends nothing of that day. */
function ofToday() {
  const day = moment().slice(0, 10);
  if (open && open.day !== day) open = { ...open, day, tag: null, taps: {}, spoken: "", mends: null, done: [], fresh: false };
}

const pressed = (on) => ({ "aria-pressed": on ? "true" : "false" });
function tap(key, value) {
  if (open.taps[key] === value) delete open.taps[key]; else open.taps[key] = value;
  redraw();
}
function redraw() {
  const kept = keep("open", open);  // what is shown as tapped lies on the phone already
  const at = document.activeElement, of = at && at.closest("fieldset") ? at.closest("fieldset").dataset.of : null;
  const text = at ? at.textContent : "", y = window.scrollY;
  const now = open.mends ? { at: open.mendsAt || "" } : null;
  kept.then(() => record(open.mends || "")).then((before) => {
    draw(yardOf(open.yard), before || (now && now.at ? now : null));
    window.scrollTo(0, y);
    const again = of && [...place.querySelectorAll(`fieldset[data-of="${of}"] button`)].find((one) => one.textContent === text);
    if (again) again.focus({ preventScroll: true });
  });
}

function choices(one) {
  return make("div", { class: `choices n${one.options.length}` }, ...one.options.map(([value, words]) => button(words, () => tap(one.key, value), pressed(open.taps[one.key] === value))));
}
function put() {
  const grams = yards.pieces;
  return make("div", { class: `choices n${grams.length}` }, ...grams.map(([value, words]) => button(words, () => tap("put", value), pressed(open.taps.put === value))));
}

/* Whole frames at one tap, a half at a second: 7, ½. Ten and more: 10+, 4. */
function pad(key) {
  const at = () => open.taps[key] ?? 0;  // when it is tapped, for the next tap may come before the page is drawn anew
  const now = open.taps[key], ten = (now ?? 0) >= 10, whole = Math.floor(now ?? -1), half = (now ?? 0) % 1 === 0.5;
  const set = (value) => { open.taps.dead = key === "frames" ? undefined : open.taps.dead; open.taps[key] = value; redraw(); };
  const digit = (n) => button(String(n), () => { const was = at(); set(was >= 10 && was % 10 === 0 ? was + n : n); }, pressed(now !== undefined && whole % 10 === n && !(ten && n === 0)));
  const keys = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9].map(digit);
  keys.push(button("10+", () => { const was = at(); set(was >= 10 ? 10 * (Math.floor(was / 10) + 1) : 10); }, pressed(ten)));
  keys.push(button("½", () => { const was = at(); set(was % 1 === 0.5 ? Math.floor(was) : Math.floor(was) + 0.5); }, pressed(half)));
  keys.push(button("Clear", () => { delete open.taps[key]; delete open.taps.dead; redraw(); }, { class: "words" }));
  if (key === "frames") keys.push(button("Dead", () => { delete open.taps[key]; open.taps.dead = !open.taps.dead; redraw(); }, { ...pressed(open.taps.dead === true), class: "words" }));
  return make("div", { class: "pad" }, ...keys);
}

function note(yard) {
  const line = make("input", { type: "text", maxlength: 300, id: "line", value: open.spoken || "", placeholder: "six and a half, half left, ok" });
  const hear = () => {
    open.spoken = line.value.trim();
    const { found, rest } = spoken(open.spoken, yard.hives.map((one) => one.tag));
    if (found.tag && found.tag !== open.tag) return told(`You said ${found.tag}, and this is ${open.tag}.`, button(`Go to ${found.tag}`, () => { const was = open.spoken; hive(found.tag).then(() => { open.spoken = was; redraw(); }); }));
    for (const key of ["frames", "left", "queen"]) if (found[key] !== undefined) open.taps[key] = found[key];
    if (found.maggots !== undefined) open.taps.maggots = String(found.maggots);
    if (found.dead) { delete open.taps.frames; open.taps.dead = true; }
    told(rest.length ? `Kept as a note: ${rest.join(", ")}. The rest is tapped above.` : "");
    redraw();
  };
  line.addEventListener("change", hear);
  line.addEventListener("input", () => { open.spoken = line.value; keep("open", open); });
  return make("label", { class: "field" }, "Say or type a line", line);
}

/* ---- entering */
let busy = false;  // a glove that bounces is one tap
async function next() {
  if (busy) return;
  busy = true;
  try { await nextOnce(); } catch { told("Not kept: the phone did not let it be written down. Try again, or send what waits."); } finally { busy = false; }
}
async function nextOnce() {
  const taps = { ...open.taps };
  for (const key of Object.keys(taps)) if (taps[key] === undefined) delete taps[key];
  if (!Object.keys(taps).length && !open.spoken) { told("Nothing is tapped yet."); return; }
  const dead = taps.dead === true;
  const seen = dead ? {} : seenOf(taps, open.means);
  const before = open.mends ? await record(open.mends) : null;
  let mends = open.mends || null;
  if (before && JSON.stringify(before.taps) === JSON.stringify(taps) && (before.spoken || "") === (open.spoken || "")) { open.done = [...new Set([...open.done, open.tag])]; return nextHive(); }
  if (before && await takeBack(before.id)) mends = before.mends || null;
  const one = { id: newKey(), work: open.work, yard: open.yard, tag: open.tag, at: moment(), seen, spoken: open.spoken || "", taps, by: "" };
  if (dead) one.standing = "dead";
  if (mends) one.mends = mends;
  if (open.fresh) one.new = true;
  const row = yardOf(open.yard).hives.find((each) => each.tag === open.tag);
  if (!row) yardOf(open.yard).hives.push({ tag: open.tag, place: "", standing: "stands" });
  last = one.id; open.done = [...new Set([...open.done, open.tag])]; open.fresh = false;
  const was = open.tag;
  await enter(one, { ...open, taps: {}, spoken: "", mends: null });
  if (!row) keep("yards", yards);
  told(`${was} is kept.`, button("Undo", undo, { class: "plain" }));
  nextHive(); status(); go();
}

async function undo() {
  const one = last && await record(last);
  if (!one) return;
  last = null; told("");
  open.done = open.done.filter((tag) => tag !== one.tag);
  if (await takeBack(one.id)) { open.tag = one.tag; open.taps = { ...one.taps }; open.spoken = one.spoken; open.mends = one.mends || null; await keep("open", open); draw(yardOf(open.yard), null); } else hive(one.tag);
  status();
}
function back() {
  const rows = stands(yardOf(open.yard)), at = rows.findIndex((one) => one.tag === open.tag);
  told("");
  if (at > 0) hive(rows[at - 1].tag); else chooseWork(yardOf(open.yard));
}

/* ---- scanning a code on a photo: works on plain http too */
async function scan(yard, input) {
  const file = input.files && input.files[0];
  input.value = "";
  if (!file) return;
  told("Reading the photo …");
  const text = await codeOf(file);
  if (!text) return told("No code could be read. Nearer, and no shadow across it; or type the tag.");
  const plain = text.trim(), known = yard.hives.some((one) => one.tag.toLowerCase() === plain.toLowerCase());
  told(""); chosen(yard, known ? plain : plain.replace(/^.*[:/]/, "").trim());  // a tag may hold a stroke itself
}
async function codeOf(file) {
  const picture = await createImageBitmap(file).catch(() => null);
  if (!picture) return null;
  if (!window.jsQR) await new Promise((done) => document.head.append(make("script", { src: "/static/vendor/jsqr.js", onload: done, onerror: done })));
  for (const longest of [PHOTO, 800, 2400]) {
    const by = Math.min(1, longest / Math.max(picture.width, picture.height));
    const canvas = make("canvas", { width: Math.round(picture.width * by), height: Math.round(picture.height * by) });
    const pen = canvas.getContext("2d", { willReadFrequently: true });
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    const all = pen.getImageData(0, 0, canvas.width, canvas.height);
    const found = window.jsQR && window.jsQR(all.data, all.width, all.height);
    if (found) return found.data;
  }
  return null;
}

/* ---- what waits, and how old it is */
const since = (ms) => (ms < 3600000 ? `${Math.max(1, Math.round(ms / 60000))} min` : ms < 2 * 86400000 ? `${Math.round(ms / 3600000)} h` : `${Math.round(ms / 86400000)} days`);
async function status() {
  const wait = await waiting(), refused = await turnedBack();
  const hives = new Set(wait.map((one) => `${one.yard} ${one.work} ${one.tag}`)).size;
  const oldest = Math.min(...wait.map((one) => Date.parse(one.at)));
  const age = wait.length ? Date.now() - oldest : 0;
  const why = { "no signal": "no signal", trouble: "the laptop did not take them", elsewhere: "another tab sends them" }[net] || "";
  const words = wait.length
    ? [make("b", {}, `${hives} ${hives === 1 ? "hive" : "hives"} kept on this phone`), ` not sent yet${why ? `: ${why}` : ""}; the oldest ${since(age)} old`]
    : [make("b", {}, "Everything is in the book"), " on the laptop"];
  const more = [];
  if (wait.length) more.push(button("Send", () => go(true), { class: "plain" }));
  if (wait.length && (age > OLD || net === "trouble")) more.push(button("Save as file", save, { class: "plain" }));
  if (refused.length) more.push(button(`${refused.length} not taken: look`, showRefused, { class: "plain warn" }));
  foot.replaceChildren(make("p", {}, ...words), ...more);
  foot.dataset.waiting = wait.length;
  foot.classList.toggle("waits", wait.length > 0);
}
async function go(asked = false) {
  const before = net;
  net = await send();
  if (asked) told(net === "sent" ? "Sent." : net === "no signal" ? "No signal. It stays on this phone." : "Not taken yet. It stays on this phone.");
  if (net === "sent" && before !== "sent") fetchYards();
  status();
}
async function save() {
  const text = await batch(await waiting());
  const link = make("a", { href: URL.createObjectURL(new Blob([text], { type: "application/json" })), download: `breadline-field-${moment().slice(0, 10)}.json` });
  link.click();
  told("Saved. Bring the file to the laptop; what is in the book already is not added twice, so it may stay here too.");
}
async function showRefused() {
  const rows = await turnedBack();
  show(make("p", { class: "crumb" }, button("Back", () => (open ? nextHive() : chooseYard()), { class: "plain" })), make("h1", {}, "Not taken"),
    ...rows.map((one) => make("div", { class: "refused" }, make("p", {}, make("b", {}, one.tag), ` ${one.at.slice(0, 16).replace("T", " ")}: ${one.why}`), make("p", { class: "small" }, Object.entries(one.taps).map(([key, value]) => `${key} ${value}`).join(", ")),
      button("Forget it", async () => { await drop(one.id); status(); showRefused(); }, { class: "plain" }))));
}

/* ---- beginning */
async function fetchYards() {
  try {
    const came = await fetch("/field/yards.json", { cache: "no-store" });
    if (came.ok) { yards = await came.json(); await keep("yards", yards); return true; }
  } catch { /* no signal: those kept on the phone hold */ }
  return false;
}
async function offline() {
  const can = document.getElementById("can");
  if (!window.isSecureContext || !navigator.serviceWorker) {
    can.textContent = "This address is plain http: what you enter is kept on this phone, but the page itself cannot be opened again without reaching the laptop. Leave it open in the yard, or set up a certificate.";
    return;
  }
  try {
    await navigator.serviceWorker.register("/field/worker.js");
    await navigator.serviceWorker.ready;
    const stays = await askToStay();
    can.textContent = stays === false ? "Works without signal. The phone did not promise to keep it when its room runs short: send today’s visit today." : "Works without signal.";
    can.dataset.ready = "yes";
  } catch { can.textContent = "The phone did not let this page work without signal: leave it open in the yard."; }
}
async function start() {
  if (!await thing("phone")) await keep("phone", newKey());
  yards = await thing("yards");
  if (!await fetchYards() && !yards) yards = null;
  open = await thing("open") || null;
  ofToday();
  if (open && yards && yardOf(open.yard)) { if (open.tag) hive(open.tag, true); else nextHive(); } else chooseYard();
  place.dataset.ready = "yes";
  status(); go(); offline();
}
window.addEventListener("online", () => go());
document.addEventListener("visibilitychange", () => { if (!document.hidden) go(); });
setInterval(() => { if (Number(foot.dataset.waiting)) go(); else status(); }, EVERY);
start();
