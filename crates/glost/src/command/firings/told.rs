//! Firings in words and as data.

use std::path::PathBuf;

use glost_model::load::{FiringKind, LeftOut, same_reason};
use glost_model::studio::Studio;
use glost_placing::backlog::Part;
use glost_studio::{Firings, ReadyFiring};
use jiff::ZonedDateTime;
use serde_json::{Value, json};

/// Share of the fullest firing below which one is called nearly empty.
const NEARLY_EMPTY: f64 = 0.2;

fn kind(kind: FiringKind) -> &'static str {
    match kind {
        FiringKind::Bisque => "bisque",
        FiringKind::Glaze => "glaze",
    }
}

fn plural(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

/// `Wed 25 Nov 2026, 09:00`.
fn moment(at: &ZonedDateTime) -> String {
    at.strftime("%a %-d %b %Y, %H:%M").to_string()
}

/// The whole answer for people.
pub fn words(studio: &Studio, found: &Firings) -> String {
    let fired: usize = found
        .firings
        .iter()
        .map(|f| f.file.load.placed().count())
        .sum();
    let mut lines = vec![format!(
        "{}: {} in {}",
        studio.name,
        plural(fired, "piece"),
        least(found)
    )];
    lines.extend(found.least.parts.iter().map(part));
    for (i, firing) in found.firings.iter().enumerate() {
        lines.push(String::new());
        lines.extend(one(studio, i + 1, firing));
        lines.extend(may_wait(studio, found, firing));
    }
    if !found.late.is_empty() {
        lines.push("\nToo late:".to_owned());
    }
    for late in &found.late {
        lines.push(format!(
            "  {}: due {}, to be had on {}; {}",
            late.piece, late.due, late.done, late.why
        ));
    }
    if !found.stay.is_empty() {
        lines.push("\nNo firing can take:".to_owned());
    }
    for group in same_reason(found.stay.iter()) {
        let names: Vec<_> = group.iter().map(|l| l.piece.as_str()).collect();
        if let Some(l) = group.first() {
            lines.push(format!("  {}: {}. {}.", names.join(", "), l.why, l.remedy));
        }
    }
    lines.push(
        "\nGlost advises; the nameplate, makers' instructions and local codes decide.".to_owned(),
    );
    lines.join("\n")
}

/// `3 firings; at least 2 are needed, proved by …`.
fn least(found: &Firings) -> String {
    let count = plural(found.firings.len(), "firing");
    match found.least.firings {
        0 => format!("{count}: nothing that waits can be fired"),
        n => format!(
            "{count}; at least {n} {} needed, proved by kinds, cones, areas, counts, heights, masses and supports:",
            if n == 1 { "is" } else { "are" }
        ),
    }
}

fn part(part: &Part) -> String {
    let cones = if part.from == part.to {
        format!("cone {}", part.from)
    } else {
        format!("cones {} to {}", part.from, part.to)
    };
    let lead = match part.leaded {
        None => "",
        Some(true) => ", leaded",
        Some(false) => ", lead-free",
    };
    format!(
        "  {}, {cones}{lead}: {} fill {:.2} kilns at least, so {}",
        kind(part.kind),
        plural(part.pieces, "piece"),
        part.full,
        plural(part.firings, "firing")
    )
}

fn one(studio: &Studio, number: usize, firing: &ReadyFiring) -> Vec<String> {
    let (load, times) = (&firing.file.load, &firing.times);
    let names: Vec<&str> = {
        let mut names: Vec<&str> = load.placed().map(|(_, p)| p.piece.as_str()).collect();
        names.sort_unstable();
        names
    };
    let there = if times.attended {
        ""
    } else {
        " (nobody is there then)"
    };
    let energy = firing.file.forecast.as_ref();
    let mut lines = vec![
        format!(
            "Firing {number}: kiln {}, {}, cone {} ({})",
            load.kiln,
            kind(load.kind),
            load.cone,
            load.cone.range_name()
        ),
        format!(
            "  load from {}; start {}",
            moment(&times.load),
            moment(&times.start)
        ),
        format!("  peak over {}{there}", moment(&times.peak)),
        format!(
            "  open {}; unloaded {}",
            moment(&times.open),
            moment(&times.done)
        ),
        format!(
            "  {}{:.2} {}",
            energy.map_or_else(String::new, |f| format!("{:.0} kWh, ", f.energy_j.to_kwh())),
            firing.course.cost.to_units(),
            studio.tariff.currency
        ),
        format!("  {}: {}", plural(names.len(), "piece"), names.join(", ")),
    ];
    if !firing.course.fit {
        lines.push("  NOT FIT TO FIRE AS IT IS: read the notes".to_owned());
        let notes = firing.file.firing.iter().flat_map(|f| &f.notes);
        lines.extend(notes.take(1).map(|n| format!("  Note: {n}")));
    }
    lines
}

/// A kiln fired for little that nobody waits for.
fn may_wait(studio: &Studio, found: &Firings, firing: &ReadyFiring) -> Option<String> {
    let ware = |f: &ReadyFiring| {
        f.file
            .studio
            .pieces
            .iter()
            .map(|p| p.widest.area().to_m2())
            .sum::<f64>()
    };
    let most = found.firings.iter().map(ware).fold(0.0, f64::max);
    let due = firing.file.studio.pieces.iter().filter_map(|p| p.due).min();
    let little = ware(firing) < NEARLY_EMPTY * most;
    let at = format!(
        "{:.2} {}",
        firing.course.cost.to_units(),
        studio.tariff.currency
    );
    little.then(|| match due {
        Some(due) => format!(
            "  Nearly empty, at {at}; it can wait for more such ware as far as {due} allows"
        ),
        None => format!(
            "  Nearly empty, at {at}; nothing in it is due, so it can wait for more such ware"
        ),
    })
}

/// The same for machines.
pub fn data(found: &Firings, written: &[PathBuf]) -> Value {
    let firings: Vec<Value> = found
        .firings
        .iter()
        .map(|f| {
            let (load, times) = (&f.file.load, &f.times);
            json!({
                "kiln": load.kiln,
                "kind": load.kind,
                "cone": load.cone,
                "load": times.load.to_string(),
                "start": times.start.to_string(),
                "peak": times.peak.to_string(),
                "attended": times.attended,
                "open": times.open.to_string(),
                "done": times.done.to_string(),
                "cost_cents": f.course.cost,
                "feasible": f.course.fit,
                "pieces": load.placed().map(|(_, p)| p.piece.as_str()).collect::<Vec<_>>(),
            })
        })
        .collect();
    let parts: Vec<Value> = found
        .least
        .parts
        .iter()
        .map(|p| {
            json!({
                "kind": p.kind, "from": p.from, "to": p.to, "leaded": p.leaded,
                "pieces": p.pieces, "kilns_full": p.full, "firings": p.firings,
            })
        })
        .collect();
    let late: Vec<Value> = found
        .late
        .iter()
        .map(|l| json!({ "piece": l.piece, "due": l.due, "done": l.done, "why": l.why }))
        .collect();
    let stay: &Vec<LeftOut> = &found.stay;
    let files: Vec<String> = written.iter().map(|f| f.display().to_string()).collect();
    json!({
        "firings": firings,
        "at_least": found.least.firings,
        "proof": parts,
        "late": late,
        "stay": stay,
        "files": files,
    })
}

#[cfg(test)]
mod tests {
    use glost_model::cone::Cone;
    use glost_model::load::{LoadPlan, Placed, Side, Tier, Worth};
    use glost_model::plan_file::PlanFile;
    use glost_model::{Angle, Length, Money, Span};
    use glost_placing::backlog::{Course, Late, Least, Times};
    use glost_studio::{demo_texts, open_texts};
    use jiff::civil::date;
    use jiff::tz::TimeZone;

    use super::*;

    fn at(day: i8, hour: i8) -> ZonedDateTime {
        let moment = date(2026, 11, day).at(hour, 0, 0, 0);
        TimeZone::UTC.to_zoned_datetime(moment).unwrap()
    }

    fn load(cone: &str, ids: &[&str]) -> LoadPlan {
        let placed = |id: &&str| Placed {
            piece: (*id).to_owned(),
            x_m: Length::ZERO,
            y_m: Length::ZERO,
            rotation_rad: Angle::ZERO,
            supports: Vec::new(),
            on: None,
            raised_m: Length::ZERO,
            mind: Vec::new(),
            gap_m: Length::ZERO,
        };
        LoadPlan {
            kiln: "Heron".to_owned(),
            cone: Cone::parse(cone).unwrap(),
            kind: FiringKind::Glaze,
            seed: 1,
            tiers: vec![Tier {
                name: "1".to_owned(),
                shelf: "round".to_owned(),
                side: Side::Full,
                top_m: Length::mm(41.0),
                clear_m: Length::mm(600.0),
                posts: Vec::new(),
                pieces: ids.iter().map(placed).collect(),
                cone_packs: Vec::new(),
            }],
            left_out: Vec::new(),
            worth: Worth {
                value: 1.0,
                at_most: 1.0,
            },
        }
    }

    fn firing(studio: &Studio, cone: &str, ids: &[&str], fit: bool) -> ReadyFiring {
        let mut own = studio.clone();
        own.pieces.retain(|p| ids.contains(&p.id.as_str()));
        ReadyFiring {
            file: PlanFile::new(own, load(cone, ids)),
            course: Course {
                peak: Span::h(10.0),
                open: Span::h(30.0),
                cost: Money::cents(2250),
                fit,
            },
            times: Times {
                load: at(25, 9),
                start: at(25, 12),
                peak: at(25, 22),
                attended: !fit,
                open: at(27, 9),
                done: at(27, 10),
            },
        }
    }

    #[test]
    fn the_answer_reads_as_it_did() {
        let (studio, _) = open_texts(&demo_texts()).unwrap();
        let part = |cone: &str, full, firings| Part {
            kind: FiringKind::Glaze,
            from: Cone::parse(cone).unwrap(),
            to: Cone::parse("6").unwrap(),
            leaded: None,
            pieces: 4,
            full,
            firings,
        };
        let stays = |id: &str| LeftOut {
            piece: id.to_owned(),
            rule: "damp".to_owned(),
            why: "is damp".to_owned(),
            remedy: "Dry it".to_owned(),
        };
        let found = Firings {
            firings: vec![
                firing(&studio, "6", &["L043", "L044", "L045", "L068"], true),
                firing(&studio, "06", &["L085"], false),
            ],
            least: Least {
                firings: 2,
                parts: vec![part("6", 1.25, 2)],
            },
            late: vec![Late {
                piece: "L045".to_owned(),
                due: date(2026, 11, 26),
                done: date(2026, 11, 27),
                why: "it was due too soon".to_owned(),
            }],
            stay: vec![stays("L088"), stays("L089")],
        };
        insta::assert_snapshot!(words(&studio, &found));
        let none = Firings {
            firings: Vec::new(),
            least: Least::default(),
            late: Vec::new(),
            stay: Vec::new(),
        };
        insta::assert_snapshot!("nothing", words(&studio, &none));
    }
}
