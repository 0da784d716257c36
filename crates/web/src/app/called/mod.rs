//! What things are called on pages. One home for it, so that no name that the program uses for itself is ever shown.

mod names;
mod words;

use glost_model::book::{Edges, FaultKind, Firing, FiringState, Purpose, Role, State, Unsound};
use glost_model::load::FiringKind;
use glost_rules::value as rule;
use jiff::civil::Date;

pub use words::{
    Choices, DELICACY, DRYNESS, FOOT, FORM, HELD, INSIDE, LINING, MAIL_SAFETY, MEASURE, MEASURED,
    OPENING, PLAN, SPAN, STAGE, SUPPORT, WHICH,
};

/// A field, by its name in a form or in the book: `bands.0.power_kw` is `Ring 1: power`.
pub fn field(path: &str) -> String {
    if let Some(title) = path.strip_prefix("rules.").and_then(rule_title) {
        return title.to_owned();
    }
    if let Some(tier) = path.strip_prefix("clock ") {
        return match tier.rsplit_once(" cone ") {
            Some((tier, cone)) => format!("Cone {cone} on tier {tier}"),
            None => format!("Cone on tier {tier}"),
        };
    }
    if path.starts_with("edges ") {
        return "Edges of the crack".to_owned();
    }
    if let Some(ring) = path.strip_prefix("ohm.") {
        return format!("Ring {ring}");
    }
    let mut numbers = Vec::new();
    let parts: Vec<&str> = path
        .split('.')
        .map(|part| match part.parse::<u32>() {
            // People count from one.
            Ok(n) => {
                numbers.push(n.saturating_add(1).to_string());
                "*"
            }
            Err(_) => part,
        })
        .collect();
    let pattern = parts.join(".");
    let named = names::ALL.iter().find(|n| n.0 == pattern);
    let mut numbers = numbers.into_iter();
    let Some((_, name)) = named else {
        // What has no name of its own is still told in words.
        let plain = |part: &&str| match *part {
            "*" => numbers.next().unwrap_or_default(),
            part => without_unit(part).replace(['_', '-'], " "),
        };
        return sentence(&parts.iter().map(plain).collect::<Vec<_>>().join(" "));
    };
    let mut out = String::new();
    for (i, piece) in name.split('#').enumerate() {
        if i > 0 {
            out.push_str(&numbers.next().unwrap_or_default());
        }
        out.push_str(piece);
    }
    out
}

fn rule_title(id: &str) -> Option<&'static str> {
    rule::ALL.iter().find(|r| r.id == id).map(|r| r.title)
}

/// Stored numbers end in their unit, which is told beside the number.
fn without_unit(part: &str) -> &str {
    ["_cents", "_m2", "_j", "_s", "_c"]
        .iter()
        .find_map(|unit| part.strip_suffix(unit))
        .unwrap_or(part)
}

/// A value of a field in words: `bone-dry` is `bone dry`, `true` is `yes`. What people wrote stays as it is.
pub fn value(path: &str, text: &str) -> String {
    match text {
        "true" => return "yes".to_owned(),
        "false" => return "no".to_owned(),
        _ => {}
    }
    let leaf = path.rsplit('.').next().unwrap_or(path);
    if matches!(leaf, "due" | "came_in" | "fetch_by")
        && let Ok(day) = text.parse::<Date>()
    {
        return day.strftime("%-d %b %Y").to_string();
    }
    if path.starts_with("edges ") {
        return Edges::of_key(text).map_or(text, |e| e.words()).to_owned();
    }
    let own = match leaf {
        "unsound" | "why" => Unsound::of_key(text).map(Unsound::words),
        "state" => State::of_key(text)
            .map(State::words)
            .or_else(|| FiringState::of_key(text).map(FiringState::words)),
        "role" => Role::of_word(text).map(role),
        "kind" => FaultKind::of_key(text).map(FaultKind::look).or(match text {
            "bisque" => Some(kind(FiringKind::Bisque)),
            "glaze" => Some(kind(FiringKind::Glaze)),
            _ => thing_of(text),
        }),
        _ => None,
    };
    let listed = || {
        let (_, all) = words::ALL.iter().find(|w| w.0.contains(&leaf))?;
        all.iter().find(|w| w.0 == text).map(|w| w.1)
    };
    own.or_else(listed).unwrap_or(text).to_owned()
}

