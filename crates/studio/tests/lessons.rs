//! A kiln learnt from its own firings: plans use it from then on, and there is a way back.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use glost_heat::kiln::from_plan;
use glost_heat::strange::{Fired, StrangeKiln};
use glost_model::book::{Firing, FiringState, Person, Role, Stock, Wearing};
use glost_model::cone::Cone;
use glost_model::kiln::Kiln;
use glost_model::load::FiringKind;
use glost_model::plan_file::PlanFile;
use glost_model::{Energy, Span};
use glost_store::{Look, Store};
use glost_studio::desk::propose::{Effort, plan_draft};
use glost_studio::desk::seed::KNOWN;
use glost_studio::desk::{Actor, Desk, DeskError, NewFiring};
use glost_studio::{demo_texts, foresee, open_texts};
use jiff::{SignedDuration, Timestamp};

const FIRINGS: usize = 4;

fn week(number: usize) -> Timestamp {
    let first = Timestamp::from_second(1_795_000_000).unwrap();
    first + SignedDuration::from_hours(24 * 7 * i64::try_from(number).unwrap())
}

struct Studio {
    desk: Desk,
    nia: Person,
    kiln: Stock<Kiln>,
    plan: PlanFile,
    #[expect(dead_code, reason = "keeps the folder for as long as the test runs")]
    folder: tempfile::TempDir,
}

impl Studio {
    fn actor(&self) -> Actor<'_> {
        Actor {
            person: &self.nia,
            at: week(FIRINGS),
        }
    }

    /// As planned with now: what the kiln's firings taught.
    async fn edition(&self) -> Option<u32> {
        let given = self.desk.given().await.unwrap();
        let kiln = given.studio.kiln(&self.kiln.thing.name).unwrap();
        kiln.taught.as_ref().map(|t| t.edition)
    }

    async fn learn(&self, left_out: &BTreeSet<String>) {
        let found = self
            .desk
            .gather_lessons(&self.kiln, left_out)
            .await
            .unwrap();
        let worked_out = found.work_out(&mut |_| true);
        self.desk
            .keep_lessons(self.actor(), &found, &worked_out)
            .await
            .unwrap();
    }
}

fn draft() -> NewFiring {
    NewFiring {
        kiln: "Heron".into(),
        cone: Cone::parse("6").unwrap(),
        kind: FiringKind::Glaze,
        starts: None,
        wished: glost_model::book::Wished::default(),
    }
}

/// The invented studio, whose kiln Heron is one unlike the model and was fired by the same plan week after week.
async fn fired() -> Studio {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("studio.db").display().to_string();
    let store = Store::open(&place).await.unwrap();
    let desk = Desk::new(store, folder.path().join("photos"));
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    desk.bring_in(&studio, &KNOWN, week(0)).await.unwrap();
    let people = desk.store.list::<Person>(&Look::default()).await.unwrap();
    let nia = people.into_iter().find(|p| p.body.role == Role::Technician);
    let nia = nia.unwrap().body;
    let actor = Actor {
        person: &nia,
        at: week(0),
    };
    let first = desk.new_firing(actor, &draft()).await.unwrap();
    let (studio, book) = desk.studio_with_waiting().await.unwrap();
    let day = jiff::civil::date(2026, 11, 18);
    let plan = plan_draft(studio, &book, &first, day, 1, Effort::Short, &|_, _, _| {
        true
    });
    let plan = plan.unwrap();
    let load = from_plan(&plan.studio, plan.studio.kiln("Heron").unwrap(), &plan.load);
    let mut kiln = StrangeKiln::draw(7, &load);
    let programme = plan.firing.clone().unwrap();
    for number in 0..FIRINGS {
        let on = week(number);
        let burnt = kiln.fire(&programme, &load, &[], on, Span::minutes(1.0));
        keep(&desk, actor, &plan, on, &burnt).await;
    }
    let heron = desk.stock::<Kiln>().await.unwrap();
    let heron = heron.into_iter().find(|k| k.body.thing.name == "Heron");
    Studio {
        kiln: heron.unwrap().body,
        desk,
        nia,
        plan,
        folder,
    }
}

/// Writes a firing down as it is after it was emptied.
async fn keep(desk: &Desk, actor: Actor<'_>, plan: &PlanFile, on: Timestamp, burnt: &Fired) {
    let firing = desk.new_firing(actor, &draft()).await.unwrap();
    desk.keep_plan(actor, &firing.id, plan, "plan firing")
        .await
        .unwrap();
    let kept = desk.firing(&firing.id).await.unwrap();
    let done = Firing {
        state: FiringState::Done,
        started: Some(on),
        cones: burnt.truth.cones.clone(),
        meter_start: Some(Energy::ZERO),
        meter_end: Some(burnt.truth.energy),
        ..kept.body
    };
    let mut turn = desk.store.turn(actor.by(), "fire").await.unwrap();
    turn.put(&done, kept.version).await.unwrap();
    turn.commit().await.unwrap();
    desk.keep_samples(&firing.id, &burnt.samples, None, on)
        .await
        .unwrap();
}

