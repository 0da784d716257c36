// The kiln in 3D: it turns by dragging, by arrow keys and by buttons; shelves come off from the top.

import { Painter } from "./gl.js";
import { build } from "./mesh.js";

const STEP = Math.PI / 12;
const STRAIGHT_DOWN = Math.PI / 2;
/** A pointer that moves less has pointed at a piece, px. */
const STILL = 5;

function tones(dark) {
  return dark
    ? { ground: [0.08, 0.08, 0.08], line: [0.75, 0.75, 0.75], element: [0.95, 0.6, 0.3] }
    : { ground: [1, 1, 1], line: [0.35, 0.35, 0.35], element: [0.75, 0.35, 0.05] };
}

export class KilnView {
  /** @param root the part of the page @param chosen what hears which piece was picked */
  constructor(root, chosen) {
    this.root = root;
    this.told = chosen;
    this.find = (id) => root.querySelector(`#view-${id}`);
    this.canvas = this.find("canvas");
    [this.round, this.up] = [0.6, 0.45];
    this.still = window.matchMedia("(prefers-reduced-motion: reduce)");
    this.dark = window.matchMedia("(prefers-color-scheme: dark)");
    try {
      this.painter = new Painter(this.canvas);
    } catch {
      this.say("This browser cannot draw in 3D. The drawings from above and from the side tell the same.");
      return;
    }
    root.querySelector(".view-works").hidden = false;
    this.dark.addEventListener("change", () => this.draw());
    new ResizeObserver(() => this.draw()).observe(this.canvas);
    this.pointers();
    this.canvas.addEventListener("keydown", (event) => this.key(event));
    for (const button of root.querySelectorAll("[data-turn]")) {
      const [round, up] = button.dataset.turn.split(" ").map(Number);
      button.addEventListener("click", () => this.go(this.round + round * STEP, this.up + up * STEP));
    }
    this.find("above").addEventListener("click", () => this.go(0, STRAIGHT_DOWN));
    this.find("front").addEventListener("click", () => this.go(this.load?.kiln.back === "door" ? Math.PI : 0, 0));
    this.find("tiers").addEventListener("input", () => this.rebuild());
    this.find("piece").addEventListener("change", () => this.pick(this.find("piece").value || null));
  }

  say(words) {
    this.find("say").textContent = words;
  }

  /** Shows a load: `kiln`, `tiers` by name, `tier_names`, `breaches`, `chosen`. */
  show(load) {
    this.load = load;
    this.chosen = load.chosen ?? null;
    if (!this.painter) return;
    const slider = this.find("tiers");
    const all = load.tier_names.length;
    if (Number(slider.max) !== all || !this.told_once) {
      slider.max = String(all);
      slider.value = String(all);
      this.told_once = true;
    }
    this.rebuild();
  }

  rebuild() {
    if (!this.load) return;
    const { kiln, tiers, tier_names: names, breaches } = this.load;
    const shown = names.slice(0, Number(this.find("tiers").value));
    const words = shown.length === names.length
      ? `All ${names.length} shelves are shown.`
      : `Lifted off: ${names.slice(shown.length).map((n) => `tier ${n}`).join(", ")}.`;
    this.find("lifted").textContent = words;
    this.find("tiers").setAttribute("aria-valuetext", words);
    const wrong = new Set((breaches ?? []).flatMap((b) => b.pieces));
    const { mesh, names: picks } = build(kiln, shown.map((n) => tiers.get(n)), wrong);
    this.picks = picks;
    this.painter.take(mesh);
    const select = this.find("piece");
    const options = picks.slice(1).map((id) => {
      const made = document.createElement("option");
      made.value = id;
      made.textContent = `${id} ${kiln.pieces[id].what}`;
      return made;
    });
    const none = document.createElement("option");
    none.value = "";
    none.textContent = "None chosen";
    select.replaceChildren(none, ...options);
    select.value = picks.includes(this.chosen) ? this.chosen : "";
    this.name();
    this.draw();
  }

  name() {
    const { kiln, tiers } = this.load;
    const tier = [...tiers.values()].find((t) => t.ware.some((w) => w.piece === this.chosen));
    if (!tier) {
      this.say("Point at a piece to have it named.");
      return;
    }
    const w = tier.ware.find((x) => x.piece === this.chosen);
    const known = kiln.pieces[this.chosen];
    const hidden = this.picks.includes(this.chosen) ? "" : " Its shelf is lifted off.";
    this.say(`${this.chosen}: ${known?.what ?? "unknown"}, ${known?.maker ?? ""}. Tier ${tier.name}, ${w.words}.${hidden}`);
  }

