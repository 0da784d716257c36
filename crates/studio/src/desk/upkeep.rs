//! Upkeep of the kilns: what was done and read, what each part has been through, what is due.

use std::collections::BTreeSet;
use std::sync::Arc;

use glost_heat::learn::wear::{Left, relays_left, sensor_left};
use glost_model::book::due::due;
use glost_model::book::upkeep::{BandWear, Count, Fired, Worn, ageing, bands, count, last};
use glost_model::book::{Act, Due, Firing, Lessons, Stock, Upkeep, Wearing};
use glost_model::kiln::Kiln;
use glost_store::{Kept, Look, Order, new_code};
use jiff::Timestamp;

use super::lessons::left_words;
use super::{Actor, Desk, DeskError};

/// Least and most that a ring of elements may read, ohms: far beyond any studio kiln on either side.
const OHMS: (f64, f64) = (0.1, 1000.0);

/// An entry as somebody writes it down.
#[derive(Debug, Clone)]
pub struct NewUpkeep {
    /// What was done; nothing when none was chosen.
    pub what: Option<Wearing>,
    /// For readings: the ring, from 1 at the floor, and what was typed for it.
    pub readings: Vec<(u8, String)>,
    /// From when on it counts.
    pub at: Timestamp,
    /// In words.
    pub words: String,
}

/// A part with what it has been through.
#[derive(Debug, Clone, PartialEq)]
pub struct Counter {
    /// The part.
    pub part: Wearing,
    /// Since when it is counted; nothing for the beginning of the book.
    pub since: Option<Timestamp>,
    /// What it has been through.
    pub count: Count,
    /// Firings that are left to it, when that can be foreseen.
    pub left: Option<Left>,
}

/// One kiln with all that is known of its upkeep.
#[derive(Debug, Clone)]
pub struct Care {
    /// The kiln.
    pub kiln: Kept<Stock<Kiln>>,
    /// Entries, the latest first.
    pub entries: Vec<Upkeep>,
    /// A counter for each part.
    pub counters: Vec<Counter>,
    /// Resistance of each ring that was read.
    pub bands: Vec<BandWear>,
    /// Ageing that its record should have by the entries, when it has another.
    pub offered: Option<f64>,
    /// What is due, the most urgent first.
    pub due: Vec<Due>,
}

impl Desk {
    /// A kiln's upkeep.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], or when there is no such kiln.
    pub async fn care(&self, actor: Actor<'_>, id: &str) -> Result<Care, DeskError> {
        actor.must(Act::Plan)?;
        let kiln = self.store.get::<Stock<Kiln>>(id).await?;
        self.care_of(kiln, actor.at).await
    }

