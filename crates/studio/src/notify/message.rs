//! What is sent: a notice in the words and the time of the studio.

use glost_model::book::notice::one_line;
use glost_model::book::{Notice, Raised, Settings};
use jiff::Timestamp;
use serde_json::{Value, json};

use super::recipients::zone;

/// A notice, ready to be told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    /// Id; the same whenever the same notice is sent again.
    pub id: String,
    /// Name of the studio.
    pub studio: String,
    /// The notice, each text on one line.
    pub notice: Notice,
    /// When it came about, in the zone of the studio.
    pub when: String,
    /// Page about it, when the studio has told where its pages are.
    pub link: Option<String>,
    /// When it is sent.
    pub sent: Timestamp,
    /// Somebody tries whether it comes.
    pub test: bool,
}

impl Message {
    /// Of a notice of the book.
    pub fn of(raised: &Raised, settings: &Settings, sent: Timestamp) -> Self {
        let notice = raised.notice.plain();
        let local = notice.at.to_zoned_datetime(zone(settings));
        let address = settings.ways.address.trim_end_matches('/');
        let link = notice
            .link
            .as_ref()
            .filter(|_| !address.is_empty())
            .map(|path| format!("{address}{path}"));
        Self {
            id: raised.id.clone(),
            studio: one_line(&settings.name, 80),
            when: local.strftime("%a %-d %b %Y, %H:%M %Z").to_string(),
            link,
            notice,
            sent,
            test: false,
        }
    }

    /// Its head: what a phone shows of it.
    pub fn head(&self) -> String {
        let n = &self.notice;
        let first = match (self.test, n.urgent) {
            (true, _) => "Test: ",
            (false, true) => "URGENT: ",
            (false, false) => "",
        };
        one_line(&format!("{first}{}: {}", n.kiln, n.words), 160)
    }

    /// As programs get it, by webhook and by MQTT.
    pub fn json(&self) -> Value {
        let n = &self.notice;
        json!({
            "id": self.id,
            "test": self.test,
            "studio": self.studio,
            "kind": n.kind.key(),
            "about": n.about,
            "urgent": n.urgent,
            "kiln": n.kiln,
            "firing": n.firing,
            "at": n.at.to_string(),
            "sent": self.sent.to_string(),
            "words": n.words,
            "what_to_do": n.what_to_do,
            "link": self.link,
        })
    }

    /// As people get it.
    pub fn text(&self) -> String {
        let n = &self.notice;
        let mut text = format!("{}\n\n{}\n\n{}", n.words, n.what_to_do, self.when);
        if !n.firing.is_empty() {
            text += &format!(". {}, firing {}", n.kiln, n.firing);
        }
        if let Some(link) = &self.link {
            text += &format!("\n{link}");
        }
        text += &format!(
            "\n\n-- \n{}. When no notice comes, all need not be well: a kiln needs its own cut-out and a person at its end.\n",
            self.studio
        );
        text
    }
}
