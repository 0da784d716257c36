//! How a studio wants to be told, from a form and for a form.

use super::fields::{Record, Value};
use super::row::Row;
use super::words::{self, Words};
use crate::book::ways::{MAIL_PORTS, SECRET, TOPIC, is_address, is_host, is_loopback};
use crate::book::{Mail, MailSafety, Mqtt, Ways, Webhook};

const SAFETY: Words<MailSafety> = &[
    ("starttls", MailSafety::StartTls),
    ("tls", MailSafety::Tls),
    ("plain", MailSafety::Plain),
];
/// Usual port of MQTT without TLS (IANA, "mqtt").
const MQTT_PORT: u16 = 1883;
/// Most letters of an address or a topic.
const MOST: usize = 400;

/// As a form has it, under `ways.`.
pub(super) fn fields(w: &Ways) -> Value {
    let mut r = Record::default();
    r.text("address", &w.address);
    r.number("most_per_hour", w.most_per_hour.to_string());
    let hook = w.webhook.as_ref();
    r.text("webhook", hook.map_or("", |h| &h.url));
    r.text("webhook_secret", secret(hook.map(|h| &h.secret)));
    let mqtt = w.mqtt.as_ref();
    let broker = mqtt.map_or_else(String::new, |m| format!("{}:{}", m.host, m.port));
    r.text("mqtt", &broker);
    r.text("mqtt_topic", mqtt.map_or("glost/notices", |m| &m.topic));
    r.text("mqtt_login", mqtt.map_or("", |m| &m.login));
    r.text("mqtt_secret", secret(mqtt.map(|m| &m.secret)));
    let mail = w.mail.as_ref();
    let server = mail.map_or_else(String::new, |m| format!("{}:{}", m.host, m.port));
    r.text("mail", &server);
    let safety = mail.map_or(MailSafety::StartTls, |m| m.safety);
    r.text("mail_safety", words::say(SAFETY, &safety));
    r.text("mail_from", mail.map_or("", |m| &m.from));
    r.text("mail_login", mail.map_or("", |m| &m.login));
    r.text("mail_secret", secret(mail.map(|m| &m.secret)));
    Value::Table(r)
}

fn secret(of: Option<&Option<String>>) -> &str {
    of.and_then(Option::as_deref).unwrap_or("")
}

/// Reads them. What is left empty is not used.
pub(super) fn read(row: &Row<'_, '_>) -> Option<Ways> {
    let most_per_hour = match row.find("most_per_hour") {
        Some(_) => row.count("most_per_hour", 1, 60),
        None => Some(Ways::default().most_per_hour),
    };
    let address = address(row);
    let webhook = webhook(row);
    let mqtt = mqtt(row);
    let mail = mail(row);
    Some(Ways {
        address: address?,
        webhook: webhook?,
        mqtt: mqtt?,
        mail: mail?,
        most_per_hour: most_per_hour?,
    })
}

/// A text that may be missing.
fn maybe(row: &Row<'_, '_>, key: &str) -> Option<Option<String>> {
    match row.find(key) {
        None => Some(None),
        Some(_) => {
            let text = row.text(key)?;
            if text.chars().any(char::is_control) || text.len() > MOST {
                row.fault(
                    key,
                    "it is too long, or is more than one line".to_owned(),
                    "Write it on one line",
                );
                return None;
            }
            Some(Some(text))
        }
    }
}

fn address(row: &Row<'_, '_>) -> Option<String> {
    match maybe(row, "address")? {
        None => Some(String::new()),
        Some(text) => url(row, "address", &text).then(|| text.trim_end_matches('/').to_owned()),
    }
}

/// Whether it is an address of HTTP without a name or password in it.
fn url(row: &Row<'_, '_>, key: &str, text: &str) -> bool {
    let rest = text
        .strip_prefix("https://")
        .or_else(|| text.strip_prefix("http://"));
    let host = rest.map(|r| r.split(['/', '?']).next().unwrap_or(""));
    let named = host.is_some_and(|h| h.contains('@'));
    let fits = host.is_some_and(|h| {
        let (name, port) = h.rsplit_once(':').unwrap_or((h, "80"));
        is_host(name) && port.parse::<u16>().is_ok()
    }) && text.bytes().all(|b| b.is_ascii_graphic() && b != b'#');
    if !fits {
        row.fault(
            key,
            if named {
                "a name or password stands in the address".to_owned()
            } else {
                "it is no address of a page".to_owned()
            },
            if named {
                "Keep secrets out of the book: put the whole address into an environment variable GLOST_SECRET_… and write that name here"
            } else {
                "Write it as https://kilns.example or http://192.168.1.20:8123/hook"
            },
        );
    }
    fits
}

