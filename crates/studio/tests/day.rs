//! The day of a firing when it does not go by the book: another programme, other times, a kiln that stopped, a firing
//! that nobody planned here.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use glost_model::book::ware::Spot;
use glost_model::book::{
    Entry, Firing, FiringState, Person, Purpose, Role, State, Stock, Summary, Ware,
};
use glost_model::cone::Cone;
use glost_model::firing::Segment;
use glost_model::kiln::Kiln;
use glost_model::load::FiringKind;
use glost_model::readings::Sample;
use glost_model::{Energy, Rate, Span, Temperature};
use glost_store::{Look, Store};
use glost_studio::desk::seed::KNOWN;
use glost_studio::desk::written::Written;
use glost_studio::desk::{Actor, Desk, DeskError, End, Start};
use glost_studio::follow::Follow;
use glost_studio::{demo_texts, open_texts};
use jiff::{SignedDuration, Timestamp};

const DAY: jiff::civil::Date = jiff::civil::date(2026, 11, 18);

fn at(hours: f64) -> Timestamp {
    let on = Timestamp::from_second(1_795_000_000).unwrap();
    on + SignedDuration::from_secs_f64(hours * 3600.0)
}

struct Studio {
    desk: Desk,
    nia: Person,
    #[expect(dead_code, reason = "keeps the folder for as long as the test runs")]
    folder: tempfile::TempDir,
}

impl Studio {
    async fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().join("studio.db").display().to_string();
        let store = Store::open(&place).await.unwrap();
        let desk = Desk::new(store, folder.path().join("photos"));
        let (studio, _) = open_texts(&demo_texts()).unwrap();
        desk.bring_in(&studio, &KNOWN, at(-100.0)).await.unwrap();
        let people = desk.store.list::<Person>(&Look::default()).await.unwrap();
        let nia = people.into_iter().find(|p| p.body.role == Role::Technician);
        Self {
            desk,
            nia: nia.unwrap().body,
            folder,
        }
    }

    fn nia(&self, hours: f64) -> Actor<'_> {
        Actor {
            person: &self.nia,
            at: at(hours),
        }
    }

    /// A firing that stands in the book in some state, without a plan.
    async fn firing(&self, state: FiringState) -> String {
        let (id, by) = ("0001".to_owned(), self.nia.id.clone());
        let firing = Firing {
            state,
            started: (state > FiringState::Loading).then(|| at(0.0)),
            ended: (state > FiringState::Firing).then(|| at(6.0)),
            opened: (state > FiringState::Cooling).then(|| at(30.0)),
            summary: Summary {
                hot_s: Some(Span::h(2.0)),
                energy_j: Some(Energy::kwh(70.0)),
                ..Summary::default()
            },
            ..Firing::new(
                id.clone(),
                "Heron".into(),
                Cone::parse("6").unwrap(),
                FiringKind::Glaze,
                by,
            )
        };
        let mut turn = self
            .desk
            .store
            .turn(self.nia(-1.0).by(), "fire")
            .await
            .unwrap();
        turn.add(&firing).await.unwrap();
        turn.commit().await.unwrap();
        id
    }

    async fn version(&self, id: &str) -> i64 {
        self.desk.firing(id).await.unwrap().version
    }

    async fn body(&self, id: &str) -> Firing {
        self.desk.firing(id).await.unwrap().body
    }

    /// Ware of the studio put into the firing's kiln: one raw, one glazed, one of them spoilt.
    async fn loaded(&self, id: &str) -> Vec<String> {
        let all = self
            .desk
            .store
            .list::<Ware>(&Look::default())
            .await
            .unwrap();
        let nia = self.nia(-1.0);
        let mut turn = self.desk.store.turn(nia.by(), "load").await.unwrap();
        let mut codes = Vec::new();
        for kept in all
            .into_iter()
            .filter(|k| k.body.state == State::Waiting)
            .take(5)
        {
            let mut ware = kept.body;
            ware.state = match codes.len() {
                4 => State::Accident,
                _ => State::InKiln,
            };
            "Mind the handle".clone_into(&mut ware.note);
            ware.firing = Some(id.to_owned());
            ware.stood.push(Spot {
                firing: id.to_owned(),
                tier: "1".into(),
            });
            turn.put(&ware, kept.version).await.unwrap();
            codes.push(ware.piece.id.clone());
        }
        turn.commit().await.unwrap();
        assert_eq!(codes.len(), 5);
        codes
    }

    async fn ware(&self, code: &str) -> Ware {
        self.desk.store.get::<Ware>(code).await.unwrap().body
    }
}

