//! A server learns a kiln by itself after its firings were emptied, over a kill in the midst of it, once.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

#[path = "../served/mod.rs"]
mod served;

use std::path::PathBuf;
use std::time::{Duration, Instant};

use glost_heat::kiln::from_plan;
use glost_heat::strange::StrangeKiln;
use glost_model::book::{Firing, FiringState, Lessons, Person, Role, Stock};
use glost_model::cone::Cone;
use glost_model::kiln::Kiln;
use glost_model::load::FiringKind;
use glost_model::{Energy, Span};
use glost_store::{Look, Store};
use glost_studio::desk::propose::{Effort, plan_draft};
use glost_studio::desk::seed::{DEMO_PASSWORD, KNOWN};
use glost_studio::desk::{Actor, Desk, NewFiring};
use glost_studio::{demo_texts, open_texts};
use jiff::{SignedDuration, Timestamp};
use served::{FORM, Served};

const FIRINGS: i64 = 2;

/// The invented studio with firings that were emptied, of a kiln unlike the model.
struct Place {
    desk: Desk,
    store: String,
    photos: PathBuf,
    kiln: String,
    _folder: tempfile::TempDir,
}

fn week(number: i64) -> Timestamp {
    let first = Timestamp::from_second(1_795_000_000).unwrap();
    first + SignedDuration::from_hours(24 * 7 * number)
}

async fn emptied() -> Place {
    let folder = tempfile::tempdir().unwrap();
    let store = folder.path().join("studio.db").display().to_string();
    let photos = folder.path().join("photos");
    let desk = Desk::new(Store::open(&store).await.unwrap(), photos.clone());
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    desk.bring_in(&studio, &KNOWN, week(0)).await.unwrap();
    let people = desk.store.list::<Person>(&Look::default()).await.unwrap();
    let nia = people.into_iter().find(|p| p.body.role == Role::Technician);
    let nia = nia.unwrap().body;
    let actor = Actor {
        person: &nia,
        at: week(0),
    };
    let new = NewFiring {
        kiln: "Heron".into(),
        cone: Cone::parse("6").unwrap(),
        kind: FiringKind::Glaze,
        starts: None,
        wished: glost_model::book::Wished::default(),
    };
    let first = desk.new_firing(actor, &new).await.unwrap();
    let (studio, book) = desk.studio_with_waiting().await.unwrap();
    let day = jiff::civil::date(2026, 11, 18);
    let go_on = |_: &str, _, _| true;
    let plan = plan_draft(studio, &book, &first, day, 1, Effort::Short, &go_on).unwrap();
    let load = from_plan(&plan.studio, plan.studio.kiln("Heron").unwrap(), &plan.load);
    let mut kiln = StrangeKiln::draw(7, &load);
    for number in 0..FIRINGS {
        let programme = plan.firing.clone().unwrap();
        let on = week(number);
        let burnt = kiln.fire(&programme, &load, &[], on, Span::minutes(1.0));
        let firing = desk.new_firing(actor, &new).await.unwrap();
        desk.keep_plan(actor, &firing.id, &plan, "plan firing")
            .await
            .unwrap();
        desk.keep_samples(&firing.id, &burnt.samples, None, on)
            .await
            .unwrap();
        let kept = desk.firing(&firing.id).await.unwrap();
        let done = Firing {
            state: FiringState::Done,
            started: Some(on),
            cone_tiers: Vec::new(),
            cones: burnt.truth.cones.clone(),
            meter_start: Some(Energy::ZERO),
            meter_end: Some(burnt.truth.energy),
            ..kept.body
        };
        let mut turn = desk.store.turn(actor.by(), "empty").await.unwrap();
        turn.put(&done, kept.version).await.unwrap();
        turn.commit().await.unwrap();
    }
    let kilns = desk
        .store
        .list::<Stock<Kiln>>(&Look::default())
        .await
        .unwrap();
    let heron = kilns.into_iter().find(|k| k.body.thing.name == "Heron");
    Place {
        kiln: heron.unwrap().body.id,
        desk,
        store,
        photos,
        _folder: folder,
    }
}

impl Place {
    fn serve(&self) -> Served {
        Served::start(&self.store, &self.photos, &[])
    }

    async fn editions(&self) -> Vec<(String, String)> {
        let all = self
            .desk
            .store
            .history("lessons", &self.kiln)
            .await
            .unwrap();
        all.into_iter().map(|c| (c.turn.who, c.turn.verb)).collect()
    }
}

fn sign_in(served: &Served) -> String {
    let form = format!("login=nia&password={}", DEMO_PASSWORD.replace(' ', "+"));
    let answer = served.send("POST", "/enter", &[], form.as_bytes(), FORM);
    assert_eq!(answer.code, 303, "{}", answer.text());
    let cookie = answer.header("set-cookie").unwrap();
    cookie.split(';').next().unwrap().to_owned()
}

/// Asks again and again.
async fn until(what: &str, mut ask: impl AsyncFnMut() -> bool) {
    let end = Instant::now() + Duration::from_secs(240);
    while !ask().await {
        assert!(Instant::now() < end, "{what}");
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_killed_server_learns_at_the_next_start_and_once() {
    let place = emptied().await;
    let at = format!("/kilns/{}/learnt", place.kiln);
    let page = |served: &Served, cookie: &str| {
        let answer = served.send("GET", &at, &[("Cookie", cookie)], b"", "");
        assert_eq!(answer.code, 200, "{}", answer.text());
        answer.text()
    };
    let served = place.serve();
    let cookie = sign_in(&served);
    until("it is being worked out", async || {
        page(&served, &cookie).contains("Being worked out")
    })
    .await;
    // Nothing of the server is left, and nothing half done is kept.
    drop(served);
    assert_eq!(place.editions().await, []);

    let served = place.serve();
    until("it is learnt", async || {
        place.desk.store.has::<Lessons>(&place.kiln).await.unwrap()
    })
    .await;
    let told = page(&served, &cookie);
    assert!(told.contains("use edition 1"), "{told}");
    let audit = served.send("GET", "/studio/log", &[("Cookie", &cookie)], b"", "");
    let audit = audit.text();
    assert!(
        audit.contains("by itself after firings") && audit.contains("Glost, "),
        "{audit}"
    );
    served.stop();

    assert!(place.desk.to_learn().await.unwrap().is_empty());
    let all = place.editions().await;
    assert_eq!(all.len(), 1, "{all:?}");
    assert_eq!(all[0].0, "glost");
}
