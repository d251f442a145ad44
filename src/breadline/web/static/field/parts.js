/* The parts of the phone pages: elements, buttons that tell when nothing could be kept, and the line on top. */
import { say } from "/static/field/say.js";
const BOUNCE = 250;  // ms; a glove that bounces is one tap
const line = document.getElementById("said");

export function make(kind, told = {}, ...inside) {
  const one = document.createElement(kind);
  for (const [key, value] of Object.entries(told)) {
    if (key.startsWith("on")) one.addEventListener(key.slice(2), safely(value));
    else if (value === true) one.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) one.setAttribute(key, value);
  }
  one.append(...inside.filter((part) => part !== null && part !== undefined && part !== ""));
  return one;
}
export const button = (text, press, told = {}) => make("button", { type: "button", onclick: press, ...told }, text);
export const crumb = (text, press) => make("p", { class: "crumb" }, button(text, press, { class: "plain" }));
export const pressed = (on) => ({ "aria-pressed": on ? "true" : "false" });

export function told(text, ...more) {
  line.replaceChildren(...[text, ...more].filter(Boolean));
  line.hidden = !text;
  line.className = !more.filter(Boolean).length && String(text).length < 30 ? "brief" : "";
}
/* The phone keeps nothing: said wherever something was to be kept, and as long as it is so. */
export function shut(why) {
  console.warn(why);
  told(say("Not kept: this phone lets nothing be written down now. Do not rely on it: send what waits, make room or leave the private window, then open the page again; until then use paper."));
  line.className = "alarm";
  document.documentElement.dataset.shut = "yes";
}
export const safely = (work) => async (...given) => {
  try {
    return await work(...given);
  } catch (why) {
    if (!(why instanceof DOMException)) reportError(why);  // no fault of the store: of this page
    return shut(why);
  }
};

let before = { of: "", at: 0 };
export function bounced(of, at = performance.now()) {
  const again = before.of === of && at - before.at < BOUNCE;
  before = { of, at };
  return again;
}

const place = document.getElementById("field");
export function show(...parts) { place.replaceChildren(...parts.filter(Boolean)); window.scrollTo(0, 0); }
