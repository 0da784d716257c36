// Small life for the studio's pages. Everything works without it.
const faults = document.querySelector(".faults");
if (faults) faults.focus();

// Copies what stands in a field. Without a safe connection browsers give no clipboard; the old way still does.
for (const button of document.querySelectorAll("[data-copy]")) {
  const field = document.getElementById(button.dataset.copy);
  const said = button.parentElement.querySelector(".copied");
  button.hidden = false;
  button.addEventListener("click", async () => {
    field.select();
    let done = false;
    try {
      await navigator.clipboard.writeText(field.value);
      done = true;
    } catch {
      done = document.execCommand("copy");
    }
    said.textContent = done ? "Copied." : "It is marked: copy it by hand.";
  });
}

// A new studio is most likely where its browser is.
const zone = document.getElementById("f-time-zone");
if (zone && !zone.value && location.pathname === "/set-up") zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";
