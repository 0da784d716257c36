// Follows a plan being made; without script the page can be looked at again by its link.
const part = document.getElementById("progress");
const words = document.getElementById("progress-words");
const bar = document.getElementById("progress-bar");
const worth = document.getElementById("progress-worth");
const load = document.getElementById("progress-load");
const source = new EventSource(part.dataset.events);
let told = "";
/** A tier of the load so far, as the server draws it. */
function tier(drawn) {
  const figure = document.createElement("figure");
  const caption = document.createElement("figcaption");
  caption.textContent = drawn.words;
  const svg = new DOMParser().parseFromString(drawn.svg, "image/svg+xml").documentElement;
  figure.append(document.importNode(svg, true), caption);
  return figure;
}

source.onmessage = (message) => {
  const p = JSON.parse(message.data);
  bar.value = p.share;
  if (p.over) {
    source.close();
    if (p.trouble) {
      words.textContent = (part.dataset.failed ?? "There is no plan") + ": " + p.trouble;
      bar.remove();
      return;
    }
    words.textContent = "Done.";
    location.reload();
    return;
  }
  // Said aloud at each tenth only.
  const say = `${p.phase}: ${Math.floor(p.share * 10) * 10} %`;
  if (say !== told) {
    told = say;
    words.textContent = say;
  }
  if (worth && worth.textContent !== p.worth) worth.textContent = p.worth;
  if (load && p.tiers) load.replaceChildren(...p.tiers.map(tier));
};
