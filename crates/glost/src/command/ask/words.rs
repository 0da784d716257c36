//! Answers in words.

use glost_heat::Place;
use glost_model::Span;
use glost_model::doubt::Band;
use glost_model::shown::hours;
use glost_studio::ask::{Answers, Cheapest, Cost, HeldMore, There, Times, Told, ZoneTold};
use jiff::{Unit, ZonedDateTime};

/// Said at the end of every answer.
pub const DEFER: &str = "Glost advises and never switches a kiln on or off; the nameplate, makers' instructions and local codes decide.";
/// Said beside the time at which a kiln may be opened.
pub const OPENING: &str = "What the kiln's maker says of opening comes before this. Look at the sensor, not at the clock, and isolate the kiln first.";

/// Minutes to which times are told: no forecast knows better.
const MINUTES: i64 = 5;

fn rounded(at: &ZonedDateTime) -> ZonedDateTime {
    let to = jiff::ZonedDateTimeRound::new()
        .smallest(Unit::Minute)
        .increment(MINUTES);
    at.round(to).unwrap_or_else(|_| at.clone())
}

/// `12:10 on Thu 26 Nov`.
fn moment(at: &ZonedDateTime) -> String {
    rounded(at).strftime("%H:%M on %a %-d %b").to_string()
}

/// A time near another one; the day only where it would be missed.
fn near(at: &ZonedDateTime, about: &ZonedDateTime) -> String {
    let apart = at.duration_since(about).as_hours().abs();
    let how = if apart < 12 { "%H:%M" } else { "%H:%M on %a" };
    rounded(at).strftime(how).to_string()
}

/// `about 12:10 on Thu 26 Nov, between 11:55 and 12:50`.
fn times(t: &Times) -> String {
    let Some(about) = &t.about else {
        return match &t.low {
            None => "never, as foreseen".to_owned(),
            Some(low) => format!("never, as foreseen; in a few kilns at {}", moment(low)),
        };
    };
    let end = |at: &Option<ZonedDateTime>| {
        at.as_ref()
            .map_or_else(|| "never".to_owned(), |at| near(at, about))
    };
    let (low, high) = (end(&t.low), end(&t.high));
    if low == high {
        format!("about {}", moment(about))
    } else {
        format!("about {}, between {low} and {high}", moment(about))
    }
}

/// `6.1`, `06 +0.7`.
fn cone(position: f64) -> String {
    if position < -21.0 {
        Place::Below.to_string()
    } else {
        Place::At(position).to_string()
    }
}

fn cones(band: &Band<f64>) -> String {
    format!("{} and {}", cone(band.low), cone(band.high))
}

fn tier(names: &str) -> String {
    match names {
        "" => "The floor".to_owned(),
        n if n.contains(", ") => format!("Tiers {n}"),
        n => format!("Tier {n}"),
    }
}

fn there(there: There) -> &'static str {
    match there {
        There::Surely => "Somebody is there then, by your hours.",
        There::Likely => {
            "Somebody is there then by your hours, but not if it is as early or late as it may be."
        }
        There::Nobody => {
            "Nobody is there then, by your hours. Somebody has to see it switch off: choose another start."
        }
    }
}

fn money(cost: &Cost, currency: &str) -> String {
    format!(
        "{:.2} {currency}, between {:.2} and {:.2}",
        cost.about.to_units(),
        cost.band.low.to_units(),
        cost.band.high.to_units()
    )
}

/// The whole answer for people.
pub fn words(a: &Answers) -> String {
    let (load, studio) = (&a.file.load, &a.file.studio);
    let zone = a.start.time_zone().iana_name();
    let mut lines = vec![format!(
        "Kiln {}, cone {} ({}), {} pieces. Start at {}{}.",
        load.kiln,
        load.cone,
        load.cone.range_name(),
        load.placed().count(),
        a.start.strftime("%H:%M on %a %-d %b %Y"),
        zone.map_or_else(String::new, |z| format!(" ({z})"))
    )];
    lines.extend(a.remarks.iter().map(|r| format!("Note: {r}")));
    let notes = a.file.firing.iter().flat_map(|f| &f.notes);
    if !a.told.feasible {
        lines.push("NOT FIT TO FIRE AS IT IS:".to_owned());
        let also = a.file.forecast.iter().flat_map(|f| &f.notes);
        lines.extend(notes.chain(also).take(3).map(|n| format!("  {n}")));
    }
    lines.extend(peak(&a.told));
    lines.push("When may I open?".to_owned());
    lines.push(format!(
        "  Closed all the while, it is below {} {}.",
        studio.shown.temperature(a.told.open_below),
        times(&a.told.open)
    ));
    lines.push(format!("  {OPENING}"));
    lines.extend(cost(&a.told, &studio.tariff.currency));
    lines.extend(bottom(a));
    if let Some(c) = &a.cheapest {
        lines.extend(cheapest(c, &studio.tariff.currency));
    }
    if let Some(h) = &a.held {
        lines.extend(held(h, &a.told, &studio.tariff.currency));
    }
    lines.push("How much power is in hand?".to_owned());
    let margin = a.margin.words(load.cone, studio.shown);
    lines.extend(margin.iter().map(|m| format!("  {m}")));
    lines.push(format!(
        "Of {} kilns drawn around this one by what nobody has measured, a band leaves out the lowest and the highest tenth.",
        a.told.draws
    ));
    lines.push(DEFER.to_owned());
    lines.join("\n")
}

