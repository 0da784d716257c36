use super::trial::{Ask, Way, figures, trial};

#[test]
fn table() {
    let ask = Ask {
        kilns: std::env::var("KILNS")
            .ok()
            .and_then(|k| k.parse().ok())
            .unwrap_or(4),
        seed: std::env::var("SEED")
            .ok()
            .and_then(|k| k.parse().ok())
            .unwrap_or(1),
        threads: 2,
        firings: 6,
    };
    let t = trial(&ask);
    for after in [0, 1, 2, 3, 4, 5, 6] {
        for way in [Way::Prior, Way::CarriedOver, Way::Learnt] {
            let of = || {
                t.cases
                    .iter()
                    .filter(move |c| c.after == after && c.way == way)
            };
            let c = figures(of().flat_map(|c| &c.cones));
            let p = figures(of().filter_map(|c| c.peak.as_ref()));
            let e = figures(of().map(|c| &c.energy));
            println!(
                "{after} {way:?}: cone {:.2} worst {:.2} in {:.2?} | peak {:.1} min worst {:.1} in {:.2?} | energy {:.1} % worst {:.1} in {:.2?}",
                c.root,
                c.worst,
                c.within,
                p.root / 60.0,
                p.worst / 60.0,
                p.within,
                e.root * 100.0,
                e.worst * 100.0,
                e.within
            );
        }
    }
    println!("gave up {}, refused {:#?}", t.gave_up, t.refused);
    for l in &t.learnt {
        println!("{:?} {:?}", l.foretold().map(|f| f.words()), l.scatter);
        for p in l.parameters(glost_model::shown::Shown::default()) {
            println!(
                "   {} {:.3} ± {:.3}: {}",
                p.id, p.value, p.deviation, p.words
            );
        }
    }
}