/// The one field that is at fault.
fn field<T: std::fmt::Debug>(done: Result<T, DeskError>) -> String {
    match done {
        Err(DeskError::Faults(all)) => {
            assert_eq!(all.len(), 1, "{all:?}");
            all[0].field.clone()
        }
        other => panic!("{other:?}"),
    }
}

fn looked() -> Start {
    Start {
        looked: true,
        ..Start::default()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_load_without_a_plan_of_firing_is_started_by_the_programme_that_is_told() {
    let s = Studio::new().await;
    let id = s.firing(FiringState::Loading).await;
    let version = s.version(&id).await;
    let empty = s.desk.read_back(s.nia(0.0), &id, version, " ", false).await;
    assert_eq!(field(empty), "differs", "'as planned' is nothing here");
    let early = s.desk.start(s.nia(0.0), &id, version, looked()).await;
    assert!(matches!(early, Err(DeskError::Cannot { .. })), "{early:?}");
    let told = "100 to 600, 60 to 1222, hold 15";
    s.desk
        .read_back(s.nia(0.0), &id, version, told, true)
        .await
        .unwrap();
    let body = s.body(&id).await;
    let read = body.read_back.unwrap();
    assert_eq!((read.words.as_str(), read.who), (told, s.nia.id.clone()));
    assert!(body.read_alone);
    let version = s.version(&id).await;
    s.desk
        .start(s.nia(0.1), &id, version, looked())
        .await
        .unwrap();
    assert_eq!(s.body(&id).await.state, FiringState::Firing);
}

#[tokio::test(flavor = "multi_thread")]
async fn times_are_told_afterwards_in_their_order() {
    let s = Studio::new().await;
    let id = s.firing(FiringState::Loading).await;
    let (desk, version) = (&s.desk, s.version(&id).await);
    desk.read_back(s.nia(0.0), &id, version, "100 to 1000", false)
        .await
        .unwrap();
    let version = s.version(&id).await;
    let told = |at: f64, begins: Option<f64>| Start {
        at: Some(self::at(at)),
        begins: begins.map(self::at),
        ..looked()
    };
    let start = async |start| desk.start(s.nia(2.0), &id, version, start).await;
    assert_eq!(field(start(told(2.1, None)).await), "at", "still to come");
    assert_eq!(field(start(told(1.0, Some(0.5))).await), "begins");
    assert_eq!(field(start(told(1.0, Some(90.0))).await), "begins");
    let turn = start(told(1.0, None)).await.unwrap();
    assert_eq!(s.body(&id).await.started, Some(at(1.0)));

    let version = s.version(&id).await;
    let end = async |hours: f64| {
        let end = End {
            at: Some(at(hours)),
            ..End::default()
        };
        desk.end(s.nia(12.0), &id, version, end).await
    };
    assert_eq!(field(end(0.9).await), "at", "before the start");
    assert_eq!(field(end(12.5).await), "at", "still to come");
    end(10.0).await.unwrap();
    assert_eq!(s.body(&id).await.ended, Some(at(10.0)));

    let version = s.version(&id).await;
    let cold = Some(Temperature::c(40.0));
    let open = async |hours: f64| {
        desk.opened(s.nia(40.0), &id, version, cold, "", Some(at(hours)))
            .await
    };
    assert_eq!(field(open(9.0).await), "at", "before it was off");
    let opened = open(30.0).await.unwrap();
    assert_eq!(s.body(&id).await.opened, Some(at(30.0)));

    // Each is taken back as ever.
    desk.undo(s.nia(41.0), opened).await.unwrap();
    assert_eq!(s.body(&id).await.opened, None);
    let late = desk.undo(s.nia(41.0), turn).await;
    assert!(late.is_err(), "its end was built on it");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_controller_that_waits_counts_from_when_it_begins() {
    let s = Studio::new().await;
    let id = s.firing(FiringState::Loading).await;
    let (desk, version) = (&s.desk, s.version(&id).await);
    desk.read_back(s.nia(0.0), &id, version, "100 to 1000", false)
        .await
        .unwrap();
    let waits = Start {
        begins: Some(at(8.0)),
        ..looked()
    };
    let version = s.version(&id).await;
    desk.start(s.nia(0.0), &id, version, waits).await.unwrap();
    let body = s.body(&id).await;
    assert_eq!(
        (body.started, body.set_going),
        (Some(at(8.0)), Some(at(0.0)))
    );
    // What a logger tells while it waits is of this firing.
    let cold = [Sample::of_sensor(at(1.0), Temperature::c(18.0))];
    assert_eq!(desk.take_samples(s.nia(1.0), &id, &cold).await.unwrap(), 1);
    // Switched off before it began, it was on for that long.
    let version = s.version(&id).await;
    let end = End {
        why: "called off",
        ..End::default()
    };
    desk.end(s.nia(2.0), &id, version, end).await.unwrap();
    let body = s.body(&id).await;
    assert_eq!(
        (body.started, body.set_going, body.ended),
        (Some(at(0.0)), None, Some(at(2.0)))
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn ware_of_a_firing_that_stopped_waits_again_uncharged() {
    let s = Studio::new().await;
    let id = s.firing(FiringState::Opened).await;
    let codes = s.loaded(&id).await;
    let desk = &s.desk;
    let version = s.version(&id).await;
    let none = desk
        .fell_short(s.nia(31.0), &id, version, None, "  ", DAY)
        .await;
    assert_eq!(field(none), "short");
    let hottest = Some(Temperature::c(600.0));
    let turn = desk
        .fell_short(s.nia(31.0), &id, version, hottest, "the power failed", DAY)
        .await
        .unwrap();
    let body = s.body(&id).await;
    assert!(body.short && body.state == FiringState::Done);
    assert_eq!(body.hottest_c, Some(600.0));
    assert_eq!(
        body.summary.hot_s,
        Some(Span::ZERO),
        "it never was that hot"
    );
    assert_eq!(body.summary.energy_j, None, "nobody read the meter");
    assert!(
        body.notes[0].words.contains("4 pieces wait again"),
        "{:?}",
        body.notes
    );
    for code in &codes[..4] {
        let ware = s.ware(code).await;
        assert_eq!(ware.state, State::Waiting, "{code}");
        assert!(
            ware.note.contains("stopped short at 600 °C, before cone 6"),
            "{}",
            ware.note
        );
        assert!(ware.note.ends_with("Mind the handle"), "{}", ware.note);
        assert!(ware.fetch_by.is_none());
    }
    let spoilt = s.ware(&codes[4]).await;
    assert_eq!(spoilt.state, State::Accident);
    assert!(spoilt.fetch_by.is_some());
    let entries = desk.store.list::<Entry>(&Look::default()).await.unwrap();
    assert!(entries.is_empty(), "nothing is charged");
    // It counts among the firings of the kiln, without hours above 1100 °C.
    let kiln = desk.stock::<Kiln>().await.unwrap();
    let heron = kiln.iter().find(|k| k.body.thing.name == "Heron").unwrap();
    let care = desk.care(s.nia(32.0), &heron.body.id).await.unwrap();
    let count = &care.counters[0].count;
    assert_eq!((count.firings, count.hot), (1, Span::ZERO));

    desk.undo(s.nia(32.0), turn).await.unwrap();
    assert_eq!(s.body(&id).await.state, FiringState::Opened);
    assert_eq!(s.ware(&codes[0]).await.state, State::InKiln);
}

fn written(ended: Option<f64>) -> Written {
    let of = |rate: f64, target: f64, hold: f64| Segment {
        rate: Some(Rate::c_per_h(rate)),
        target: Temperature::c(target),
        hold: Span::minutes(hold),
        reason: String::new(),
    };
    Written {
        kiln: "Heron".into(),
        cone: Cone::parse("04").unwrap(),
        kind: FiringKind::Bisque,
        purpose: Purpose::Elements,
        empty: true,
        segments: vec![of(100.0, 600.0, 0.0), of(100.0, 1050.0, 10.0)],
        started: at(-30.0),
        ended: ended.map(at),
        hottest: Some(Temperature::c(1052.0)),
        used: Some(Energy::kwh(31.0)),
        notes: "new elements, all rings glow".into(),
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_firing_of_an_empty_kiln_is_written_down_and_learnt_from() {
    let s = Studio::new().await;
    let desk = &s.desk;
    let mut wrong = written(Some(-40.0));
    wrong.cone = Cone::parse("14").unwrap();
    let Err(DeskError::Faults(faults)) = desk.write_down(s.nia(0.0), &wrong).await else {
        panic!("it was written down");
    };
    let fields: Vec<&str> = faults.iter().map(|f| f.field.as_str()).collect();
    assert_eq!(fields, ["cone", "ended"]);

    let (firing, turn) = desk
        .write_down(s.nia(0.0), &written(Some(-19.0)))
        .await
        .unwrap();
    assert_eq!(
        (firing.state, firing.purpose, firing.summary.pieces),
        (FiringState::Done, Purpose::Elements, 0)
    );
    assert_eq!(firing.metered(), Some(Energy::kwh(31.0)));
    let plan = desk.plan(&firing.id).await.unwrap().unwrap();
    let forecast = plan.forecast.as_ref().unwrap();
    assert!(forecast.firing_s > Span::h(9.0), "{:?}", forecast.firing_s);

    // It counts for upkeep, and its log is brought in and can be learnt from.
    let kilns = desk.stock::<Kiln>().await.unwrap();
    let heron = kilns.into_iter().find(|k| k.body.thing.name == "Heron");
    let heron: Stock<Kiln> = heron.unwrap().body;
    let care = desk.care(s.nia(0.0), &heron.id).await.unwrap();
    assert_eq!(care.counters[0].count.firings, 1);
    let log: Vec<Sample> = forecast
        .samples
        .iter()
        .map(|p| Sample::of_sensor(at(-30.0 + p.time_s.to_h()), p.sensor_c))
        .collect();
    desk.keep_samples(&firing.id, &log, None, at(0.0))
        .await
        .unwrap();
    let found = desk
        .gather_lessons(&heron, &std::collections::BTreeSet::new())
        .await
        .unwrap();
    assert_eq!((found.pasts.len(), found.lacking.len()), (1, 0));
    let learnt = found.work_out(2, &mut |_| true).learnt;
    assert_eq!(learnt.used(), 1, "{:?}", learnt.firings);

    desk.undo(s.nia(0.0), turn).await.unwrap();
    assert!(
        desk.firing(&firing.id).await.is_err() || {
            let care = desk.care(s.nia(0.0), &heron.id).await.unwrap();
            care.counters[0].count.firings == 0
        }
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_firing_that_is_on_is_written_down_and_watched() {
    let s = Studio::new().await;
    let desk = &s.desk;
    let on = Written {
        started: at(-1.0),
        hottest: None,
        used: None,
        ..written(None)
    };
    let (firing, _) = desk.write_down(s.nia(0.0), &on).await.unwrap();
    assert_eq!(firing.state, FiringState::Firing);
    let again = desk.write_down(s.nia(0.0), &on).await;
    assert!(
        matches!(again, Err(DeskError::Cannot { .. })),
        "the kiln is taken: {again:?}"
    );
    let plan = desk.plan(&firing.id).await.unwrap().unwrap();
    let samples: Vec<Sample> = plan
        .forecast
        .unwrap()
        .samples
        .iter()
        .filter(|p| p.time_s < Span::h(5.0))
        .map(|p| Sample::of_sensor(at(-1.0 + p.time_s.to_h()), p.sensor_c))
        .collect();
    desk.keep_samples(&firing.id, &samples, None, at(4.0))
        .await
        .unwrap();
    let follow = Follow::new(desk.clone(), || at(4.0));
    let mut hear = follow.firing(&firing.id);
    let all = samples.len() as u64;
    let seen = hear
        .wait_for(|s| s.samples == all && s.estimate.is_some() || s.trouble.is_some())
        .await
        .unwrap()
        .clone();
    assert_eq!(seen.trouble, None);
    assert_eq!(seen.estimate.as_ref().unwrap().alarms, []);
}