    /// The upkeep of all kilns. Kept until the book changes, as the first page shows it to everybody who fires.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn cares(&self, actor: Actor<'_>) -> Result<Arc<Vec<Care>>, DeskError> {
        actor.must(Act::Plan)?;
        let turn = self.store.latest_turn().await?;
        self.cares
            .get(turn, |was, _| *was == turn, self.read_cares(actor.at))
            .await
    }

    async fn read_cares(&self, now: Timestamp) -> Result<Vec<Care>, DeskError> {
        let mut all = Vec::new();
        for kiln in self.stock::<Kiln>().await? {
            all.push(self.care_of(kiln, now).await?);
        }
        Ok(all)
    }

    async fn care_of(&self, kiln: Kept<Stock<Kiln>>, now: Timestamp) -> Result<Care, DeskError> {
        let entries = self.upkeep_of(&kiln.body.id).await?;
        let fired = self.fired(&kiln.body).await?;
        let lessons = self.lessons_kept(&kiln.body.id).await?.map(|k| k.body);
        let counters = Wearing::PARTS.map(|part| {
            let since = last(&entries, part).map(|e| e.at);
            let count = count(&fired, since);
            Counter {
                part,
                since,
                left: left(part, &count, lessons.as_ref()),
                count,
            }
        });
        let bands = bands(&entries);
        let now_has = kiln.body.thing.element_ageing;
        let mut all = due(&entries, &fired, now);
        all.extend(lessons.as_ref().and_then(soon_too_weak));
        all.sort_by_key(|d| std::cmp::Reverse(d.worn));
        Ok(Care {
            offered: implied(&entries, &bands).filter(|a| (a - now_has).abs() > 0.004),
            due: all,
            counters: counters.to_vec(),
            bands,
            entries,
            kiln,
        })
    }

    /// What a kiln fired.
    async fn fired(&self, kiln: &Stock<Kiln>) -> Result<Vec<Fired>, DeskError> {
        let all = self.firings_in(kiln).await?;
        let fired = all.into_iter().filter_map(|f| {
            f.started.map(|at| Fired {
                at,
                cone: f.cone,
                hot: f.summary.hot_s,
            })
        });
        Ok(fired.collect())
    }

    /// Firings in a kiln, under any name that it had, unless another kiln has that name now.
    ///
    /// # Errors
    /// Of the store.
    pub(super) async fn firings_in(&self, kiln: &Stock<Kiln>) -> Result<Vec<Firing>, DeskError> {
        let mut names = BTreeSet::from([kiln.thing.name.clone()]);
        for change in self.store.history("kiln", &kiln.id).await? {
            let was: Option<Stock<Kiln>> = serde_json::from_str(&change.after).ok();
            names.extend(was.map(|s| s.thing.name));
        }
        for other in self.stock::<Kiln>().await? {
            if other.body.id != kiln.id {
                names.remove(&other.body.thing.name);
            }
        }
        let mut all = Vec::new();
        for name in &names {
            let look = Look {
                link: Some(name),
                ..Look::default()
            };
            let firings = self.store.list::<Firing>(&look).await?;
            all.extend(firings.into_iter().map(|f| f.body));
        }
        Ok(all)
    }

    /// What was written down of a kiln's parts, the latest first.
    ///
    /// # Errors
    /// Of the store.
    pub(super) async fn upkeep_of(&self, kiln: &str) -> Result<Vec<Upkeep>, DeskError> {
        let look = Look {
            link: Some(kiln),
            order: Order::Last,
            ..Look::default()
        };
        let all = self.store.list::<Upkeep>(&look).await?;
        let mut entries: Vec<Upkeep> = all.into_iter().map(|k| k.body).collect();
        entries.sort_by_key(|e| std::cmp::Reverse(e.at));
        Ok(entries)
    }

    /// Writes an entry down: a part that is new, shelves that were washed, or the resistances that were read.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; every fault of the form.
    pub async fn note_upkeep(
        &self,
        actor: Actor<'_>,
        kiln: &str,
        new: &NewUpkeep,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let stock = self.store.get::<Stock<Kiln>>(kiln).await?.body;
        let entries = entries_of(actor, &stock, new)?;
        let what = entries.first().map_or("", |e| e.what.done());
        let verb = format!("write down for kiln {}: {what}", stock.thing.name);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        for entry in &entries {
            turn.add(entry).await?;
        }
        Ok(turn.commit().await?)
    }

    /// Takes the ageing that the entries imply over into the kiln's record, seen at `version`.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; when the entries imply nothing else than the record has.
    pub async fn take_ageing(
        &self,
        actor: Actor<'_>,
        kiln: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let care = self.care(actor, kiln).await?;
        let Some(ageing) = care.offered else {
            return Err(DeskError::cannot(
                "the kiln's record has what its readings say",
                "Look at its upkeep again",
            ));
        };
        let mut stock = care.kiln.body;
        let verb = format!(
            "set the ageing of kiln {} from {:.2} to {ageing:.2}",
            stock.thing.name, stock.thing.element_ageing
        );
        stock.thing.element_ageing = ageing;
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.put(&stock, version).await?;
        Ok(turn.commit().await?)
    }
}

/// One in ten kilns like it is too weak within so many firings: time to have elements at hand, which take weeks to come.
const AT_HAND: u32 = 10;
/// And within so many half of them are.
const REPLACE_WITHIN: u32 = 2;

