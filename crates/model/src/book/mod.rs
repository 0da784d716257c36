//! The studio's book: people, ware on its way, firings of record, what was charged. Checked data, no storage.

pub mod account;
pub mod crack;
pub mod due;
pub mod errand;
pub mod fault;
pub mod fired;
pub mod lessons;
pub mod notice;
pub mod person;
pub mod settings;
pub mod source;
pub mod stock;
pub mod stretch;
pub mod upkeep;
pub mod ware;
pub mod ways;
pub mod wished;

pub use account::Entry;
pub use crack::Edges;
pub use due::Due;
pub use errand::{Errand, ErrandState, Try, WayKind};
pub use fired::{ConeRead, Firing, FiringState, Note, Purpose, Summary};
pub use lessons::{Held, Learning, Lessons};
pub use notice::{Notice, NoticeKind, Raised, Seen, Standing};
pub use person::{Act, Person, Role};
pub use settings::Settings;
pub use source::{Source, SourceKind};
pub use stock::{Counted, Stock, Thing};
pub use stretch::{BadStretch, Unsound};
pub use upkeep::{Loss, Upkeep, Wearing};
pub use ware::{Fault, FaultKind, State, Ware};
pub use ways::{Mail, MailSafety, Mqtt, Ways, Webhook, Which, Wish};
pub use wished::{By, Wished};
