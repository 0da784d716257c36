//! What the book holds, and by what each kind is found.

use glost_model::book::{
    BadStretch, Entry, Errand, Firing, Learning, Lessons, Loss, Person, Raised, Settings, Source,
    Stock, Thing, Upkeep, Ware,
};
use glost_model::clay::{Clay, Glaze};
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_model::kiln::Kiln;
use jiff::Timestamp;

use crate::record::parse;
use crate::{Keys, Record, StoreError};

impl Record for Person {
    const KIND: &'static str = "person";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        Keys {
            state: self.role.word().to_owned(),
            link: self.class.clone().unwrap_or_default(),
            sort: self.name.clone(),
            words: [
                self.name.as_str(),
                self.mark.as_str(),
                self.reach.as_str(),
                self.class.as_deref().unwrap_or(""),
            ]
            .join(" "),
            ..Keys::default()
        }
    }
}

impl Record for Ware {
    const KIND: &'static str = "ware";
    fn id(&self) -> &str {
        self.code()
    }
    fn keys(&self) -> Keys {
        let p = &self.piece;
        // The longest waiting first.
        let came = p.came_in.map_or_else(|| day(self.since), |d| d.to_string());
        Keys {
            owner: self.owner.clone(),
            state: self.state.key().to_owned(),
            link: self.firing.clone().unwrap_or_default(),
            sort: format!("{came} {}", p.id),
            words: [
                p.id.as_str(),
                &p.what,
                &p.maker,
                &p.clay,
                &p.glazes.join(" "),
                &self.note,
            ]
            .join(" "),
        }
    }
}

impl Record for Firing {
    const KIND: &'static str = "firing";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        let notes: Vec<&str> = self.notes.iter().map(|n| n.words.as_str()).collect();
        Keys {
            owner: self.by.clone(),
            state: self.state.key().to_owned(),
            link: self.kiln.clone(),
            sort: self.id.clone(),
            words: format!(
                "{} {} cone {} {} {}",
                self.id,
                self.kiln,
                self.cone,
                self.next_time,
                notes.join(" ")
            ),
        }
    }
}

impl Record for Settings {
    const KIND: &'static str = "settings";
    fn id(&self) -> &str {
        Self::ID
    }
    fn keys(&self) -> Keys {
        Keys::default()
    }
}

impl<T: Thing> Record for Stock<T> {
    const KIND: &'static str = T::KIND;
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        let name = self.thing.name();
        Keys {
            words: name.clone(),
            sort: name,
            ..Keys::default()
        }
    }
}

impl Record for Entry {
    const KIND: &'static str = "entry";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        Keys {
            owner: self.person.clone(),
            state: if self.amount_cents.to_cents() < 0 {
                "paid"
            } else {
                "owed"
            }
            .to_owned(),
            link: self.firing.clone().unwrap_or_default(),
            sort: self.at.to_string(),
            words: format!("{} {}", self.words, self.ware.as_deref().unwrap_or("")),
        }
    }
}

// Upkeep of kilns, and what was lost.
impl Record for Upkeep {
    const KIND: &'static str = "upkeep";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        Keys {
            owner: self.who.clone(),
            state: self.what.key().to_owned(),
            link: self.kiln.clone(),
            sort: self.at.to_string(),
            words: format!("{} {}", self.what.done(), self.words),
        }
    }
}

impl Record for Loss {
    const KIND: &'static str = "loss";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        Keys {
            owner: self.who.clone(),
            state: self.kind.clone(),
            link: self.thing.clone(),
            sort: self.at.to_string(),
            words: format!("{} {}", self.name, self.why),
        }
    }
}

impl Record for Lessons {
    const KIND: &'static str = "lessons";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        Keys {
            state: if self.used { "used" } else { "unused" }.to_owned(),
            link: self.kiln.clone(),
            sort: self.kiln.clone(),
            words: self.kiln.clone(),
            ..Keys::default()
        }
    }
}

impl Record for Learning {
    const KIND: &'static str = "learning";
    fn id(&self) -> &str {
        &self.kiln
    }
    fn keys(&self) -> Keys {
        Keys {
            state: if self.after_firings {
                "by-itself"
            } else {
                "asked"
            }
            .to_owned(),
            link: self.kiln.clone(),
            sort: self.name.clone(),
            words: self.name.clone(),
            ..Keys::default()
        }
    }
}

