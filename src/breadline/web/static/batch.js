/* Keeps the ticks and weights of a batch sheet on this device, by the number of the batch. */
"use strict";
(() => {
  const sheet = document.querySelector(".sheet.batch[data-batch]");
  if (!sheet) return;
  const fields = [...sheet.querySelectorAll("input")];
  const ticked = fields.filter((one) => one.type === "checkbox");
  const mark = "breadline batch ";
  const key = mark + sheet.dataset.batch;
  const rows = [...sheet.querySelectorAll(".batch-lines tr, .step-line")];
  const about = rows.map((row) => row.textContent.replace(/\s+/g, " ").trim()).join("\n");
  const now = () => fields.map((one) => (one.type === "checkbox" ? one.checked : one.value));
  const show = (values) => fields.forEach((one, n) => {
    if (one.type === "checkbox") one.checked = values[n] === true;
    else one.value = typeof values[n] === "string" ? values[n] : "";
  });
  const clear = document.getElementById("ticks-clear");
  const offer = () => { clear.hidden = !ticked.some((one) => one.checked); };
  const keep = () => {
    try {
      localStorage.setItem(key, JSON.stringify({ about, at: Date.now(), values: now() }));
      forget();
    } catch { /* no room, or not allowed: the ticks are still on the page */ }
    offer();
  };
  const forget = () => {  // a device does not gather sheets for ever
    const kept = Object.keys(localStorage).filter((one) => one.startsWith(mark));
    const age = (one) => JSON.parse(localStorage.getItem(one)).at || 0;
    kept.sort((a, b) => age(b) - age(a)).slice(30).forEach((one) => localStorage.removeItem(one));
  };
  try {
    const kept = JSON.parse(localStorage.getItem(key) || "null");
    if (kept && kept.about === about && kept.values.length === fields.length) show(kept.values);
    const told = document.getElementById("ticks-kept");
    told.textContent = told.dataset.kept;
  } catch { return; }
  sheet.addEventListener("change", keep);
  sheet.addEventListener("input", keep);
  clear.addEventListener("click", () => { show(fields.map(() => "")); keep(); });
  offer();
})();
