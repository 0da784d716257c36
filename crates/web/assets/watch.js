// Follows a firing: the server sends what is known, drawn and in words. Without script the page is looked at again by its link.
const part = document.getElementById("watch-now");
const lost = document.getElementById("watch-lost");
const source = new EventSource(part.dataset.events);
source.onmessage = (message) => {
  lost.hidden = true;
  const told = JSON.parse(message.data);
  // A person may be reading a table that was moved to the side, or have a fold open.
  const open = [...part.querySelectorAll("details")].map((d) => d.open);
  part.innerHTML = told.html;
  part.querySelectorAll("details").forEach((d, i) => { d.open = open[i] ?? d.open; });
  if (told.over) {
    source.close();
  }
};
source.onerror = () => { lost.hidden = false; };