/// A role, as it stands beside a name.
pub fn role(role: Role) -> &'static str {
    match role {
        Role::Technician => "technician",
        Role::Loader => "loader",
        Role::Teacher => "teacher",
        Role::Maker => "maker",
        Role::Office => "office",
    }
}

/// What somebody of a role is: `a maker`.
pub fn somebody(role: Role) -> &'static str {
    match role {
        Role::Technician => "a technician",
        Role::Loader => "a loader",
        Role::Teacher => "a teacher",
        Role::Maker => "a maker",
        Role::Office => "one of the office",
    }
}

/// How far a firing has come.
pub fn how_far(f: &Firing) -> &'static str {
    if f.short {
        "stopped short of its cone"
    } else {
        f.state.words()
    }
}

/// What a firing is for: its kind, or what it was instead of firing ware.
pub fn purpose(f: &Firing) -> &'static str {
    match f.purpose {
        Purpose::Ware => kind(f.kind),
        other => other.words(),
    }
}

/// A kind of firing.
pub fn kind(kind: FiringKind) -> &'static str {
    match kind {
        FiringKind::Bisque => "bisque",
        FiringKind::Glaze => "glaze",
    }
}

/// A kind of thing in the book.
pub fn thing(kind: &str) -> &'static str {
    thing_of(kind).unwrap_or("Record")
}

fn thing_of(kind: &str) -> Option<&'static str> {
    Some(match kind {
        "clay" => "Clay",
        "glaze" => "Glaze",
        "kiln" => "Kiln",
        "shelf" => "Shelves",
        "post" => "Posts",
        "support" => "Stilts, pins or slabs",
        "settings" => "Settings",
        "person" => "Person",
        "ware" => "Piece",
        "firing" => "Firing",
        "entry" => "Account",
        "upkeep" => "Upkeep",
        "loss" => "Loss",
        "lessons" => "What a kiln taught",
        "learning" => "How a kiln is learnt from",
        "stretch" => "Readings not to be believed",
        "source" => "Source of readings",
        "notice" => "Notice",
        "errand" => "Message",
        _ => return None,
    })
}

/// So many of a thing: `1 tier`, `3 tiers`.
pub fn several(n: u64, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}

/// With a capital letter.
pub fn sentence(words: &str) -> String {
    let mut chars = words.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_of_the_program_is_shown() {
        assert_eq!(field("bands.0.power_kw"), "Ring 1: power");
        assert_eq!(field("cone_from"), "Coolest cone");
        assert_eq!(
            field("energy.times.1.hours"),
            "Hours with a price of their own, 2"
        );
        assert_eq!(field("clock 2L"), "Cone on tier 2L");
        assert_eq!(field("summary.cost_cents"), "Summary cost");
        assert_ne!(field("rules.gap-ware"), "Rules gap ware");
        for name in names::ALL {
            assert!(!name.1.contains(['_', '.']), "{}", name.1);
        }
    }

    #[test]
    fn values_are_told_in_words() {
        assert_eq!(value("dryness", "bone-dry"), "bone dry");
        assert_eq!(
            value("held", "food-claim"),
            "to be sold as food safe, unproved"
        );
        assert_eq!(value("wall.0.lining", "brick-23"), "light brick, 23");
        assert_eq!(value("state", "needs-attention"), "needs attention");
        assert_eq!(value("lead", "true"), "yes");
        assert_eq!(
            value("note", "bone-dry"),
            "bone-dry",
            "what people wrote stays"
        );
        for (_, all) in words::ALL {
            for (key, said) in *all {
                assert!(!said.contains(['_', '-']) || *key == *said, "{said}");
            }
        }
    }
}
