//! A kiln learnt from its own firings: plans use it from then on, and there is a way back.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod stores;

use std::collections::BTreeSet;

use glost_heat::kiln::from_plan;
use glost_heat::learn::{Foretold, Weighed};
use glost_heat::strange::{Fired, StrangeKiln};
use glost_model::book::{
    ConeRead, Firing, FiringState, Lessons, Person, Role, Stock, Unsound, Wearing,
};
use glost_model::cone::Cone;
use glost_model::kiln::Kiln;
use glost_model::load::FiringKind;
use glost_model::plan_file::PlanFile;
use glost_model::{Energy, Span};
use glost_store::Look;
use glost_studio::desk::propose::{Effort, plan_draft};
use glost_studio::desk::seed::KNOWN;
use glost_studio::desk::stretches::NewStretch;
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

    /// What the server does after a firing: whether it was put in force.
    async fn learn_by_itself(&self) -> bool {
        self.learn_weighed(None).await
    }

    /// The same, found to be worth so much.
    async fn learn_weighed(&self, weighed: Option<Weighed>) -> bool {
        let due = self.desk.to_learn().await.unwrap();
        let [due] = due.as_slice() else {
            panic!("{} kilns are due", due.len())
        };
        let found = self.desk.gather_due(due).await.unwrap();
        let mut worked_out = found.work_out(1, &mut |_| true);
        if let Some(weighed) = weighed {
            worked_out.weighed = vec![weighed];
        }
        let at = self.actor().at;
        self.desk
            .keep_by_itself(at, &found, &worked_out, &due.ids())
            .await
            .unwrap();
        self.kept().await.held.is_none()
    }

    async fn kept(&self) -> Lessons {
        let known = self.desk.known(self.actor(), &self.kiln.id).await.unwrap();
        known.kept.unwrap().body
    }

    /// Firings that are due.
    async fn due(&self) -> Vec<String> {
        let all = self.desk.to_learn().await.unwrap();
        all.iter().flat_map(|d| d.ids()).collect()
    }

    async fn put(&self, change: impl FnOnce(&mut Firing), id: &str) {
        let kept = self.desk.firing(id).await.unwrap();
        let mut firing = kept.body;
        change(&mut firing);
        let mut turn = self
            .desk
            .store
            .turn(self.actor().by(), "fire")
            .await
            .unwrap();
        turn.put(&firing, kept.version).await.unwrap();
        turn.commit().await.unwrap();
    }

    async fn learn(&self, left_out: &BTreeSet<String>) {
        let found = self
            .desk
            .gather_lessons(&self.kiln, left_out)
            .await
            .unwrap();
        let worked_out = found.work_out(2, &mut |_| true);
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
    let store = stores::open_store(folder.path(), "studio").await;
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
    let out = known.over.last().unwrap().firing.id.clone();
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

#[tokio::test(flavor = "multi_thread")]
async fn a_kiln_is_learnt_by_itself_after_a_firing_and_once() {
    let s = fired().await;
    let (desk, id) = (&s.desk, s.kiln.id.clone());
    let all = s.due().await;
    assert_eq!(all.len(), FIRINGS);
    let (last, before) = (all.last().unwrap().clone(), &all[..FIRINGS - 1]);
    // One that is still being emptied, or has a cone that nobody has read, waits.
    s.put(|f| f.state = FiringState::Opened, &last).await;
    assert_eq!(s.due().await, before);
    s.put(|f| f.state = FiringState::Done, &last).await;
    s.put(|f| f.cone_tiers.push("9".into()), &last).await;
    assert_eq!(s.due().await, before);
    assert!(s.learn_by_itself().await);
    assert_eq!((s.edition().await, s.due().await.len()), (Some(1), 0));
    s.put(
        |f| {
            f.cone_tiers.pop();
        },
        &last,
    )
    .await;
    // It was looked at without its cones being all there, as the others were due.
    let kept = s.kept().await;
    assert!(kept.seen.contains_key(&last) && kept.taught.unwrap().firings >= 3);
    assert_eq!(s.due().await.len(), 0);

    // Told as Glost's own step, which a technician can take back; it is not asked for again.
    let turn = desk.store.turns(None, 9).await.unwrap();
    let turn = turn.iter().find(|t| t.who == "glost").unwrap();
    assert!(turn.verb.contains("by itself") && turn.verb.ends_with("edition 1"));
    desk.undo(s.actor(), turn.id).await.unwrap();
    assert_eq!((s.edition().await, s.due().await.len()), (None, 0));
    assert!(desk.known(s.actor(), &id).await.unwrap().kept.is_none());

    // A cone that is read anew makes the firing another; switched off, nothing is due.
    let more = ConeRead {
        tier: "1".into(),
        cone: Cone::parse("7").unwrap(),
        clock: 1.0,
        who: s.nia.id.clone(),
        at: week(FIRINGS),
    };
    s.put(|f| f.cones.push(more), &last).await;
    assert_eq!(s.due().await, [last.as_str()]);
    desk.set_learning(s.actor(), &id, false, 0).await.unwrap();
    assert!(s.due().await.is_empty());
    let known = desk.known(s.actor(), &id).await.unwrap();
    assert!(!known.learning.body.after_firings);
    let stale = desk.set_learning(s.actor(), &id, true, 9).await;
    assert!(stale.is_err());
    let version = known.learning.version;
    let turn = desk.set_learning(s.actor(), &id, true, version).await;
    assert_eq!(s.due().await, [last.as_str()]);
    desk.undo(s.actor(), turn.unwrap()).await.unwrap();
    assert!(s.due().await.is_empty());
    let version = desk.known(s.actor(), &id).await.unwrap().learning.version;
    desk.set_learning(s.actor(), &id, true, version)
        .await
        .unwrap();
    assert!(s.learn_by_itself().await);
    assert_eq!((s.edition().await, s.due().await.len()), (Some(2), 0));
}

#[tokio::test(flavor = "multi_thread")]
async fn an_edition_that_foretells_worse_is_kept_and_not_put_in_force() {
    let s = fired().await;
    let (desk, id) = (&s.desk, s.kiln.id.clone());
    let last = s.due().await.pop().unwrap();
    s.put(|f| f.state = FiringState::Opened, &last).await;
    assert!(s.learn_by_itself().await);
    let good = s.kept().await;
    // Its cones were taken for those of a bisque firing's set: a whole cone off.
    s.put(
        |f| {
            f.state = FiringState::Done;
            for c in &mut f.cones {
                c.cone = Cone::from_position(c.cone.position() + 1.0).unwrap();
            }
        },
        &last,
    )
    .await;
    assert_eq!(s.due().await, [last.as_str()]);
    let foretold = |cone| Foretold {
        firings: 3,
        cone: Some(cone),
        peak_s: None,
        energy: None,
    };
    let worse = Weighed {
        firing: last.clone(),
        without: foretold(0.2),
        with: foretold(0.5),
        off: (1.3, 3.3),
    };
    assert!(!s.learn_weighed(Some(worse)).await);
    assert_eq!((s.edition().await, s.due().await.len()), (Some(1), 0));
    let kept = s.kept().await;
    assert_eq!(kept.taught, good.taught);
    let held = kept.held.unwrap();
    assert_eq!(held.lessons.edition, 2);
    assert!(
        held.why.contains(&last)
            && held
                .why
                .ends_with("within 0.5 cone; without it, within 0.2 cone"),
        "{}",
        held.why
    );
    let turns = desk.store.turns(None, 1).await.unwrap();
    assert!(turns[0].verb.ends_with("kept and not put in force"));
    let known = desk.known(s.actor(), &id).await.unwrap();
    assert_eq!((known.fresh(), known.editions.len()), (0, 0));

    // People decide: by it all the same, and back.
    let version = known.kept.unwrap().version;
    desk.back_to(s.actor(), &id, 2, version).await.unwrap();
    assert_eq!(s.edition().await, Some(2));
    let known = desk.known(s.actor(), &id).await.unwrap();
    assert_eq!(known.editions.len(), 1);
    let version = known.kept.unwrap().version;
    desk.back_to(s.actor(), &id, 1, version).await.unwrap();
    assert_eq!((s.edition().await, s.due().await.len()), (Some(1), 0));

    // The cones are put right: the next edition is taken.
    s.put(
        |f| {
            for c in &mut f.cones {
                c.cone = Cone::from_position(c.cone.position() - 1.0).unwrap();
            }
        },
        &last,
    )
    .await;
    assert!(s.learn_by_itself().await);
    assert_eq!(s.edition().await, Some(3));
}

#[tokio::test(flavor = "multi_thread")]
async fn readings_that_are_not_to_be_believed_are_left_out() {
    let s = fired().await;
    let (desk, id) = (&s.desk, s.due().await.pop().unwrap());
    let start = desk.firing(&id).await.unwrap().body.started.unwrap();
    let at = |hours: i64| Some(start + SignedDuration::from_hours(hours));
    let new = |from, to, why, words: &str| NewStretch {
        from,
        to,
        why,
        words: words.to_owned(),
    };
    for (bad, field) in [
        (new(None, at(2), Some(Unsound::Touched), ""), "from"),
        (new(at(3), at(2), Some(Unsound::Touched), ""), "to"),
        (new(at(900), at(901), Some(Unsound::Touched), ""), "from"),
        (new(at(1), at(2), Some(Unsound::Other), " "), "words"),
        (new(at(1), at(2), None, ""), "unsound"),
    ] {
        let told = desk.mark_stretch(s.actor(), &id, &bad).await;
        let Err(DeskError::Faults(faults)) = told else {
            panic!("{bad:?} was taken: {told:?}")
        };
        assert!(faults.iter().any(|f| f.field == field), "{faults:?}");
    }
    let lid = new(
        at(3),
        at(4),
        Some(Unsound::LidOpened),
        "a look at the cones",
    );
    let turn = desk.mark_stretch(s.actor(), &id, &lid).await.unwrap();
    let again = desk.mark_stretch(s.actor(), &id, &lid).await;
    assert!(matches!(again, Err(DeskError::Faults(_))));
    let marked = desk.stretches(s.actor(), &id).await.unwrap();
    assert_eq!(marked.len(), 1);
    let stretch = &marked[0].body;
    assert_eq!(stretch.because(), "the lid was opened: a look at the cones");
    assert!(stretch.holds(at(4).unwrap()) && !stretch.holds(at(5).unwrap()));
    let read = desk.samples_kept(&id).await.unwrap().unwrap().rows;
    let gathered = desk
        .gather_lessons(&s.kiln, &BTreeSet::new())
        .await
        .unwrap();
    let past = gathered.pasts.iter().find(|p| p.id == id).unwrap();
    assert_eq!(past.bad, [(stretch.from, stretch.to)]);
    assert!(read > 0, "nothing of the log is deleted");

    // A loader may look; marking is a technician's.
    let loader = Person {
        role: Role::Loader,
        ..s.nia.clone()
    };
    let actor = Actor {
        person: &loader,
        at: week(FIRINGS),
    };
    assert!(desk.stretches(actor, &id).await.is_ok());
    let tried = desk.mark_stretch(actor, &id, &lid).await;
    assert!(matches!(tried, Err(DeskError::NotAllowed(_))));

    // Learnt from; marked and unmarked since, the firing is another each time.
    assert!(s.learn_by_itself().await);
    desk.undo(s.actor(), turn).await.unwrap();
    assert!(desk.bad_stretches(&id).await.unwrap().is_empty());
    assert_eq!(s.due().await, [id.as_str()]);
    desk.mark_stretch(s.actor(), &id, &lid).await.unwrap();
    assert!(s.due().await.is_empty());
    let marked = desk.stretches(s.actor(), &id).await.unwrap();
    let (mark, version) = (marked[0].body.id.clone(), marked[0].version);
    let other = desk.believe_again(s.actor(), "0001", &mark, version).await;
    assert!(other.is_err(), "it is of another firing");
    desk.believe_again(s.actor(), &id, &mark, version)
        .await
        .unwrap();
    assert_eq!(s.due().await, [id.as_str()]);
}
