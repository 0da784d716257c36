//! Places as a loader says them: a clock position and a distance from the middle.

use glost_model::Length;
use glost_model::shown::Shown;

/// Nearer to the middle than this, a clock position says nothing.
const MIDDLE: Length = Length::mm(12.0);

/// Clock position of a place to the nearest five minutes, as `4:35`; `middle` when it is there.
///
/// 12:00 is toward hinge or door (+y), 3:00 to the right (+x).
pub fn clock(x: Length, y: Length) -> String {
    if x.to_m().hypot(y.to_m()) < MIDDLE.to_m() {
        return "middle".to_owned();
    }
    hour(x.to_m().atan2(y.to_m()))
}

/// Clock position of a bearing that runs clockwise from 12 o'clock, rad.
pub(crate) fn hour(clockwise_rad: f64) -> String {
    let turn = (clockwise_rad / std::f64::consts::TAU).rem_euclid(1.0);
    let fives = (turn * 144.0).round() as u32 % 144;
    let hour = match fives / 12 {
        0 => 12,
        h => h,
    };
    format!("{hour}:{:02}", fives % 12 * 5)
}

/// Clock position with the distance from the middle, `4:30, 125 mm`.
pub fn place(shown: Shown, x: Length, y: Length) -> String {
    let at = clock(x, y);
    if at == "middle" {
        return at;
    }
    let from_middle = Length::m(x.to_m().hypot(y.to_m()));
    format!("{at}, {}", shown.distance(from_middle))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, y: f64) -> String {
        clock(Length::mm(x), Length::mm(y))
    }

    #[test]
    fn twelve_is_toward_the_hinge_and_three_to_the_right() {
        assert_eq!(at(0.0, 100.0), "12:00");
        assert_eq!(at(100.0, 0.0), "3:00");
        assert_eq!(at(0.0, -100.0), "6:00");
        assert_eq!(at(-100.0, 0.0), "9:00");
        assert_eq!(at(100.0, -100.0), "4:30");
        assert_eq!(at(-100.0, -100.0), "7:30");
        assert_eq!(at(-1.0, 300.0), "12:00", "rounds over the top");
        assert_eq!(at(40.0, 300.0), "12:15");
        assert_eq!(at(3.0, -4.0), "middle");
    }

    #[test]
    fn a_place_names_its_distance() {
        let here = place(Shown::default(), Length::mm(100.0), Length::mm(-100.0));
        assert_eq!(here, "4:30, 140 mm");
    }
}
