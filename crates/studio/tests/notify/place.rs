//! A studio with a firing, and a clock that tests set.

use std::cell::Cell;
use std::path::Path;

use glost_model::book::{
    Errand, Firing, FiringState, Notice, NoticeKind, Person, Role, Settings, Ways, Which, Wish,
};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_store::{By, Look};
use glost_studio::desk::{Actor, Desk};
use glost_studio::notify::sender::Sender;
use glost_studio::{demo_texts, open_texts};
use jiff::{SignedDuration, Timestamp};

/// A morning, Thu 26 Nov 2026, 09:00 UTC.
pub fn morning() -> Timestamp {
    "2026-11-26T09:00:00Z".parse().unwrap()
}

thread_local! {
    static NOW: Cell<Timestamp> = Cell::new(morning());
}

/// The time that a test has set.
pub fn clock() -> Timestamp {
    NOW.get()
}

/// Lets so many seconds pass.
pub fn pass(seconds: i64) {
    NOW.set(clock() + SignedDuration::from_secs(seconds));
}

/// Secrets of the tests.
pub fn secrets(name: &str) -> Option<String> {
    match name {
        "GLOST_SECRET_HOOK" => Some("moor lantern".to_owned()),
        "GLOST_SECRET_BROKER" | "GLOST_SECRET_MAIL" => Some("peat fire".to_owned()),
        _ => None,
    }
}

pub async fn desk(folder: &Path) -> Desk {
    let store = crate::stores::open_store(folder, "a").await;
    Desk::new(store, folder.join("photos"))
}

pub fn sender(desk: &Desk) -> Sender {
    Sender::new(desk.clone(), clock, secrets)
}

pub fn person(id: &str, role: Role, reach: &str, which: Which) -> Person {
    Person {
        id: id.into(),
        name: id.into(),
        role,
        class: None,
        mark: String::new(),
        reach: reach.into(),
        shown: None,
        wish: Wish { which, quiet: None },
    }
}

/// The invented studio in UTC, told by these ways, with firing 0007 of `ann` in its kiln and these people.
pub async fn studio(folder: &Path, ways: Ways, people: &[Person]) -> Desk {
    let desk = desk(folder).await;
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    desk.bring_in(&studio, &[], clock()).await.unwrap();
    let by = By {
        who: "ann",
        at: clock(),
    };
    let mut turn = desk.store.turn(by, "begin").await.unwrap();
    let kept = turn.get::<Settings>(Settings::ID).await.unwrap();
    let mut settings = kept.body;
    settings.hours.time_zone = Some("UTC".into());
    settings.name = "Moor Clay".into();
    settings.ways = ways;
    turn.put(&settings, kept.version).await.unwrap();
    for p in people {
        turn.add(p).await.unwrap();
    }
    turn.add(&firing()).await.unwrap();
    turn.commit().await.unwrap();
    desk
}

fn firing() -> Firing {
    let cone = Cone::parse("6").unwrap();
    let kind = FiringKind::Glaze;
    Firing {
        state: FiringState::Firing,
        started_by: Some("ann".into()),
        started: Some(morning()),
        may_stop: vec!["bea".into()],
        ..Firing::new("0007".into(), "Heron".into(), cone, kind, "ann".into())
    }
}

/// An alarm now.
pub fn alarm(about: &str) -> Notice {
    Notice {
        firing: "0007".into(),
        kiln: "Heron".into(),
        at: clock(),
        kind: NoticeKind::Alarm,
        about: about.into(),
        words: "The kiln rises slower than its elements should bring it".into(),
        what_to_do: "Look whether all elements glow.".into(),
        urgent: false,
        grave: 0,
        link: Some("/firings/0007".into()),
    }
}

/// All messages of the book.
pub async fn errands(desk: &Desk) -> Vec<Errand> {
    let all = desk.store.list::<Errand>(&Look::default()).await.unwrap();
    let mut all: Vec<Errand> = all.into_iter().map(|k| k.body).collect();
    all.sort_by(|a, b| a.id.cmp(&b.id));
    all
}

pub fn actor(person: &Person) -> Actor<'_> {
    Actor {
        person,
        at: clock(),
    }
}
