// The kiln and its load as triangles and lines, metres, z up. Only foot, widest part and height of a
// piece are known, so the curve between is a guess: widest from a little above half its height up.

import { corners } from "./shape.js";

const SIDES = 28;
const BELLY = 0.55;

/** Ground tones, told apart by more than hue: shelf, post, ware and so on differ in lightness. */
const TONE = {
  shelf: [0.78, 0.76, 0.72],
  post: [0.45, 0.43, 0.4],
  ware: [0.86, 0.66, 0.46],
  wrong: [0.72, 0.16, 0.12],
  support: [0.3, 0.3, 0.34],
  pack: [0.96, 0.93, 0.6],
  sensor: [0.1, 0.1, 0.12],
};

export class Mesh {
  constructor() {
    this.flat = [];
    this.thin = [];
  }

  /** A triangle with its tone and the number under which it is picked; 0 is nothing. */
  face(a, b, c, tone, pick) {
    const u = b.map((v, i) => v - a[i]);
    const w = c.map((v, i) => v - a[i]);
    const n = [u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]];
    const l = Math.hypot(...n) || 1;
    for (const p of [a, b, c]) this.flat.push(...p, n[0] / l, n[1] / l, n[2] / l, ...tone, pick);
  }

  /** A band between two rings with as many corners. */
  band(low, high, tone, pick) {
    for (let i = 0; i < low.length; i++) {
      const j = (i + 1) % low.length;
      this.face(low[i], low[j], high[j], tone, pick);
      this.face(low[i], high[j], high[i], tone, pick);
    }
  }

  /** Closes a ring by a fan about its middle. */
  cap(ring, tone, pick, down = false) {
    const middle = [0, 1, 2].map((k) => ring.reduce((s, p) => s + p[k], 0) / ring.length);
    for (let i = 0; i < ring.length; i++) {
      const [a, b] = [ring[i], ring[(i + 1) % ring.length]];
      if (down) this.face(middle, b, a, tone, pick);
      else this.face(middle, a, b, tone, pick);
    }
  }

  /** An upright body over an outline. */
  prism(outline, from, to, tone, pick = 0) {
    const ring = (z) => outline.map(([x, y]) => [x, y, z]);
    this.band(ring(from), ring(to), tone, pick);
    this.cap(ring(to), tone, pick);
    this.cap(ring(from), tone, pick, true);
  }

  line(a, b) {
    this.thin.push(...a, ...b);
  }

  loop(corners) {
    corners.forEach((p, i) => this.line(p, corners[(i + 1) % corners.length]));
  }

  ring(outline, z) {
    this.loop(outline.map(([x, y]) => [x, y, z]));
  }
}

/** An outline with a given number of corners, evenly along it, the first toward +x. */
function even(shape) {
  const all = corners(shape);
  const first = all.reduce((best, p, i) => (p[0] > all[best][0] ? i : best), 0);
  const turned = [...all.slice(first), ...all.slice(0, first), all[first]];
  const far = [0];
  for (let i = 1; i < turned.length; i++) {
    far.push(far[i - 1] + Math.hypot(turned[i][0] - turned[i - 1][0], turned[i][1] - turned[i - 1][1]));
  }
  const whole = far[far.length - 1];
  let at = 1;
  return Array.from({ length: SIDES }, (_, i) => {
    const want = (whole * i) / SIDES;
    while (at < far.length - 1 && far[at] < want) at++;
    const t = (want - far[at - 1]) / (far[at] - far[at - 1] || 1);
    return [0, 1].map((k) => turned[at - 1][k] + t * (turned[at][k] - turned[at - 1][k]));
  });
}

function square([x, y], side) {
  const s = side / 2;
  return [[x - s, y - s], [x + s, y - s], [x + s, y + s], [x - s, y + s]];
}

function disc([x, y], r) {
  return corners({ round: 2 * r }).map(([u, v]) => [x + u, y + v]);
}

