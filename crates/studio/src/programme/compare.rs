//! What a display shows against what was planned.

use glost_model::cone::Cone;
use glost_model::fault::Fault;
use glost_model::firing::FiringPlan;
use glost_model::shown::{Shown, hours};
use glost_model::{Rate, Temperature};

use super::TypedSegment;
use super::typed::{HOLD_REMEDY, hold, rate, target};

/// Controllers that count in the other scale show a number off by one.
const SLACK: f64 = 1.0;
const SLACK_MIN: f64 = 1.0;
/// A target as near as this to the end of another cone is told as that cone, K; cones are about 20 K apart.
const NEAR_K: f64 = 8.0;
/// Ends of cones are told at this rate, as charts have them, °C/h.
const CHART: f64 = 60.0;

const REMEDY: &str =
    "Set the controller right and read it again, or say that it differs on purpose";

pub(super) fn fault(field: &str, what: String, remedy: &str) -> Fault {
    Fault {
        file: String::new(),
        line: None,
        field: field.to_owned(),
        what,
        remedy: remedy.to_owned(),
    }
}

/// Everything that was read otherwise than planned, or not read, by its field: `count`, and `rate.0`, `target.0`,
/// `hold.0` of each segment.
pub fn differs(plan: &FiringPlan, count: &str, read: &[TypedSegment], shown: Shown) -> Vec<Fault> {
    let mut faults = Vec::new();
    let planned = plan.segments.len();
    if count.trim().is_empty() && read.iter().all(TypedSegment::is_empty) {
        let what = "nothing was read off the display".to_owned();
        return vec![fault("count", what, REMEDY)];
    }
    match count.trim().parse::<usize>() {
        Ok(n) if n == planned => {}
        Ok(n) => faults.push(fault(
            "count",
            format!("the display has {n} segments; planned are {planned}"),
            REMEDY,
        )),
        Err(_) => faults.push(fault(
            "count",
            "nobody counted the segments".to_owned(),
            "Step through to the end, and write how many there are",
        )),
    }
    let nothing = TypedSegment::default();
    let peak = plan.peak();
    for (i, segment) in plan.segments.iter().enumerate() {
        let typed = read.get(i).unwrap_or(&nothing);
        if typed.is_empty() {
            let what = "nothing was read off the display".to_owned();
            faults.push(fault(&format!("rate.{i}"), what, REMEDY));
            continue;
        }
        let told = rate(&typed.rate, shown);
        if let Some(what) = rates(told, &typed.rate, segment.rate, shown) {
            faults.push(fault(&format!("rate.{i}"), what, REMEDY));
        }
        let told = target(&typed.target, shown);
        let whole = shown.degrees(segment.target).round();
        if told.is_none_or(|t| (shown.degrees(t) - whole).abs() > SLACK) {
            let planned = shown.temperature(segment.target);
            let mut what = shows(&typed.target, &planned, shown.degree_sign());
            let about = told
                .filter(|_| Some(i) == peak)
                .and_then(|t| taken_for(plan.cone, t));
            what.extend(about);
            faults.push(fault(&format!("target.{i}"), what, REMEDY));
        }
        // Displays leave a hold of nothing empty.
        let told = match typed.hold.trim() {
            "" => Some(glost_model::Span::ZERO),
            text => hold(text),
        };
        let off = |h: glost_model::Span| (h - segment.hold).abs().to_minutes();
        match told {
            Some(h) if off(h) <= SLACK_MIN => {}
            Some(h) => {
                let what = format!(
                    "the display shows {}; planned is {}",
                    hours(h),
                    hours(segment.hold)
                );
                faults.push(fault(&format!("hold.{i}"), what, REMEDY));
            }
            None => faults.push(fault(
                &format!("hold.{i}"),
                format!("'{}' is no hold", typed.hold.trim()),
                HOLD_REMEDY,
            )),
        }
    }
    faults
}

fn shows(text: &str, planned: &str, unit: &str) -> String {
    match text.trim() {
        "" => format!("nothing was read; planned is {planned}"),
        text => format!("the display shows {text} {unit}; planned is {planned}"),
    }
}

/// Rates are held against one another without their sign, as displays show them.
fn rates(
    told: Option<Option<Rate>>,
    text: &str,
    planned: Option<Rate>,
    shown: Shown,
) -> Option<String> {
    let size = |r: Rate| {
        if shown.fahrenheit {
            r.to_f_per_h().abs()
        } else {
            r.to_c_per_h().abs()
        }
    };
    let same = match (told, planned) {
        (Some(None), None) => true,
        (Some(Some(a)), Some(b)) => (size(a) - size(b).round()).abs() <= SLACK,
        _ => false,
    };
    let unit = format!("{}/h", shown.degree_sign());
    (!same).then(|| shows(text, &shown.ramp(planned), &unit))
}

