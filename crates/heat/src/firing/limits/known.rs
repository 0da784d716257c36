//! Every limit of pace with its source, for people to read.

use glost_model::{Length, Rate, Temperature};

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

/// Where one wall is taken through, for the limit of its pace there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Passing {
    /// A glaze that is not quite dry.
    DampGlaze,
    /// Steam.
    Steam,
    /// Quartz, on the way up.
    QuartzUp,
    /// Carbon and sulphur, which burn out.
    BurnOut,
    /// Quartz, on the way down.
    QuartzDown,
    /// Cristobalite, on the way down.
    CristobaliteDown,
}

/// How one piece stands and what it is, as far as its limits go by that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneWall {
    /// Its thickest wall.
    pub wall: Length,
    /// Off its shelf.
    pub raised: bool,
    /// Greenware.
    pub raw: bool,
    /// Of a clay full of carbon or sulphur.
    pub slow_burn_out: bool,
}

impl Passing {
    /// The fastest that one wall bears, by the limits that firings are planned with; without a sign.
    pub fn fastest(self, of: OneWall) -> Rate {
        let (raised, raw) = (of.raised, of.raw);
        let strained =
            |s: strain::Through| Rate::c_per_h(strain::borne_c_per_h(s, of.wall, raised, raw));
        match self {
            Self::DampGlaze => Rate::c_per_h(pace::GLAZE_DAMP.at(of.wall)),
            Self::Steam => Rate::c_per_h(pace::STEAM.at(of.wall)),
            Self::QuartzUp if raw => strained(strain::Through::QuartzUp)
                .min(Rate::c_per_h(pace::BOUND_WATER.at(of.wall))),
            Self::QuartzUp => strained(strain::Through::QuartzUp),
            Self::BurnOut => {
                let slow = of.slow_burn_out.then_some(pace::SLOW_BURN_OUT_C_PER_H);
                let usual = pace::BURN_OUT.at(of.wall);
                Rate::c_per_h(slow.map_or(usual, |s| s.min(usual)))
            }
            Self::QuartzDown => strained(strain::Through::QuartzDown),
            Self::CristobaliteDown => strained(strain::Through::CristobaliteDown),
        }
    }
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