fn secret_name(row: &Row<'_, '_>, key: &str) -> Option<Option<String>> {
    let Some(name) = maybe(row, key)? else {
        return Some(None);
    };
    if is_secret(&name) {
        return Some(Some(name));
    }
    // What was typed may be the secret itself: it is not said again.
    row.fault(
        key,
        "this is not the name of an environment variable for secrets".to_owned(),
        "Set a variable GLOST_SECRET_… where Glost is started, in capitals, and write its name here; never the secret itself",
    );
    None
}

/// Whether it is the name of a variable that may hold a secret.
fn is_secret(name: &str) -> bool {
    let plain = |b: u8| b.is_ascii_uppercase() || b.is_ascii_digit() || b == b'_';
    name.len() <= 80
        && name
            .strip_prefix(SECRET)
            .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(plain))
}

fn webhook(row: &Row<'_, '_>) -> Option<Option<Webhook>> {
    let (to, secret) = (maybe(row, "webhook"), secret_name(row, "webhook_secret"));
    let (Some(to), secret) = (to?, secret?) else {
        return Some(None);
    };
    let fits = is_secret(&to) || url(row, "webhook", &to);
    fits.then_some(Some(Webhook { url: to, secret }))
}

/// Host and port.
fn server(row: &Row<'_, '_>, key: &str, text: &str, usual: u16) -> Option<(String, u16)> {
    let (host, port) = match text.rsplit_once(':') {
        Some((host, port)) => (host, port.parse::<u16>().ok().filter(|p| *p > 0)),
        None => (text, Some(usual)),
    };
    match port {
        Some(port) if is_host(host) => Some((host.to_owned(), port)),
        _ => {
            row.fault(
                key,
                "it is no name of a machine with a port".to_owned(),
                "Write it as mail.example:587",
            );
            None
        }
    }
}

fn mqtt(row: &Row<'_, '_>) -> Option<Option<Mqtt>> {
    let to = maybe(row, "mqtt");
    let topic = topic(row);
    let (login, secret) = (maybe(row, "mqtt_login"), secret_name(row, "mqtt_secret"));
    let (to, topic, login, secret) = (to?, topic?, login?, secret?);
    let Some(to) = to else { return Some(None) };
    let (host, port) = server(row, "mqtt", &to, MQTT_PORT)?;
    Some(Some(Mqtt {
        host,
        port,
        topic,
        login: login.unwrap_or_default(),
        secret,
    }))
}

fn topic(row: &Row<'_, '_>) -> Option<String> {
    let topic = maybe(row, "mqtt_topic")?.unwrap_or_else(|| format!("{TOPIC}notices"));
    let fits = topic.strip_prefix(TOPIC).is_some_and(|rest| {
        !rest.is_empty() && !rest.contains(['+', '#', '\0']) && topic.len() <= 200
    });
    if !fits {
        row.fault(
            "mqtt_topic",
            "Glost does not publish on that topic".to_owned(),
            "Take one of Glost's own, as glost/notices, without + and #: a controller may listen to others",
        );
    }
    fits.then_some(topic)
}

fn mail(row: &Row<'_, '_>) -> Option<Option<Mail>> {
    let to = maybe(row, "mail");
    let safety = match row.find("mail_safety") {
        Some(_) => row.word("mail_safety", SAFETY),
        None => Some(MailSafety::StartTls),
    };
    let from = maybe(row, "mail_from");
    let (login, secret) = (maybe(row, "mail_login"), secret_name(row, "mail_secret"));
    let (to, safety, from, login, secret) = (to?, safety?, from?, login?, secret?);
    let Some(to) = to else { return Some(None) };
    let usual = MAIL_PORTS
        .iter()
        .find(|p| p.0 == safety)
        .map_or(25, |p| p.1);
    let (host, port) = server(row, "mail", &to, usual)?;
    if safety == MailSafety::Plain && !is_loopback(&host) {
        row.fault(
            "mail_safety",
            format!("messages would go to {host} for all to read"),
            "Choose STARTTLS or TLS; none is for a server on this same machine",
        );
        return None;
    }
    let Some(from) = from.filter(|f| is_address(f)) else {
        row.fault(
            "mail_from",
            "there is no address that messages come from".to_owned(),
            "Write one that the server lets you send from, as kilns@studio.example",
        );
        return None;
    };
    Some(Some(Mail {
        host,
        port,
        safety,
        from,
        login: login.unwrap_or_default(),
        secret,
    }))
}
