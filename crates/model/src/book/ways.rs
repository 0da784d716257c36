//! How a studio wants to be told, and what a person wants to be told. Secrets are not here: a setting names the
//! environment variable that holds one.

use jiff::civil::Time;
use serde::{Deserialize, Serialize};

/// Every variable that may be named as a secret begins with this, so that no other of the program's own is sent out.
pub const SECRET: &str = "GLOST_SECRET_";
/// Every topic that Glost publishes on begins with this, so that it is nobody else's.
pub const TOPIC: &str = "glost/";
/// Port of SMTP with STARTTLS, of SMTP over TLS, and of a relay on the same machine.
pub const MAIL_PORTS: [(MailSafety, u16); 3] = [
    (MailSafety::StartTls, 587),
    (MailSafety::Tls, 465),
    (MailSafety::Plain, 25),
];

/// How the studio is told.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ways {
    /// Where people open the pages, as `https://kilns.example`; empty when messages are to hold no link.
    #[serde(default)]
    pub address: String,
    /// A program that takes notices by HTTP.
    #[serde(default)]
    pub webhook: Option<Webhook>,
    /// A broker of messages.
    #[serde(default)]
    pub mqtt: Option<Mqtt>,
    /// The server that takes e-mail.
    #[serde(default)]
    pub mail: Option<Mail>,
    /// Most notices told in an hour; urgent ones are counted by themselves.
    pub most_per_hour: u16,
}

impl Default for Ways {
    /// Six notices an hour are a choice made here: more are no longer read.
    fn default() -> Self {
        Self {
            address: String::new(),
            webhook: None,
            mqtt: None,
            mail: None,
            most_per_hour: 6,
        }
    }
}

/// A program that takes notices by HTTP.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Webhook {
    /// Its address, or the variable that holds it when the address itself is a secret.
    pub url: String,
    /// Variable with the secret by which messages are signed.
    #[serde(default)]
    pub secret: Option<String>,
}

/// A broker of messages.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mqtt {
    /// Host and port.
    pub host: String,
    /// Port.
    pub port: u16,
    /// Topic of Glost's own.
    pub topic: String,
    /// Name to sign in with.
    #[serde(default)]
    pub login: String,
    /// Variable with the password.
    #[serde(default)]
    pub secret: Option<String>,
}

/// How a connection to a mail server is kept safe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MailSafety {
    /// TLS from the first byte.
    Tls,
    /// TLS once the server was greeted; nothing is sent without it.
    StartTls,
    /// None, on this machine only.
    Plain,
}

/// The server that takes e-mail.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mail {
    /// Host.
    pub host: String,
    /// Port.
    pub port: u16,
    /// How the connection is kept safe.
    pub safety: MailSafety,
    /// Address that messages come from.
    pub from: String,
    /// Name to sign in with.
    #[serde(default)]
    pub login: String,
    /// Variable with the password.
    #[serde(default)]
    pub secret: Option<String>,
}

/// Of which firings a person is told by e-mail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Which {
    /// Those that they planned, loaded, started or may stop.
    #[default]
    Mine,
    /// All.
    All,
    /// None.
    No,
}

/// What a person wants to be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Wish {
    /// Of which firings.
    #[serde(default)]
    pub which: Which,
    /// From and to when only what is urgent is told; it may pass over midnight.
    #[serde(default)]
    pub quiet: Option<(Time, Time)>,
}

impl Wish {
    /// Whether nothing else was ever wished.
    pub fn is_usual(&self) -> bool {
        *self == Self::default()
    }

    /// Whether a time of day is in the quiet hours.
    pub fn is_quiet(&self, at: Time) -> bool {
        self.quiet.is_some_and(|(from, to)| {
            if from <= to {
                (from..to).contains(&at)
            } else {
                at >= from || at < to
            }
        })
    }
}

