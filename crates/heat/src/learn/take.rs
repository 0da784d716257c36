//! One more firing.

use faer::Mat;
use glost_model::{Energy, Span};

use super::curve::NoUse;
use super::feature::{Bound, Kind, worst, zone_of};
use super::fit::{Fitted, fit, inverse};
use super::foretell::{Ahead, ahead};
use super::known::{COUNT, KNOWN, POWER};
use super::learnt::{Learnt, Looked, Missed, Scatter};
use super::model::{Run, fan};
use super::past::{Past, Ready};

/// A fit that leaves more than this on the average, in squared deviations, does not explain the firing.
const LEFT: f64 = 4.0;
/// A kiln that moves further from one firing to the next, in squared deviations over all parameters, has a fault or was
/// loaded otherwise than planned: one sound firing in some thousands by the law of chi squared with seven degrees.
const MOVED: f64 = 26.0;
/// Two firings that say the same this nearly are believed, in squared deviations.
const AGREE: f64 = 12.0;

impl Learnt {
    /// Learns from one more firing, later than all before. One of no use is noted with why, and nothing else changes.
    pub fn take(&mut self, past: &Past, threads: usize) {
        let looked = match self.look(past, threads) {
            Ok(looked) => looked,
            Err(why) => Looked {
                id: past.id.clone(),
                at: past.at,
                refused: Some(why.to_string()),
                missed: None,
                power: None,
                changed: false,
            },
        };
        self.firings.push(looked);
    }

    fn look(&mut self, past: &Past, threads: usize) -> Result<Looked, NoUse> {
        if !(past.input.ageing.is_finite() && past.input.ageing > 0.0) {
            return Err(NoUse::NotSimulated);
        }
        let mean = self.mean_for(&past.input);
        let mut next = square(&self.ahead());
        let ready = Ready::of(past, &mean)?;
        let first = fan(&ready.input, &ready.plan, &mean, threads)?;
        let told = ahead(&first, &next, self);
        let mut fitted = fit(&ready, &mean, &next, &first, threads)?;
        let mut doubted = None;
        let mut refused = None;
        let mut changed = false;
        if fitted.left > LEFT || (self.used() > 0 && fitted.moved > MOVED) {
            // As if nothing were known of it but where it was.
            let fresh = square(&Self::nothing().ahead());
            let wide = fit(&ready, &mean, &fresh, &first, threads)?;
            if wide.left > LEFT {
                let why = worst(&ready.features, &wide.misses, &ready.marks);
                refused = Some(format!("the model cannot explain it: {why}"));
            } else if self.used() == 0 || self.agrees(&wide) {
                changed = self.used() > 0;
                self.covariance = Self::nothing().covariance;
                (next, fitted) = (fresh, wide);
            } else {
                refused = Some(self.changed(&wide));
                doubted = Some(wide.at);
            }
        }
        let (missed, squares) = against(&ready, &told, &first);
        let deviation = fitted.covariance[(POWER, POWER)].max(0.0).sqrt();
        let power = fitted.at[POWER] - past.input.ageing.ln();
        let looked = Looked {
            id: past.id.clone(),
            at: past.at,
            missed: Some(missed),
            power: refused.is_none().then_some((power, deviation)),
            refused,
            changed,
        };
        self.doubted = doubted;
        if looked.refused.is_some() {
            return Ok(looked);
        }
        let walked = self.used() > 0;
        self.settle(&mean, &next, &fitted, walked);
        let peak_s = looked.missed.as_ref().and_then(|m| m.peak_s);
        if let (Some(miss), Some(peak), Some((_, run))) = (peak_s, told.peak, first.first()) {
            let own = peak.value * self.scatter.peak.0;
            let later = self.late.of(run).0 + miss.to_s();
            self.late.see(run, later, peak.by_kiln.hypot(own));
        }
        if walked {
            Scatter::see(&mut self.scatter.cone, &squares.cone);
            Scatter::see(&mut self.scatter.peak, &squares.peak);
            Scatter::see(&mut self.scatter.energy, &squares.energy);
        }
        self.ageing = past.input.ageing;
        Ok(looked)
    }

    /// How far off a firing is foretold that was not learnt from; nothing for one of no use.
    pub(super) fn misses(&self, past: &Past) -> Option<Missed> {
        let mean = self.mean_for(&past.input);
        let ready = Ready::of(past, &mean).ok()?;
        let run = [(0.0, ready.run(&mean).ok()?)];
        let told = ahead(&run, &square(&self.ahead()), self);
        Some(against(&ready, &told, &run).0)
    }

