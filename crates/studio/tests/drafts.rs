//! Drafts: wishes of a firing go from the form into its plan and stay with it; a load is seen while it grows.

use glost_model::book::{By, FiringState, Person, Role, Wished};
use glost_model::cone::Cone;
use glost_model::firing::Aim;
use glost_model::load::FiringKind;
use glost_model::shown::Shown;
use glost_placing::PlanAsk;
use glost_store::{Look, Store};
use glost_studio::desk::propose::{Effort, plan_draft};
use glost_studio::desk::seed::KNOWN;
use glost_studio::desk::{Actor, Desk, DeskError, NewFiring, wishes};
use glost_studio::{DEMO_KILN, Growing, demo_texts, open_texts, propose, propose_shown};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan as _};

const ON: i64 = 1_795_000_000;

fn typed(fields: &[(&'static str, &'static str)], shown: Shown) -> Result<Wished, DeskError> {
    let get = |name: &str| fields.iter().find(|f| f.0 == name).map_or("", |f| f.1);
    wishes::read(get, None, shown, &TimeZone::UTC)
}

#[test]
fn what_is_typed_is_read_in_the_units_of_the_person() {
    assert!(
        typed(&[("aim", "soonest")], Shown::default())
            .unwrap()
            .is_plain()
    );
    let f = Shown {
        fahrenheit: true,
        ..Shown::default()
    };
    let fields = [
        ("aim", "evenest"),
        ("fall", "108"),
        ("fall_hold", "30"),
        ("open_by", "2026-12-01T08:00"),
    ];
    let w = typed(&fields, f).unwrap();
    assert_eq!(w.aim, Aim::Evenest);
    let drop = w.drop_hold.unwrap();
    assert!((drop.by.to_k() - 60.0).abs() < 1e-9 && (drop.hold.to_minutes() - 30.0).abs() < 1e-9);
    assert_eq!(
        w.by,
        Some(By::Open("2026-12-01T08:00:00Z".parse().unwrap()))
    );
}

#[test]
fn each_fault_is_told_at_its_field() {
    let fields = [
        ("aim", "best"),
        ("fall", "900"),
        ("end_by", "soon"),
        ("open_by", "2026-12-01T08:00"),
    ];
    let Err(DeskError::Faults(faults)) = typed(&fields, Shown::default()) else {
        unreachable!("four faults")
    };
    let at: Vec<&str> = faults.iter().map(|f| f.field.as_str()).collect();
    assert_eq!(at, ["aim", "fall", "fall_hold", "end_by"]);
    let both = [
        ("end_by", "2026-12-01T07:00"),
        ("open_by", "2026-12-01T08:00"),
    ];
    assert!(typed(&both, Shown::default()).is_err(), "only one counts");
    let start = Some(Timestamp::from_second(ON).unwrap());
    let get = |name: &str| {
        if name == "end_by" {
            "2026-12-01T07:00"
        } else {
            ""
        }
    };
    assert!(wishes::read(get, start, Shown::default(), &TimeZone::UTC).is_err());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_plan_goes_by_them_and_its_start_keeps_the_moment() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("studio.db").display().to_string();
    let desk = Desk::new(
        Store::open(&place).await.unwrap(),
        folder.path().join("photos"),
    );
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    let now = Timestamp::from_second(ON).unwrap();
    desk.bring_in(&studio, &KNOWN, now).await.unwrap();
    let people = desk.store.list::<Person>(&Look::default()).await.unwrap();
    let nia = people.into_iter().find(|p| p.body.role == Role::Technician);
    let nia = nia.unwrap().body;
    let actor = Actor {
        person: &nia,
        at: now,
    };
    let by = now.checked_add(72.hours()).unwrap();
    let wished = Wished {
        aim: Aim::Evenest,
        by: Some(By::Open(by)),
        ..typed(&[("fall", "60"), ("fall_hold", "30")], Shown::default()).unwrap()
    };
    let new = NewFiring {
        kiln: "Heron".into(),
        cone: Cone::parse("6").unwrap(),
        kind: FiringKind::Glaze,
        starts: None,
        wished: wished.clone(),
    };
    let firing = desk.new_firing(actor, &new).await.unwrap();
    let (studio, book) = desk.studio_with_waiting().await.unwrap();
    let day = jiff::civil::date(2026, 11, 18);
    let watch = |_: &str, _: f64, _: f64| true;
    let plan = plan_draft(studio, &book, &firing, day, 1, Effort::Short, &watch).unwrap();
    let planned = plan.firing.as_ref().unwrap();
    assert_eq!(
        (planned.aim, planned.drop_hold),
        (wished.aim, wished.drop_hold)
    );
    desk.keep_plan(actor, &firing.id, &plan, "plan firing")
        .await
        .unwrap();
    let kept = desk.firing(&firing.id).await.unwrap();
    let starts = kept.body.starts.unwrap();
    let open = kept.body.summary.open_after_s.unwrap().to_s() as i64;
    let foreseen = starts.as_second() + open;
    assert!(
        starts > now && foreseen <= by.as_second(),
        "late ones too keep it"
    );
    assert!(
        foreseen > by.as_second() - 24 * 3600,
        "and no day is given away"
    );
    assert_eq!(kept.body.state, FiringState::Draft);

    // A moment that no start keeps is told, and the firing has no start then.
    let soon = Wished {
        by: Some(By::End(now.checked_add(2.hours()).unwrap())),
        ..Wished::default()
    };
    let old = desk.wish(actor, &firing.id, kept.version - 1, &soon).await;
    assert!(old.is_err(), "somebody else was quicker");
    desk.wish(actor, &firing.id, kept.version, &soon)
        .await
        .unwrap();
    desk.keep_plan(actor, &firing.id, &plan, "plan firing")
        .await
        .unwrap();
    let kept = desk.firing(&firing.id).await.unwrap();
    assert_eq!(kept.body.starts, None);
    assert!(
        kept.body.wished.missed.contains("is past"),
        "{}",
        kept.body.wished.missed
    );
    // Wishes that are as they were change nothing.
    desk.wish(actor, &firing.id, 0, &soon).await.unwrap();
    assert_eq!(desk.firing(&firing.id).await.unwrap().version, kept.version);
}

#[test]
fn a_load_is_seen_as_it_grows_and_how_good_it_is() {
    let (studio, book) = open_texts(&demo_texts()).unwrap();
    let ask = PlanAsk {
        studio: &studio,
        book: &book,
        kiln: DEMO_KILN,
        cone: Cone::parse("6").unwrap(),
        kind: FiringKind::Glaze,
        today: jiff::civil::date(2026, 11, 25),
        seed: 1,
        rounds: 60,
        worth: None,
    };
    let mut seen: Vec<(f64, f64)> = Vec::new();

    let shown = propose_shown(&ask, &mut |g: &Growing<'_>| {
        if let Some(so_far) = g
            .so_far
            .filter(|_| seen.last().is_none_or(|s| g.value > s.0))
        {
            let pieces = so_far().iter().map(|t| t.pieces.len()).sum::<usize>();
            seen.push((g.value, pieces as f64));
        }
        true
    })
    .unwrap();
    assert!(seen.len() > 1, "{seen:?}");
    assert!(seen.iter().all(|s| s.1 > 0.0), "{seen:?}");
    let (value, pieces) = *seen.last().unwrap();
    assert!(value <= shown.load.worth.value + 1e-9);
    assert!(pieces <= studio.pieces.len() as f64);
    // Whether anybody looks changes nothing of what is found.
    let plain = propose(&ask, &mut |_, _| true).unwrap();
    assert_eq!(shown, plain);
}
