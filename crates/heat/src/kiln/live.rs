//! A kiln that is led along by what its sensor was seen to do, step by step.

use std::ops::ControlFlow;

use super::build::KilnModel;
use super::cones::Cones;
use super::control::Aim;
use super::simulate::{Accuracy, NotSimulated, Standing, shape};
use super::system::Firing;
use crate::network::integrate::{Run, integrate_shaped};

/// Longest piece between two looks at the cones, s.
const PIECE_S: f64 = 300.0;

/// How the elements are driven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Drive {
    /// As it takes to make the sensor show what it showed, within what may be: the share of full power tells.
    Seen,
    /// As a controller would, with the power that there is.
    Controlled,
    /// Off.
    Off,
}

/// Shares of full power within which a kiln is made to follow its sensor. More than all of it tells of more power than
/// was believed; less than nothing of heat that is lost in a way that the kiln cannot lose it, and no further than the
/// elements stay above 0 K.
const SEEN: (f64, f64) = (-0.25, 2.0);

/// One kiln as it stands.
pub(crate) struct Live {
    model: KilnModel,
    y: Vec<f64>,
    time_s: f64,
    cones: Cones,
}

impl Live {
    /// A cold kiln.
    pub fn new(model: KilnModel) -> Self {
        let aim = Aim::Off { until_k: 0.0 };
        let y = Firing { model: &model, aim }.start();
        let cones = Cones::new(model.zones.len());
        Self {
            model,
            y,
            time_s: 0.0,
            cones,
        }
    }

    /// The kiln.
    pub fn model(&self) -> &KilnModel {
        &self.model
    }

    /// Seconds since the start.
    pub fn time_s(&self) -> f64 {
        self.time_s
    }

    /// Its cones.
    pub fn cones(&self) -> &Cones {
        &self.cones
    }

    /// Lets what was warm before the start have been so for some time: the set point, and with it the sensor, stand
    /// at this, K.
    ///
    /// # Errors
    /// [`NotSimulated`]; the kiln is as it was.
    pub fn warm(&mut self, at_k: f64, for_s: f64) -> Result<(), NotSimulated> {
        let was = (self.y.clone(), self.time_s);
        let sinks = self.firing(Aim::Off { until_k: 0.0 }).net_len()..self.set_index();
        let set = self.set_index();
        self.y[set] = at_k;
        self.time_s = -for_s;
        let warmed = self.lead(0.0, at_k, Drive::Controlled, true);
        if warmed.is_err() {
            (self.y, self.time_s) = was;
            return warmed.map(|_| ());
        }
        // Water is still in the ware, and nothing was drawn yet.
        for i in sinks {
            self.y[i] = was.0[i];
        }
        let energy = self.model.net.node_count();
        self.y[energy] = 0.0;
        self.time_s = 0.0;
        self.cones = Cones::new(self.model.zones.len());
        Ok(())
    }

    /// Goes on to a time while the set point moves to a temperature, K. Gives the mean power, W.
    ///
    /// # Errors
    /// [`NotSimulated`]; the kiln is then as it was, but for the time.
    pub fn lead(
        &mut self,
        to_s: f64,
        set_k: f64,
        drive: Drive,
        shut: bool,
    ) -> Result<f64, NotSimulated> {
        let before = (self.energy_j(), self.time_s);
        let whole_s = to_s - self.time_s;
        if whole_s <= 0.0 {
            return Ok(0.0);
        }
        let set = self.set_index();
        let rate = (set_k - self.y[set]) / whole_s;
        while self.time_s < to_s - 1e-6 {
            let pieces = ((to_s - self.time_s) / PIECE_S).ceil();
            let next_s = self.time_s + (to_s - self.time_s) / pieces;
            let aim = match drive {
                Drive::Off => Aim::Off { until_k: 0.0 },
                Drive::Seen => Aim::Follow {
                    rate,
                    between: SEEN,
                    shut,
                },
                Drive::Controlled => Aim::Follow {
                    rate,
                    between: (0.0, 1.0),
                    shut,
                },
            };
            self.piece(next_s, aim)
                .inspect_err(|_| self.time_s = to_s)?;
        }
        if drive == Drive::Off {
            self.y[set] = set_k;
        }
        Ok((self.energy_j() - before.0) / (self.time_s - before.1))
    }