/// The cone that ends there, if it is another.
fn taken_for(cone: Cone, at: Temperature) -> Option<String> {
    let end = |c: Cone| glost_heat::end_point(c, Rate::c_per_h(CHART));
    let off = |c: Cone| end(c).map(|e| (e.to_k() - at.to_k()).abs());
    let near = Cone::all()
        .filter_map(|c| Some((c, off(c)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|(c, off)| *off <= NEAR_K && *c != cone)?
        .0;
    Some(format!(
        ". There cone {near} ends ({}); this firing is cone {cone} ({})",
        near.range_name(),
        cone.range_name()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Span;
    use glost_model::firing::Segment;

    fn plan() -> FiringPlan {
        let of = |rate: Option<f64>, target, hold| Segment {
            rate: rate.map(Rate::c_per_h),
            target: Temperature::c(target),
            hold: Span::minutes(hold),
            reason: String::new(),
        };
        let segments = vec![
            of(Some(100.0), 600.0, 30.0),
            of(Some(60.0), 1222.0, 15.0),
            of(None, 1000.0, 0.0),
            of(Some(-70.0), 760.0, 0.0),
        ];
        FiringPlan::new(Cone::parse("6").unwrap(), segments)
    }

    fn typed(rows: &[(&str, &str, &str)]) -> Vec<TypedSegment> {
        let row = |r: &(&str, &str, &str)| TypedSegment {
            rate: r.0.into(),
            target: r.1.into(),
            hold: r.2.into(),
        };
        rows.iter().map(row).collect()
    }

    fn found(rows: &[(&str, &str, &str)], count: &str) -> Vec<(String, String)> {
        let faults = differs(&plan(), count, &typed(rows), Shown::default());
        faults.into_iter().map(|f| (f.field, f.what)).collect()
    }

    const RIGHT: [(&str, &str, &str); 4] = [
        ("100", "600", "0:30"),
        ("60", "1222", "15"),
        ("9999", "1000", ""),
        ("70", "760", "0"),
    ];

    #[test]
    fn the_plan_itself_is_found_right() {
        assert_eq!(found(&RIGHT, "4"), []);
        // The same on a display in °F.
        let fahrenheit = Shown {
            fahrenheit: true,
            ..Shown::default()
        };
        let rows = typed(&[
            ("180", "1112", "0.30"),
            ("108", "2232", "0.15"),
            ("full", "1832", "0.00"),
            ("126", "1400", "0.00"),
        ]);
        assert_eq!(differs(&plan(), "4", &rows, fahrenheit), []);
    }

    #[test]
    fn each_difference_is_told_by_its_segment() {
        let mut rows = RIGHT;
        rows[0] = ("160", "600", "30");
        rows[1] = ("60", "1222", "1:15");
        let all = found(&rows, "5");
        assert_eq!(all[0].0, "count");
        assert_eq!(
            all[1],
            (
                "rate.0".into(),
                "the display shows 160 °C/h; planned is 100 °C/h".into()
            )
        );
        assert_eq!(
            all[2],
            (
                "hold.1".into(),
                "the display shows 1 h 15 min; planned is 15 min".into()
            )
        );
        assert_eq!(all.len(), 3);
        // Down by hand where it should go as fast as it can.
        rows = RIGHT;
        rows[2] = ("150", "1000", "");
        assert_eq!(found(&rows, "4")[0].0, "rate.2");
    }

    #[test]
    fn a_cone_taken_for_another_is_named() {
        let mut rows = RIGHT;
        rows[1] = ("60", "998", "15");
        let all = found(&rows, "4");
        assert_eq!(all.len(), 1);
        assert!(
            all[0].1.contains("There cone 06 ends (low fire)"),
            "{all:?}"
        );
        assert!(
            all[0].1.contains("this firing is cone 6 (mid fire)"),
            "{all:?}"
        );
    }

    #[test]
    fn what_was_not_read_is_not_as_planned() {
        let all = found(&[], "");
        assert_eq!(
            all,
            [(
                "count".to_owned(),
                "nothing was read off the display".to_owned()
            )]
        );
        let all = found(&RIGHT[..3], "4");
        assert_eq!(all[0].0, "rate.3");
        let mut rows = RIGHT;
        rows[1] = ("60", "", "15");
        assert_eq!(
            found(&rows, "4"),
            [(
                "target.1".to_owned(),
                "nothing was read; planned is 1222 °C".to_owned()
            )]
        );
    }
}
