//! What a person wishes of a firing, as options of a command.

use clap::ValueEnum;
use glost_heat::firing::Wishes;
use glost_model::firing::{Aim, DropHold};
use glost_model::shown::Shown;
use glost_model::{Span, TempDiff};

use crate::say::Trouble;

/// The options.
#[derive(Debug, clap::Args)]
pub struct Wished {
    /// What the firing should be best at, among those that ware, controller and kiln allow.
    #[arg(long, value_enum, default_value_t = Best::Soonest)]
    aim: Best,
    /// Fall below the peak and hold there, so that bubbles heal, as FALL:MINUTES in the studio's degrees: 60:30.
    #[arg(long, value_name = "FALL:MINUTES")]
    drop: Option<String>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Best {
    /// The peak is over soonest.
    Soonest,
    /// It costs least.
    Cheapest,
    /// All tiers get most nearly the same.
    Evenest,
}

impl Wished {
    /// In the studio's degrees.
    pub fn wishes(&self, shown: Shown) -> Result<Wishes, Trouble> {
        let drop_hold = self.drop.as_deref().map(|t| drop_hold(t, shown));
        Ok(Wishes {
            aim: match self.aim {
                Best::Soonest => Aim::Soonest,
                Best::Cheapest => Aim::Cheapest,
                Best::Evenest => Aim::Evenest,
            },
            drop_hold: drop_hold.transpose()?,
            start: None,
        })
    }
}

fn drop_hold(text: &str, shown: Shown) -> Result<DropHold, Trouble> {
    let per_k = if shown.fahrenheit { 1.8 } else { 1.0 };
    let number = |t: &str| t.trim().parse::<f64>().ok();
    let read = text.split_once(':').and_then(|(fall, minutes)| {
        let (fall_k, minutes) = (number(fall)? / per_k, number(minutes)?);
        (DropHold::FALLS_K.contains(&fall_k) && DropHold::HOLDS_MIN.contains(&minutes)).then(|| {
            DropHold {
                by: TempDiff::k(fall_k),
                hold: Span::minutes(minutes),
            }
        })
    });
    read.ok_or_else(|| {
        Trouble::Words(format!(
            "--drop {text} is no fall and hold: write FALL:MINUTES, from {} to {} below the peak and from {} to {} min, as {:.0}:30",
            shown.difference(TempDiff::k(*DropHold::FALLS_K.start())),
            shown.difference(TempDiff::k(*DropHold::FALLS_K.end())),
            DropHold::HOLDS_MIN.start(),
            DropHold::HOLDS_MIN.end(),
            60.0 * per_k,
        ))
    })
}
