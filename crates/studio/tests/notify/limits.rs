//! The same is not told all the time, and not too much is told in an hour.

use glost_model::book::{Act, Notice, NoticeKind, Role, Standing, Ways, Webhook, Which};
use glost_studio::desk::Desk;
use glost_studio::desk::notice::RaisedAs;

use crate::place::{actor, alarm, clock, errands, pass, person, studio};

fn ways() -> Ways {
    Ways {
        webhook: Some(Webhook {
            url: "http://127.0.0.1:9/".into(),
            secret: None,
        }),
        most_per_hour: 3,
        ..Ways::default()
    }
}

async fn raise(desk: &Desk, notice: &Notice) -> Option<usize> {
    match desk.raise(notice).await.unwrap() {
        RaisedAs::New { errands, .. } => Some(errands),
        RaisedAs::Known { .. } => None,
    }
}

#[tokio::test]
async fn the_same_is_told_again_after_half_an_hour_or_when_it_got_worse() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(
        folder.path(),
        Ways {
            most_per_hour: 60,
            ..ways()
        },
        &[],
    )
    .await;
    assert_eq!(raise(&desk, &alarm("element-out")).await, Some(1));
    // The watcher says so every minute.
    for _ in 0..29 {
        pass(60);
        assert_eq!(raise(&desk, &alarm("element-out")).await, None);
    }
    assert_eq!(desk.open_notices().await.unwrap().len(), 1);
    // Another alarm, another kind, another firing: each for itself.
    assert_eq!(raise(&desk, &alarm("door-leak")).await, Some(1));
    let silent = Notice {
        kind: NoticeKind::Silent,
        ..alarm("element-out")
    };
    assert_eq!(raise(&desk, &silent).await, Some(1));
    let other = Notice {
        firing: "0008".into(),
        ..alarm("element-out")
    };
    assert_eq!(raise(&desk, &other).await, Some(1));
    // Graver, then urgent: told at once; back to mild: not.
    let graver = Notice {
        grave: 1,
        ..alarm("element-out")
    };
    assert_eq!(raise(&desk, &graver).await, Some(1));
    let urgent = Notice {
        urgent: true,
        ..alarm("element-out")
    };
    assert_eq!(raise(&desk, &urgent).await, Some(1));
    assert_eq!(raise(&desk, &alarm("element-out")).await, None);
    pass(1800);
    assert_eq!(raise(&desk, &alarm("element-out")).await, Some(1));
    // A later one stands in the place of the earlier.
    let open = desk.open_notices().await.unwrap();
    let of = |n: &Notice| n.same_as(&alarm("element-out"));
    assert_eq!(open.iter().filter(|r| of(&r.notice)).count(), 1);
}

#[tokio::test]
async fn what_passed_and_came_back_stands_on_the_pages_without_being_told_again() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path(), ways(), &[]).await;
    let silent = || Notice {
        kind: NoticeKind::Silent,
        ..alarm("")
    };
    assert_eq!(raise(&desk, &silent()).await, Some(1));
    let mut told = 1;
    for minute in 1..=60 {
        pass(60);
        assert_eq!(
            desk.notice_past("0007", NoticeKind::Silent, None, clock())
                .await
                .unwrap(),
            1
        );
        assert!(desk.open_notices().await.unwrap().is_empty());
        told += raise(&desk, &silent())
            .await
            .unwrap_or_else(|| panic!("not kept at {minute}"));
        assert_eq!(desk.open_notices().await.unwrap().len(), 1);
    }
    assert_eq!(told, 3, "at the start, after 30 and 60 minutes");
    assert_eq!(errands(&desk).await.len(), 3);
}

#[tokio::test]
async fn so_many_are_told_in_an_hour_and_small_things_keep_no_grave_one_back() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path(), ways(), &[]).await;
    let mut told = 0;
    for n in 0..10 {
        pass(1);
        told += raise(&desk, &alarm(&format!("alarm-{n}"))).await.unwrap();
    }
    assert_eq!(told, 3);
    assert_eq!(
        desk.open_notices().await.unwrap().len(),
        10,
        "all stand on the pages"
    );
    let urgent = Notice {
        urgent: true,
        ..alarm("fire")
    };
    assert_eq!(raise(&desk, &urgent).await, Some(1));
    assert!(
        desk.open_notices().await.unwrap()[0].notice.urgent,
        "the urgent first"
    );
    // One that was not told stays known.
    assert_eq!(raise(&desk, &alarm("alarm-9")).await, None);
    pass(3600);
    assert_eq!(raise(&desk, &alarm("alarm-9")).await, Some(1));
}

#[tokio::test]
async fn two_who_see_the_same_at_once_tell_it_once() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path(), ways(), &[]).await;
    let notice = alarm("element-out");
    let all = tokio::join!(
        desk.raise(&notice),
        desk.raise(&notice),
        desk.raise(&notice),
        desk.raise(&notice)
    );
    let new = [all.0, all.1, all.2, all.3]
        .into_iter()
        .filter(|r| matches!(r.as_ref().unwrap(), RaisedAs::New { .. }));
    assert_eq!(new.count(), 1);
}

#[tokio::test]
async fn what_the_program_did_is_not_undone() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path(), ways(), &[]).await;
    desk.raise(&alarm("element-out")).await.unwrap();
    let bea = person("bea", Role::Technician, "", Which::No);
    assert!(bea.role.may(Act::Govern));
    let turn = desk.store.latest_turn().await.unwrap();
    assert!(desk.undo(actor(&bea), turn).await.is_err());
    assert_eq!(
        desk.open_notices().await.unwrap()[0].standing,
        Standing::Open
    );
}
