/* What the chosen plan gives at this yard now, and whom a check group leaves out; never shown at a grading. */
import { make } from "/static/field/parts.js";
import { locale, say } from "/static/field/say.js";
import { hiveOf } from "/static/field/tags.js";
import { framesWords } from "/static/field/works.js";

const NEAR = 5;  // days off its day at which a round is still this one
const days = (a, b) => Math.round((Date.parse(`${a}T00:00Z`) - Date.parse(`${b}T00:00Z`)) / 86400000);

/* The round of the plan that this day is of. */
export function roundOf(yard, day) {
  const near = (yard.rounds || []).filter((one) => Math.abs(days(one.on, day)) <= NEAR);
  return near.sort((a, b) => Math.abs(days(a.on, day)) - Math.abs(days(b.on, day)))[0];
}
const after = (yard, day) => (yard.rounds || []).find((one) => one.on > day);
const day = (on) => new Date(`${on}T12:00`).toLocaleDateString(locale, { day: "numeric", month: "short" });

const checkOf = (yard, hive, tag) => (yard.check || {})[hive?.tag ?? tag] ?? (yard.check || {})["*"];
const UNKNOWN = say("A check group runs here and this tag is in no list. Give nothing before you know which hive it is");
/* The pieces of the plan beside those of the country, so that what is given has a button. */
export function piecesOf(yard, on, usual) {
  const steps = roundOf(yard, on)?.steps.filter((one) => one.grams > 0) || [];
  const own = steps.filter((one) => !usual.some(([grams]) => Math.abs(Number(grams) - one.grams) < 3)).map((one) => [String(one.grams), one.piece]);
  return [...own, ...usual].slice(-6);
}

function between(steps, n) {
  const from = steps[n].from, to = steps[n + 1]?.from;
  if (!n) return say("under {frames} frames", { frames: framesWords(to) });
  return to === undefined ? say("{frames} and over", { frames: framesWords(from) }) : say("{first} to {last}", { first: framesWords(from), last: framesWords(to - 0.5) });
}
function piece(round, frames) {
  const { steps } = round;
  if (steps.length === 1) return say("Give {what}", { what: steps[0].gets });
  if (frames === undefined) return say("By frames: {pieces}", { pieces: steps.map((one) => (one.grams ? one.piece : say("none"))).join(" / ") });
  const n = steps.findLastIndex((one) => one.from <= frames);
  return steps[n].grams ? say("Give {what}", { what: steps[n].gets }) : say("Give nothing: {why}", { why: between(steps, n) });
}

/* What to do with feed at this hive, as a banner; nothing where there is no plan and no check group. */
export function banner(yard, open) {
  if (open.work !== "round" || open.taps.dead) return null;
  const hive = hiveOf(yard, open.tag), check = checkOf(yard, hive, open.tag), round = roundOf(yard, open.day);
  if (check) return make("p", { class: "given check" }, make("b", {}, say("Check group: {what}", { what: check })));
  if ((!hive || hive.fresh) && Object.keys(yard.check || {}).length) return make("p", { class: "given check" }, make("b", {}, UNKNOWN));
  if (!round) {
    const next = after(yard, open.day);
    return next ? make("p", { class: "given none" }, say("No round of the plan is due. The next one: {day}", { day: day(next.on) })) : null;
  }
  const says = (round.says || {})[open.tag] ?? piece(round, open.taps.frames ?? (round.joined || {})[open.tag]);
  const why = (round.why || {})[open.tag];
  if (why) return make("details", { class: "given" }, make("summary", {}, make("b", {}, says), make("span", {}, say("why"))), make("p", {}, say("Round {n}. {why}", { n: round.round, why })));
  return make("p", { class: "given" }, make("b", {}, says), make("span", {}, say("round {n}", { n: round.round })));
}
