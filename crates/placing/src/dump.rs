use crate::plan::PlanAsk;
use crate::region::Region;
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::shape::Outline;
use glost_model::text::{Texts, read};
use glost_rules::RuleBook;
use std::fmt::Write as _;

fn studio(dir: &str) -> glost_model::studio::Studio {
    let t = |n: &str| std::fs::read_to_string(format!("{dir}/{n}")).unwrap();
    read(&Texts {
        studio: t("studio.toml"),
        clays: t("clays.toml"),
        glazes: t("glazes.toml"),
        furniture: t("furniture.toml"),
        kilns: t("kilns.toml"),
        pieces: t("pieces.csv"),
    })
    .unwrap()
}

#[test]
fn dump() {
    let base = env!("CARGO_MANIFEST_DIR");
    for (dir, kiln) in [
        ("../../demo", "Heron"),
        ("../../demo", "Badger"),
        ("../model/tests/data/inches", "Marten"),
    ] {
        let s = studio(&format!("{base}/{dir}"));
        let book = RuleBook::from_overrides(&s.rule_overrides, "studio.toml").unwrap();
        let rounds: u32 = std::env::var("ROUNDS")
            .ok()
            .and_then(|r| r.parse().ok())
            .unwrap_or(100);
        let ask = PlanAsk {
            studio: &s,
            book: &book,
            kiln,
            cone: Cone::parse("6").unwrap(),
            kind: FiringKind::Glaze,
            today: jiff::civil::date(2026, 11, 25),
            seed: 1,
            rounds,
        };
        let (ware, _) = crate::ware::sort_out(&ask);
        let mut out = String::from("[\n");
        for (i, w) in ware.iter().enumerate() {
            let (l, wd) = w.piece.widest.extent();
            let form = match w.piece.widest {
                Outline::Circle { .. } => "c",
                Outline::Ellipse { .. } => "e",
                Outline::Rectangle { .. } => "r",
                Outline::Polygon { .. } => "p",
            };
            let slab = w.body.parts.iter().map(|d| d.r_m).fold(0.0, f64::max);
            writeln!(out, "{}{{\"id\":\"{}\",\"what\":\"{}\",\"form\":\"{form}\",\"l\":{},\"w\":{},\"top\":{},\"value\":{},\"area\":{},\"gap\":{},\"kg\":{},\"group\":\"{}\",\"disc\":{},\"ndisc\":{},\"shuns\":{:?}}}", if i > 0 { "," } else { "" }, w.piece.id, w.piece.what, l.to_m(), wd.to_m(), w.body.top_m, w.value, w.area_m2, w.body.gap_m, w.piece.mass.to_kg(), w.piece.group.clone().unwrap_or_default(), slab, 1, w.shuns).unwrap();
        }
        out.push_str("]\n");
        std::fs::write(format!("/tmp/ware_{kiln}.json"), out).unwrap();
        let t = std::time::Instant::now();
        let k = s.kiln(kiln).unwrap();
        let b = crate::bound::bound(&ask, k, &ware);
        let typ = b.typical_best;
        let b = b.at_most;
        println!("typical {typ:.1}");
        println!(
            "{kiln}: old bound {b:.1} in {:?}, {} pieces, all {:.1}",
            t.elapsed(),
            ware.len(),
            ware.iter().map(|w| w.value).sum::<f64>()
        );
        if rounds == 0 {
            continue;
        }
        let p = crate::plan(&ask, &mut |_, _| true).unwrap();
        println!("plan {:.1} in {:?}", p.worth.value, t.elapsed());
        for t in &p.tiers {
            let a: f64 = t
                .pieces
                .iter()
                .map(|p| ware.iter().find(|w| w.piece.id == p.piece).unwrap().area_m2)
                .sum();
            let sh = s
                .furniture
                .shelves
                .iter()
                .find(|f| f.name == t.shelf)
                .unwrap();
            println!(
                "  {} {:?} top {:.0} clear {:.0} n {} density {:.3} kg {:.1}",
                t.name,
                t.side,
                t.top_m.to_mm(),
                t.clear_m.to_mm(),
                t.pieces.len(),
                a / Region::shelf(&sh.shape, t.side).measure().area_m2,
                t.pieces
                    .iter()
                    .map(|p| s.piece(&p.piece).unwrap().mass.to_kg())
                    .sum::<f64>()
            );
        }
    }
}
