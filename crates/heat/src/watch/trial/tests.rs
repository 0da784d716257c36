use super::*;

fn small(threads: usize) -> Trial {
    trial(&Ask {
        kilns: 2,
        clean: 1,
        faults: 0,
        learnt: 1,
        seed: 101,
        threads,
    })
}

#[test]
fn threads_do_not_change_the_answer() {
    let one = small(1);
    assert_eq!(one, small(2));
    assert!(one.refused.is_empty(), "{:?}", one.refused);
    assert_eq!(one.watched.len() + 2 * one.gave_up, 4);
}

/// Printed, to be looked at: everything that rings, firing by firing.
#[test]
#[ignore = "a look at what rings, minutes long"]
fn what_rings() {
    let of = |name: &str, usual: u64| {
        let told = std::env::var(name).ok().and_then(|v| v.parse().ok());
        told.unwrap_or(usual)
    };
    let ask = Ask {
        kilns: of("KILNS", 6) as usize,
        clean: of("CLEAN", 2) as usize,
        faults: of("FAULTS", 1) as usize,
        learnt: of("LEARNT", 4) as usize,
        seed: of("SEED", 101),
        threads: 1,
    };
    let tried = trial(&ask);
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
