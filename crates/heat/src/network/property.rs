//! Properties of a material against temperature.

/// A property that may depend on temperature. Temperatures in K; the value in its SI unit.
#[derive(Debug, Clone, PartialEq)]
pub enum Property {
    /// The same everywhere.
    Constant(f64),
    /// a + b T + c / T².
    Formula {
        /// Constant part.
        a: f64,
        /// Coefficient of T.
        b: f64,
        /// Coefficient of T⁻².
        c: f64,
    },
    /// Straight lines between points in rising order of temperature, level outside them.
    Table(Vec<(f64, f64)>),
}

impl Property {
    /// Straight lines between values at temperatures in °C.
    pub fn table_c(points: &[(f64, f64)]) -> Self {
        Self::Table(points.iter().map(|(c, v)| (c + 273.15, *v)).collect())
    }

    /// at_0 + slope · t, t in °C.
    pub fn line_c(at_0: f64, slope: f64) -> Self {
        Self::Formula {
            a: at_0 - 273.15 * slope,
            b: slope,
            c: 0.0,
        }
    }

    /// The same property times a factor.
    pub fn scaled(&self, by: f64) -> Self {
        match self {
            Self::Constant(v) => Self::Constant(v * by),
            Self::Formula { a, b, c } => Self::Formula {
                a: a * by,
                b: b * by,
                c: c * by,
            },
            Self::Table(points) => Self::Table(points.iter().map(|(t, v)| (*t, v * by)).collect()),
        }
    }

    /// Value at a temperature.
    pub fn at(&self, temp_k: f64) -> f64 {
        match self {
            Self::Constant(v) => *v,
            Self::Formula { a, b, c } => a + b * temp_k + c / (temp_k * temp_k),
            Self::Table(points) => table(points, temp_k).0,
        }
    }

    /// Value and its derivative.
    pub fn with_slope(&self, temp_k: f64) -> (f64, f64) {
        match self {
            Self::Constant(v) => (*v, 0.0),
            Self::Formula { a, b, c } => {
                let inv = 1.0 / (temp_k * temp_k);
                (a + b * temp_k + c * inv, b - 2.0 * c * inv / temp_k)
            }
            Self::Table(points) => table(points, temp_k),
        }
    }

    /// Integral between two temperatures.
    pub fn integral(&self, from_k: f64, to_k: f64) -> f64 {
        match self {
            Self::Constant(v) => v * (to_k - from_k),
            Self::Formula { a, b, c } => {
                let whole = |t: f64| a * t + b * t * t / 2.0 - c / t;
                whole(to_k) - whole(from_k)
            }
            Self::Table(points) => table_integral(points, to_k) - table_integral(points, from_k),
        }
    }
}

fn table(points: &[(f64, f64)], t: f64) -> (f64, f64) {
    let above = points.partition_point(|p| p.0 <= t);
    let below = above.checked_sub(1).and_then(|i| points.get(i));
    match (below, points.get(above)) {
        (Some(a), Some(b)) => {
            let slope = (b.1 - a.1) / (b.0 - a.0);
            (a.1 + slope * (t - a.0), slope)
        }
        (Some(only), None) | (None, Some(only)) => (only.1, 0.0),
        (None, None) => (0.0, 0.0),
    }
}

/// Integral from the first point.
fn table_integral(points: &[(f64, f64)], t: f64) -> f64 {
    let Some(first) = points.first() else {
        return 0.0;
    };
    if t <= first.0 {
        return first.1 * (t - first.0);
    }
    let mut sum = 0.0;
    for pair in points.windows(2) {
        let (Some(a), Some(b)) = (pair.first(), pair.last()) else {
            continue;
        };
        if t <= a.0 {
            return sum;
        }
        let end = t.min(b.0);
        sum += (end - a.0) * (a.1 + table(points, end).0) / 2.0;
    }
    sum + points.last().map_or(0.0, |l| l.1 * (t - l.0).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slope_and_integral_agree_with_the_value() {
        for p in [
            Property::Constant(3.0),
            Property::line_c(0.1, 1.4e-4),
            Property::Formula {
                a: 1128.0,
                b: 0.102,
                c: -36e6,
            },
            Property::table_c(&[(200.0, 0.07), (400.0, 0.12), (1000.0, 0.43)]),
        ] {
            for t in [300.0, 433.0, 555.0, 900.0, 1500.0] {
                let h = 1e-3;
                let slope = (p.at(t + h) - p.at(t - h)) / (2.0 * h);
                assert!((p.with_slope(t).1 - slope).abs() < 1e-6 * (1.0 + slope.abs()));
                let area = p.integral(t - h, t + h) / (2.0 * h);
                assert!((area - p.at(t)).abs() < 1e-6 * p.at(t), "{p:?} at {t}");
            }
            let whole = p.integral(300.0, 1500.0);
            let parts = p.integral(300.0, 700.0) + p.integral(700.0, 1500.0);
            assert!((whole - parts).abs() < 1e-9 * whole);
        }
    }

    /// Michot et al., J. Eur. Ceram. Soc. 31 (2011) 1377: 1210 kJ/kg from 25 to 1100 °C [derived here].
    #[test]
    fn kaolin_takes_up_what_its_formula_says() {
        let c = Property::Formula {
            a: 1128.0,
            b: 0.102,
            c: -36e6,
        };
        assert!((c.integral(298.15, 1373.15) / 1210e3 - 1.0).abs() < 1e-3);
    }
}
