//! Voltages of thermocouples by the tables of the heat model, for the feed, which has none of its own.

use glost_feed::layout::Couple;
use glost_heat::sensor::{Emf, Thermocouple};
use glost_model::Temperature;

/// Temperature of the hot end; nothing outside the couple's range.
pub fn hot_end(mv: f64, couple: Couple, cold: Temperature) -> Option<Temperature> {
    let kind = match couple {
        Couple::K => Thermocouple::K,
        Couple::N => Thermocouple::N,
        Couple::S => Thermocouple::S,
        Couple::R => Thermocouple::R,
        Couple::B => Thermocouple::B,
    };
    kind.hot_junction(Emf::mv(mv), cold).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_type_k_at_1000_degrees() {
        // ITS-90 table of type K (NIST Monograph 175): 41.276 mV at 1000 °C.
        let hot = hot_end(41.276, Couple::K, Temperature::c(0.0)).map(Temperature::to_c);
        assert!(hot.is_some_and(|c| (c - 1000.0).abs() < 0.05), "{hot:?}");
        assert_eq!(hot_end(500.0, Couple::K, Temperature::c(0.0)), None);
    }
}
