//! Parts of forms: how the studio is told of its kilns, and what a person wants to be told.

use glost_model::book::ways::{quiet_text, read_quiet};
use glost_model::book::{Which, Wish};
use glost_studio::desk::DeskError;
use maud::{Markup, html};

use crate::app::fields::{Fields, Look};
use crate::app::{Typed, called};

const SECRET: &str = "Name of an environment variable GLOST_SECRET_…, never the secret itself";

/// The studio's ways.
pub fn fields(f: Fields<'_>) -> Markup {
    let text = |hint: &'static str| Look {
        hint,
        optional: true,
        ..Look::default()
    };
    html! {
        h2 { "Notices of kilns" }
        p { "When a kiln needs somebody, Glost says so on every page of those who fire, and by what is set here. When no notice comes, all need not be well: a kiln needs its own cut-out and a person at its end." }
        (f.text("ways.address", "Where people open these pages", text("As https://kilns.example; for links in messages, on labels, in calendars and invitations")))
        (f.text("ways.most_per_hour", "Most notices in an hour", Look { keys: "numeric", hint: "Urgent ones are counted by themselves", ..Look::default() }))
        details open[f.faults.iter().any(|x| x.field.starts_with("ways"))] { summary { "E-mail, webhook, MQTT" }
            h3 { "E-mail" }
            (f.text("ways.mail", "Mail server and port", text("As mail.example:587")))
            (f.choice("ways.mail_safety", "Connection to the mail server", called::MAIL_SAFETY))
            (f.text("ways.mail_from", "Address that messages come from", text("One that the server lets you send from")))
            (f.text("ways.mail_login", "Name to sign in with at the mail server", text("")))
            (f.text("ways.mail_secret", "Password for the mail server", text(SECRET)))
            h3 { "Webhook" }
            (f.text("ways.webhook", "Address that notices are posted to", text("As http://192.168.1.20:8123/hook. Where the address itself is a secret: the name of a variable GLOST_SECRET_…")))
            (f.text("ways.webhook_secret", "Secret that signs what is posted", text(SECRET)))
            h3 { "MQTT" }
            (f.text("ways.mqtt", "Broker and port", text("As 192.168.1.20:1883")))
            (f.text("ways.mqtt_topic", "Topic", text("One below glost/, so that no controller listens to it")))
            (f.text("ways.mqtt_login", "Name to sign in with at the broker", text("")))
            (f.text("ways.mqtt_secret", "Password for the broker", text(SECRET)))
        }
    }
}

/// The button that tries them.
pub fn trial() -> Markup {
    html! {
        form method="post" action="/studio/notices/test" {
            p { "A test goes out by all ways that are stored; e-mail goes to you." }
            div.steps { button type="submit" { "Send a test" } }
        }
    }
}

/// What a person wants to be told.
pub fn wish_fields(f: Fields<'_>) -> Markup {
    html! {
        (f.choice("which", "E-mail when a kiln needs somebody", called::WHICH))
        (f.text("quiet", "Quiet hours", Look { hint: "As 22:00-07:00. What is urgent, and that a programme ends, comes all the same", optional: true, ..Look::default() }))
    }
}

/// The button that tries one's own e-mail.
pub fn own_trial() -> Markup {
    html! { form method="post" action="/me/notices/test" { div.steps { button type="submit" { "Send me a test" } } } }
}

const WHICH: [(&str, Which); 3] = [
    ("mine", Which::Mine),
    ("all", Which::All),
    ("no", Which::No),
];

/// A wish as the form has it.
pub fn wish_typed(wish: Wish, typed: &mut Typed) {
    let word = WHICH.iter().find(|w| w.1 == wish.which).map_or("", |w| w.0);
    typed.set("which", word);
    typed.set("quiet", quiet_text(wish.quiet));
}

/// Reads it; nothing when the form had no such fields.
///
/// # Errors
/// A fault of one of them.
pub fn read_wish(typed: &Typed) -> Result<Option<Wish>, DeskError> {
    let word = typed.get("which");
    if word.is_empty() {
        return Ok(None);
    }
    let which = WHICH.iter().find(|w| w.0 == word).map(|w| w.1);
    let which = which.ok_or_else(|| {
        DeskError::field("which", "that is none of the choices", "Choose one of them")
    })?;
    let quiet = read_quiet(typed.get("quiet"))
        .map_err(|(what, remedy)| DeskError::field("quiet", what, remedy))?;
    Ok(Some(Wish { which, quiet }))
}
