// One tier from above as SVG. It shows what it is given; who moves what is not its matter.

import { corners, path, reach } from "./shape.js";

const NS = "http://www.w3.org/2000/svg";
/** Type of the labels, px on the screen. */
const TYPE = 13;
/** Least size of what a finger has to hit, px. */
const FINGER = 24;

function element(name, attributes, ...inside) {
  const made = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  made.append(...inside);
  return made;
}

export class Drawing {
  /** @param {SVGSVGElement} svg */
  constructor(svg) {
    this.svg = svg;
    this.pieces = new Map();
    new ResizeObserver(() => this.type()).observe(svg);
  }

  /** Draws a tier with its ware. `marks` tells of each piece whether it is chosen, locked, in breach. */
  show(kiln, tier, marks) {
    const xs = kiln.chamber.map((p) => p[0] * 1000);
    const ys = kiln.chamber.map((p) => p[1] * 1000);
    const rim = 30;
    const [left, low] = [Math.min(...xs) - rim, Math.min(...ys) - rim];
    const [wide, high] = [Math.max(...xs) + rim - left, Math.max(...ys) + rim - low];
    this.kiln = kiln;
    this.tier = tier;
    this.svg.setAttribute("viewBox", `${left} ${-(low + high)} ${wide} ${high}`);
    const held = this.svg.contains(document.activeElement);
    this.pieces.clear();
    const back = element("text", { class: "word", x: 0, y: -(low + high) + rim * 0.7, "text-anchor": "middle" }, kiln.back);
    const room = [
      element("path", { class: "wall", d: path(kiln.chamber) }),
      element("path", { class: "shelf", d: path(tier.shelf) }),
      back,
      ...this.rings(kiln),
    ];
    const posts = [
      ...tier.posts.map(([at]) => this.post(at, "post under")),
      ...tier.carries.map((at) => this.post(at, "post")),
    ];
    const packs = tier.packs.map(([x, y]) =>
      element("g", { class: "pack", transform: `translate(${x * 1000} ${-y * 1000})` },
        element("circle", { r: kiln.pack[0] * 1000 }),
        element("text", { class: "word", "text-anchor": "middle", dy: "0.35em" }, "cones")));
    const ware = tier.ware.map((w) => this.ware(w, marks(w.piece)));
    this.svg.replaceChildren(...room, ...ware, ...posts, ...packs, ...this.sensor(kiln, tier));
    // What stands on another piece is drawn over it and moved by the list.
    for (const w of tier.ware.filter((x) => x.on)) this.svg.append(this.pieces.get(w.piece));
    this.type();
    if (held) this.svg.querySelector('[aria-pressed="true"]')?.focus();
  }

  rings(kiln) {
    const far = Math.min(...kiln.chamber.map(([x, y]) => Math.hypot(x, y))) * 1000;
    const rings = [];
    for (let r = 100; r < far; r += 100) rings.push(element("circle", { class: "ring", r }));
    return rings;
  }

  post([x, y], kind) {
    const s = this.kiln.post * 1000;
    return element("rect", { class: kind, x: x * 1000 - s / 2, y: -y * 1000 - s / 2, width: s, height: s });
  }

  sensor(kiln, tier) {
    const [foot, tip, z] = kiln.sensor;
    const here = z >= tier.top && z <= tier.top + tier.clear;
    const [fx, fy] = foot.map((v) => v * 1000);
    return [
      element("line", { class: here ? "sensor here" : "sensor", x1: fx, y1: -fy, x2: tip[0] * 1000, y2: -tip[1] * 1000 }),
      element("text", { class: "word", x: fx * 1.05, y: -fy * 1.05, "text-anchor": "middle", dy: "0.35em" }, "S"),
    ];
  }

  ware(w, mark) {
    const piece = this.kiln.pieces[w.piece];
    const widest = piece?.widest ?? { round: 0.06 };
    const turned = element("g", { class: "turned" },
      ...w.supports.map((name) => element("circle", { class: "support", r: (this.kiln.supports[name]?.[0] ?? 0) * 500 })),
      element("path", { class: "body", d: path(corners(widest)) }),
      element("path", { class: "foot", d: path(corners(piece?.foot ?? widest)) }));
    const signs = [mark.locked ? "🔒" : "", mark.wrong ? "!" : ""].filter(Boolean).join(" ");
    const label = element("text", { class: "name", "text-anchor": "middle", dy: "0.35em" }, w.piece);
    const g = element("g", {
      class: ["piece", mark.chosen && "chosen", mark.locked && "locked", mark.wrong && "wrong", w.on && "rider"].filter(Boolean).join(" "),
      role: "button", tabindex: mark.chosen ? 0 : -1, "aria-pressed": Boolean(mark.chosen), "data-piece": w.piece,
      "aria-label": `${w.piece} ${piece?.what ?? ""}, ${w.words}${mark.locked ? ", locked" : ""}${mark.wrong ? ", breaks a rule" : ""}`,
    }, element("circle", { class: "hit", "data-reach": reach(widest) * 1000 }), turned, label);
    if (signs) g.append(element("text", { class: "sign", "text-anchor": "middle", dy: "-0.75em" }, signs));
    this.pieces.set(w.piece, g);
    this.place(w.piece, w.x, w.y, w.turn);
    return g;
  }

  /** Shows a piece somewhere else for now, m and rad. */
  place(piece, x, y, turn) {
    const g = this.pieces.get(piece);
    if (!g) return;
    g.setAttribute("transform", `translate(${x * 1000} ${-y * 1000})`);
    g.querySelector(".turned").setAttribute("transform", `rotate(${(-turn * 180) / Math.PI})`);
  }

  /** Marks pieces that break a rule where they are now. */
  warn(wrong) {
    for (const [id, g] of this.pieces) g.classList.toggle("wrong", wrong.has(id));
  }

  /** Type and hit areas keep their size on the screen, whatever the scale. */
  type() {
    const scale = this.svg.getScreenCTM()?.a;
    if (!scale) return;
    for (const text of this.svg.querySelectorAll("text")) text.setAttribute("font-size", (TYPE / scale).toFixed(2));
    for (const hit of this.svg.querySelectorAll(".hit")) {
      hit.setAttribute("r", Math.max(FINGER / 2 / scale, Number(hit.dataset.reach)).toFixed(1));
    }
  }

  /** Where on the tier an event of the pointer is, m. */
  at(event) {
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [p.x / 1000, -p.y / 1000];
  }
}
