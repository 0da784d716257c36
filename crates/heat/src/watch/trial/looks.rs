//! Looks at what the watch does, printed for whoever sets its limits: `KILNS=6 SEED=101 cargo test -p glost-heat --lib -- --ignored
//! --nocapture watch::trial::looks::what_rings`.

use super::super::Event;
use super::super::evidence::Sign;
use super::super::track::Phase;
use super::*;

fn of(name: &str, usual: u64) -> u64 {
    let told = std::env::var(name).ok().and_then(|v| v.parse().ok());
    told.unwrap_or(usual)
}

fn asked() -> Ask {
    Ask {
        kilns: of("KILNS", 6) as usize,
        clean: of("CLEAN", 2) as usize,
        faults: of("FAULTS", 1) as usize,
        learnt: of("LEARNT", 4) as usize,
        seed: of("SEED", 101),
        threads: of("THREADS", 1) as usize,
    }
}

/// Printed, to be looked at: one firing, stretch by stretch.
#[test]
#[ignore = "a look at one firing"]
fn how_it_goes() {
    let (number, day, way) = (of("KILN", 0), of("DAY", 0), of("WAY", 1));
    let mut at = 0;
    one::each_day(&asked(), number as usize, |firing, learnt, burn| {
        at += 1;
        if at != day + 1 {
            return;
        }
        println!("{:?} fault {:?}", firing.plan, firing.fault);
        let mut eye = firing.eye(Way::ALL[way as usize], learnt).unwrap();
        println!("mean {:?}", eye.watch.kilns.belief().mean());
        let mut burn = burn;
        let mut seen = 0;
        for sample in burn.by_ref() {
            let sample = if way == 2 {
                one::sensor_alone(&sample)
            } else {
                sample
            };
            let events = eye.watch.take(&sample);
            let w = &eye.watch;
            for e in events {
                println!("      {e:?}");
            }
            if w.past.len() > seen {
                seen = w.past.len();
                let s = w.past.last().unwrap();
                let f: Vec<String> = w
                    .faults
                    .iter()
                    .flatten()
                    .map(|f| {
                        format!(
                            "{:?} {:.2}±{:.2} {:.0} since {:.1}",
                            f.sign,
                            f.size,
                            f.deviation,
                            f.gain,
                            f.since_s / 3600.0
                        )
                    })
                    .collect();
                println!(
                    "{:.2} read {:.0} set {:.0}{} {} {:?} asked {:?} share {:.2} metered {:.2} {f:?}",
                    s.to_s / 3600.0,
                    s.reading_k.unwrap_or(0.0) - 273.15,
                    s.set_k - 273.15,
                    if s.set_told { "" } else { "?" },
                    s.segment,
                    s.phase,
                    s.asked.map(|a| (
                        (a.now * 100.0).round(),
                        (a.smooth * 100.0).round(),
                        (a.counts * 100.0).round()
                    )),
                    s.share,
                    s.metered.unwrap_or(-1.0),
                );
            }
        }
        println!(
            "truth {:?} peak {:?}",
            burn.truth()
                .tiers
                .iter()
                .map(|t| t.cone)
                .collect::<Vec<_>>(),
            burn.truth().peak_over.map(Span::to_h)
        );
    });
}

/// Printed, to be looked at: everything that rings, firing by firing.
#[test]
#[ignore = "a look at what rings, minutes long"]
fn what_rings() {
    // ONLY=lid-open,clean looks at these alone.
    let only = std::env::var("ONLY").unwrap_or_default();
    let wanted = |id: &str| only.is_empty() || only.split(',').any(|o| o == id);
    let ask = asked();
    let mut tried = Trial::default();
    for number in 0..ask.kilns {
        one::each_day(&ask, number, |firing, learnt, burn| {
            let id = firing.fault.map_or("clean", |(i, _)| PLANTS[i].id);
            if wanted(id) {
                firing.watch(learnt, burn, &mut tried);
            }
        });
    }
    for w in &tried.watched {
        let fault = w
            .fault
            .map(|(i, at)| (PLANTS[i].id, (at.to_h() * 100.0).round() / 100.0));
        let rang: Vec<_> = w
            .rang
            .iter()
            .map(|r| {
                format!(
                    "{:?} {:.2}{}",
                    r.kind,
                    r.after.to_h(),
                    if r.so { " so" } else { "" }
                )
            })
            .collect();
        println!("{} {:?} {fault:?}: {rang:?}", w.kiln, w.way);
    }
    println!("gave up {}, refused {:?}", tried.gave_up, tried.refused);
    for way in Way::ALL {
        println!("{way:?} {:?}", clean(&tried, way));
        for (i, p) in PLANTS.iter().enumerate() {
            let f = found(&tried, i, way);
            let min = |s: Option<Span>| s.map_or(f64::NAN, |s| s.to_minutes());
            println!(
                "{way:?} {}: right {} any {} of {}, {:.0} {:.0} min",
                p.id,
                f.right,
                f.any,
                f.firings,
                min(f.median),
                min(f.most)
            );
        }
    }
}

