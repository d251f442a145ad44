/* Whether the page opens again where there is no signal, and what it says of that. */
import { askToStay } from "/static/field/kept.js";
import { newer } from "/static/field/newer.js";
import { say } from "/static/field/say.js";

export async function offline() {
  const can = document.getElementById("can");
  if (!window.isSecureContext || !navigator.serviceWorker) {
    can.textContent = say("This address is plain http: what you enter is kept on this phone, but the page itself cannot be opened again without reaching the laptop. Leave it open in the yard, or set up a certificate.");
    return;
  }
  try {
    await inCharge(await navigator.serviceWorker.register("/field/worker.js"));
    if (!await caches.match("/field/whole") && !await newer()) throw new Error("parts");
    const stays = await askToStay();
    can.textContent = stays === false ? say("Works without signal. The phone did not promise to keep it when its room runs short: send today’s visit today.") : say("Works without signal.");
    can.dataset.ready = "yes";
    newer();  // a newer program is there at the next opening
  } catch { can.textContent = say("The phone did not let this page work without signal: leave it open in the yard."); }
}

/* The first worker has every part, or there is none. */
function inCharge({ active, installing, waiting }) {
  const coming = installing ?? waiting;
  if (active) return active;
  return new Promise((done, not) => {
    coming.addEventListener("statechange", () => { if (coming.state === "activated") done(); else if (coming.state === "redundant") not(new Error(coming.state)); });
  });
}
