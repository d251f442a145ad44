/* Which hive: any of the list, one that is typed, or one read off a photo of its code. */
import { button, crumb, make, show, told } from "/static/field/parts.js";
import { say } from "/static/field/say.js";
import { codeOf } from "/static/field/scan.js";
import { at } from "/static/field/steps.js";
import { hiveOf } from "/static/field/tags.js";

let ways = {};
const STANDING = { dead: say("dead"), merged: say("merged"), sold: say("sold"), moved: say("moved") };

/* ``given`` are the ways of the page: its yard, the visit that is open, and to go to a hive. */
export function which(given) { ways = given; }

/* Any hive by its tag, from the list, typed, or read off a photo of its code. */
export function otherHive(yard) {
  const typed = make("input", { type: "text", maxlength: 40, autocomplete: "off", autocapitalize: "characters", id: "tag" });
  const go = () => { const tag = typed.value.trim(); return tag ? chosen(tag) : undefined; };
  typed.addEventListener("keydown", (event) => { if (event.keyCode === 13) { event.preventDefault(); go(); } });
  const photo = make("input", { type: "file", accept: "image/*", capture: "environment", class: "unseen", id: "photo", onchange: () => scan(photo) });
  const tags = [...new Set([...yard.hives.map((one) => one.tag), ...ways.left()])];
  const kind = (tag) => (ways.open().done.includes(tag) ? "done" : ways.left().includes(tag) ? "left" : "");
  const word = { done: say(", entered"), left: say(", tapped and not entered"), "": "" };
  return [
    make("div", { class: "tags" }, ...tags.map((tag) => button(tag, () => chosen(tag), { class: kind(tag), "aria-label": `${tag}${word[kind(tag)]}` }))),
    make("label", { class: "field", for: "tag" }, say("Another tag")), make("div", { class: "row" }, typed, button(say("Go"), go)),
    make("label", { class: "button wide", for: "photo" }, say("Photograph its code")), photo,
  ];
}

export function chosen(tag) {
  const yard = ways.here(), known = hiveOf(yard, tag);
  if (!known && ways.draft(tag)) return ways.hive(tag);
  if (!known) {
    at(picking());
    return show(make("h1", { class: "say" }, say("No hive {tag} is listed in {name}.", { tag, name: yard.name })),
      button(say("It is a new hive"), () => ways.hive(tag, { taps: {}, fresh: true }), { class: "wide" }),
      button(say("I misread it"), pick, { class: "wide" }));
  }
  if (known.standing !== "stands") {
    told(say("{tag} is written down as {standing}{into}. Enter it all the same: somebody will look at it.", { tag: known.tag, standing: STANDING[known.standing], into: known.into ? say(" into {hive}", { hive: known.into }) : "" }));
  } else if (known.tag.toLowerCase() !== tag.toLowerCase()) told(say("{tag} is {tag2} in the list.", { tag, tag2: known.tag }));
  return ways.hive(known.tag);
}
const picking = () => { const { yard, work, means } = ways.open(); return { is: "pick", yard, work, means }; };
export async function pick() {
  await ways.hold(); at(picking());
  show(crumb(say("Back"), () => (ways.open().tag ? ways.hive(ways.open().tag) : ways.nextHive())), make("h1", {}, say("Which hive?")), ...otherHive(ways.here()),
    button(say("Another yard or visit"), ways.yards, { class: "wide" }));
}
async function scan(input) {
  const file = input.files && input.files[0];
  input.value = "";
  if (!file) return undefined;
  told(say("Reading the photo …"));
  const text = await codeOf(file);
  if (!text) return told(say("No code could be read. Nearer, and no shadow across it; or type the tag."));
  const plain = text.trim(), known = hiveOf(ways.here(), plain);
  told(""); return chosen(known ? plain : plain.replace(/^.*[:/]/, "").trim());  // a tag may hold a stroke itself
}
