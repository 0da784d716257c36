//! When a kiln may be opened, step by step.

use glost_model::load::LoadPlan;
use glost_model::studio::Studio;
use glost_model::{Length, Temperature};

/// Wider ware counts as large flatware when it is opened.
const WIDE: Length = Length::mm(300.0);

/// Sensor and ware are below these when each step may be taken. Temperatures from school notes and
/// suppliers' advice; cooler for porcelain and large flatware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpeningLimits {
    /// Plugs out.
    pub plugs: Temperature,
    /// Lid or door ajar.
    pub ajar: Temperature,
    /// Open.
    pub open: Temperature,
    /// Ware into bare hands.
    pub unload: Temperature,
}

impl OpeningLimits {
    /// For usual ware.
    pub const USUAL: Self = Self::at([200.0, 120.0, 90.0, 50.0]);
    /// For porcelain and large flatware.
    pub const TENDER: Self = Self::at([150.0, 90.0, 60.0, 40.0]);

    const fn at([plugs, ajar, open, unload]: [f64; 4]) -> Self {
        Self {
            plugs: Temperature::c(plugs),
            ajar: Temperature::c(ajar),
            open: Temperature::c(open),
            unload: Temperature::c(unload),
        }
    }

    /// For a load.
    pub fn of(studio: &Studio, load: &LoadPlan) -> Self {
        let tender = load
            .placed()
            .filter_map(|(_, p)| studio.piece(&p.piece))
            .any(|piece| {
                let (x, y) = piece.widest.extent();
                x.max(y) > WIDE || studio.clay(&piece.clay).is_some_and(|c| c.plucks)
            });
        if tender { Self::TENDER } else { Self::USUAL }
    }

    /// Hottest first.
    pub fn all(self) -> [Temperature; 4] {
        [self.plugs, self.ajar, self.open, self.unload]
    }
}
