// Draws the kiln anew while its numbers are typed: the server draws, this only asks and puts the answer in its place.
const panel = document.getElementById("sketch");
const form = panel?.parentElement.querySelector("form[data-draw]");
const drawing = document.getElementById("sketch-drawing");
const say = document.getElementById("sketch-say");
const DELAY = 400;
let waiting = 0;
let asked = null;

// The fault of one field, told beside it as the server's pages tell it.
function tell(id, words) {
  const field = document.getElementById(id);
  if (!field) return;
  const told = document.getElementById(`${id}-fault`) ?? document.createElement("p");
  told.id = `${id}-fault`;
  told.className = "fault live";
  const mend = document.createElement("strong");
  mend.textContent = "Mend: ";
  const line = document.createElement("span");
  line.append(mend, words);
  told.replaceChildren(line);
  field.closest(".field")?.append(told);
  field.setAttribute("aria-invalid", "true");
  const ids = new Set((field.getAttribute("aria-describedby") ?? "").split(" ").filter(Boolean));
  field.setAttribute("aria-describedby", [...ids.add(told.id)].join(" "));
}

function mended() {
  for (const told of form.querySelectorAll(".fault")) {
    const field = document.getElementById(told.id.replace(/-fault$/, ""));
    // What the page said of a field that is still empty stays true.
    if (!told.classList.contains("live") && !field?.value?.trim()) continue;
    const ids = (field?.getAttribute("aria-describedby") ?? "").split(" ").filter((id) => id && id !== told.id);
    if (ids.length > 0) field?.setAttribute("aria-describedby", ids.join(" "));
    else field?.removeAttribute("aria-describedby");
    field?.removeAttribute("aria-invalid");
    told.remove();
  }
}

async function draw() {
  asked?.abort();
  asked = new AbortController();
  try {
    const answer = await fetch(form.dataset.draw, {
      method: "POST",
      body: new URLSearchParams(new FormData(form)),
      headers: { accept: "application/json" },
      signal: asked.signal,
    });
    if (!answer.ok) throw new Error(String(answer.status));
    const now = await answer.json();
    mended();
    for (const fault of now.faults) tell(fault.field, fault.words);
    if (now.drawing) drawing.innerHTML = now.drawing;
    if (now.drawing || !drawing.querySelector("svg")) delete panel.dataset.stale;
    else panel.dataset.stale = "yes";
    if (say.textContent !== now.say) say.textContent = now.say;
  } catch (e) {
    if (e.name === "AbortError") return;
    panel.dataset.stale = "yes";
    say.textContent = "Out of date: the studio's program does not answer. What you typed is still here.";
  }
}

if (form) {
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(draw, DELAY);
  });
}
