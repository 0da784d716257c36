// Ticks at the kiln. Each is kept on the phone at once and sent when there is a network.
const sheet = document.getElementById("sheet");
const net = document.getElementById("net");
const out = document.getElementById("out");
const count = document.getElementById("done-count");
const boxes = [...sheet.querySelectorAll("input[data-key]")];
const place = `glost-ticks-${sheet.dataset.firing}`;
const known = JSON.parse(document.getElementById("ticks").textContent);

/** Ticks that the server has not acknowledged yet. */
function waiting() {
  try { return JSON.parse(localStorage.getItem(place)) ?? {}; } catch { return {}; }
}
function keep(ticks) { localStorage.setItem(place, JSON.stringify(ticks)); }

function show() {
  const mine = waiting();
  for (const box of boxes) {
    const tick = mine[box.dataset.key] ?? known[box.dataset.key];
    box.checked = Boolean(tick?.done);
  }
  const done = boxes.filter((b) => b.checked).length;
  count.textContent = `${done} of ${boxes.length} done`;
  const left = Object.keys(mine).length;
  const kept = left === 1 ? "1 tick is kept on this phone" : `${left} ticks are kept on this phone`;
  const then = out.hidden ? " and will be sent when there is a network." : ".";
  net.textContent = left === 0 ? "All ticks are kept by the studio." : kept + then;
}

let sending = false;
async function send() {
  const mine = waiting();
  if (sending || Object.keys(mine).length === 0) return;
  sending = true;
  let sent = false;
  try {
    const answer = await fetch(sheet.dataset.to, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(mine),
    });
    // Whoever is signed out is sent to the page where one signs in.
    out.hidden = !(answer.redirected || answer.status === 401);
    if (answer.redirected || !answer.ok) throw new Error(String(answer.status));
    Object.assign(known, await answer.json());
    // What was ticked while this was under way stays to be sent.
    const now = waiting();
    for (const [key, tick] of Object.entries(mine)) if (now[key]?.at === tick.at) delete now[key];
    keep(now);
    sent = true;
  } catch { /* Kept on the phone; tried again later. */ }
  sending = false;
  show();
  // Ticked meanwhile: not left for later, as the page may be.
  if (sent) send();
}

sheet.addEventListener("change", (e) => {
  const key = e.target.dataset?.key;
  if (!key) return;
  const mine = waiting();
  mine[key] = { done: e.target.checked, at: new Date().toISOString() };
  keep(mine);
  show();
  send();
});
addEventListener("online", send);
document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
setInterval(send, 15000);
show();
send();

if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/keeper.js").then(async () => {
    const ready = await navigator.serviceWorker.ready;
    ready.active?.postMessage({ keep: [location.pathname, "/asset/glost.css", "/asset/rooms.css", "/asset/rooms.js", "/asset/at-kiln.js"] });
    document.documentElement.dataset.kept = "yes";
  }).catch(() => { net.textContent += " Without HTTPS this page must stay open to work without a network."; });
}
