//! Faults that can be planted in a firing.

use glost_model::Span;

/// What goes wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fault {
    /// Coils of a band burn through; `how_much` is the share of the band that is gone. Bands count from 0 at the floor.
    ElementOut(usize),
    /// The relay of a band welds shut: it is on whatever the controller wants; `how_much` is not looked at. In a kiln
    /// that switches all bands together this is the band's own contact.
    RelayStuck(usize),
    /// The sensor slips back into the wall by the share `how_much` of its way.
    SensorSlips,
    /// The sensor's wire breaks: there is no reading, and the controller switches off.
    SensorOpen,
    /// The sensor's leads are crossed: it reads down when the kiln goes up.
    SensorReversed,
    /// The sensor drifts by `how_much` K an hour.
    SensorDrifts,
    /// The lid or door stands open by the share `how_much`.
    LidOpen,
    /// A plug of the usual 40 mm is out, `how_much` of them.
    PlugOpen,
    /// Mains fall by the share `how_much`.
    MainsSag,
    /// No power for `how_much` hours; nothing is logged meanwhile and the programme goes on afterwards.
    PowerCut,
    /// All elements give the share `how_much` less, so that the kiln stalls.
    Stall,
}

impl Fault {
    /// One of each kind, those of a band in the given one.
    pub fn all(band: usize) -> [Self; 11] {
        [
            Self::ElementOut(band),
            Self::RelayStuck(band),
            Self::SensorSlips,
            Self::SensorOpen,
            Self::SensorReversed,
            Self::SensorDrifts,
            Self::LidOpen,
            Self::PlugOpen,
            Self::MainsSag,
            Self::PowerCut,
            Self::Stall,
        ]
    }

    /// Short name.
    pub fn key(self) -> &'static str {
        match self {
            Self::ElementOut(_) => "element-out",
            Self::RelayStuck(_) => "relay-stuck",
            Self::SensorSlips => "sensor-slips",
            Self::SensorOpen => "sensor-open",
            Self::SensorReversed => "sensor-reversed",
            Self::SensorDrifts => "sensor-drifts",
            Self::LidOpen => "lid-open",
            Self::PlugOpen => "plug-open",
            Self::MainsSag => "mains-sag",
            Self::PowerCut => "power-cut",
            Self::Stall => "stall",
        }
    }

    /// How much of it makes a fault that somebody should be told of.
    pub fn usual(self) -> f64 {
        match self {
            Self::ElementOut(_) | Self::RelayStuck(_) | Self::SensorOpen | Self::SensorReversed => {
                1.0
            }
            Self::SensorSlips => 0.5,
            Self::SensorDrifts => 8.0,
            Self::LidOpen => 0.15,
            Self::PlugOpen => 2.0,
            Self::MainsSag => 0.12,
            Self::PowerCut => 0.75,
            Self::Stall => 0.45,
        }
    }
}

/// A fault of a firing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Planted {
    /// What.
    pub fault: Fault,
    /// From when on, since the start.
    pub at: Span,
    /// How much of it, see [`Fault`].
    pub how_much: f64,
}

impl Planted {
    /// As much of it as [`Fault::usual`] says.
    pub fn new(fault: Fault, at: Span) -> Self {
        Self {
            fault,
            at,
            how_much: fault.usual(),
        }
    }
}

/// All that is wrong at one instant.
#[derive(Debug, Clone, PartialEq)]
pub struct Wrong {
    /// Left of each band's power.
    pub bands: Vec<f64>,
    pub stuck: Vec<bool>,
    pub slipped: f64,
    pub open: bool,
    pub reversed: bool,
    /// K.
    pub drift: f64,
    pub lid: f64,
    pub plugs: f64,
    /// Left of mains.
    pub mains: f64,
    pub dead: bool,
}

impl Wrong {
    pub fn at(faults: &[Planted], time_s: f64, bands: usize) -> Self {
        let mut w = Self {
            bands: vec![1.0; bands],
            stuck: vec![false; bands],
            slipped: 0.0,
            open: false,
            reversed: false,
            drift: 0.0,
            lid: 0.0,
            plugs: 0.0,
            mains: 1.0,
            dead: false,
        };
        for p in faults.iter().filter(|p| p.at.to_s() <= time_s) {
            let share = p.how_much.clamp(0.0, 1.0);
            let since_s = time_s - p.at.to_s();
            match p.fault {
                Fault::ElementOut(band) => {
                    if let Some(b) = w.bands.get_mut(band) {
                        *b *= 1.0 - share;
                    }
                }
                Fault::RelayStuck(band) => {
                    if let Some(b) = w.stuck.get_mut(band) {
                        *b = true;
                    }
                }
                Fault::SensorSlips => w.slipped = w.slipped.max(share),
                Fault::SensorOpen => w.open = true,
                Fault::SensorReversed => w.reversed = true,
                Fault::SensorDrifts => w.drift += p.how_much * since_s / 3600.0,
                Fault::LidOpen => w.lid = w.lid.max(share),
                Fault::PlugOpen => w.plugs += p.how_much.clamp(0.0, 9.0),
                Fault::MainsSag => w.mains *= 1.0 - share,
                Fault::PowerCut => w.dead |= since_s < p.how_much * 3600.0,
                Fault::Stall => w.bands.iter_mut().for_each(|b| *b *= 1.0 - share),
            }
        }
        w
    }
}
