//! The first person of a new studio.

use std::collections::BTreeMap;

use glost_model::Length;
use glost_model::book::{Person, Role, Settings};
use glost_model::charge::{Measured, Scheme};
use glost_model::hours::Hours;
use glost_model::shown::Shown;
use glost_model::tariff::Tariff;
use glost_store::{By, new_secret};
use jiff::Timestamp;

use super::door::hash;
use super::people::{Joining, check, taken};
use super::{Desk, DeskError};

/// What a new studio is asked.
#[derive(Debug, Clone, Default)]
pub struct SetUp {
    /// The studio's name.
    pub studio: String,
    /// Units.
    pub shown: Shown,
    /// Currency.
    pub currency: String,
    /// Time zone.
    pub time_zone: String,
    /// The first technician.
    pub first: Joining,
}

impl Desk {
    /// Whether nobody has set the studio up yet.
    ///
    /// # Errors
    /// Of the store.
    pub async fn is_new(&self) -> Result<bool, DeskError> {
        Ok(!self.store.has_logins().await?)
    }

    /// Sets a new studio up with its first technician. Only the first who comes can.
    ///
    /// # Errors
    /// Faults of the form; [`DeskError::Cannot`] when somebody was quicker.
    pub async fn set_up(&self, form: &SetUp, now: Timestamp) -> Result<Person, DeskError> {
        if !self.is_new().await? {
            return Err(DeskError::cannot(
                "this studio is set up already",
                "Sign in, or ask its technician for a link",
            ));
        }
        let name = form.studio.trim();
        // Everything that is to be mended is told at once.
        let mut checks = Vec::new();
        if name.is_empty() || name.chars().count() > 80 {
            checks.push(Err(DeskError::field(
                "studio",
                "the studio has no name, or a very long one",
                "Write its name",
            )));
        }
        let zone = form.time_zone.trim();
        if !zone.is_empty() && jiff::tz::TimeZone::get(zone).is_err() {
            checks.push(Err(DeskError::field(
                "time_zone",
                format!("there is no time zone '{zone}'"),
                "Write it as Europe/Dublin or America/Denver; with nothing here, the zone of this machine counts",
            )));
        }
        let currency = form.currency.trim();
        if currency.is_empty() || currency.chars().count() > 5 {
            checks.push(Err(DeskError::field(
                "currency",
                "the currency is missing or too long",
                "Write a code as EUR or USD, or a sign",
            )));
        }
        // In the order of the form.
        checks.push(check(&form.first));
        DeskError::together(checks)?;
        let settings = Settings {
            name: name.to_owned(),
            shown: form.shown,
            tariff: Tariff {
                currency: currency.to_owned(),
                per_kwh: 0.0,
                per_kw: 0.0,
                times: Vec::new(),
            },
            hours: Hours {
                time_zone: (!zone.is_empty()).then(|| zone.to_owned()),
                ..Hours::default()
            },
            rule_overrides: BTreeMap::new(),
            keep_days: 28,
            scheme: Scheme {
                measured: if form.shown.inches {
                    Measured::Inches
                } else {
                    Measured::Metric
                },
                ..Scheme::default()
            },
            ways: glost_model::book::Ways::default(),
            // An inch and a half, which is sold as 38 mm too.
            post_section: if form.shown.inches {
                Length::inches(1.5)
            } else {
                Length::mm(38.0)
            },
        };
        let person = Person {
            id: new_secret()?.chars().take(12).collect(),
            name: form.first.name.trim().to_owned(),
            role: Role::Technician,
            class: None,
            mark: String::new(),
            reach: String::new(),
            shown: None,
            wish: glost_model::book::Wish::default(),
        };
        let password = hash(&form.first.password).await?;
        let by = By {
            who: &person.id,
            at: now,
        };
        let mut turn = self.store.turn(by, "set the studio up").await?;
        // Two who come at once: the second finds the settings there.
        match turn.add(&settings).await {
            Err(glost_store::StoreError::Taken { .. }) => {
                return Err(DeskError::cannot(
                    "somebody else has just set this studio up",
                    "Ask them for a link",
                ));
            }
            done => done?,
        }
        turn.add(&person).await?;
        taken(
            turn.set_login(&person.id, &form.first.login, &password)
                .await,
        )?;
        turn.commit().await?;
        Ok(person)
    }
}
