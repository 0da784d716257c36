//! Who is told, and when.

use glost_model::book::{
    ErrandState, Mail, MailSafety, Notice, NoticeKind, Person, Role, WayKind, Ways, Which,
};
use jiff::Timestamp;
use jiff::civil::time;

use crate::place::{actor, alarm, clock, errands, pass, person, sender, studio};

fn ways() -> Ways {
    Ways {
        mail: Some(Mail {
            host: "127.0.0.1".into(),
            // Nobody is there.
            port: 9,
            safety: MailSafety::Plain,
            from: "kilns@moor.example".into(),
            login: String::new(),
            secret: None,
        }),
        most_per_hour: 60,
        ..Ways::default()
    }
}

fn night(mut p: Person) -> Person {
    p.wish.quiet = Some((time(22, 0, 0, 0), time(7, 0, 0, 0)));
    p
}

#[tokio::test]
async fn each_is_told_of_what_they_wish() {
    let folder = tempfile::tempdir().unwrap();
    let people = [
        person("ann", Role::Loader, "ann@moor.example", Which::Mine),
        person("bea", Role::Loader, "bea@moor.example", Which::Mine),
        person("cai", Role::Loader, "cai@moor.example", Which::Mine),
        person("dag", Role::Technician, "dag@moor.example", Which::All),
        person("eve", Role::Technician, "eve@moor.example", Which::No),
        person("fay", Role::Technician, "0171 2345", Which::All),
        person("gus", Role::Maker, "gus@moor.example", Which::All),
    ];
    let desk = studio(folder.path(), ways(), &people).await;
    desk.raise(&alarm("element-out")).await.unwrap();
    let told: Vec<String> = errands(&desk).await.into_iter().map(|e| e.person).collect();
    assert_eq!(
        told,
        ["ann", "bea", "dag"],
        "started it, may stop it, wants all"
    );
    let other = Notice {
        firing: "0999".into(),
        ..alarm("element-out")
    };
    desk.raise(&other).await.unwrap();
    let told: Vec<_> = errands(&desk).await.into_iter().skip(3).collect();
    assert_eq!(told.len(), 1);
    assert_eq!(
        (told[0].person.as_str(), told[0].way),
        ("dag", WayKind::Mail)
    );
}

#[tokio::test]
async fn what_is_not_urgent_waits_for_the_morning() {
    let folder = tempfile::tempdir().unwrap();
    let ann = night(person("ann", Role::Loader, "ann@moor.example", Which::Mine));
    let bea = person("bea", Role::Loader, "bea@moor.example", Which::Mine);
    let desk = studio(folder.path(), ways(), &[ann, bea.clone()]).await;
    let when = |text: &str| text.parse::<Timestamp>().unwrap();
    pass(
        when("2026-11-26T23:30:00Z")
            .duration_since(clock())
            .as_secs(),
    );
    desk.raise(&alarm("mild")).await.unwrap();
    desk.raise(&Notice {
        urgent: true,
        ..alarm("grave")
    })
    .await
    .unwrap();
    let next: Vec<_> = errands(&desk).await.iter().map(|e| e.next).collect();
    let (now, morning) = (clock(), when("2026-11-27T07:00:00Z"));
    assert_eq!(next, [morning, now, now, now]);
    // After midnight it is the same morning; in the day it is at once.
    pass(3 * 3600);
    desk.raise(&alarm("later")).await.unwrap();
    assert_eq!(errands(&desk).await[4].next, morning);
    pass(8 * 3600);
    desk.raise(&alarm("by day")).await.unwrap();
    assert_eq!(errands(&desk).await[6].next, clock());
}

#[tokio::test]
async fn the_end_of_a_programme_wakes_who_is_to_be_there() {
    let folder = tempfile::tempdir().unwrap();
    let ann = night(person("ann", Role::Loader, "ann@moor.example", Which::Mine));
    let desk = studio(folder.path(), ways(), &[ann]).await;
    let night: Timestamp = "2026-11-27T02:00:00Z".parse().unwrap();
    pass(night.duration_since(clock()).as_secs());
    desk.raise(&Notice {
        kind: NoticeKind::End,
        ..alarm("")
    })
    .await
    .unwrap();
    assert_eq!(errands(&desk).await[0].next, clock());
}

#[tokio::test]
async fn what_waited_for_the_morning_is_spared_when_somebody_was_on_it() {
    let folder = tempfile::tempdir().unwrap();
    let ann = night(person("ann", Role::Loader, "ann@moor.example", Which::Mine));
    let bea = person("bea", Role::Loader, "bea@moor.example", Which::Mine);
    let desk = studio(folder.path(), ways(), &[ann, bea.clone()]).await;
    pass(14 * 3600);
    desk.raise(&alarm("mild")).await.unwrap();
    // Bea's own was due at once and is tried; nobody is there to take it.
    assert_eq!(sender(&desk).round().await.unwrap(), 1);
    let id = desk.open_notices().await.unwrap()[0].id.clone();
    desk.on_it(actor(&bea), &id).await.unwrap();
    let states: Vec<_> = errands(&desk).await.iter().map(|e| e.state).collect();
    assert_eq!(states, [ErrandState::Spared, ErrandState::Waiting]);
}