impl Record for BadStretch {
    const KIND: &'static str = "stretch";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        Keys {
            owner: self.who.clone(),
            state: self.why.key().to_owned(),
            link: self.firing.clone(),
            sort: self.from.to_string(),
            words: format!("{} {}", self.firing, self.because()),
        }
    }
}

impl Record for Source {
    const KIND: &'static str = "source";
    fn id(&self) -> &str {
        &self.kiln
    }
    fn keys(&self) -> Keys {
        Keys {
            state: self.kind.key().to_owned(),
            link: self.kiln.clone(),
            sort: self.kiln.clone(),
            words: self.kind.words().to_owned(),
            ..Keys::default()
        }
    }
}

// What people were told of kilns, and the messages on their way.
impl Record for Raised {
    const KIND: &'static str = "notice";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        let n = &self.notice;
        Keys {
            state: self.standing.key().to_owned(),
            link: n.firing.clone(),
            sort: self.id.clone(),
            words: format!("{} {} {} {}", n.firing, n.kiln, n.kind.words(), n.words),
            ..Keys::default()
        }
    }
}

impl Record for Errand {
    const KIND: &'static str = "errand";
    fn id(&self) -> &str {
        &self.id
    }
    fn keys(&self) -> Keys {
        Keys {
            owner: self.person.clone(),
            state: self.state.key().to_owned(),
            link: self.notice.clone(),
            // What is due first comes first.
            sort: format!("{:020}", self.next.as_microsecond()),
            words: self.way.words().to_owned(),
        }
    }
}

fn day(at: Timestamp) -> String {
    at.strftime("%Y-%m-%d").to_string()
}

/// Reads the keys of a stored body.
type KeysOf = fn(&str, &str) -> Result<Keys, StoreError>;

/// All kinds that the book holds.
pub const KINDS: [&str; 19] = [
    Person::KIND,
    Ware::KIND,
    Firing::KIND,
    Settings::KIND,
    Entry::KIND,
    Upkeep::KIND,
    Loss::KIND,
    Lessons::KIND,
    Learning::KIND,
    BadStretch::KIND,
    Source::KIND,
    Raised::KIND,
    Errand::KIND,
    <Clay as Thing>::KIND,
    <Glaze as Thing>::KIND,
    <Kiln as Thing>::KIND,
    <ShelfStock as Thing>::KIND,
    <PostStock as Thing>::KIND,
    <SupportStock as Thing>::KIND,
];

/// The keys of a stored body, whatever its kind.
pub(crate) fn keys_of(kind: &str, id: &str, body: &str) -> Result<Keys, StoreError> {
    fn of<T: Record>(id: &str, body: &str) -> Result<Keys, StoreError> {
        let thing = parse::<T>(id, body)?;
        if thing.id() != id {
            return Err(StoreError::Body {
                kind: T::KIND.to_owned(),
                id: id.to_owned(),
                what: format!("it calls itself {}", thing.id()),
            });
        }
        Ok(thing.keys())
    }
    let known: &[(&str, KeysOf)] = &[
        (Person::KIND, of::<Person>),
        (Ware::KIND, of::<Ware>),
        (Firing::KIND, of::<Firing>),
        (Settings::KIND, of::<Settings>),
        (Entry::KIND, of::<Entry>),
        (Upkeep::KIND, of::<Upkeep>),
        (Loss::KIND, of::<Loss>),
        (Lessons::KIND, of::<Lessons>),
        (Learning::KIND, of::<Learning>),
        (BadStretch::KIND, of::<BadStretch>),
        (Source::KIND, of::<Source>),
        (Raised::KIND, of::<Raised>),
        (Errand::KIND, of::<Errand>),
        (Clay::KIND, of::<Stock<Clay>>),
        (Glaze::KIND, of::<Stock<Glaze>>),
        (Kiln::KIND, of::<Stock<Kiln>>),
        (ShelfStock::KIND, of::<Stock<ShelfStock>>),
        (PostStock::KIND, of::<Stock<PostStock>>),
        (SupportStock::KIND, of::<Stock<SupportStock>>),
    ];
    match known.iter().find(|k| k.0 == kind) {
        Some((_, of)) => of(id, body),
        None => Err(StoreError::Body {
            kind: kind.to_owned(),
            id: id.to_owned(),
            what: "nothing of this kind is known".to_owned(),
        }),
    }
}