/// Elements that firings show to be at their end, whatever the meter says of them. When to say so is proposed here.
fn soon_too_weak(lessons: &Lessons) -> Option<Due> {
    let w = lessons.weakens.as_ref()?;
    w.short.low.filter(|n| *n <= AT_HAND)?;
    let now = w.short.middle.is_some_and(|n| n <= REPLACE_WITHIN);
    let (worn, what) = if now {
        (Worn::Replace, "Replace the elements")
    } else {
        (Worn::Warn, "Have a set of elements at hand")
    };
    Some(Due {
        part: Wearing::Elements,
        worn,
        words: format!(
            "{what}: by the power in its own firings it no longer reaches cone {} {}",
            w.cone,
            left_words(&w.short)
        ),
        source: "worked out from its own firings; when to say so is proposed here",
    })
}

/// How long a part still lasts: elements by the power that firings showed, a sensor by the firings it saw, relays by how
/// often they switch.
fn left(part: Wearing, count: &Count, lessons: Option<&Lessons>) -> Option<Left> {
    match part {
        Wearing::Elements => lessons?.weakens.as_ref().map(|w| w.short),
        Wearing::Sensor => sensor_left(count),
        Wearing::Relays => {
            let used = lessons?.switchings? * f64::from(count.firings);
            relays_left(used as u64, count.firings)
        }
        Wearing::Resistance | Wearing::Shelves => None,
    }
}

/// Ageing by the readings; that of new elements when they were replaced and not read twice since.
fn implied(entries: &[Upkeep], bands: &[BandWear]) -> Option<f64> {
    ageing(bands).or_else(|| last(entries, Wearing::Elements).map(|_| 1.0))
}

/// The records of an entry: one, or one for each ring that was read.
fn entries_of(
    actor: Actor<'_>,
    kiln: &Stock<Kiln>,
    new: &NewUpkeep,
) -> Result<Vec<Upkeep>, DeskError> {
    let mut faults = Vec::new();
    let mut fault = |field: &str, what: String, remedy: &str| {
        if let DeskError::Faults(all) = DeskError::field(field, what, remedy) {
            faults.extend(all);
        }
    };
    if new.at > actor.at {
        fault(
            "day",
            "this day is still to come".to_owned(),
            "Write the day on which it was done",
        );
    }
    let mut read = Vec::new();
    match new.what {
        None => fault(
            "what",
            "nothing is chosen".to_owned(),
            "Choose what was done",
        ),
        Some(Wearing::Resistance) => {
            for (band, text) in new.readings.iter().filter(|r| !r.1.trim().is_empty()) {
                let field = format!("ohm.{band}");
                let value = text.trim().replace(',', ".").parse::<f64>();
                let ring = usize::from(*band);
                match value {
                    _ if ring == 0 || ring > kiln.thing.bands.len() => {
                        fault(
                            &field,
                            "the kiln has no such ring".to_owned(),
                            "Leave it empty",
                        );
                    }
                    Ok(v) if (OHMS.0..=OHMS.1).contains(&v) => read.push((*band, v)),
                    _ => fault(
                        &field,
                        format!("'{}' is no resistance of a ring", text.trim()),
                        "Write ohms, as 12.4",
                    ),
                }
            }
            if new.readings.iter().all(|r| r.1.trim().is_empty()) {
                fault(
                    "ohm.1",
                    "no ring was read".to_owned(),
                    "Write what at least one ring read",
                );
            }
        }
        Some(_) => {}
    }
    let what = match new.what {
        Some(what) if faults.is_empty() => what,
        _ => return Err(DeskError::Faults(faults)),
    };
    let entry = |band: Option<u8>, value: Option<f64>| {
        Ok(Upkeep {
            id: format!("{}{}", new_code()?, new_code()?).to_lowercase(),
            kiln: kiln.id.clone(),
            what,
            band,
            value,
            at: new.at,
            who: actor.person.id.clone(),
            words: new.words.trim().chars().take(500).collect(),
        })
    };
    if what == Wearing::Resistance {
        read.into_iter()
            .map(|(band, ohm)| entry(Some(band), Some(ohm)))
            .collect()
    } else {
        Ok(vec![entry(None, None)?])
    }
}