/// Width of the band of the energy, as a share of its middle.
fn width(plan: &PlanFile) -> f64 {
    let band = plan
        .forecast
        .as_ref()
        .unwrap()
        .doubt
        .as_ref()
        .unwrap()
        .energy_j;
    (band.high - band.low).to_j() / band.middle.to_j()
}

#[tokio::test(flavor = "multi_thread")]
async fn plans_use_what_a_kiln_taught_and_there_is_a_way_back() {
    let s = fired().await;
    let (desk, id) = (&s.desk, s.kiln.id.clone());
    let known = desk.known(s.actor(), &id).await.unwrap();
    assert!(known.kept.is_none() && known.editions.is_empty());
    assert_eq!((known.over.len(), known.fresh()), (FIRINGS, FIRINGS));
    assert_eq!(s.edition().await, None);
    let early = desk.use_lessons(s.actor(), &id, true, 1).await;
    assert!(matches!(early, Err(DeskError::Cannot { .. })), "{early:?}");

    s.learn(&BTreeSet::new()).await;
    let known = desk.known(s.actor(), &id).await.unwrap();
    assert!(
        known.learnt.used() >= FIRINGS - 1,
        "{:?}",
        known.learnt.firings
    );
    assert_eq!(known.fresh(), 0);
    assert!(known.kept.as_ref().unwrap().body.weakens.is_some());
    assert_eq!(s.edition().await, Some(1));
    let care = desk.care(s.actor(), &id).await.unwrap();
    let left = |part| {
        let of = care.counters.iter().find(|c| c.part == part);
        of.and_then(|c| c.left)
    };
    for part in [Wearing::Elements, Wearing::Sensor, Wearing::Relays] {
        let left = left(part).unwrap();
        assert!(left.low.is_none_or(|n| n < 1_000), "{part:?} {left:?}");
    }
    assert_eq!(left(Wearing::Shelves), None);

    // The next plan is surer, and whoever reads its file foretells the same.
    let mut next = s.plan.clone();
    next.studio.kilns = desk.given().await.unwrap().studio.kilns.clone();
    foresee(&mut next).unwrap();
    assert!(
        width(&next) < 0.7 * width(&s.plan),
        "{} {}",
        width(&next),
        width(&s.plan)
    );
    let mut again = PlanFile::read(&next.to_json().unwrap(), "plan.json").unwrap();
    foresee(&mut again).unwrap();
    assert_eq!(again.forecast, next.forecast);

    // Without, and by it again; whoever looked at an older version is told so.
    let version = known.kept.unwrap().version;
    desk.use_lessons(s.actor(), &id, false, version)
        .await
        .unwrap();
    assert_eq!(s.edition().await, None);
    let late = desk.use_lessons(s.actor(), &id, true, version).await;
    assert!(late.is_err(), "somebody changed it meanwhile");

    // One firing left out, and learnt anew: another edition, which nobody put to use.
    let out = known.over.last().unwrap().0.id.clone();
    let turn = desk
        .learn_without(s.actor(), &id, &out, true, version + 1)
        .await
        .unwrap();
    assert!(desk.known(s.actor(), &id).await.unwrap().stale());
    s.learn(&BTreeSet::from([out.clone()])).await;
    let known = desk.known(s.actor(), &id).await.unwrap();
    assert!(!known.stale() && known.learnt.firings.iter().all(|f| f.id != out));
    let kept = known.kept.unwrap();
    assert_eq!((kept.body.edition, kept.body.used), (2, false));
    assert_eq!(known.editions.len(), 1);

    // Back to the first; what was left out stays so.
    desk.back_to(s.actor(), &id, 1, kept.version).await.unwrap();
    assert_eq!(s.edition().await, Some(1));
    let kept = desk.known(s.actor(), &id).await.unwrap().kept.unwrap();
    assert!(kept.body.left_out.contains(&out));
    let none = desk.back_to(s.actor(), &id, 9, kept.version).await;
    assert!(matches!(none, Err(DeskError::Cannot { .. })));
    assert!(
        desk.undo(s.actor(), turn).await.is_err(),
        "it was changed since"
    );

    // Those who only load may look and not decide.
    let loader = Person {
        role: Role::Loader,
        ..s.nia.clone()
    };
    let actor = Actor {
        person: &loader,
        at: week(FIRINGS),
    };
    assert!(desk.known(actor, &id).await.is_ok());
    let tried = desk.use_lessons(actor, &id, true, kept.version).await;
    assert!(matches!(tried, Err(DeskError::NotAllowed(_))));
}
