//! Curves as planned and as logged.

use glost_model::book::{BadStretch, Firing};
use glost_model::plan_file::PlanFile;
use glost_model::readings::Sample;
use glost_model::{Span, Temperature};
use jiff::Timestamp;

/// A log with fewer readings tells nothing of paces.
const LEAST: usize = 12;
/// A log that never gets hotter is of no firing.
const LEAST_HOT: Temperature = Temperature::c(300.0);

/// The sensor as planned: the forecast with its cooling, or else the segments, as far as they tell their rates.
pub fn planned(plan: &PlanFile) -> Option<Vec<(Span, Temperature)>> {
    if let Some(f) = plan.forecast.as_ref().filter(|f| !f.samples.is_empty()) {
        return Some(f.samples.iter().map(|s| (s.time_s, s.sensor_c)).collect());
    }
    let mut at = (Span::ZERO, Temperature::c(20.0));
    let mut all = vec![at];
    for s in &plan.firing.as_ref()?.segments {
        let Some(rate) = s.rate.filter(|r| r.abs().to_k_per_s() > 1e-9) else {
            break;
        };
        let takes = (s.target - at.1).to_k().abs() / rate.abs().to_k_per_s();
        at = (at.0 + Span::s(takes), s.target);
        all.push(at);
        if s.hold > Span::ZERO {
            at.0 += s.hold;
            all.push(at);
        }
    }
    Some(all)
}

/// The sensor by the log, since its first reading; nothing when the log tells nothing.
pub fn logged(firing: &Firing, log: &[Sample]) -> Option<Vec<(Span, Temperature)>> {
    let from = firing.started.or_else(|| log.first().map(|s| s.at))?;
    let points: Vec<_> = log
        .iter()
        .filter_map(|s| Some((Span::s(s.at.duration_since(from).as_secs_f64()), s.sensor?)))
        .collect();
    let hot = points.iter().any(|p| p.1 >= LEAST_HOT);
    (points.len() >= LEAST && hot).then_some(points)
}

/// Stretches since a moment.
pub fn spans(bad: &[BadStretch], since: Timestamp) -> Vec<(Span, Span)> {
    let after = |at: Timestamp| Span::s(at.duration_since(since).as_secs_f64());
    bad.iter().map(|b| (after(b.from), after(b.to))).collect()
}
