//! Furniture that broke, got lost or wore out.

use glost_model::book::upkeep::WHYS;
use glost_model::book::{Act, Counted, Loss, Stock};
use glost_model::fault::Fault;
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_store::{Kept, Look, Order, Turn, new_code};

use super::{Actor, Desk, DeskError};

/// A loss as somebody writes it down.
#[derive(Debug, Clone, Default)]
pub struct NewLoss {
    /// Kind of furniture: shelf, post or support.
    pub kind: String,
    /// Id of its stock.
    pub thing: String,
    /// How many went.
    pub gone: u16,
    /// Why: one of [`WHYS`].
    pub why: String,
    /// In words.
    pub words: String,
}

impl Desk {
    /// Writes a loss down: there are so many fewer from now on, and the loss is kept with who wrote it down. Whoever
    /// loads may do it. Counts are lowered as they stand, so that two people at once lose what both saw break.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; faults of the form, as when there are not so many.
    pub async fn lose(&self, actor: Actor<'_>, loss: &NewLoss) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let mut faults = Vec::new();
        let mut fault = |field: &str, what: &str, remedy: &str| {
            if let DeskError::Faults(all) = DeskError::field(field, what, remedy) {
                faults.extend::<Vec<Fault>>(all);
            }
        };
        if loss.gone == 0 {
            fault("gone", "it says none", "Write how many went, as 1");
        }
        if !WHYS.contains(&loss.why.as_str()) {
            fault("why", "no reason is chosen", "Choose one of the reasons");
        }
        if !faults.is_empty() {
            return Err(DeskError::Faults(faults));
        }
        let verb = format!("write down {} {} {}", loss.gone, loss.kind, loss.why);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        match loss.kind.as_str() {
            "shelf" => lower::<ShelfStock>(&mut turn, actor, loss).await?,
            "post" => lower::<PostStock>(&mut turn, actor, loss).await?,
            "support" => lower::<SupportStock>(&mut turn, actor, loss).await?,
            _ => {
                return Err(DeskError::field(
                    "thing",
                    "nothing is chosen",
                    "Choose what broke or went",
                ));
            }
        }
        Ok(turn.commit().await?)
    }

    /// Losses, the latest first.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn losses(&self, actor: Actor<'_>, most: u32) -> Result<Vec<Kept<Loss>>, DeskError> {
        actor.must(Act::Plan)?;
        let look = Look {
            order: Order::Last,
            most,
            ..Look::default()
        };
        Ok(self.store.list::<Loss>(&look).await?)
    }
}

async fn lower<T: Counted>(
    turn: &mut Turn,
    actor: Actor<'_>,
    loss: &NewLoss,
) -> Result<(), DeskError> {
    let kept = turn.get::<Stock<T>>(&loss.thing).await?;
    let mut stock = kept.body;
    let had = stock.thing.count();
    let Some(left) = had.checked_sub(loss.gone) else {
        return Err(DeskError::field(
            "gone",
            format!("{} of {had} cannot go", loss.gone),
            "Write how many went, or count the stock again and change it",
        ));
    };
    stock.thing.set_count(left);
    turn.put(&stock, kept.version).await?;
    turn.add(&Loss {
        id: format!("{}{}", new_code()?, new_code()?).to_lowercase(),
        kind: T::KIND.to_owned(),
        thing: stock.id.clone(),
        name: stock.thing.name(),
        gone: loss.gone,
        left,
        why: loss.why.clone(),
        words: loss.words.trim().chars().take(500).collect(),
        who: actor.person.id.clone(),
        at: actor.at,
    })
    .await?;
    Ok(())
}