/// Printed, to be looked at: how near clean firings come to the limits. Of each the largest gain of a fault that is as
/// large as its rule asks for.
#[test]
#[ignore = "a look at how near limits are, minutes long"]
fn how_near() {
    let ask = asked();
    for number in 0..ask.kilns {
        let mut day = 0;
        one::each_day(&ask, number, |firing, learnt, burn| {
            day += 1;
            if firing.fault.is_some() {
                return;
            }
            let mut eyes: Vec<_> = Way::ALL
                .iter()
                .map(|w| (firing.eye(*w, learnt).unwrap(), [0.0f64; 4]))
                .collect();
            let mut burn = burn;
            for sample in burn.by_ref() {
                let alone = one::sensor_alone(&sample);
                for (i, (eye, most)) in eyes.iter_mut().enumerate() {
                    eye.watch.take(if i == 2 { &alone } else { &sample });
                    let w = &eye.watch;
                    let gain = |sign: Sign, least: f64| {
                        let all = w.faults.iter().flatten();
                        all.filter(|f| {
                            f.sign == sign && f.size >= least && w.now_s() - f.since_s >= 900.0
                        })
                        .map(|f| f.gain)
                        .fold(0.0, f64::max)
                    };
                    let (weak, leak) = (gain(Sign::Weak, 0.10), gain(Sign::Leak, 0.08));
                    let any = gain(Sign::Weak, 0.0);
                    let told = if leak > any + 1.0 { leak } else { 0.0 };
                    for (m, g) in most
                        .iter_mut()
                        .zip([weak, leak, told, gain(Sign::Stuck, 0.10)])
                    {
                        *m = m.max(g);
                    }
                }
            }
            if burn.truth().gave_up {
                return;
            }
            for (way, (_, m)) in Way::ALL.iter().zip(&eyes) {
                println!(
                    "{number} {day} {way:?} weak {:.1} leak {:.1} told {:.1} stuck {:.1}",
                    m[0], m[1], m[2], m[3]
                );
            }
        });
    }
}

/// Printed, to be looked at: what rings beside a lost ring, watched to the end, and what became of the tiers.
#[test]
#[ignore = "a look at what rings, minutes long"]
fn beside_a_lost_ring() {
    let ask = asked();
    for number in 0..ask.kilns {
        one::each_day(&ask, number, |firing, learnt, burn| {
            let id = firing.fault.map_or("clean", |(i, _)| PLANTS[i].id);
            if !["element-out", "half-ring-out"].contains(&id) {
                return;
            }
            let mut burn = burn;
            let mut eyes: Vec<_> = [Way::New, Way::Learnt]
                .iter()
                .map(|w| (firing.eye(*w, learnt).unwrap(), Vec::new()))
                .collect();
            while let Some(sample) = burn.next() {
                for (eye, rang) in &mut eyes {
                    for e in eye.watch.take(&sample) {
                        if let Event::Began(a) = e {
                            rang.push(format!("{} {:.1}", a.kind.rule().id, burn.time().to_h()));
                            if a.kind == AlarmKind::OverFiring {
                                rang.push(a.words);
                            }
                        }
                    }
                }
            }
            let truth = burn.truth();
            let tiers: Vec<_> = truth
                .tiers
                .iter()
                .map(|t| t.cone.map(|c| (c * 10.0).round() / 10.0))
                .collect();
            println!(
                "{number} {id} {:?} wanted {} truth {tiers:?} gave up {} new {:?} learnt {:?}",
                firing.fault.map(|(_, p)| (p.fault, p.at.to_h())),
                firing.plan.cone.position(),
                truth.gave_up,
                eyes[0].1,
                eyes[1].1
            );
        });
    }
}

/// Printed, to be looked at: how far a drifting sensor moves the misfit, beside how far it wanders in clean firings.
#[test]
#[ignore = "a look at what a drift does, minutes long"]
fn what_a_drift_does() {
    let ask = asked();
    for number in 0..ask.kilns {
        one::each_day(&ask, number, |firing, learnt, burn| {
            let id = firing.fault.map_or("clean", |(i, _)| PLANTS[i].id);
            if !["clean", "sensor-drifts"].contains(&id) {
                return;
            }
            let at_s = firing.fault.map_or(4.0 * 3600.0, |(_, p)| p.at.to_s());
            let mut eye = firing.eye(Way::Learnt, learnt).unwrap();
            for sample in burn {
                eye.watch.take(&sample);
                if eye.watch.track.phase == Phase::Over {
                    break;
                }
            }
            let mean = |from: f64, to: f64| {
                let these = eye
                    .watch
                    .past
                    .iter()
                    .filter(|s| s.to_s > from && s.to_s <= to);
                let all: Vec<f64> = these
                    .filter_map(|s| Some(s.asked.filter(|a| a.counts > 0.3)?.smooth - s.share))
                    .collect();
                if all.is_empty() {
                    f64::NAN
                } else {
                    100.0 * all.iter().sum::<f64>() / all.len() as f64
                }
            };
            let h = 3600.0;
            println!(
                "{number} {id} before {:.1} then {:.1} {:.1} {:.1} {:.1}",
                mean(at_s - 2.0 * h, at_s),
                mean(at_s, at_s + 2.0 * h),
                mean(at_s + 2.0 * h, at_s + 4.0 * h),
                mean(at_s + 4.0 * h, at_s + 6.0 * h),
                mean(at_s + 6.0 * h, at_s + 9.0 * h),
            );
        });
    }
}