/// Quiet hours as a form has them: `22:00-07:00`; nothing for an empty text.
///
/// # Errors
/// What is wrong with it, and what to do.
pub fn read_quiet(text: &str) -> Result<Option<(Time, Time)>, (String, &'static str)> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    let read = |t: &str| Time::strptime("%H:%M", t.trim()).ok();
    let found = text
        .split_once(['-', '–'])
        .and_then(|(from, to)| Some((read(from)?, read(to)?)))
        .filter(|(from, to)| from != to);
    match found {
        Some(span) => Ok(Some(span)),
        None => Err((
            format!(
                "\"{}\" is no span of hours",
                super::notice::one_line(text, 40)
            ),
            "Write two times of day, as 22:00-07:00, or leave it empty",
        )),
    }
}

/// Quiet hours for a form.
pub fn quiet_text(quiet: Option<(Time, Time)>) -> String {
    quiet.map_or_else(String::new, |(from, to)| {
        format!("{}-{}", from.strftime("%H:%M"), to.strftime("%H:%M"))
    })
}

/// Whether it is an address that e-mail can be sent to. A check for slips: whether anybody is there shows by sending.
pub fn is_address(text: &str) -> bool {
    let Some((who, host)) = text.rsplit_once('@') else {
        return false;
    };
    let plain = |c: char| c.is_alphanumeric() || "!#$%&'*+/=?^_`{|}~.-".contains(c);
    let dots = |part: &str| !part.starts_with('.') && !part.ends_with('.') && !part.contains("..");
    (1..=64).contains(&who.len())
        && text.len() <= 254
        && who.chars().all(plain)
        && dots(who)
        && is_host(host)
}

/// Whether it is the name of a machine, or its number.
pub fn is_host(text: &str) -> bool {
    let part = |p: &str| {
        (1..=63).contains(&p.len())
            && p.chars().all(|c| c.is_alphanumeric() || c == '-')
            && !p.starts_with('-')
            && !p.ends_with('-')
    };
    text.len() <= 253 && text.split('.').all(part)
}

/// Whether it is this machine.
pub fn is_loopback(host: &str) -> bool {
    host == "localhost"
        || host == "::1"
        || host
            .parse::<std::net::Ipv4Addr>()
            .is_ok_and(|a| a.is_loopback())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::time;

    #[test]
    fn quiet_hours_pass_over_midnight() {
        let wish = |text| Wish {
            which: Which::Mine,
            quiet: read_quiet(text).unwrap(),
        };
        let night = wish("22:00-07:00");
        assert!(night.is_quiet(time(23, 0, 0, 0)) && night.is_quiet(time(6, 59, 0, 0)));
        assert!(!night.is_quiet(time(7, 0, 0, 0)) && !night.is_quiet(time(21, 59, 0, 0)));
        let noon = wish("12:00–13:30");
        assert!(noon.is_quiet(time(12, 0, 0, 0)) && !noon.is_quiet(time(13, 30, 0, 0)));
        assert!(!wish("").is_quiet(time(3, 0, 0, 0)));
        assert_eq!(quiet_text(night.quiet), "22:00-07:00");
        for bad in ["night", "22-7", "25:00-07:00", "08:00-08:00", "08:00"] {
            assert!(read_quiet(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn an_address_holds_nothing_that_could_be_a_second_one() {
        for good in [
            "bea@moor.example",
            "b.ea+kiln@localhost",
            "ülle@töö.example",
        ] {
            assert!(is_address(good), "{good}");
        }
        for bad in [
            "",
            "bea",
            "@moor.example",
            "bea@",
            "a@b@c d",
            "bea@moor.example,eve@x.example",
            "bea@moor.example\r\nBcc: eve@x.example",
            "<bea@moor.example>",
            "be a@moor.example",
            "bea@-moor.example",
            "bea@moor..example",
            ".bea@moor.example",
            "0171 2345",
        ] {
            assert!(!is_address(bad), "{bad:?}");
        }
    }
}