/** Foot to widest part to rim; a piece that is open on top shows its inside. */
function piece(mesh, known, w, shelf, tone, pick) {
  const [sin, cos] = [Math.sin(w.turn), Math.cos(w.turn)];
  const base = shelf + w.raised;
  const z = (share) => base + known.height * (w.down ? 1 - share : share);
  const ring = (outline, share, k = 1) =>
    outline.map(([x, y]) => [w.x + k * (x * cos - y * sin), w.y + k * (x * sin + y * cos), z(share) + (k > 1 ? 0.0005 : 0)]);
  const [foot, wide] = [even(known.foot), even(known.widest)];
  const between = (t) => foot.map((p, i) => [0, 1].map((k) => p[k] + (wide[i][k] - p[k]) * Math.sqrt(1 - (1 - t) ** 2)));
  const rings = [0, 0.15, 0.4, 0.7, 1].map((t) => ring(between(t), t * BELLY));
  rings.push(ring(wide, 1));
  // The rim and the foot as lines a little outside, so that like tones beside one another stay apart.
  for (const [outline, share] of [[wide, 1], [wide, BELLY], [foot, 0]]) mesh.loop(ring(outline, share, 1.004));
  for (let i = 1; i < rings.length; i++) {
    if (w.down) mesh.band(rings[i], rings[i - 1], tone, pick);
    else mesh.band(rings[i - 1], rings[i], tone, pick);
  }
  mesh.cap(rings[0], tone, pick, !w.down);
  if (!known.open) {
    mesh.cap(rings[rings.length - 1], tone, pick, w.down);
    return;
  }
  const dark = tone.map((v) => v * 0.6);
  const inner = [ring(wide, 1, 0.93), ring(wide, BELLY, 0.9), ring(foot, 0.08, 0.85)];
  mesh.band(rings[rings.length - 1], inner[0], tone, pick);
  mesh.band(inner[0], inner[1], dark, pick);
  mesh.band(inner[1], inner[2], dark, pick);
  mesh.cap(inner[2], dark, pick, w.down);
}

/**
 * All that is seen of a load up to a tier.
 * @returns the mesh, and the names of pieces by the number under which they are picked
 */
export function build(kiln, tiers, wrong) {
  const mesh = new Mesh();
  const names = [null];
  for (const tier of tiers) {
    mesh.prism(tier.shelf, tier.top - tier.thick, tier.top, TONE.shelf);
    mesh.ring(tier.shelf, tier.top + 0.0005);
    mesh.ring(tier.shelf, tier.top - tier.thick);
    for (const [at, from, to] of tier.posts) mesh.prism(square(at, kiln.post), from, to, TONE.post);
    for (const at of tier.packs) mesh.prism(disc(at, kiln.pack[0] * 0.4), tier.top, tier.top + kiln.pack[1], TONE.pack);
    for (const w of tier.ware) {
      const known = kiln.pieces[w.piece];
      if (!known) continue;
      const pick = names.push(w.piece) - 1;
      let z = tier.top;
      for (const name of w.supports) {
        const [wide, high] = kiln.supports[name] ?? [0, 0];
        mesh.prism(disc([w.x, w.y], wide / 2), z, z + high, TONE.support, pick);
        z += high;
      }
      piece(mesh, known, w, tier.top, wrong.has(w.piece) ? TONE.wrong : TONE.ware, pick);
    }
  }
  const [foot, tip, z] = kiln.sensor;
  const [dx, dy] = [tip[0] - foot[0], tip[1] - foot[1]];
  const l = Math.hypot(dx, dy) || 1;
  const [nx, ny] = [(-dy / l) * 0.004, (dx / l) * 0.004];
  mesh.prism([[foot[0] - nx, foot[1] - ny], [tip[0] - nx, tip[1] - ny], [tip[0] + nx, tip[1] + ny], [foot[0] + nx, foot[1] + ny]].reverse(), z - 0.004, z + 0.004, TONE.sensor);
  room(mesh, kiln);
  return { mesh, names };
}

/** The chamber as lines: floor, lid, some edges, and rings where elements are. */
function room(mesh, kiln) {
  const every = Math.max(1, Math.round(kiln.chamber.length / 8));
  mesh.ring(kiln.chamber, 0);
  mesh.ring(kiln.chamber, kiln.height);
  for (let i = 0; i < kiln.chamber.length; i += every) {
    const [x, y] = kiln.chamber[i];
    mesh.line([x, y, 0], [x, y, kiln.height]);
  }
  mesh.edges = mesh.thin.length / 3;
  for (const [from, to] of kiln.bands) {
    for (const share of [0.2, 0.4, 0.6, 0.8]) mesh.ring(kiln.chamber, from + (to - from) * share);
  }
}
