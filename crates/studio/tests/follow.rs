//! A firing followed from its samples: what is known comes from what is kept, also by a program that starts again.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod stores;

use std::io::Cursor;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use glost_model::book::{
    Firing, Notice, NoticeKind, Person, Raised, Role, Source, SourceKind, Unsound,
};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::plan_file::PlanFile;
use glost_model::readings::Sample;
use glost_model::{Span, Temperature};
use glost_store::Look;
use glost_studio::desk::propose::{Effort, plan_draft};
use glost_studio::desk::seed::KNOWN;
use glost_studio::desk::stretches::NewStretch;
use glost_studio::desk::{Actor, Desk, DeskError, NewFiring, Start};
use glost_studio::follow::{Follow, Seen, Stage};
use glost_studio::{demo_texts, open_texts};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

const ON: i64 = 1_795_000_000;

fn on() -> Timestamp {
    Timestamp::from_second(ON).unwrap()
}

fn later() -> Timestamp {
    Timestamp::from_second(ON + 200 * 3600).unwrap()
}

struct Studio {
    desk: Desk,
    nia: Person,
    firing: Firing,
    plan: PlanFile,
    #[expect(dead_code, reason = "keeps the folder for as long as the test runs")]
    folder: tempfile::TempDir,
}

/// The invented studio with a firing that is on.
async fn firing() -> Studio {
    firing_that_waits(None).await
}

/// The same, with a controller that was set going so much before.
async fn firing_that_waits(waits: Option<SignedDuration>) -> Studio {
    let folder = tempfile::tempdir().unwrap();
    let store = stores::open_store(folder.path(), "studio").await;
    let desk = Desk::new(store, folder.path().join("photos"));
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    desk.bring_in(&studio, &KNOWN, on()).await.unwrap();
    let people = desk.store.list::<Person>(&Look::default()).await.unwrap();
    let nia = people.into_iter().find(|p| p.body.role == Role::Technician);
    let nia = nia.unwrap().body;
    let actor = Actor {
        person: &nia,
        at: on(),
    };
    let new = NewFiring {
        kiln: "Heron".into(),
        cone: Cone::parse("6").unwrap(),
        kind: FiringKind::Glaze,
        starts: None,
        wished: glost_model::book::Wished::default(),
    };
    let firing = desk.new_firing(actor, &new).await.unwrap();
    let id = firing.id.clone();
    let (studio, book) = desk.studio_with_waiting().await.unwrap();
    let today = jiff::civil::date(2026, 11, 18);
    let plan = plan_draft(
        studio,
        &book,
        &firing,
        today,
        1,
        Effort::Short,
        &|_, _, _| true,
    );
    let plan = plan.unwrap();
    desk.keep_plan(actor, &id, &plan, "plan firing")
        .await
        .unwrap();
    let version = async || desk.firing(&id).await.unwrap().version;
    desk.accept(actor, &id, version().await, None)
        .await
        .unwrap();
    let before = desk.take_samples(actor, &id, &[]).await;
    assert!(
        matches!(before, Err(DeskError::Cannot { .. })),
        "it is not on yet"
    );
    desk.begin_loading(actor, &id, version().await)
        .await
        .unwrap();
    desk.read_back(actor, &id, version().await, "", false)
        .await
        .unwrap();
    let looked = Start {
        looked: true,
        at: waits.map(|w| on() - w),
        begins: waits.map(|_| on()),
        ..Start::default()
    };
    desk.start(actor, &id, version().await, looked)
        .await
        .unwrap();
    let firing = desk.firing(&id).await.unwrap().body;
    Studio {
        desk,
        nia,
        firing,
        plan,
        folder,
    }
}

/// What the plan foresees, as samples of each minute up to `until`.
fn foreseen(plan: &PlanFile, until: Span) -> Vec<Sample> {
    let forecast = plan.forecast.as_ref().unwrap();
    let mut out = Vec::new();
    let mut minute = 0.0;
    for pair in forecast.samples.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        while minute * 60.0 < b.time_s.to_s() && minute * 60.0 < until.to_s() {
            let share = (minute * 60.0 - a.time_s.to_s()) / (b.time_s - a.time_s).to_s();
            let c = a.sensor_c.to_c() + share * (b.sensor_c.to_c() - a.sensor_c.to_c());
            let at = on()
                .checked_add(SignedDuration::from_secs_f64(minute * 60.0))
                .unwrap();
            out.push(Sample::of_sensor(
                at,
                Temperature::c((c * 10.0).round() / 10.0),
            ));
            minute += 1.0;
        }
    }
    out
}

