//! Kilns at work in the studio that is measured: one that is on and was read, one being loaded, and a plan.

use glost_model::book::{Firing, Person, Role};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::readings::Sample;
use glost_model::{Span, Temperature};
use glost_studio::desk::propose::{Effort, plan_draft};
use glost_studio::desk::{Actor, Desk, DeskError, NewFiring};
use glost_studio::hear::Logs;
use glost_studio::rehearse::{SEED, Stage};
use jiff::{SignedDuration, Timestamp};

use crate::clock;

/// It was switched on so long ago, and read each minute since.
const MINUTES: i64 = 180;

/// Ids of them.
#[derive(Debug, Clone)]
pub struct Lit {
    /// A firing of a kiln that is on.
    pub on: String,
    /// A firing that is being loaded.
    pub loading: String,
    /// A plan that nobody accepted.
    pub draft: String,
    /// A kiln.
    pub kiln: String,
    /// Path of a calendar.
    pub calendar: String,
}

fn earlier() -> Timestamp {
    let ago = SignedDuration::from_mins(MINUTES + 1);
    clock::instant().checked_sub(ago).unwrap_or_default()
}

/// Lights and plans them.
///
/// # Errors
/// Of the store, or where nothing can be planned with what waits.
pub async fn light(desk: &Desk, logs: Logs) -> Result<Lit, DeskError> {
    let people = desk.who_fires().await?;
    let nobody = || DeskError::cannot("the studio has no technician", "Fill it anew");
    let technician = |p: &Person| p.role == Role::Technician;
    let person = people.into_iter().find(technician).ok_or_else(nobody)?;
    let stage = Stage {
        desk: desk.clone(),
        clock: earlier,
        logs,
        person: person.clone(),
        seed: SEED,
        planted: Vec::new(),
        pace: 1.0,
    };
    let (on, plan) = stage.begin().await?;
    read(desk, &person, &on).await?;
    let other = other_kiln(desk, &plan.load.kiln).await?;
    let loading = planned(desk, &person, &other).await?;
    let actor = || Actor {
        person: &person,
        at: clock::instant(),
    };
    let version = async || desk.firing(&loading).await.map(|k| k.version);
    desk.accept(actor(), &loading, version().await?, None)
        .await?;
    desk.begin_loading(actor(), &loading, version().await?)
        .await?;
    let draft = planned(desk, &person, &plan.load.kiln).await?;
    let kiln = desk.kiln_of(&plan.load.kiln).await?.unwrap_or_default();
    Ok(Lit {
        on: on.id,
        loading,
        draft,
        kiln,
        calendar: String::new(),
    })
}

async fn other_kiln(desk: &Desk, but: &str) -> Result<String, DeskError> {
    let given = desk.given().await?;
    let other = given.studio.kilns.iter().find(|k| k.name != but);
    let other = other.map(|k| k.name.clone());
    other.ok_or_else(|| DeskError::cannot("the studio has one kiln only", "Fill it anew"))
}

/// Readings of the hours since it was switched on.
async fn read(desk: &Desk, person: &Person, on: &Firing) -> Result<(), DeskError> {
    let start = on.started.unwrap_or_else(earlier);
    let samples: Vec<Sample> = (1..=MINUTES)
        .filter_map(|minute| {
            let at = start.checked_add(SignedDuration::from_mins(minute)).ok()?;
            let climbed = Span::minutes(minute as f64).to_h() * 90.0;
            Some(Sample {
                at,
                sensor: Some(Temperature::c(20.0 + climbed)),
                set_point: None,
                duty: None,
                meter: None,
                others: Vec::new(),
            })
        })
        .collect();
    let actor = Actor {
        person,
        at: clock::instant(),
    };
    desk.take_samples(actor, &on.id, &samples).await?;
    Ok(())
}

async fn planned(desk: &Desk, person: &Person, kiln: &str) -> Result<String, DeskError> {
    let actor = Actor {
        person,
        at: clock::instant(),
    };
    let cone = Cone::parse("6").map_err(|e| DeskError::Machine(e.to_string()))?;
    let new = NewFiring {
        kiln: kiln.to_owned(),
        cone,
        kind: FiringKind::Glaze,
        starts: None,
        wished: glost_model::book::Wished::default(),
    };
    let firing = desk.new_firing(actor, &new).await?;
    let id = firing.id.clone();
    let (studio, book) = desk.studio_with_waiting().await?;
    let work = move || {
        let watch = |_: &str, _, _| true;
        plan_draft(
            studio,
            &book,
            &firing,
            clock::today(),
            1,
            Effort::Short,
            &watch,
        )
    };
    let plan = tokio::task::spawn_blocking(work).await;
    let plan = plan.map_err(|e| DeskError::Machine(e.to_string()))??;
    desk.keep_plan(actor, &id, &plan, "plan firing").await?;
    Ok(id)
}
