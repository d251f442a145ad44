/* The worker brings in what the laptop has now, for the next opening; whether it could. */
const SOON = 5000, PATIENCE = 60000;  // ms

export async function newer() {
  const at = await navigator.serviceWorker?.getRegistration("/field/");
  if (!at?.active) return true;  // nothing is kept here: each opening brings what there is
  const { port1, port2 } = new MessageChannel();
  const became = new Promise((done) => {
    let late = setTimeout(done, SOON, "silent");
    port1.onmessage = ({ data }) => {
      clearTimeout(late);
      if (data === "heard") late = setTimeout(done, PATIENCE, "late"); else done(data);
    };
  });
  at.active.postMessage("newer", [port2]);
  return await became === "came";
}
