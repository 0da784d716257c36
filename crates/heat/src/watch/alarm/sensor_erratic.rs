//! The sensor jumps about.

use super::{AlarmKind, Finding, Rule, View};

/// Standard deviation of single readings about a smooth curve, K.
const ROUGH_K: f64 = 8.0;
/// For so long, s.
const SHOWS_S: f64 = 900.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::SensorErratic,
    id: "sensor-erratic",
    title: "The sensor's reading jumps about",
    limit: "readings lie 8 K (standard deviation) or more off a smooth curve for 15 min",
    reason: "A junction that is about to break, or a loose screw, makes and loses contact. A kiln's own temperature cannot jump.",
    source: "proposed here; usual converters are rough by 1 K, relays and elements beside a sensor by some 5 K",
    look_at: &[
        "Screws of the thermocouple at the block and at the controller.",
        "Wire that runs beside the mains or touches the hot case.",
        "Age of the thermocouple: about 50 firings to cone 6, 150 to cone 04.",
    ],
    remedy: "Stay with the kiln: when the sensor fails for good the controller stops, or does not. Change the thermocouple before the next firing.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    // A relay that clicks beside the sensor, or a sudden turn, is rough for a few minutes.
    let stays = view.all_lately(SHOWS_S, |s| s.rough_k.is_some_and(|r| r >= ROUGH_K));
    let rough = view.batch.rough_k.filter(|_| stays)?;
    Some(Finding {
        since_s: view.now_s - SHOWS_S,
        how_sure: 0.9,
        words: format!(
            "Readings lie about {} off a smooth curve.",
            view.difference(rough)
        ),
    })
}
