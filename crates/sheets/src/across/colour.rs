//! Colours of temperatures: from light to dark as it gets hotter, so that they stand in order for everybody, with ink
//! that can be read on each.

use glost_model::Temperature;

/// Colours in °C; between them in proportion. Luminance falls all the way.
const STOPS: [(f64, [f64; 3]); 6] = [
    (0.0, [255.0, 255.0, 255.0]),
    (200.0, [253.0, 240.0, 190.0]),
    (500.0, [250.0, 184.0, 92.0]),
    (800.0, [219.0, 99.0, 48.0]),
    (1050.0, [150.0, 33.0, 50.0]),
    (1350.0, [58.0, 8.0, 40.0]),
];
/// One tone for so many °C.
pub const STEP_C: f64 = 25.0;
/// On a ground of this luminance black and white ink are read alike, with a contrast of 4.58.
const EVEN: f64 = 0.179;

/// Ground and ink.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tone {
    /// Ground, `#rrggbb`.
    pub fill: String,
    /// Ink on it.
    pub ink: &'static str,
}

/// The tone of a temperature.
pub fn tone(t: Temperature) -> Tone {
    let c = (t.to_c() / STEP_C).floor() * STEP_C + STEP_C / 2.0;
    let rgb = between(c).map(|v| v.round().clamp(0.0, 255.0) as u8);
    let [r, g, b] = rgb;
    Tone {
        fill: format!("#{r:02x}{g:02x}{b:02x}"),
        ink: if luminance(rgb) < EVEN {
            "#ffffff"
        } else {
            "#000000"
        },
    }
}

/// All tones in steps of [`STEP_C`], the first from 0 °C up; what is hotter than the last has the last.
pub fn palette() -> Vec<Tone> {
    let last = STOPS.last().map_or(0.0, |s| s.0);
    let count = (last / STEP_C).ceil() as usize;
    let from = |i: usize| Temperature::c(i as f64 * STEP_C);
    (0..count).map(|i| tone(from(i))).collect()
}

fn between(c: f64) -> [f64; 3] {
    let pairs = STOPS.iter().zip(STOPS.iter().skip(1));
    let mut found = STOPS[0].1;
    for ((from, a), (to, b)) in pairs {
        if c >= *from {
            let share = ((c - from) / (to - from)).min(1.0);
            found = [0, 1, 2].map(|i| a[i] + (b[i] - a[i]) * share);
        }
    }
    found
}

/// Relative luminance (WCAG 2.2).
fn luminance(rgb: [u8; 3]) -> f64 {
    let linear = |v: u8| {
        let s = f64::from(v) / 255.0;
        if s <= 0.04045 {
            s / 12.92
        } else {
            ((s + 0.055) / 1.055).powf(2.4)
        }
    };
    let [r, g, b] = rgb.map(linear);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rgb(tone: &Tone) -> [u8; 3] {
        [1, 3, 5].map(|i| u8::from_str_radix(&tone.fill[i..i + 2], 16).unwrap())
    }

    /// WCAG 2.2, 1.4.3: text of usual size has a contrast of at least 4.5 to 1.
    #[test]
    fn ink_can_be_read_on_every_tone_and_hotter_is_darker() {
        let mut before = f64::INFINITY;
        for t in palette() {
            let ground = luminance(rgb(&t));
            let ink = if t.ink == "#000000" { 0.0 } else { 1.0 };
            let (light, dark) = (ground.max(ink), ground.min(ink));
            assert!((light + 0.05) / (dark + 0.05) >= 4.5, "{t:?}");
            assert!(ground < before, "{t:?}");
            before = ground;
        }
    }

    #[test]
    fn beyond_the_ends_the_last_tones_stay() {
        assert_eq!(tone(Temperature::c(-20.0)).fill, "#ffffff");
        assert_eq!(tone(Temperature::c(5000.0)), tone(Temperature::c(1400.0)));
        assert_eq!(palette().len(), 54);
    }
}
