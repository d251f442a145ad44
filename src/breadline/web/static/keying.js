/* Enter goes to the next cell, as Tab does; arrows go up and down; what is typed outlives a lost answer. */
const form = document.querySelector("form[data-keying]");
const told = document.querySelector(".told"), KEY = "breadline-keying ";

const cells = () => [...form.querySelectorAll("input[type=text]")];
function step(at, by) {
  const all = cells(), next = all[all.indexOf(at) + by];
  if (next) { next.focus(); next.select(); }
  return Boolean(next);
}
function below(at, by) {
  const [key, n] = at.name.split("-"), next = form.elements.namedItem(`${key}-${Number(n) + by}`);
  if (next && next.focus) { next.focus(); next.select(); return true; }
  return false;
}
function pressed(event) {
  const at = event.target;
  if (!(at instanceof HTMLInputElement) || at.type !== "text") return;
  if (event.key === "Enter" && (event.shiftKey ? step(at, -1) : step(at, 1))) event.preventDefault();
  if (event.key === "ArrowDown" && below(at, 1)) event.preventDefault();
  if (event.key === "ArrowUp" && below(at, -1)) event.preventDefault();
}

const typed = () => [...new FormData(form)].filter(([name]) => !/^(form|work)$/.test(name));
const blank = (all) => !all.some(([name, value]) => value && /^(frames|left|put|maggots|queen|bread|brood|honey|mites|weight|note)-/.test(name));
const store = () => KEY + form.dataset.keying;
const first = () => form.querySelector("[aria-invalid=true]") || document.getElementById("on");

function keep() {
  const all = typed();
  if (!blank(all)) localStorage.setItem(store(), JSON.stringify({ form: form.elements.form.value, all, at: Date.now() }));
}
/* Rows are matched by their tag, for the list may have changed since; a hive that is listed no more gets a
   free row; what finds none is returned. The key comes back too, so that what was written down before its
   answer was lost is not written again. */
function bringBack({ all, form: key }) {
  const values = Object.fromEntries(all), listed = {}, spare = [], now = {}, left = [];
  for (const one of form.querySelectorAll("input[name^=tag-]")) {
    if (one.value) listed[one.value] = one.name.slice(4); else spare.push(one.name.slice(4));
  }
  const has = (n) => !blank(all.filter(([name]) => name.endsWith(`-${n}`)));
  for (const n of new Set(all.map(([name]) => name.split("-")[1]))) {
    const tag = values[`tag-${n}`];
    if (tag in listed) now[n] = listed[tag];
    else if (n !== undefined && has(n)) {
      if (spare.length) now[n] = spare.shift(); else left.push(tag || "?");
    }
  }
  for (const [name, value] of all) {
    const [column, n] = name.split("-");
    if (n !== undefined && !(n in now)) continue;  // nothing was typed there, or it has no row
    const at = form.elements.namedItem(n === undefined ? name : `${column}-${now[n]}`);
    if (at && at.type !== "hidden" && at.type !== "checkbox") at.value = value;
    if (at && at.type === "checkbox") at.checked = true;
  }
  form.elements.form.value = key;
  return left;
}
/* What the page brought along in its language, with its field filled in. */
const say = (key, field = "") => form.dataset[key].replace("…", () => field);
function offer() {
  const kept = JSON.parse(localStorage.getItem(store()) || "null");
  if (!kept || kept.form === form.elements.form.value) return;
  const line = document.createElement("p"), take = document.createElement("button"), drop = document.createElement("button");
  const when = new Date(kept.at).toLocaleString(document.documentElement.lang || [], { dateStyle: "medium", timeStyle: "short" });
  line.className = "told";
  line.append(say("offer", when), " ", take, " ", drop);
  take.type = drop.type = "button"; take.textContent = say("take"); drop.textContent = say("drop");
  take.addEventListener("click", () => {
    const left = bringBack(kept);
    line.remove(); keep(); first()?.focus();
    if (left.length) { line.textContent = say("left", left.join(", ")); form.before(line); }
  });
  drop.addEventListener("click", () => { localStorage.removeItem(store()); line.remove(); });
  form.before(line);
}

if (form) {
  if (told) localStorage.removeItem(store());
  form.addEventListener("keydown", pressed);
  form.addEventListener("input", keep);
  offer();
  first()?.focus(); first()?.select();
  form.dataset.ready = "yes";
}
