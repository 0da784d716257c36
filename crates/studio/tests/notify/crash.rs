//! The program stops at any moment.

use glost_model::book::{ErrandState, WayKind};

use crate::hook::{Answers, by_hook, program};
use crate::inbox::Inbox;
use crate::place::{alarm, clock, desk, errands, pass, person, secrets, sender, studio};
use glost_model::book::{Role, Which};
use glost_studio::notify::sender::Sender;

#[tokio::test]
async fn between_keeping_and_sending_nothing_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let (hook, mut comes) = program(&[Answers::Well]).await;
    let first = studio(folder.path(), by_hook(hook), &[]).await;
    first.raise(&alarm("element-out")).await.unwrap();
    first.store.close().await;
    drop(first);
    let second = desk(folder.path()).await;
    assert_eq!(sender(&second).round().await.unwrap(), 1);
    assert!(comes.recv().await.is_some());
    second.store.close().await;
    let third = desk(folder.path()).await;
    pass(7200);
    assert_eq!(sender(&third).round().await.unwrap(), 0, "told twice");
    assert!(comes.try_recv().is_err());
}

#[tokio::test]
async fn in_the_middle_of_sending_it_is_sent_again_by_the_next() {
    let folder = tempfile::tempdir().unwrap();
    let (hook, mut comes) = program(&[Answers::Never, Answers::Well]).await;
    let desk = studio(folder.path(), by_hook(hook), &[]).await;
    let running = tokio::spawn(Sender::new(desk.clone(), clock, secrets).run());
    // A sender that sleeps is woken.
    desk.raise(&alarm("element-out")).await.unwrap();
    let (_, first) = comes.recv().await.unwrap();
    running.abort();
    assert!(running.await.unwrap_err().is_cancelled());
    assert_eq!(errands(&desk).await[0].state, ErrandState::Waiting);
    assert_eq!(sender(&desk).round().await.unwrap(), 1);
    let (_, second) = comes.recv().await.unwrap();
    let id = |body: &str| serde_json::from_str::<serde_json::Value>(body).unwrap()["id"].clone();
    assert_eq!(id(&first), id(&second));
    assert_eq!(errands(&desk).await[0].state, ErrandState::Sent);
}

#[tokio::test]
async fn a_program_that_never_answers_holds_no_mail_up() {
    let folder = tempfile::tempdir().unwrap();
    let (hook, mut comes) = program(&[Answers::Never]).await;
    let mut inbox = Inbox::start();
    let mut ways = by_hook(hook);
    ways.mail = Some(inbox.mail());
    let ann = person("ann", Role::Loader, "ann@moor.example", Which::Mine);
    let desk = studio(folder.path(), ways, &[ann]).await;
    let running = tokio::spawn(sender(&desk).run());
    desk.raise(&alarm("element-out")).await.unwrap();
    assert!(comes.recv().await.is_some());
    let mut later = alarm("sensor-slips");
    later.words = "The sensor reads lower than it should".into();
    desk.raise(&later).await.unwrap();
    for _ in 0..2 {
        let mail = tokio::task::spawn_blocking(move || {
            let mail = inbox.next();
            (inbox, mail)
        });
        let (back, mail) = mail.await.unwrap();
        inbox = back;
        assert_eq!(mail["to"], "ann@moor.example");
    }
    running.abort();
    let hooks: Vec<_> = errands(&desk).await;
    let waiting = hooks.iter().filter(|e| e.way == WayKind::Webhook);
    assert!(waiting.into_iter().all(|e| e.state == ErrandState::Waiting));
}
