/* The worker brings in what the laptop has now, for the next opening; whether it could. */
const PATIENCE = 60000;  // ms

export async function newer() {
  const at = await navigator.serviceWorker?.getRegistration("/field/");
  if (!at?.active) return true;  // nothing is kept here: each opening brings what there is
  const { port1, port2 } = new MessageChannel();
  const told = new Promise((done) => { port1.onmessage = ({ data }) => done(data); setTimeout(done, PATIENCE, false); });
  at.active.postMessage("newer", [port2]);
  return told;
}
