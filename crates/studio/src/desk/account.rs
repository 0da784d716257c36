//! What people owe.

use std::collections::BTreeMap;

use glost_model::Money;
use glost_model::book::{Act, Entry, Ware};
use glost_model::load::FiringKind;
use glost_store::{Kept, Look, Order, StoreError, Turn, new_secret};

use crate::charge::charge;

use super::words::words;
use super::{Actor, Desk, DeskError};

/// Most letters of what a payment is for.
const MOST_WORDS: usize = 200;

impl Desk {
    /// Charges the ware of a firing by the studio's scheme.
    pub(super) async fn charge_all(
        &self,
        actor: Actor<'_>,
        turn: &mut Turn,
        firing: &str,
        kind: FiringKind,
        ware: &[Ware],
    ) -> Result<(), DeskError> {
        let given = self.given().await?;
        for w in ware {
            let charge = charge(&given.settings.scheme, &w.piece, kind);
            if charge.amount == Money::ZERO {
                continue;
            }
            turn.add(&Entry {
                id: new_secret()?.chars().take(16).collect(),
                person: w.owner.clone(),
                amount_cents: charge.amount,
                words: charge.words,
                ware: Some(w.piece.id.clone()),
                firing: Some(firing.to_owned()),
                by: actor.person.id.clone(),
                at: actor.at,
            })
            .await?;
        }
        Ok(())
    }

    /// The lines of a person's account, the latest first. One's own, or anybody's for those who charge.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn account(
        &self,
        actor: Actor<'_>,
        person: &str,
    ) -> Result<Vec<Kept<Entry>>, DeskError> {
        if actor.person.id != person {
            actor.must(Act::Charge)?;
        }
        let look = Look {
            owner: Some(person),
            order: Order::Last,
            ..Look::default()
        };
        Ok(self.store.list::<Entry>(&look).await?)
    }

    /// What everybody owes.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn balances(&self, actor: Actor<'_>) -> Result<BTreeMap<String, Money>, DeskError> {
        actor.must(Act::Charge)?;
        let mut out = BTreeMap::new();
        for e in self.store.list::<Entry>(&Look::default()).await? {
            let sum = out.entry(e.body.person).or_insert(Money::ZERO);
            *sum = *sum + e.body.amount_cents;
        }
        Ok(out)
    }

    /// Writes a payment, or with a negative amount a charge by hand.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], an amount of nothing.
    pub async fn pay(
        &self,
        actor: Actor<'_>,
        person: &str,
        amount: Money,
        text: &str,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Charge)?;
        let text = words("words", text, MOST_WORDS)?;
        if !self.store.has::<glost_model::book::Person>(person).await? {
            return Err(StoreError::Missing {
                kind: "person".to_owned(),
                id: person.to_owned(),
            }
            .into());
        }
        if amount == Money::ZERO {
            return Err(DeskError::field(
                "amount",
                "the amount is nothing",
                "Write how much was paid",
            ));
        }
        let mut turn = self.store.turn(actor.by(), "write a payment").await?;
        turn.add(&Entry {
            id: new_secret()?.chars().take(16).collect(),
            person: person.to_owned(),
            amount_cents: Money::cents(-amount.to_cents()),
            words: if text.is_empty() {
                "paid".to_owned()
            } else {
                text
            },
            ware: None,
            firing: None,
            by: actor.person.id.clone(),
            at: actor.at,
        })
        .await?;
        Ok(turn.commit().await?)
    }
}
