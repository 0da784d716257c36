/// Between equal rectangles of sides `a` and `b` that face each other at distance `gap` (C-11).
pub fn facing_rectangles(a: f64, b: f64, gap: f64) -> f64 {
    let (x, y) = (a / gap, b / gap);
    let (rx, ry) = ((1.0 + x * x).sqrt(), (1.0 + y * y).sqrt());
    let log = 0.5 * ((rx * rx) * (ry * ry) / (1.0 + x * x + y * y)).ln();
    2.0 / (std::f64::consts::PI * x * y)
        * (log + x * ry * (x / ry).atan() + y * rx * (y / rx).atan() - x * x.atan() - y * y.atan())
}

/// From a rectangle of depth `from` to one of height `to` at a right angle along a common edge of
/// length `edge` (C-14).
pub fn corner_rectangles(from: f64, to: f64, edge: f64) -> f64 {
    let (w, h) = (from / edge, to / edge);
    let (w2, h2) = (w * w, h * h);
    let far = (h2 + w2).sqrt();
    let all = 1.0 + h2 + w2;
    let log = ((1.0 + w2) * (1.0 + h2) / all).ln()
        + w2 * (w2 * all / ((1.0 + w2) * (w2 + h2))).ln()
        + h2 * (h2 * all / ((1.0 + h2) * (h2 + w2))).ln();
    (w * (1.0 / w).atan() + h * (1.0 / h).atan() - far * (1.0 / far).atan() + log / 4.0)
        / (std::f64::consts::PI * w)
}
