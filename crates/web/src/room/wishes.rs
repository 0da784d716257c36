//! What is wished of a firing, folded away in the forms that plan it.

use glost_model::book::{By, Firing, Wished};
use glost_model::fault::Fault;
use glost_model::firing::Aim;
use glost_model::shown::{Shown, hours, trimmed};
use glost_studio::desk::DeskError;
use glost_studio::desk::wishes;
use jiff::Timestamp;
use maud::{Markup, html};

use crate::app::fields::{Fields, Look};
use crate::app::{Typed, Visit};

/// The fields of wishes.
const FIELDS: [&str; 5] = ["aim", "fall", "fall_hold", "end_by", "open_by"];

/// The part of a form. It is open when something is wished or wrong.
pub fn part(f: Fields<'_>, shown: Shown) -> Markup {
    let wished = FIELDS.iter().any(|n| {
        let text = f.typed.get(n);
        !text.is_empty() && text != wishes::aim_key(Aim::default())
    });
    let wrong = wrong(f.faults);
    let mut typed = f.typed.clone();
    if typed.get("aim").is_empty() {
        typed.set("aim", wishes::aim_key(Aim::default()));
    }
    let f = Fields { typed: &typed, ..f };
    let number = |unit| Look {
        keys: "decimal",
        unit,
        optional: true,
        ..Look::default()
    };
    let moment = Look {
        kind: "datetime-local",
        optional: true,
        ..Look::default()
    };
    html! {
        details open[wished || wrong] { summary { "Wishes" }
            (f.choice("aim", "What should it be best at?", &[("soonest", "over soonest"), ("cheapest", "cheap in energy"), ("evenest", "even from tier to tier")]))
            (f.text("fall", "Fall after the peak", Look { hint: "Then hold there, so that bubbles heal while the glaze stiffens", ..number(shown.degree_sign()) }))
            (f.text("fall_hold", "Hold there", number("min")))
            (f.text("end_by", "Over by", Look { hint: "The start follows from it: late enough in nine kilns of ten", ..moment }))
            (f.text("open_by", "May be opened by", Look { hint: "In place of 'over by'", ..moment }))
        }
    }
}

/// Whether one of these is at a field of wishes.
pub fn wrong(faults: &[Fault]) -> bool {
    faults.iter().any(|x| FIELDS.contains(&x.field.as_str()))
}

/// Reads them.
///
/// # Errors
/// Faults with their fields.
pub fn read(v: &Visit, typed: &Typed, starts: Option<Timestamp>) -> Result<Wished, DeskError> {
    wishes::read(|field| typed.get(field), starts, v.shown(), &v.zone)
}

/// What was typed last, or what is kept with the firing where nothing was typed.
pub fn again(v: &Visit, firing: &Firing, typed: &Typed) -> Typed {
    if typed.0.iter().any(|t| FIELDS.contains(&t.0.as_str())) {
        return typed.clone();
    }
    let w = &firing.wished;
    let mut out = typed.clone();
    out.set("aim", wishes::aim_key(w.aim));
    if let Some(drop) = w.drop_hold {
        let per_k = if v.shown().fahrenheit { 1.8 } else { 1.0 };
        out.set("fall", trimmed(drop.by.to_k() * per_k, 1));
        out.set("fall_hold", trimmed(drop.hold.to_minutes(), 1));
    }
    if let Some(by) = w.by {
        let field = match by {
            By::End(_) => "end_by",
            By::Open(_) => "open_by",
        };
        let at = v.local(by.at()).strftime("%Y-%m-%dT%H:%M");
        out.set(field, at.to_string());
    }
    out
}

/// Wishes in words; nothing where there are none.
pub fn words(v: &Visit, w: &Wished) -> Option<String> {
    let mut all = Vec::new();
    match w.aim {
        Aim::Soonest => {}
        Aim::Cheapest => all.push("cheap in energy".to_owned()),
        Aim::Evenest => all.push("even from tier to tier".to_owned()),
    }
    if let Some(drop) = w.drop_hold {
        let fall = v.shown().difference(drop.by);
        all.push(format!("fall {fall} and hold {}", hours(drop.hold)));
    }
    match w.by {
        Some(By::End(at)) => all.push(format!("over by {}", v.when(at))),
        Some(By::Open(at)) => all.push(format!("may be opened by {}", v.when(at))),
        None => {}
    }
    (!all.is_empty()).then(|| all.join("; "))
}