    /// The firing before said the same and was not believed.
    fn agrees(&self, wide: &Fitted) -> bool {
        let (Some(before), Some(firm)) = (&self.doubted, inverse(&wide.covariance)) else {
            return false;
        };
        let off: Vec<f64> = wide.at.iter().zip(before).map(|(a, b)| a - b).collect();
        let apart: f64 = (0..COUNT)
            .map(|i| {
                (0..COUNT)
                    .map(|k| off[i] * firm[(i, k)] * off[k])
                    .sum::<f64>()
            })
            .sum();
        apart / 2.0 <= AGREE
    }

    /// Says what would have changed.
    fn changed(&self, wide: &Fitted) -> String {
        let far = |i: &usize| (wide.at[*i] - self.mean[*i]).abs() / KNOWN[*i].prior.width;
        let furthest = (0..COUNT).max_by(|a, b| far(a).total_cmp(&far(b)));
        let what = furthest
            .and_then(|i| KNOWN.get(i))
            .map_or("it", |k| k.prior.what);
        format!(
            "the kiln would have changed more since the firing before than kilns do ({what}): a fault, or another load than planned; if the next firing says the same it is believed"
        )
    }

    /// What stays of a firing's kiln, apart from what was of one day.
    fn settle(&mut self, mean: &[f64], next: &Mat<f64>, fitted: &Fitted, walked: bool) {
        let mut known = square(&self.covariance);
        for (i, k) in KNOWN.iter().enumerate().filter(|_| walked) {
            known[(i, i)] += k.walks * k.walks;
        }
        let Some(firm) = inverse(next) else { return };
        let gain = &known * &firm;
        let spread = next - &fitted.covariance;
        let settled = &known - &gain * spread * gain.transpose();
        for i in 0..COUNT {
            let by: f64 = (0..COUNT)
                .map(|k| gain[(i, k)] * (fitted.at[k] - mean[k]))
                .sum();
            self.mean[i] = mean[i] + by;
            for k in 0..COUNT {
                self.covariance[i][k] = (settled[(i, k)] + settled[(k, i)]) / 2.0;
            }
        }
    }
}

pub(super) fn square(rows: &[Vec<f64>]) -> Mat<f64> {
    Mat::from_fn(COUNT, COUNT, |i, k| {
        rows.get(i).and_then(|r| r.get(k)).copied().unwrap_or(0.0)
    })
}

/// Squared misses beyond what doubt in the parameters explains.
#[derive(Default)]
struct Squares {
    cone: Vec<f64>,
    peak: Vec<f64>,
    energy: Vec<f64>,
}

/// What happened against what was foretold.
fn against(ready: &Ready, told: &Ahead, first: &[(f64, Run)]) -> (Missed, Squares) {
    let mut squares = Squares::default();
    let more = |miss: f64, deviation: f64| (miss * miss - deviation * deviation).max(0.0);
    let mut cones = Vec::new();
    let zones = told
        .cones
        .iter()
        .map(|(n, t)| (n.clone(), t.value))
        .collect();
    for f in &ready.features {
        if let Kind::Cone(tier, Bound::At) = &f.kind
            && let Some((name, place)) = zone_of(&zones, tier)
        {
            let miss = f.seen - place;
            let doubt = told.cones.iter().find(|(n, _)| n == name);
            let doubt = doubt.map_or(0.0, |(_, t)| t.by_kiln);
            squares.cone.push(more(miss, doubt));
            cones.push((tier.clone(), miss));
        }
    }
    let start = ready.curve.first().filter(|_| ready.marks.from_cold);
    let end = ready.marks.peak_end(&ready.curve);
    let planned = first
        .first()
        .and_then(|(_, r)| ready.marks.peak_end(&r.curve));
    let mut peak_s = None;
    let mut energy_j = None;
    if let (Some(start), Some(end), Some(planned)) = (start, end, planned) {
        let took = end.time_s - start.time_s;
        let clean = ready.curve.clean(start.time_s, end.time_s);
        if clean {
            let late = told.peak.zip(first.first().and_then(|f| f.1.peak_over_s));
            let miss = took - planned.time_s - late.map_or(0.0, |(t, run)| t.value - run);
            let doubt = told.peak.map_or(0.0, |t| t.by_kiln);
            squares
                .peak
                .push(more(miss, doubt) / planned.time_s.max(1.0).powi(2));
            peak_s = Some(Span::s(miss));
        }
        if let (true, Some(a), Some(b), Some(c)) =
            (clean, start.drawn_j, end.drawn_j, planned.drawn_j)
        {
            let (drawn, foretold) = (b - a, c.max(1.0));
            let miss = drawn - foretold;
            let doubt = told.energy.by_kiln;
            squares.energy.push(more(miss, doubt) / foretold.powi(2));
            energy_j = Some((Energy::j(miss), miss / foretold));
        }
    }
    (
        Missed {
            cones,
            peak_s,
            energy_j,
        },
        squares,
    )
}
