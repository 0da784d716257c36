// Outlines in plan: metres as the server sends them, millimetres in the drawing, y toward hinge or door.

const ROUND = 40;

/** Corners of an outline about its middle, m. */
export function corners(shape) {
  if (shape.corners) return shape.corners;
  const r = shape.round / 2;
  return Array.from({ length: ROUND }, (_, i) => {
    const a = (2 * Math.PI * i) / ROUND;
    return [r * Math.cos(a), r * Math.sin(a)];
  });
}

/** How far an outline reaches from its middle, m. */
export function reach(shape) {
  if (shape.round !== undefined) return shape.round / 2;
  return Math.max(...shape.corners.map(([x, y]) => Math.hypot(x, y)));
}

/** An outline or a list of corners as a path, mm, y down. */
export function path(points) {
  return `M${points.map(([x, y]) => `${(x * 1000).toFixed(1)} ${(-y * 1000).toFixed(1)}`).join("L")}Z`;
}

/** Whether a spot lies inside a polygon. */
export function inside(polygon, [x, y]) {
  let within = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [ax, ay] = polygon[i];
    const [bx, by] = polygon[j];
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) within = !within;
  }
  return within;
}

function toEdge(polygon, [x, y]) {
  let least = Infinity;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [ax, ay] = polygon[j];
    const [ex, ey] = [polygon[i][0] - ax, polygon[i][1] - ay];
    const t = Math.min(1, Math.max(0, ((x - ax) * ex + (y - ay) * ey) / (ex * ex + ey * ey || 1)));
    least = Math.min(least, Math.hypot(ax + t * ex - x, ay + t * ey - y));
  }
  return least;
}

/** The spot of a tier that is farthest from all that stands there, m: a first place for a piece. */
export function freest(tier, kiln, piece) {
  const own = reach(kiln.pieces[piece].widest);
  const full = [
    ...tier.ware.filter((w) => w.piece !== piece).map((w) => [w.x, w.y, reach(kiln.pieces[w.piece]?.widest ?? { round: 0 })]),
    ...tier.carries.map(([x, y]) => [x, y, kiln.post * 0.71]),
    ...tier.packs.map(([x, y]) => [x, y, kiln.pack[0]]),
  ];
  let best = [-Infinity, 0, 0];
  const xs = tier.shelf.map((p) => p[0]);
  const ys = tier.shelf.map((p) => p[1]);
  const step = 0.01;
  for (let x = Math.min(...xs) + step; x < Math.max(...xs); x += step) {
    for (let y = Math.min(...ys) + step; y < Math.max(...ys); y += step) {
      if (!inside(tier.shelf, [x, y])) continue;
      let room = toEdge(tier.shelf, [x, y]) - own;
      for (const [u, v, r] of full) room = Math.min(room, Math.hypot(x - u, y - v) - r - own);
      if (room > best[0]) best = [room, x, y];
    }
  }
  return [best[1], best[2]];
}
