//! What share of full power the elements are asked for, as far as a log tells.

/// A controller that is behind by this asks for all that there is, K.
const FULL_K: f64 = 20.0;
/// One that waits for its kiln is behind by less; it is taken to ask for all when it is behind by this for some time
/// and the kiln climbs slower than its programme by this share, K and s.
const BEHIND_K: f64 = 8.0;
const BEHIND_S: f64 = 900.0;
const SLOWER: f64 = 0.93;
/// A kiln hotter than its set point by this gets nothing, K.
const ABOVE_K: f64 = 20.0;
/// What the kiln took is found with this lag, s; what was asked for is led through the same.
pub const LAG_S: f64 = 600.0;
/// What is only inferred counts after this long, s.
const SETTLES_S: f64 = 1500.0;

/// What is known of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// How long it is, s.
    pub long_s: f64,
    /// Duty that was told.
    pub duty: Option<f64>,
    /// The set point is ahead of the sensor by this, K; behind on the way down.
    pub lag_k: f64,
    /// Rate of the sensor and of the programme, K/s, where it has one.
    pub rate: f64,
    /// See `rate`.
    pub planned: Option<f64>,
    /// The programme is over.
    pub over: bool,
    /// It climbs, or waits to have climbed.
    pub climbs: bool,
}

/// The same as seen by the filter that finds what the kiln took.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    smooth: Option<f64>,
    /// The same has been inferred for so long, s.
    same: Option<(f64, f64)>,
    behind_s: f64,
    /// Duty was told before.
    tells: bool,
}

/// A share and how far it counts, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Of full power, as it is just now.
    pub now: f64,
    /// Led through the lag.
    pub smooth: f64,
    /// 0 to 1.
    pub counts: f64,
    /// It was told, not inferred.
    pub told: bool,
}

impl Asked {
    /// Takes a stretch.
    pub fn step(&mut self, seen: &Seen) -> Option<Share> {
        let slower = seen.planned.is_none_or(|p| seen.rate < SLOWER * p);
        if seen.climbs && seen.lag_k >= BEHIND_K && slower {
            self.behind_s += seen.long_s;
        } else {
            self.behind_s = 0.0;
        }
        self.tells |= seen.duty.is_some();
        let inferred = if self.tells {
            // A controller that tells its duty and does not now has stopped, or its log has a hole.
            seen.over.then_some(0.0)
        } else if seen.over || seen.lag_k <= -ABOVE_K {
            Some(0.0)
        } else if seen.climbs && (seen.lag_k >= FULL_K || self.behind_s >= BEHIND_S) {
            Some(1.0)
        } else {
            None
        };
        let told = seen.duty.is_some();
        let Some(now) = seen.duty.or(inferred) else {
            self.smooth = None;
            self.same = None;
            return None;
        };
        let share = 1.0 - (-seen.long_s / LAG_S).exp();
        let smooth = self.smooth.map_or(now, |s| s + share * (now - s));
        self.smooth = Some(smooth);
        let same_s = match self.same {
            Some((was, for_s)) if told || (was - now).abs() < 1e-9 => for_s + seen.long_s,
            _ => seen.long_s,
        };
        self.same = Some((now, same_s));
        let settled = told || same_s >= SETTLES_S;
        // While it changes, lags that are not quite alike show.
        let still = 1.0 / (1.0 + ((now - smooth) / 0.1).powi(2));
        Some(Share {
            now,
            smooth,
            counts: if settled { still } else { 0.0 },
            told,
        })
    }

    /// Forgets what was before a hole in the log.
    pub fn forget(&mut self) {
        self.smooth = None;
        self.same = None;
        self.behind_s = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SEEN: Seen = Seen {
        long_s: 300.0,
        duty: None,
        lag_k: 1.0,
        rate: 0.02,
        planned: Some(0.02),
        over: false,
        climbs: true,
    };

    #[test]
    fn a_kiln_that_keeps_up_tells_nothing() {
        let mut asked = Asked::default();
        assert!((0..20).all(|_| asked.step(&SEEN).is_none()));
        // Always behind by as much, but at its rate: that is how this controller is.
        let behind = Seen {
            lag_k: 10.0,
            ..SEEN
        };
        assert!((0..20).all(|_| asked.step(&behind).is_none()));
    }

    #[test]
    fn one_that_lags_is_asked_for_all_after_some_time() {
        let mut asked = Asked::default();
        let lags = Seen {
            lag_k: 10.0,
            rate: 0.015,
            ..SEEN
        };
        let found: Vec<_> = (0..12).map(|_| asked.step(&lags)).collect();
        assert!(found[..2].iter().all(Option::is_none));
        let last = found[11].unwrap();
        assert!((last.now, last.counts) == (1.0, 1.0) && !last.told);
    }

    #[test]
    fn duty_is_led_through_the_lag() {
        let mut asked = Asked::default();
        let duty = |d: f64| Seen {
            duty: Some(d),
            ..SEEN
        };
        asked.step(&duty(1.0));
        let now = asked.step(&duty(0.5)).unwrap();
        assert!(now.smooth > 0.6 && now.smooth < 0.85 && now.counts < 0.3);
        let later = (0..12).filter_map(|_| asked.step(&duty(0.5))).last();
        assert!((later.unwrap().smooth - 0.5).abs() < 0.01);
    }
}
