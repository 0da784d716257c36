use glost_model::doubt::{Band, Limit};
use glost_model::firing::FiringPlan;

use super::*;
use crate::validation::kilns::{SMALL, kiln, plan, small_firing, tariff};

fn small() -> (KilnInput, FiringPlan) {
    (kiln(&SMALL), small_firing().unwrap())
}

fn drawn(draws: &Draws<'_>) -> Ensemble {
    let (kiln, plan) = small();
    ensemble(&kiln, &plan, &tariff(), draws).unwrap()
}

/// Every prior this much as wide.
fn scaled(times: f64) -> [Prior; 6] {
    PRIORS.map(|p| Prior {
        width: p.width * times,
        ..p
    })
}

fn same<T: Copy>(value: T) -> Band<T> {
    Band {
        low: value,
        middle: value,
        high: value,
    }
}

fn kwh(d: &Draw) -> f64 {
    d.forecast.energy_j.to_kwh()
}

#[test]
fn the_same_seed_draws_the_same_whatever_the_threads() {
    let with = |threads, seed| {
        drawn(&Draws {
            number: 7,
            seed,
            threads,
            ..Draws::default()
        })
    };
    let one = with(1, 5);
    for threads in [2, 3, 50] {
        let other = with(threads, 5);
        assert_eq!(one, other, "{threads} threads");
        let bits = |e: &Ensemble| {
            let of = |d: &Draw| d.forecast.energy_j.to_j().to_bits();
            e.draws.iter().map(of).collect::<Vec<_>>()
        };
        assert_eq!(bits(&one), bits(&other), "{threads} threads");
    }
    assert_ne!(one, with(2, 6));
}

#[test]
fn without_doubt_every_draw_is_the_forecast() {
    let (kiln, plan) = small();
    let priors = scaled(0.0);
    let all = drawn(&Draws {
        number: 3,
        priors: &priors,
        ..Draws::default()
    });
    let model = KilnModel::new(kiln.clone()).unwrap();
    let forecast = simulate(&model, &plan, &tariff(), Extent::Cooling).unwrap();
    for d in &all.draws {
        assert_eq!(d.forecast, forecast);
    }
    let doubt = all.doubt(&tariff(), margin(&kiln, &plan, &tariff()).unwrap());
    assert_eq!(doubt.energy_j, same(forecast.energy_j));
    assert_eq!(doubt.cost_cents, Some(same(forecast.cost_cents)));
    assert_eq!(doubt.peak_over_s, same(forecast.peak_over(&plan)));
    assert_eq!(doubt.over_s, same(Some(forecast.firing_s)));
    assert_eq!(doubt.open_s, same(forecast.cooled[2].time_s));
    for (z, f) in doubt.zones.iter().zip(&forecast.zones) {
        assert_eq!(z.tiers, f.tiers);
        assert_eq!(z.cone_position, same(f.cone_position));
    }
    // The curve is the forecast's own where both have an instant.
    assert!((20..=200).contains(&doubt.curve.len()));
    for b in &doubt.curve {
        assert!(b.sensor_c.low == b.sensor_c.high && b.ware_c.low == b.ware_c.high);
        for s in forecast.samples.iter().filter(|s| s.time_s == b.time_s) {
            assert!((s.sensor_c - b.sensor_c.middle).to_k().abs() < 1e-9);
        }
    }
}

/// Near enough to the forecast, every figure moves in proportion: differences by one prior at a time tell what all
/// together do.
#[test]
fn a_narrow_ensemble_is_what_slopes_foretell() {
    let narrow = scaled(0.2);
    let (kiln, plan) = small();
    let fired = |input: KilnInput| {
        let model = KilnModel::new(input).unwrap();
        simulate(&model, &plan, &tariff(), Extent::Cooling).unwrap()
    };
    let figures = |f: &Forecast| {
        [
            f.energy_j.to_kwh(),
            f.zones[0].cone_position,
            f.zones[2].cone_position,
            f.cooled[2].time_s.unwrap().to_h(),
        ]
    };
    let at = figures(&fired(kiln.clone()));
    let slopes: Vec<[f64; 4]> = narrow
        .iter()
        .map(|p| {
            let end = |sign: f64| {
                let mut input = kiln.clone();
                (p.shift)(&mut input, sign * p.width);
                figures(&fired(input))
            };
            let (up, down) = (end(1.0), end(-1.0));
            std::array::from_fn(|i| (up[i] - down[i]) / (2.0 * p.width))
        })
        .collect();
    let all = drawn(&Draws {
        priors: &narrow,
        ..Draws::default()
    });
    for i in 0..at.len() {
        let real = |d: &Draw| figures(&d.forecast)[i];
        let foretold = |d: &Draw| {
            let moved = d.shifts.iter().zip(&slopes).map(|(by, s)| by * s[i]);
            at[i] + moved.sum::<f64>()
        };
        let (real_band, told_band) = (all.band(real), all.band(foretold));
        let wide = told_band.high - told_band.low;
        assert!(wide > 0.0);
        for (r, t) in [
            (real_band.low, told_band.low),
            (real_band.middle, told_band.middle),
            (real_band.high, told_band.high),
        ] {
            assert!(
                (r - t).abs() < 0.06 * wide,
                "{i}: {real_band:?} {told_band:?}"
            );
        }
        for d in &all.draws {
            let off = (real(d) - foretold(d)).abs();
            assert!(off < 0.15 * wide, "{i}: {} for {}", real(d), foretold(d));
        }
    }
}