async fn seen(follow: &Follow, id: &str, samples: u64) -> Arc<Seen> {
    let mut hear = follow.firing(id);
    let all = |s: &Arc<Seen>| s.samples == samples && s.estimate.is_some() || s.trouble.is_some();
    hear.wait_for(all).await.unwrap().clone()
}

#[tokio::test(flavor = "multi_thread")]
async fn readings_that_are_not_to_be_believed_are_not_followed() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    let follow = Follow::new(desk.clone(), later);
    let mut samples = foreseen(&s.plan, Span::h(5.0));
    for sample in &mut samples[180..=240] {
        sample.sensor = Some(Temperature::c(40.0));
    }
    desk.keep_samples(id, &samples, None, later())
        .await
        .unwrap();
    let all = samples.len() as u64;
    seen(&follow, id, all).await;
    let slipped = NewStretch {
        from: Some(samples[180].at),
        to: Some(samples[240].at),
        why: Some(Unsound::SensorSlipped),
        words: String::new(),
    };
    let actor = Actor {
        person: &s.nia,
        at: later(),
    };
    // Whoever follows begins anew at once, without them.
    let turn = desk.mark_stretch(actor, id, &slipped).await.unwrap();
    let told = seen(&follow, id, all - 61).await;
    assert_eq!(told.trouble, None);
    desk.undo(actor, turn).await.unwrap();
    desk.tell_heard(id);
    seen(&follow, id, all).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_controller_that_waits_is_watched_from_when_it_begins() {
    let s = firing_that_waits(Some(SignedDuration::from_hours(8))).await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    let actor = Actor {
        person: &s.nia,
        at: later(),
    };
    assert_eq!(s.firing.started, Some(on()));
    // Its logger writes all the while; the kiln stands cold.
    let cold: Vec<Sample> = (1..480)
        .map(|minute| {
            let before = SignedDuration::from_mins(480 - minute);
            Sample::of_sensor(on() - before, Temperature::c(19.0))
        })
        .collect();
    let hot = foreseen(&s.plan, Span::h(4.0));
    for part in [&cold[..], &hot[..]] {
        desk.take_samples(actor, id, part).await.unwrap();
    }
    let follow = Follow::new(desk.clone(), later);
    let all = (cold.len() + hot.len()) as u64;
    let known = seen(&follow, id, all).await;
    let e = known.estimate.as_ref().unwrap();
    assert_eq!(e.alarms, [], "waiting is no fault");
    assert!(known.past.is_empty(), "{:?}", known.past);
    let foretold = s.plan.forecast.as_ref().unwrap().firing_s
        - Span::s(e.at.duration_since(on()).as_secs_f64());
    let ends = e.ends_in.middle.unwrap();
    assert!(
        (ends - foretold).abs() < Span::minutes(20.0),
        "{} min",
        (ends - foretold).to_minutes()
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_programme_that_was_changed_on_purpose_is_followed() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    let actor = Actor {
        person: &s.nia,
        at: later(),
    };
    let follow = Follow::new(desk.clone(), later);
    let mut hear = follow.firing(id);
    let first = foreseen(&s.plan, Span::h(1.0));
    desk.take_samples(actor, id, &first).await.unwrap();
    let all = first.len() as u64;
    hear.wait_for(|s| s.samples == all && s.estimate.is_some())
        .await
        .unwrap();
    // Two hours more at the first hold, which would ring by the plan.
    let mut segments = s.plan.firing.as_ref().unwrap().segments.clone();
    segments[0].hold += Span::h(2.0);
    let version = desk.firing(id).await.unwrap().version;
    let set = desk.follow_own(actor, id, version, segments.clone(), "damp ware", false);
    set.await.unwrap();
    let firing = desk.firing(id).await.unwrap().body;
    assert_eq!(firing.programmes, 1);
    let note = &firing.notes.last().unwrap().words;
    assert!(note.starts_with("the programme is now ") && note.ends_with("damp ware"));
    let plan = desk.plan(id).await.unwrap().unwrap();
    assert_eq!(plan.firing.as_ref().unwrap().segments, segments);
    let forecast = plan.forecast.as_ref().unwrap();
    assert!(forecast.firing_s > s.plan.forecast.as_ref().unwrap().firing_s + Span::h(1.5));
    assert_eq!(firing.summary.takes_s, Some(forecast.firing_s));

    let more = foreseen(&plan, Span::h(5.0));
    desk.take_samples(actor, id, &more[first.len()..])
        .await
        .unwrap();
    let all = more.len() as u64;
    let known = hear
        .wait_for(|s| s.samples == all && s.estimate.is_some())
        .await
        .unwrap()
        .clone();
    let e = known.estimate.as_ref().unwrap();
    assert_eq!(e.alarms, [], "the programme is as it was told");
    let foretold = forecast.firing_s - Span::s(e.at.duration_since(on()).as_secs_f64());
    let ends = e.ends_in.middle.unwrap();
    assert!((ends - foretold).abs() < Span::minutes(20.0));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_firing_that_goes_as_planned_is_known_and_quiet() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    let actor = Actor {
        person: &s.nia,
        at: later(),
    };
    let forecast = s.plan.forecast.as_ref().unwrap();
    let peak = forecast.peak_over(s.plan.firing.as_ref().unwrap()).unwrap();
    let all = foreseen(&s.plan, peak - Span::h(1.0));
    for part in all.chunks(400) {
        desk.take_samples(actor, id, part).await.unwrap();
    }
    assert_eq!(
        desk.take_samples(actor, id, &all[..10]).await.unwrap(),
        0,
        "once is enough"
    );

    let follow = Follow::new(desk.clone(), later);
    let known = seen(&follow, id, all.len() as u64).await;
    assert_eq!(known.trouble, None);
    let e = known.estimate.as_ref().unwrap();
    assert_eq!(e.alarms, [], "all goes as planned");
    assert!(known.past.is_empty(), "{:?}", known.past);
    assert_eq!(e.sensor_told, all.last().unwrap().sensor);
    let zones: Vec<f64> = forecast.zones.iter().map(|z| z.cone_position).collect();
    for (tier, planned) in e.tiers.iter().zip(&zones) {
        let off = tier.cone_foreseen.middle - planned;
        assert!(
            off.abs() < 0.25,
            "{}: {off:+.2} cones off the plan",
            tier.tiers
        );
    }
    let ends = e.ends_in.middle.unwrap();
    let foretold = forecast.firing_s - Span::s(e.at.duration_since(on()).as_secs_f64());
    assert!(
        (ends - foretold).abs() < Span::minutes(20.0),
        "{} min",
        (ends - foretold).to_minutes()
    );

    // The program is killed and starts again: the same is known from what is kept.
    let again = seen(&Follow::new(desk.clone(), later), id, all.len() as u64).await;
    assert_eq!(again.estimate, known.estimate);

    // More comes while somebody looks.
    let mut hear = follow.firing(id);
    let to_come = foreseen(&s.plan, forecast.firing_s);
    desk.take_samples(actor, id, &to_come[all.len()..all.len() + 30])
        .await
        .unwrap();
    let grown = hear
        .wait_for(|s| s.samples == all.len() as u64 + 30)
        .await
        .unwrap()
        .clone();
    assert!(grown.estimate.as_ref().unwrap().at > e.at);
    assert!(!matches!(
        grown.estimate.as_ref().unwrap().stage,
        Stage::Waiting
    ));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_log_is_kept_whole_or_not_at_all() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    let actor = Actor {
        person: &s.nia,
        at: later(),
    };
    let utc = TimeZone::UTC;
    let line = |i: i64| {
        let at = Timestamp::from_second(ON + 60 * i).unwrap();
        format!(
            "{};{}",
            at.strftime("%Y-%m-%d %H:%M:%S"),
            format!("{:.1}", 20.0 + i as f64).replace('.', ",")
        )
    };
    let lines: Vec<String> = (0..300).map(line).collect();
    let text = format!("time;kiln temp °C\n{}\n", lines.join("\n"));
    let broken = text.replace("120,0", "12x0,0");
    let faults = desk
        .bring_log(actor, id, Cursor::new(broken.into_bytes()), &utc)
        .await;
    let Err(DeskError::Faults(faults)) = faults else {
        unreachable!("{faults:?}");
    };
    assert!(
        faults.len() == 1 && faults[0].what.contains("line 102"),
        "{faults:?}"
    );
    assert_eq!(desk.samples_kept(id).await.unwrap(), None);
    let brought = desk
        .bring_log(actor, id, Cursor::new(text.clone().into_bytes()), &utc)
        .await
        .unwrap();
    assert_eq!((brought.read, brought.new), (300, 300), "{brought:?}");
    assert!(
        brought
            .understood
            .iter()
            .any(|w| w.contains("the controller's sensor in °C")),
        "{brought:?}"
    );
    let again = desk
        .bring_log(actor, id, Cursor::new(text.into_bytes()), &utc)
        .await
        .unwrap();
    assert_eq!((again.read, again.new), (300, 0));
    let thin = desk.samples_thinned(id, 20).await.unwrap();
    assert!(
        thin.len() >= 20
            && thin.len() <= 22
            && thin.last().unwrap().sensor == Some(Temperature::c(319.0))
    );
    for nothing in [&b""[..], b"\n\n", b"\xff\xfe\x00", b"a,b\n1,2\n"] {
        let refused = desk
            .bring_log(actor, id, Cursor::new(nothing.to_vec()), &utc)
            .await;
        assert!(matches!(refused, Err(DeskError::Faults(_))), "{refused:?}");
    }
}

/// Notices that are kept of a firing once it has been looked at.
async fn notices(s: &Studio, clock: fn() -> Timestamp, samples: u64) -> Vec<Notice> {
    let follow = Follow::new(s.desk.clone(), clock);
    let mut hear = follow.firing(&s.firing.id);
    if samples == 0 {
        // It tells once it has looked, and calls before it tells.
        hear.changed().await.unwrap();
    } else {
        seen(&follow, &s.firing.id, samples).await;
    }
    let all = s.desk.store.list::<Raised>(&Look::default()).await.unwrap();
    all.into_iter().map(|k| k.body.notice).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_source_that_never_delivers_calls_somebody() {
    let s = firing().await;
    let soon = || Timestamp::from_second(ON + 20 * 60).unwrap();
    assert_eq!(notices(&s, soon, 0).await, [], "nobody reads this kiln");
    let kiln = s.desk.kiln_of("Heron").await.unwrap().unwrap();
    let source = Source {
        kind: SourceKind::File,
        ..Source::by_hand(&kiln)
    };
    let actor = Actor {
        person: &s.nia,
        at: on(),
    };
    let mut turn = s.desk.store.turn(actor.by(), "hear").await.unwrap();
    turn.add(&source).await.unwrap();
    turn.commit().await.unwrap();
    let early = || Timestamp::from_second(ON + 10 * 60).unwrap();
    assert_eq!(notices(&s, early, 0).await, [], "it may be slow");
    let told = notices(&s, soon, 0).await;
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].kind == NoticeKind::Silent && told[0].urgent,
        "{told:?}"
    );
    assert!(told[0].words.contains("since it was started"), "{told:?}");
}

