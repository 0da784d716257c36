// Moves the picture of the kiln across to the time of its slider.
"use strict";
(() => {
  const whole = document.getElementById("across");
  const slider = document.getElementById("across-time");
  const words = document.getElementById("across-when");
  const data = JSON.parse(document.getElementById("across-data").textContent);
  const svg = whole.querySelector("svg");

  function show() {
    const moment = data.moments[Number(slider.value)];
    for (const [id, [number, tone]] of Object.entries(moment.parts)) {
      const [fill, ink] = data.tones[tone];
      for (const part of svg.querySelectorAll(`[data-part="${id}"]`)) {
        part.setAttribute("fill", fill);
      }
      const text = svg.querySelector(`[data-heat="${id}"]`);
      if (text) {
        text.textContent = number;
        text.setAttribute("fill", ink);
      }
    }
    words.textContent = moment.words;
    slider.setAttribute("aria-valuetext", moment.words);
    for (const [id, told] of Object.entries(moment.told)) {
      svg.querySelector(`[data-told="${id}"]`).textContent = told;
    }
  }

  function step(by) {
    slider.value = String(Number(slider.value) + by);
    show();
  }

  slider.addEventListener("input", show);
  document.getElementById("across-earlier").addEventListener("click", () => step(-1));
  document.getElementById("across-later").addEventListener("click", () => step(1));
  show();
  whole.hidden = false;
})();
