// Follows a plan being made; without script the page can be looked at again by its link.
const part = document.getElementById("progress");
const words = document.getElementById("progress-words");
const bar = document.getElementById("progress-bar");
const source = new EventSource(part.dataset.events);
let told = "";
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
    words.textContent = p.value > 0 ? `${say}, value so far ${p.value.toFixed(0)}` : say;
  }
};
