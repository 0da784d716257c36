//! Every limit of pace with its source, for people to read.

use glost_model::{Length, Temperature};

use super::pace;
use super::strain;

/// Walls that limits are told for, mm.
pub const WALLS_MM: [f64; 3] = pace::WALLS_MM;

/// One limit.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownRate {
    /// Its name.
    pub id: &'static str,
    /// From here, °C.
    pub from: Temperature,
    /// To here, below `from` on the way down, °C; `None` is the last stretch to the peak.
    pub to: Option<Temperature>,
    /// Fastest for ware of each of [`WALLS_MM`], flat on its shelf, °C/h.
    pub c_per_h: [f64; 3],
    /// What happens there.
    pub what: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// All of them.
pub fn known_rates() -> Vec<KnownRate> {
    let paces = [
        &pace::TO_DRY,
        &pace::STEAM,
        &pace::BOUND_WATER,
        &pace::BURN_OUT,
        &pace::GLAZE_DAMP,
    ];
    let mut all: Vec<KnownRate> = paces
        .into_iter()
        .map(|p| KnownRate {
            id: p.id,
            from: Temperature::c(p.from_c),
            to: Some(Temperature::c(p.to_c)),
            c_per_h: WALLS_MM.map(|mm| p.at(Length::mm(mm))),
            what: p.what,
            source: p.source,
        })
        .collect();
    all.push(KnownRate {
        id: "slow-burn-out-rate",
        from: Temperature::c(pace::BURN_OUT.from_c),
        to: Some(Temperature::c(pace::BURN_OUT.to_c)),
        c_per_h: [pace::SLOW_BURN_OUT_C_PER_H; 3],
        what: "greenware of a clay that is full of carbon or sulphur",
        source: "common practice, no source",
    });
    all.push(KnownRate {
        id: "most-rate",
        from: Temperature::c(0.0),
        to: None,
        c_per_h: [pace::MOST_C_PER_H; 3],
        what: "all ware: no studio kiln is fired faster",
        source: "common practice, no source",
    });
    all.extend(strain::known());
    all
}