static NOW: AtomicI64 = AtomicI64::new(0);

#[tokio::test(flavor = "multi_thread")]
async fn the_end_of_the_hold_and_of_the_peak_are_told() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    let actor = Actor {
        person: &s.nia,
        at: later(),
    };
    let forecast = s.plan.forecast.as_ref().unwrap();
    let programme = s.plan.firing.as_ref().unwrap();
    let hold = programme.segments[programme.peak().unwrap()].hold;
    let reached = forecast.peak_over(programme).unwrap() - hold;
    let now = || Timestamp::from_second(NOW.load(Ordering::Relaxed)).unwrap();
    // Half as fast as foreseen in its last hour: it has its cone before the programme ends it.
    let mut all = foreseen(&s.plan, reached + hold * 0.5 + Span::minutes(5.0));
    let slow_s = reached.to_s() - 3600.0;
    for sample in &mut all {
        let after_s = sample.at.duration_since(on()).as_secs_f64();
        let late_s = (after_s - slow_s).max(0.0);
        sample.at = sample
            .at
            .checked_add(SignedDuration::from_secs_f64(late_s))
            .unwrap();
    }
    let rest = all.split_off((reached.to_minutes() - 5.0) as usize);
    for part in all.chunks(400) {
        desk.take_samples(actor, id, part).await.unwrap();
    }
    let last = all.last().unwrap().at;
    NOW.store(last.as_second() + 30, Ordering::Relaxed);
    let told = notices(&s, now, all.len() as u64).await;
    let advice = told
        .iter()
        .find(|n| n.kind == NoticeKind::End && n.about == "advice");
    let advice = advice.unwrap_or_else(|| unreachable!("{told:?}"));
    assert!(
        advice.urgent && advice.words.starts_with("End "),
        "{advice:?}"
    );
    assert!(!told.iter().any(|n| n.kind == NoticeKind::Over), "{told:?}");

    desk.take_samples(actor, id, &rest).await.unwrap();
    NOW.store(rest.last().unwrap().at.as_second() + 30, Ordering::Relaxed);
    let told = notices(&s, now, (all.len() + rest.len()) as u64).await;
    let over: Vec<_> = told.iter().filter(|n| n.kind == NoticeKind::Over).collect();
    assert_eq!(over.len(), 1, "{told:?}");
    // Told once, however often one looks.
    let told = notices(&s, now, (all.len() + rest.len()) as u64).await;
    assert_eq!(
        told.iter().filter(|n| n.kind == NoticeKind::Over).count(),
        1
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_log_that_was_looked_over_says_how_the_next_is_read() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    let actor = Actor {
        person: &s.nia,
        at: later(),
    };
    let utc = TimeZone::UTC;
    // Two sensors that nobody can tell apart by their titles.
    let rows = |from: i64| {
        let line = |i: i64| {
            let at = Timestamp::from_second(ON + 60 * i).unwrap();
            format!("{at},{:.1},{:.1}", 20.0 + i as f64, 200.0 + i as f64)
        };
        let lines: Vec<String> = (from..from + 50).map(line).collect();
        format!("when,probe 1,probe 2\n{}\n", lines.join("\n"))
    };
    let mut log = Cursor::new(rows(0).into_bytes());
    let look = desk
        .look_at_log(actor, id, &mut log, &utc, None)
        .await
        .unwrap();
    assert!(
        !look.known && look.rows == 50 && look.ends.len() == 6,
        "{look:?}"
    );
    assert_eq!(desk.samples_kept(id).await.unwrap(), None, "only looked at");
    // Somebody says that the second is the controller's.
    let mut layout = look.layout.clone();
    layout.columns.retain(|c| c.at == 2);
    layout.columns = vec![glost_feed::layout::Column {
        at: 2,
        holds: glost_feed::layout::Holds::Sensor {
            unit: glost_feed::layout::Degrees::Celsius,
        },
    }];
    let look = desk
        .look_at_log(actor, id, &mut log, &utc, Some(layout))
        .await
        .unwrap();
    assert_eq!(look.ends[0].sensor, Some(Temperature::c(200.0)));
    desk.bring_log_as(actor, id, &mut log, &utc, &look)
        .await
        .unwrap();
    desk.keep_log_layout(actor, id, &look.layout).await.unwrap();
    // The next with these titles is read so at once; one with others is not.
    let mut next = Cursor::new(rows(50).into_bytes());
    let look = desk
        .look_at_log(actor, id, &mut next, &utc, None)
        .await
        .unwrap();
    assert!(look.known && look.doubts.is_empty(), "{look:?}");
    assert_eq!(look.ends[0].sensor, Some(Temperature::c(250.0)));
    let moved = rows(50).replace("probe 1,probe 2", "probe 2,probe 1");
    let mut moved = Cursor::new(moved.into_bytes());
    let look = desk
        .look_at_log(actor, id, &mut moved, &utc, None)
        .await
        .unwrap();
    assert!(!look.known, "{look:?}");
}
