/* What is asked of the hive in hand, as things to tap; a number of frames takes one tap, from ten on two. */
import { piecesOf } from "/static/field/given.js";
import { bounced, button, make, pressed } from "/static/field/parts.js";
import { say } from "/static/field/say.js";
import { framesWords } from "/static/field/works.js";

const UNITS = [0, 1, 2, 3, 4, 0.5, 1.5, 2.5, 3.5, 4.5, 5, 6, 7, 8, 9, 5.5, 6.5, 7.5, 8.5, 9.5];  // as they lie on the pad

const UNIT_WORDS = { "mites/100 bees": say("mites in 100 bees") };

/* One thing asked. ``desk`` has the taps of the hive in hand, the yard, and what to do after a tap. */
export function asked(one, desk) {
  const { taps } = desk.open, dead = taps.dead === true;
  const body = { frames: pad, put, choices, number }[one.way](one, desk);
  if (dead && one.key !== "frames") body.querySelectorAll("button, input").forEach((each) => { each.disabled = true; });
  const value = one.way === "frames" ? (dead && one.key === "frames" ? say("dead") : framesWords(taps[one.key])) : null;
  return make("fieldset", { "data-of": one.key }, make("legend", {}, one.label, value === null ? "" : make("output", { class: "value" }, value)), body);
}

function tap(one, value, { open, tapped }) {
  if (bounced(`${open.tag} ${one.key} ${value}`)) return undefined;
  if (open.taps[one.key] === value) delete open.taps[one.key]; else open.taps[one.key] = value;
  return tapped();
}
function choices(one, desk, options = one.options) {
  return make("div", { class: `choices n${options.length}` }, ...options.map(([value, words]) => button(words, () => tap(one, value, desk), pressed(desk.open.taps[one.key] === value))));
}
const put = (one, desk) => choices(one, desk, piecesOf(desk.yard, desk.open.day, desk.pieces));

/* 7½ is one key; 17½ is 10+ and 7½, in either order. The same key once more takes it off. */
function pad(one, { open, tapped }) {
  const { key } = one, { taps } = open;
  const tens = (value) => (value === undefined ? 0 : 10 * Math.floor(value / 10));
  const set = (value) => {
    if (key === "frames") delete taps.dead;
    if (value === undefined) delete taps[key]; else taps[key] = value;
    return tapped();
  };
  const unit = (n) => button(framesWords(n), () => {  // what stands there is looked up when it is tapped: the page may not be drawn anew yet
    if (bounced(`${open.tag} ${key} ${n}`)) return undefined;
    const now = taps[key], ten = tens(now);
    return set(now !== ten + n ? ten + n : ten || undefined);
  }, { ...pressed(taps[key] !== undefined && taps[key] - tens(taps[key]) === n && (n > 0 || taps[key] === 0)), class: n % 1 ? "half" : "" });
  const ten = (n) => button(`${n}+`, () => {
    if (bounced(`${open.tag} ${key} ${n}+`)) return undefined;
    const now = taps[key], rest = now === undefined ? 0 : now - tens(now);
    return set(tens(now) !== n ? n + rest : rest || undefined);
  }, pressed(taps[key] !== undefined && tens(taps[key]) === n));
  const keys = [...UNITS.map(unit), ...[10, 20, 30].map(ten), button(say("Clear"), () => { bounced(`${key} clear`); delete taps.dead; return set(undefined); }, { class: "words" })];
  if (key === "frames") {
    keys.push(button(say("Dead"), () => {
      if (bounced(`${open.tag} dead`)) return undefined;
      const dead = !taps.dead;
      delete taps.frames;
      if (dead) taps.dead = true; else delete taps.dead;
      return tapped();
    }, { ...pressed(taps.dead === true), class: "words" }));
  }
  return make("div", { class: "pad" }, ...keys);
}

/* A number that is typed, with its unit beside it. What is no number stays as it was typed until it is mended;
   it is told beside the field, where that moves nothing from under a finger. */
function number(one, { open, weight, keep }) {
  const unit = one.unit === "kg" ? weight.unit : UNIT_WORDS[one.unit] ?? one.unit;
  const most = one.unit === "kg" ? Math.round(one.most / weight.kg) : one.most;
  const line = make("input", { type: "text", inputmode: "decimal", maxlength: 7, id: one.key, value: open.typed?.[one.key] ?? open.taps[one.key] ?? "", autocomplete: "off", "aria-label": `${one.label}, ${unit}` });
  const says = make("span", { "aria-live": "polite" });
  const read = () => {
    const typed = line.value.trim().replace(",", "."), value = Number(typed);
    const good = typed !== "" && Number.isFinite(value) && value >= 0 && value <= most;
    if (good) open.taps[one.key] = value; else delete open.taps[one.key];
    const wrong = typed !== "" && !good;
    open.typed = { ...open.typed, [one.key]: line.value };
    if (!wrong) delete open.typed[one.key];
    line.toggleAttribute("aria-invalid", wrong);
    says.textContent = wrong ? say("{unit}: not taken. A number from 0 to {most}, as 2.5", { unit, most }) : unit;
  };
  read();
  line.addEventListener("input", () => { read(); keep(); });
  return make("div", { class: "typed" }, line, says);
}