  pick(piece) {
    this.chosen = piece;
    this.find("piece").value = piece ?? "";
    this.name();
    this.draw();
    if (piece) this.told(piece);
  }

  /** Turns the kiln, at once for those who want no motion. */
  go(round, up) {
    const from = [this.round, this.up];
    const to = [round, Math.min(STRAIGHT_DOWN, Math.max(0, up))];
    cancelAnimationFrame(this.frame);
    if (this.still.matches) {
      [this.round, this.up] = to;
      this.draw();
      return;
    }
    const start = performance.now();
    const move = (now) => {
      const t = Math.min(1, Math.max(0, (now - start) / 220));
      const s = t * t * (3 - 2 * t);
      [this.round, this.up] = from.map((v, i) => v + (to[i] - v) * s);
      this.draw();
      if (t < 1) this.frame = requestAnimationFrame(move);
    };
    this.frame = requestAnimationFrame(move);
  }

  key(event) {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const way = ways[event.key];
    if (!way || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    this.go(this.round + way[0] * STEP, this.up + way[1] * STEP);
  }

  pointers() {
    let drag = null;
    const { canvas } = this;
    canvas.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || drag) return;
      drag = { id: event.pointerId, from: [event.clientX, event.clientY], at: [this.round, this.up], moves: false };
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!drag || event.pointerId !== drag.id) return;
      const [dx, dy] = [event.clientX - drag.from[0], event.clientY - drag.from[1]];
      drag.moves ||= Math.hypot(dx, dy) > STILL;
      if (!drag.moves) return;
      this.round = drag.at[0] + dx * 0.01;
      this.up = Math.min(STRAIGHT_DOWN, Math.max(0, drag.at[1] + dy * 0.01));
      this.draw();
    });
    canvas.addEventListener("pointerup", (event) => {
      if (!drag || event.pointerId !== drag.id) return;
      const { moves } = drag;
      drag = null;
      if (moves || !this.load) return;
      const box = canvas.getBoundingClientRect();
      const number = this.painter.pick(this.view(), event.clientX - box.left, event.clientY - box.top);
      this.pick(this.picks[number] ?? null);
    });
    canvas.addEventListener("pointercancel", () => { drag = null; });
  }

  /** Matrix and light: parallel lines stay parallel, so that heights can be compared. */
  view() {
    const { kiln } = this.load;
    const high = kiln.height;
    const far = Math.max(...kiln.chamber.map(([x, y]) => Math.hypot(x, y)));
    const [sr, cr, su, cu] = [Math.sin(this.round), Math.cos(this.round), Math.sin(this.up), Math.cos(this.up)];
    // Seen from the front the door or hinge, +y, is behind.
    const right = [cr, sr, 0];
    const up = [-sr * su, cr * su, cu];
    const away = [-sr * cu, cr * cu, -su];
    const { clientWidth: w, clientHeight: h } = this.canvas;
    const fit = Math.min(w / (2 * far), h / (high * cu + 2 * far * su)) * 0.92;
    const [kx, ky, kz] = [(2 * fit) / (w || 1), (2 * fit) / (h || 1), 1 / (2 * (far + high))];
    const middle = [0, 0, high / 2];
    const dot = (a) => a[0] * middle[0] + a[1] * middle[1] + a[2] * middle[2];
    const matrix = new Float32Array([
      right[0] * kx, up[0] * ky, away[0] * kz, 0,
      right[1] * kx, up[1] * ky, away[1] * kz, 0,
      right[2] * kx, up[2] * ky, away[2] * kz, 0,
      -dot(right) * kx, -dot(up) * ky, -dot(away) * kz, 1,
    ]);
    const light = [0, 1, 2].map((k) => 0.4 * right[k] + 0.55 * up[k] - 0.73 * away[k]);
    return { matrix, light, chosen: Math.max(0, this.picks.indexOf(this.chosen)), ...tones(this.dark.matches) };
  }

  draw() {
    if (this.load && this.picks) this.painter.draw(this.view());
  }
}