#[test]
fn more_draws_do_not_widen_the_bands() {
    let wide = |number, seed| {
        let all = drawn(&Draws {
            number,
            seed,
            ..Draws::default()
        });
        let (energy, cone) = (
            all.band(kwh),
            all.band(|d| d.forecast.zones[0].cone_position),
        );
        [energy.high - energy.low, cone.high - cone.low]
    };
    let many = wide(120, 1);
    for seed in 1..=4 {
        for (few, many) in wide(24, seed).iter().zip(&many) {
            assert!((0.7..1.4).contains(&(few / many)), "{few} for {many}");
        }
    }
}

#[test]
fn energy_closes_in_every_draw() {
    for d in &drawn(&Draws::default()).draws {
        let (f, s) = (&d.forecast, &d.forecast.split);
        let out = s.lost_j + s.vent_j + s.stored_j + s.reactions_j;
        assert!((out / f.energy_j - 1.0).abs() < 1e-3, "{:?}", d.shifts);
    }
}

/// Full power and climbing: what it lacks in power it takes in time, and at last it stalls.
#[test]
fn older_elements_never_peak_sooner_and_at_last_stall() {
    let (kiln, plan) = small();
    let mut last = Some(Span::ZERO);
    let mut stalled = 0;
    for percent in (0..=100).step_by(5) {
        let mut input = kiln.clone();
        input.ageing = 1.0 + f64::from(percent) / 100.0;
        let model = KilnModel::new(input).unwrap();
        let forecast = simulate(&model, &plan, &tariff(), Extent::Firing).unwrap();
        let over = forecast.peak_over(&plan);
        // Never again once it stalls; within what a step of the integrator may do.
        match (last, over) {
            (Some(before), Some(now)) => assert!(now + Span::s(20.0) >= before, "+{percent} %"),
            (None, now) => assert_eq!(now, None, "+{percent} %"),
            (Some(_), None) => stalled = percent,
        }
        last = over;
    }
    assert!(stalled > 0, "never stalls");
    let found = margin(&kiln, &plan, &tariff()).unwrap();
    let Limit::At(reaches) = found.reaches else {
        panic!("{found:?}");
    };
    let at = reaches.ageing * 100.0 - 100.0;
    assert!((f64::from(stalled) - 5.0..=f64::from(stalled)).contains(&at));
    assert!(reaches.stalls_c.is_some());
}

/// One search by power answers for both: at its limits the kiln fails, a little within it does not.
#[test]
fn limits_of_age_and_voltage_are_where_they_are_said_to_be() {
    let (kiln, plan) = small();
    let found = margin(&kiln, &plan, &tariff()).unwrap();
    let (Limit::At(keeps), Limit::At(reaches)) = (found.keeps, found.reaches) else {
        panic!("{found:?}");
    };
    assert!(reaches.power <= keeps.power && keeps.power < 1.0);
    let try_at = |ageing: f64, mains: f64| {
        let mut input = kiln.clone();
        (input.ageing, input.mains) = (ageing, mains);
        strength(&input, &plan, &tariff()).unwrap()
    };
    for (limit, within) in [(keeps, 0.995), (reaches, 0.995)] {
        let (old, young) = (limit.ageing * 1.0005, limit.ageing * within);
        let (low, high) = (limit.mains * 0.9998, limit.mains / within);
        let pairs = [
            (try_at(old, 1.0), try_at(young, 1.0)),
            (try_at(1.0, low), try_at(1.0, high)),
        ];
        for (fails, does) in pairs {
            if limit == keeps {
                assert!(!fails.keeps && does.keeps, "{limit:?}");
            } else {
                assert!(!fails.reaches && does.reaches, "{limit:?}");
            }
        }
    }
}

#[test]
fn a_kiln_on_the_edge_stalls_in_some_draws_and_the_band_says_so() {
    let (mut kiln, plan) = small();
    let Limit::At(reaches) = margin(&kiln, &plan, &tariff()).unwrap().reaches else {
        panic!("no limit");
    };
    kiln.ageing = reaches.ageing * 0.99;
    let doubt = doubt(&kiln, &plan, &tariff(), &Draws::default()).unwrap();
    assert!((4..=20).contains(&doubt.missed), "{}", doubt.missed);
    assert!(doubt.peak_over_s.low.is_some());
    assert_eq!(doubt.peak_over_s.high, None);
    assert_eq!(doubt.open_s.high, None);
    let json = serde_json::to_string(&doubt).unwrap();
    let back: Doubt = serde_json::from_str(&json).unwrap();
    assert_eq!(back.peak_over_s, doubt.peak_over_s);
}

#[test]
fn too_little_and_more_than_enough_are_told_apart() {
    let (kiln, _) = small();
    let at = |cone: &str, segments: &[(f64, f64, f64)]| {
        margin(&kiln, &plan(cone, segments).unwrap(), &tariff()).unwrap()
    };
    let gentle = at("022", &[(60.0, 650.0, 60.0)]);
    assert_eq!((gentle.keeps, gentle.reaches), (Limit::Far, Limit::Far));
    // The programme itself asks for too little, and at a rate that no such kiln has.
    let wrong = at("6", &[(2000.0, 700.0, 0.0)]);
    assert_eq!((wrong.keeps, wrong.reaches), (Limit::Never, Limit::Never));
    let none = Draws {
        number: 0,
        ..Draws::default()
    };
    let (kiln, plan) = small();
    let refused = ensemble(&kiln, &plan, &tariff(), &none);
    assert_eq!(refused.unwrap_err(), NotDrawn::None);
}
