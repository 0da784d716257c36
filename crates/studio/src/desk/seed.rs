//! Fill an empty studio: from a studio's folder, or with the invented studio.

use std::collections::BTreeMap;

use glost_model::book::{Person, Role, Settings, State, Stock, Thing, Ware};
use glost_model::studio::Studio;
use glost_store::{By, Turn, new_code};
use jiff::Timestamp;

use super::door::hash;
use super::{Desk, DeskError};

/// Somebody who can sign in to the invented studio.
#[derive(Debug, Clone, Copy)]
pub struct Known {
    /// Name.
    pub name: &'static str,
    /// Name to sign in with.
    pub login: &'static str,
    /// Role.
    pub role: Role,
    /// Class.
    pub class: Option<&'static str>,
}

/// Those who can sign in to the invented studio.
pub const KNOWN: [Known; 5] = [
    Known {
        name: "Nia Corran",
        login: "nia",
        role: Role::Technician,
        class: None,
    },
    Known {
        name: "Davor Lund",
        login: "davor",
        role: Role::Loader,
        class: None,
    },
    Known {
        name: "Mabel Quist",
        login: "mabel",
        role: Role::Teacher,
        class: Some("Tuesday evening"),
    },
    Known {
        name: "Wen Ardley",
        login: "wen",
        role: Role::Maker,
        class: Some("Tuesday evening"),
    },
    Known {
        name: "Ilse Varn",
        login: "ilse",
        role: Role::Office,
        class: None,
    },
];
/// Their password, which is shown on the page of the invented studio.
pub const DEMO_PASSWORD: &str = "moor lantern kiln";

impl Desk {
    /// Brings a studio's folder into an empty store: its stock, its ware, and its makers as people who do not sign in.
    ///
    /// # Errors
    /// Of the store; nothing is stored then.
    pub async fn bring_in(
        &self,
        studio: &Studio,
        known: &[Known],
        now: Timestamp,
    ) -> Result<(), DeskError> {
        let secret = if known.is_empty() {
            String::new()
        } else {
            hash(DEMO_PASSWORD).await?
        };
        let mut turn = self
            .store
            .turn(
                By {
                    who: "folder",
                    at: now,
                },
                "bring a studio's folder in",
            )
            .await?;
        turn.add(&Settings {
            name: studio.name.clone(),
            shown: studio.shown,
            tariff: studio.tariff.clone(),
            hours: studio.hours.clone(),
            rule_overrides: studio.rule_overrides.clone(),
            keep_days: 28,
            post_section: studio.furniture.post_section,
            ways: glost_model::book::Ways::default(),
            scheme: glost_model::charge::Scheme::default(),
        })
        .await?;
        things(&mut turn, &studio.clays).await?;
        things(&mut turn, &studio.glazes).await?;
        things(&mut turn, &studio.kilns).await?;
        things(&mut turn, &studio.furniture.shelves).await?;
        things(&mut turn, &studio.furniture.posts).await?;
        things(&mut turn, &studio.furniture.supports).await?;
        let mut people: BTreeMap<String, String> = BTreeMap::new();
        let mut all: Vec<(String, Option<&Known>)> =
            known.iter().map(|k| (k.name.to_owned(), Some(k))).collect();
        all.extend(studio.pieces.iter().map(|p| (p.maker.clone(), None)));
        for (name, known) in all {
            if people.contains_key(&name) {
                continue;
            }
            let person = Person {
                id: format!("{}{}", new_code()?, new_code()?).to_lowercase(),
                name: name.clone(),
                role: known.map_or(Role::Maker, |k| k.role),
                class: known.and_then(|k| k.class).map(str::to_owned),
                mark: name
                    .split_whitespace()
                    .filter_map(|w| w.chars().next())
                    .collect(),
                reach: String::new(),
                shown: None,
                wish: glost_model::book::Wish::default(),
            };
            turn.add(&person).await?;
            if let Some(k) = known {
                turn.set_login(&person.id, k.login, &secret).await?;
            }
            people.insert(name, person.id);
        }
        for piece in &studio.pieces {
            let owner = people.get(&piece.maker).cloned().unwrap_or_default();
            turn.add(&Ware {
                piece: piece.clone(),
                owner: owner.clone(),
                by: owner,
                state: State::Waiting,
                note: String::new(),
                firing: None,
                stood: Vec::new(),
                faults: Vec::new(),
                since: now,
                fetch_by: None,
            })
            .await?;
        }
        turn.commit().await?;
        Ok(())
    }
}

async fn things<T: Thing>(turn: &mut Turn, all: &[T]) -> Result<(), DeskError> {
    for thing in all {
        let id = format!("{}{}", new_code()?, new_code()?).to_lowercase();
        turn.add(&Stock {
            id,
            thing: thing.clone(),
        })
        .await?;
    }
    Ok(())
}
