//! Look ware over: many pieces at once, as a class brings them.

use glost_model::book::{Act, State, Ware};

use super::verdict::{Answer, verdict};
use super::{Actor, Desk, DeskError};

impl Desk {
    /// Lets these pieces wait for a firing. What their makers wrote stays with them.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; when one of them was moved on since, or is not fit to fire. Nothing is noted then.
    pub async fn look_over(&self, actor: Actor<'_>, codes: &[String]) -> Result<i64, DeskError> {
        actor.must(Act::LookOver)?;
        if codes.is_empty() {
            return Err(DeskError::cannot(
                "no piece is ticked",
                "Go back and tick those that you looked over",
            ));
        }
        let given = self.given().await?;
        let verb = match codes {
            [one] => format!("look {one} over"),
            many => format!("look {} pieces over", many.len()),
        };
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        for code in codes {
            let kept = turn.get::<Ware>(code).await?;
            let mut ware = kept.body;
            if !matches!(ware.state, State::Made | State::Drying) {
                return Err(DeskError::cannot(
                    format!("{code} is {}", ware.state.words()),
                    "Look at the list again: somebody was quicker",
                ));
            }
            let fit = verdict(&given, &ware.piece);
            if fit.answer == Answer::No {
                let why = fit
                    .findings
                    .first()
                    .map_or("no cone suits it", |f| f.why.as_str());
                return Err(DeskError::cannot(
                    format!("{code} is not fit to fire: {why}"),
                    "Open it and say what it needs",
                ));
            }
            ware.set(State::Waiting, actor.at);
            turn.put(&ware, kept.version).await?;
        }
        Ok(turn.commit().await?)
    }
}