fn peak(t: &Told) -> Vec<String> {
    let mut lines = vec![
        "When will it peak?".to_owned(),
        format!(
            "  Its hold of {} at the peak is over {}.",
            hours(t.hold),
            times(&t.peak_over)
        ),
        format!("  {}", there(t.there)),
    ];
    if t.over != t.peak_over {
        lines.push(format!("  The programme is over {}.", times(&t.over)));
    }
    if t.missed > 0 {
        lines.push(format!(
            "  In {} of {} kilns drawn it stalls or its middle falls short of the cone.",
            t.missed, t.draws
        ));
    }
    lines
}

fn cost(t: &Told, currency: &str) -> Vec<String> {
    let mut lines = vec![
        "What does it cost?".to_owned(),
        format!(
            "  {:.0} kWh, between {:.0} and {:.0}{}.",
            t.energy.to_kwh(),
            t.energy_band.low.to_kwh(),
            t.energy_band.high.to_kwh(),
            t.cost
                .as_ref()
                .map_or_else(String::new, |c| format!(": {}", money(c, currency)))
        ),
    ];
    if let Some(draw) = t.cost.as_ref().and_then(|c| c.draw) {
        lines.push(format!(
            "  Its highest quarter of an hour draws {:.1} kW: {:.2} {currency} more if nothing else in the bill's period draws as much.",
            t.highest.to_kw(),
            draw.to_units()
        ));
    }
    lines
}

fn bottom(a: &Answers) -> Vec<String> {
    let wanted = a.file.load.cone;
    let mut lines = vec![format!("Will the bottom reach cone {wanted}?")];
    let draws = a.told.draws;
    let Some(first) = a.told.zones.first() else {
        lines.push("  There are no shelves, so this is not known.".to_owned());
        return lines;
    };
    let sure = f64::from(draws - first.short.min(draws)) / f64::from(draws.max(1));
    let word = match sure {
        s if s >= 0.9 => "Yes",
        s if s >= 0.6 => "Probably",
        s if s >= 0.4 => "It may or may not",
        s if s >= 0.1 => "Probably not",
        _ => "No",
    };
    lines.push(format!(
        "  {word}: in {} of {draws} kilns drawn it gets within half a cone of it or past it.",
        draws - first.short.min(draws)
    ));
    let line = |z: &ZoneTold| {
        let off = |count: u32, what: &str| {
            let often = count * 10 > draws;
            let words = format!("; half a cone or more too {what} in {count} of {draws}");
            if often { words } else { String::new() }
        };
        format!(
            "  {}: cone {}, between {}{}{}",
            tier(&z.about.tiers),
            z.about.cone_reached,
            cones(&z.cone_position),
            off(z.short, "little"),
            off(z.past, "much")
        )
    };
    lines.extend(a.told.zones.iter().map(line));
    lines.push("  Witness cones decide.".to_owned());
    lines
}

fn cheapest(c: &Cheapest, currency: &str) -> Vec<String> {
    let within = hours(c.ahead);
    let mut lines = vec![
        "Which start is cheapest?".to_owned(),
        format!(
            "  At {}: {:.2} {currency}, between {:.2} and {:.2}; {}.",
            c.start.strftime("%H:%M on %a %-d %b"),
            c.cost.to_units(),
            c.band.low.to_units(),
            c.band.high.to_units(),
            if c.dearest == c.cost {
                format!("every start within {within} costs the same")
            } else {
                format!(
                    "the dearest start within {within} costs {:.2}",
                    c.dearest.to_units()
                )
            }
        ),
    ];
    let (least, cost) = &c.least;
    if *cost < c.cost {
        lines.push(format!(
            "  That is the cheapest by your hours; without regard to them it is {}, at {:.2}.",
            least.strftime("%H:%M on %a %-d %b"),
            cost.to_units()
        ));
    }
    if !c.can_start {
        lines.push(format!(
            "  At no time within {within} is anybody there to start it, and the studio says that its controllers do not start by themselves."
        ));
    }
    let over = c
        .peak_over
        .as_ref()
        .map_or_else(|| "never".to_owned(), moment);
    lines.push(match c.there {
        There::Nobody => format!(
            "  Its peak is over at {over}, when nobody is there; no start within {within} that can be made does better. Somebody has to see it switch off."
        ),
        _ => format!("  Its peak is over at {over}. {}", there(c.there)),
    });
    lines
}

fn held(h: &HeldMore, before: &Told, currency: &str) -> Vec<String> {
    let by = |span: Span, more: &str, less: &str| {
        let word = if span < Span::ZERO { less } else { more };
        format!("{} {word}", hours(span.abs()))
    };
    let mut lines = vec![format!(
        "What would {} at the peak change ({} in all, same start)?",
        by(h.by, "more", "less"),
        hours(h.told.hold)
    )];
    lines.push(format!(
        "  The peak is over {}{}.",
        times(&h.told.peak_over),
        h.later
            .map_or_else(String::new, |l| format!(": {}", by(l, "later", "sooner")))
    ));
    if let Some((cost, dearer)) = h.told.cost.as_ref().zip(h.dearer) {
        let word = if dearer.to_cents() < 0 {
            "less"
        } else {
            "more"
        };
        lines.push(format!(
            "  {}: {:.2} {word}.",
            money(cost, currency),
            dearer.to_units().abs()
        ));
    }
    for (now, was) in h.told.zones.iter().zip(&before.zones) {
        lines.push(format!(
            "  {}: cone {} in place of {}, between {}",
            tier(&now.about.tiers),
            now.about.cone_reached,
            was.about.cone_reached,
            cones(&now.cone_position)
        ));
    }
    lines.extend(h.warnings.iter().map(|w| format!("  Note: {w}")));
    lines
}