    fn piece(&mut self, to_s: f64, aim: Aim) -> Result<(), NotSimulated> {
        let model = &self.model;
        let run = Run {
            from_s: self.time_s,
            to_s,
            relative: Accuracy::USUAL.relative,
            absolute: Accuracy::USUAL.absolute,
            longest_s: Accuracy::USUAL.longest_s,
            look_every_s: to_s - self.time_s,
        };
        let firing = Firing { model, aim };
        let mut nothing = |_: f64, _: &[f64]| ControlFlow::Continue(());
        let reached = integrate_shaped(&firing, shape(model)?, &self.y, run, &mut nothing)?;
        if !reached.y.iter().all(|v| v.is_finite()) {
            return Err(NotSimulated::Lost);
        }
        self.y = reached.y;
        self.time_s = to_s;
        self.cones.look(&self.model, to_s, &self.y);
        Ok(())
    }

    fn firing(&self, aim: Aim) -> Firing<'_> {
        Firing {
            model: &self.model,
            aim,
        }
    }

    fn set_index(&self) -> usize {
        self.firing(Aim::Off { until_k: 0.0 }).set_index()
    }

    /// What its sensor shows, K.
    pub fn sensor_k(&self) -> f64 {
        self.firing(Aim::Off { until_k: 0.0 }).sensor_k(&self.y)
    }

    /// How hot its sensor is, K.
    pub fn tip_k(&self) -> f64 {
        self.model.net.temp_k(self.model.sensor, 0.0, &self.y)
    }

    /// Power when its elements are hot, W.
    pub fn full_w(&self) -> f64 {
        self.firing(Aim::Off { until_k: 0.0 }).full_power_w()
    }

    /// Ware of a zone, K.
    pub fn ware_k(&self, zone: usize) -> f64 {
        let zone = self.model.zones.get(zone);
        zone.map_or(f64::NAN, |z| self.model.ware_k(z, &self.y))
    }

    /// Energy that it took so far, J.
    pub fn energy_j(&self) -> f64 {
        self.y[self.model.net.node_count()]
    }
}

/// Kilns that were led alike differ by what they were drawn with; one between them stands between them. `all` has
/// shares that add up to 1. Gives it with its set point at `set_k`, ready for a course of `over` segments behind it.
pub(crate) fn between(all: &[(&Live, f64)], set_k: f64, over: usize) -> Option<Standing> {
    let (first, _) = all.first()?;
    let cones: Vec<(&Cones, f64)> = all.iter().map(|(l, s)| (&l.cones, *s)).collect();
    let mut y: Vec<f64> = (0..first.y.len())
        .map(|i| {
            let each = all.iter().filter_map(|(l, s)| Some(l.y.get(i)? * s));
            each.sum()
        })
        .collect();
    let aim = Aim::Off { until_k: 0.0 };
    let firing = first.firing(aim);
    let (sinks, set) = (firing.net_len(), firing.set_index());
    let coldest = first.model.input.room.to_k().min(250.0);
    for (i, v) in y.iter_mut().enumerate() {
        if i < first.model.net.node_count() && first.y[i] > coldest && !first.model.counts(i) {
            *v = v.max(coldest);
        } else if (sinks..set).contains(&i) {
            *v = v.clamp(0.0, 1.0);
        } else if i == set {
            *v = set_k;
        } else if i > set {
            *v = v.clamp(0.0, 1.0);
        }
    }
    Some(Standing {
        time_s: first.time_s,
        y,
        over,
        cones: Cones::mixed(&cones)?,
    })
}
