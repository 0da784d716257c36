//! Why faults came about, of a firing of the invented studio with its log.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod stores;

use glost_model::Temperature;
use glost_model::book::{Edges, FaultKind, Firing, Person, Role, Unsound, Ware};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::plan_file::PlanFile;
use glost_model::readings::Sample;
use glost_model::shown::Shown;
use glost_rules::cause::{Bound, HeatBy, SOMETHING_ELSE, Side};
use glost_store::Look;
use glost_studio::desk::causes::{FaultCauses, FiringCauses};
use glost_studio::desk::open::{CONES, FaultSeen, Reading, cones_on};
use glost_studio::desk::propose::{Effort, plan_draft};
use glost_studio::desk::seed::KNOWN;
use glost_studio::desk::stretches::NewStretch;
use glost_studio::desk::{Actor, Desk, DeskError, End, NewFiring, Start};
use glost_studio::{demo_texts, open_texts};
use jiff::{SignedDuration, Timestamp};

const ON: i64 = 1_795_000_000;

/// A PNG of one pixel.
const PIXEL: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\x02\0\0\0\x90wS\xde\0\0\0\x0cIDATx\x9cc\xf8\xcf\xc0\0\0\x03\x01\x01\0\xc9\xfe\x92\xef\0\0\0\0IEND\xaeB`\x82";

fn after(hours: f64) -> Timestamp {
    let on = Timestamp::from_second(ON).unwrap();
    on.checked_add(SignedDuration::from_secs_f64(hours * 3600.0))
        .unwrap()
}

struct Studio {
    desk: Desk,
    people: Vec<Person>,
    firing: Firing,
    plan: PlanFile,
    _folder: tempfile::TempDir,
}

impl Studio {
    fn who(&self, role: Role) -> &Person {
        self.people.iter().find(|p| p.role == role).unwrap()
    }
    fn nia(&self, hours: f64) -> Actor<'_> {
        Actor {
            person: self.who(Role::Technician),
            at: after(hours),
        }
    }
    async fn version(&self) -> i64 {
        self.desk.firing(&self.firing.id).await.unwrap().version
    }
    async fn causes(&self, who: &Person) -> Result<FiringCauses, DeskError> {
        self.desk
            .causes(who, &self.firing.id, Shown::default())
            .await
    }
    async fn note(&self, code: &str, kind: FaultKind, edges: Option<Edges>) {
        let seen = FaultSeen {
            code: code.into(),
            kind,
            words: String::new(),
            edges,
            spoilt: false,
            photo: None,
        };
        self.desk
            .note_fault(self.nia(70.0), &self.firing.id, seen)
            .await
            .unwrap();
    }
    async fn in_it(&self) -> Vec<Ware> {
        let all = self.desk.in_firing(&self.firing.id).await.unwrap();
        all.into_iter().map(|k| k.body).collect()
    }
}

/// A glaze firing to cone 6 that is on.
async fn firing() -> Studio {
    let folder = tempfile::tempdir().unwrap();
    let store = stores::open_store(folder.path(), "studio").await;
    let desk = Desk::new(store, folder.path().join("photos"));
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    desk.bring_in(&studio, &KNOWN, after(0.0)).await.unwrap();
    let people = desk.store.list::<Person>(&Look::default()).await.unwrap();
    let people: Vec<Person> = people.into_iter().map(|p| p.body).collect();
    let nia = people.iter().find(|p| p.role == Role::Technician).unwrap();
    let actor = Actor {
        person: nia,
        at: after(0.0),
    };
    let new = NewFiring {
        kiln: "Heron".into(),
        cone: Cone::parse("6").unwrap(),
        kind: FiringKind::Glaze,
        starts: None,
        wished: glost_model::book::Wished::default(),
    };
    let id = desk.new_firing(actor, &new).await.unwrap().id;
    let (studio, book) = desk.studio_with_waiting().await.unwrap();
    let today = jiff::civil::date(2026, 11, 18);
    let firing = desk.firing(&id).await.unwrap().body;
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
    desk.begin_loading(actor, &id, version().await)
        .await
        .unwrap();
    desk.read_back(actor, &id, version().await, "", false)
        .await
        .unwrap();
    let looked = Start {
        looked: true,
        ..Start::default()
    };
    desk.start(actor, &id, version().await, looked)
        .await
        .unwrap();
    let firing = desk.firing(&id).await.unwrap().body;
    Studio {
        desk,
        people,
        firing,
        plan,
        _folder: folder,
    }
}

/// The forecast as a log, a reading each three minutes, but 12 °C hotter at the top and cooling five times as fast.
fn log(plan: &PlanFile) -> Vec<Sample> {
    let forecast = plan.forecast.as_ref().unwrap();
    let peak = forecast.peak_c.to_c();
    let top = forecast
        .samples
        .iter()
        .position(|s| s.sensor_c.to_c() >= peak - 0.01);
    let top_s = forecast.samples[top.unwrap()].time_s.to_s();
    let mut out: Vec<Sample> = Vec::new();
    for s in &forecast.samples {
        let past = (s.time_s.to_s() - top_s).max(0.0);
        let hours = (s.time_s.to_s() - past + past / 5.0) / 3600.0;
        let more = if s.sensor_c.to_c() > 1000.0 {
            12.0
        } else {
            0.0
        };
        let read = Sample::of_sensor(after(hours), s.sensor_c + glost_model::TempDiff::k(more));
        let due = out
            .last()
            .is_none_or(|l| read.at.duration_since(l.at) >= SignedDuration::from_mins(3));
        if due {
            out.push(read);
        }
    }
    out
}

fn of<'a>(told: &'a FiringCauses, code: &str, kind: FaultKind) -> &'a FaultCauses {
    let mut all = told.faults.iter();
    all.find(|f| f.code == code && f.fault.kind == kind)
        .unwrap()
}

fn over() -> End<'static> {
    End {
        why: "over",
        ..End::default()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn faults_of_a_logged_firing_are_explained() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    let ware = s.in_it().await;
    let thick = ware
        .iter()
        .max_by(|a, b| a.piece.wall.total_cmp(&b.piece.wall))
        .unwrap();
    let tier = |w: &Ware| w.stood.last().unwrap().tier.clone();

    desk.end(s.nia(30.0), id, s.version().await, over())
        .await
        .unwrap();
    let hot = Some(Temperature::c(240.0));
    desk.opened(s.nia(60.0), id, s.version().await, hot, "a hurry", None)
        .await
        .unwrap();
    assert_eq!(desk.firing(id).await.unwrap().body.opened_c, Some(240.0));
    s.note(thick.code(), FaultKind::Crack, None).await;

    // Without a log the plan's paces count, and that is said.
    let told = s.causes(s.who(Role::Technician)).await.unwrap();
    assert!(!told.has_log && told.has_plan);
    assert!(told.heats.iter().all(|h| h.heat.by == HeatBy::Forecast));
    let crack = of(&told, thick.code(), FaultKind::Crack);
    let down = crack
        .ranked
        .iter()
        .find(|r| r.cause.id == "fast-quartz-down")
        .unwrap();
    assert!(
        down.of(Side::Unknown)
            .any(|w| w.contains("whether it kept to the plan")),
        "{:?}",
        down.reasons
    );
    assert!(
        down.of(Side::Unknown).any(|w| w.contains("edges")),
        "nobody has looked at the edges"
    );
    assert_eq!(crack.ranked.last().unwrap().cause.id, SOMETHING_ELSE.id);

    // The log is brought in later, and a cone is read hot on the piece's tier.
    for part in log(&s.plan).chunks(400) {
        desk.take_samples(s.nia(80.0), id, part).await.unwrap();
    }
    let told = s.causes(s.who(Role::Technician)).await.unwrap();
    assert!(told.has_log);
    assert!(
        told.heats.iter().all(|h| h.heat.by == HeatBy::Log),
        "{:?}",
        told.heats
    );
    let crack = of(&told, thick.code(), FaultKind::Crack);
    let down = crack
        .ranked
        .iter()
        .find(|r| r.cause.id == "fast-quartz-down")
        .unwrap();
    assert!(
        down.reasons
            .iter()
            .any(|r| r.words.contains("through 573 °C by its log")),
        "{:?}",
        down.reasons
    );

    // The hour of the peak is marked: it is left out of the log and of the forecast beside it, so that tiers stay where
    // they are.
    let samples = &s.plan.forecast.as_ref().unwrap().samples;
    let hottest = samples
        .iter()
        .max_by(|a, b| a.sensor_c.to_c().total_cmp(&b.sensor_c.to_c()));
    let peak = hottest.unwrap().time_s.to_h();
    let slipped = NewStretch {
        from: Some(after(peak - 0.5)),
        to: Some(after(peak + 0.5)),
        why: Some(Unsound::SensorSlipped),
        words: String::new(),
    };
    let turn = desk.mark_stretch(s.nia(81.0), id, &slipped).await.unwrap();
    let less = s.causes(s.who(Role::Technician)).await.unwrap();
    assert!(less.has_log && less.left_out.len() == 1 && told.left_out.is_empty());
    for (a, b) in less.heats.iter().zip(&told.heats) {
        assert_eq!(a.heat.by, HeatBy::Log);
        let off = (a.heat.position - b.heat.position).abs();
        assert!(off > 0.0 && off < 0.6, "{a:?} {b:?}");
    }
    desk.undo(s.nia(81.0), turn).await.unwrap();

    // Edges steer the order; whoever saw an older piece is told so.
    let version = crack.version;
    let (index, code) = (crack.index, thick.code());
    desk.tell_edges(s.nia(81.0), id, code, version, (index, Edges::Sharp))
        .await
        .unwrap();
    let again = desk
        .tell_edges(s.nia(81.0), id, code, version, (index, Edges::Rounded))
        .await;
    assert!(again.is_err(), "somebody else was quicker");
    let told = desk
        .causes_of(s.who(Role::Technician), id, code, Shown::default())
        .await
        .unwrap();
    let first = &of(&told, code, FaultKind::Crack).ranked[0];
    assert!(
        matches!(first.cause.id, "opened-hot" | "fast-quartz-down"),
        "{}",
        first.cause.id
    );
    assert!(
        first.of(Side::For).any(|w| w.contains("sharp")),
        "{:?}",
        first.reasons
    );

    // A hot tier.
    let runs = ware.iter().find(|w| !w.piece.glazes.is_empty()).unwrap();
    let read = Reading {
        tier: tier(runs),
        cone: Cone::parse("7").unwrap(),
        clock: 5.0,
    };
    desk.read_cones(s.nia(82.0), id, s.version().await, &[read])
        .await
        .unwrap();
    s.note(runs.code(), FaultKind::Running, None).await;
    let told = s.causes(s.who(Role::Technician)).await.unwrap();
    let here = told.heats.iter().find(|h| h.tier == tier(runs)).unwrap();
    assert_eq!(here.heat.by, HeatBy::Cones);
    assert!((6.5..7.05).contains(&here.heat.position), "{here:?}");
    let rest = || told.heats.iter().filter(|h| h.tier != here.tier);
    assert!(rest().all(|h| h.heat.by == HeatBy::OtherCones));
    assert!(
        rest().all(|h| h.heat.position > 6.0),
        "all moved with it: {:?}",
        told.heats
    );
    let ranked = &of(&told, runs.code(), FaultKind::Running).ranked;
    let hot = ranked.iter().find(|r| r.cause.id == "tier-hot").unwrap();
    assert!(
        hot.reasons.iter().any(|r| r.words.contains("by its cones")),
        "{:?}",
        hot.reasons
    );
    let explained: usize = told.common.iter().map(|c| c.explains.len()).sum();
    assert_eq!(explained, told.faults.len());
    // The same book gives the same answer.
    let again = s.causes(s.who(Role::Technician)).await.unwrap();
    let order = |t: &FiringCauses| -> Vec<Vec<(&str, u64)>> {
        let one = |f: &FaultCauses| {
            f.ranked
                .iter()
                .map(|r| (r.cause.id, r.share.to_bits()))
                .collect()
        };
        t.faults.iter().map(one).collect()
    };
    assert_eq!(order(&told), order(&again));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_maker_sees_own_faults_and_no_name_of_a_neighbour() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    desk.end(s.nia(30.0), id, s.version().await, over())
        .await
        .unwrap();
    let cold = Some(Temperature::c(40.0));
    desk.opened(s.nia(60.0), id, s.version().await, cold, "", None)
        .await
        .unwrap();
    let ware = s.in_it().await;
    let own = ware[0].clone();
    let maker = s.people.iter().find(|p| p.id == own.owner).unwrap();
    let maker = &Person {
        role: Role::Maker,
        class: None,
        ..maker.clone()
    };
    let stranger = s.who(Role::Maker).clone();
    let stranger = Person {
        class: None,
        ..stranger
    };
    let kinds = [
        FaultKind::Flashing,
        FaultKind::Stuck,
        FaultKind::Running,
        FaultKind::Crack,
    ];
    for w in &ware {
        for kind in kinds {
            s.note(w.code(), kind, None).await;
        }
    }
    let told = s.causes(maker).await.unwrap();
    assert!(told.faults.iter().any(|f| f.code == own.code()));
    let mine: Vec<&Ware> = ware.iter().filter(|w| w.owner == own.owner).collect();
    assert_eq!(told.faults.len(), mine.len() * kinds.len());
    for f in &told.faults {
        let w = mine.iter().find(|w| w.code() == f.code).unwrap();
        let words: Vec<&str> = f
            .ranked
            .iter()
            .flat_map(|r| r.reasons.iter().map(|r| r.words.as_str()))
            .collect();
        let words = words.join(" | ");
        for other in ware.iter().filter(|o| o.owner != own.owner) {
            assert!(
                !words.contains(&other.piece.maker),
                "{}: {words}",
                other.piece.maker
            );
            assert!(
                !words.contains(&format!(" {} ", other.code())),
                "{}: {words}",
                other.code()
            );
            for g in other
                .piece
                .glazes
                .iter()
                .filter(|g| !w.piece.glazes.contains(g))
            {
                assert!(!words.contains(g.as_str()), "{g}: {words}");
            }
        }
    }
    // Somebody without ware in it is not told that there is such a firing, and another's piece is not there.
    if !ware.iter().any(|w| w.owner == stranger.id) {
        let not = s.causes(&stranger).await.unwrap_err().to_string();
        let none = desk.causes(&stranger, "9999", Shown::default()).await;
        assert_eq!(not.replace(id, "9999"), none.unwrap_err().to_string());
    }
    let others = ware.iter().find(|w| w.owner != own.owner).unwrap();
    let not = desk
        .causes_of(maker, id, others.code(), Shown::default())
        .await;
    let none = desk.causes_of(maker, id, "ZZZZ", Shown::default()).await;
    assert_eq!(
        not.unwrap_err().to_string().replace(others.code(), "ZZZZ"),
        none.unwrap_err().to_string()
    );
    // A photo of the cones is for those whose ware stood with them.
    let tier = s.desk.firing(id).await.unwrap().body.cone_tiers[0].clone();
    let photo = async |tier: String| {
        desk.add_cones_photo(s.nia(61.0), id, &tier, PIXEL.to_vec())
            .await
    };
    assert!(photo("attic".into()).await.is_err());
    photo(tier.clone()).await.unwrap();
    let kept = desk
        .store
        .photos(CONES, &cones_on(id, &tier))
        .await
        .unwrap();
    assert_eq!(kept.len(), 1);
    assert!(desk.photo_file(maker, &kept[0].id, true).await.is_ok());
    if !ware.iter().any(|w| w.owner == stranger.id) {
        assert!(desk.photo_file(&stranger, &kept[0].id, true).await.is_err());
    }
    let edges = desk
        .tell_edges(
            Actor {
                person: maker,
                at: after(61.0),
            },
            id,
            own.code(),
            1,
            (0, Edges::Sharp),
        )
        .await;
    assert!(matches!(edges, Err(DeskError::NotAllowed(_))));
}

#[tokio::test(flavor = "multi_thread")]
async fn guides_and_guards_are_read_on_any_tier_and_bound_it() {
    let s = firing().await;
    let (desk, id) = (&s.desk, s.firing.id.as_str());
    desk.end(s.nia(30.0), id, s.version().await, over())
        .await
        .unwrap();
    let cold = Some(Temperature::c(40.0));
    desk.opened(s.nia(60.0), id, s.version().await, cold, "", None)
        .await
        .unwrap();
    let cone = |name: &str| Cone::parse(name).unwrap();
    let [guide, guard] = cone("6").neighbours();
    assert_eq!((guide, guard), (Some(cone("5")), Some(cone("7"))));
    assert_eq!(cone("01").neighbours(), [Some(cone("02")), Some(cone("1"))]);
    assert_eq!(cone("5.5").neighbours(), [Some(cone("5")), Some(cone("6"))]);
    assert_eq!(cone("022").neighbours()[0], None);
    let read = |tier: &str, name: &str, clock: f64| Reading {
        tier: tier.to_owned(),
        cone: cone(name),
        clock,
    };
    let wrong = desk
        .read_cones(s.nia(61.0), id, s.version().await, &[read("2", "5", 9.0)])
        .await;
    let Err(DeskError::Faults(faults)) = wrong else {
        unreachable!("{wrong:?}");
    };
    assert_eq!(faults[0].field, "clock 2 cone 5");
    // The third tier tells exactly; whatever packs the plan has.
    let all = [
        read("1", "5", 6.0),
        read("2", "7", 12.0),
        read("3", "5", 6.0),
        read("3", "6", 4.0),
        read("3", "7", 12.0),
    ];
    desk.read_cones(s.nia(61.0), id, s.version().await, &all)
        .await
        .unwrap();
    let kept = desk.firing(id).await.unwrap().body;
    assert_eq!(kept.cones.len(), 5);
    assert!(
        ["1", "2", "3"]
            .iter()
            .all(|t| kept.tiers_with_cones().contains(t))
    );
    let told = s.causes(s.who(Role::Technician)).await.unwrap();
    let bound = |tier: &str| {
        let here = told.heats.iter().find(|h| h.tier == tier).unwrap();
        (here.heat.by, here.heat.bound)
    };
    assert_eq!(bound("1"), (HeatBy::Cones, Bound::AtLeast));
    assert_eq!(bound("2"), (HeatBy::Cones, Bound::AtMost));
    assert_eq!(bound("3"), (HeatBy::Cones, Bound::Exact));
}
