//! Who is on a notice, and when it has passed.

use glost_model::book::{Firing, Notice, NoticeKind, Role, Standing, Ways, Which};
use glost_studio::desk::{Desk, DeskError, End};

use crate::place::{actor, alarm, clock, pass, person, studio};

async fn open(desk: &Desk) -> Vec<NoticeKind> {
    let all = desk.open_notices().await.unwrap();
    all.iter().map(|r| r.notice.kind).collect()
}

#[tokio::test]
async fn who_fires_says_that_they_are_on_it_and_others_may_not() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path(), Ways::default(), &[]).await;
    desk.raise(&alarm("element-out")).await.unwrap();
    let id = desk.open_notices().await.unwrap()[0].id.clone();
    for role in [Role::Maker, Role::Teacher, Role::Office] {
        let p = person("cai", role, "", Which::No);
        assert!(matches!(
            desk.on_it(actor(&p), &id).await,
            Err(DeskError::NotAllowed(_))
        ));
        assert!(matches!(
            desk.notices(actor(&p), 9).await,
            Err(DeskError::NotAllowed(_))
        ));
    }
    let (ann, bea) = (
        person("ann", Role::Loader, "", Which::No),
        person("bea", Role::Technician, "", Which::No),
    );
    pass(60);
    let turn = desk.on_it(actor(&ann), &id).await.unwrap();
    assert!(open(&desk).await.is_empty());
    pass(60);
    desk.on_it(actor(&bea), &id).await.unwrap();
    desk.on_it(actor(&bea), &id).await.unwrap();
    let (raised, errands) = desk.notices(actor(&ann), 9).await.unwrap().remove(0);
    assert_eq!(raised.standing, Standing::OnIt);
    let seen: Vec<_> = raised.seen.iter().map(|s| s.who.as_str()).collect();
    assert_eq!(seen, ["ann", "bea"]);
    assert!(errands.is_empty());
    assert_eq!(raised.seen[1].at, clock());
    // Somebody built on it.
    assert!(desk.undo(actor(&bea), turn).await.is_err());
    // Still so after half an hour: it is told anew, and nobody is on that one.
    pass(1800);
    desk.raise(&alarm("element-out")).await.unwrap();
    assert_eq!(open(&desk).await, [NoticeKind::Alarm]);
}

#[tokio::test]
async fn a_tick_can_be_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path(), Ways::default(), &[]).await;
    desk.raise(&alarm("element-out")).await.unwrap();
    let id = desk.open_notices().await.unwrap()[0].id.clone();
    let ann = person("ann", Role::Loader, "", Which::No);
    let turn = desk.on_it(actor(&ann), &id).await.unwrap();
    desk.undo(actor(&ann), turn).await.unwrap();
    assert_eq!(open(&desk).await, [NoticeKind::Alarm]);
}

#[tokio::test]
async fn notices_pass_as_the_firing_moves_on() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path(), Ways::default(), &[]).await;
    let bea = person("bea", Role::Technician, "", Which::No);
    let raise = async |kind| {
        desk.raise(&Notice { kind, ..alarm("") }).await.unwrap();
    };
    for kind in NoticeKind::ALL {
        raise(kind).await;
    }
    let other = Notice {
        firing: "0008".into(),
        ..alarm("")
    };
    desk.raise(&other).await.unwrap();
    assert_eq!(open(&desk).await.len(), 6);
    let version = desk.store.get::<Firing>("0007").await.unwrap().version;
    let ended = desk
        .end(actor(&bea), "0007", version, End::default())
        .await
        .unwrap();
    let mut left = open(&desk).await;
    left.sort();
    assert_eq!(
        left,
        [NoticeKind::Alarm, NoticeKind::Open],
        "the other firing's alarm, and the lid"
    );
    // Taking the end back brings them back.
    desk.undo(actor(&bea), ended).await.unwrap();
    assert_eq!(open(&desk).await.len(), 6);
    let version = desk.store.get::<Firing>("0007").await.unwrap().version;
    desk.end(actor(&bea), "0007", version, End::default())
        .await
        .unwrap();
    desk.opened(actor(&bea), "0007", version + 1, None, "", None)
        .await
        .unwrap();
    assert_eq!(open(&desk).await, [NoticeKind::Alarm]);
}
