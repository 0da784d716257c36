//! A load on the bench: what was done to it by hand, and the way back.

use std::collections::BTreeSet;

use glost_check::{Breach, judge};
use glost_model::load::LoadPlan;
use glost_model::piece::PieceId;
use glost_model::plan_file::PlanFile;
use glost_model::text;
use glost_placing::{PlanAsk, restate_gaps};
use glost_rules::RuleBook;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::carry_out::carry_out;
use super::{Answer, Edit, EditFault, Patch};

/// Most steps that can be taken back; older ones are forgotten.
pub const HISTORY: usize = 200;

/// A step and the way back from it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// What was done; nothing when the load was settled.
    pub edit: Option<Edit>,
    /// What takes it back, or does it again.
    pub back: Patch,
}

impl Step {
    /// In words.
    pub fn words(&self) -> String {
        self.edit
            .as_ref()
            .map_or_else(|| "settle the rest".to_owned(), Edit::words)
    }

    fn moves_ware(&self) -> bool {
        self.edit.as_ref().is_none_or(|e| !e.only_locks())
    }
}

/// A load that is changed by hand. It can be kept as JSON between two steps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Bench {
    /// The plan as it is now. Its forecast is that of the load as it was opened: see [`Self::finished`].
    pub plan: PlanFile,
    /// The day from which due dates count, as when the load was planned: worth depends on it.
    pub day: Date,
    /// Pieces that may not move.
    pub locked: BTreeSet<PieceId>,
    /// Steps that can be undone, the latest last.
    pub done: Vec<Step>,
    /// Steps that can be done again, the next last.
    pub undone: Vec<Step>,
    /// Whether ware was moved by a step that is forgotten.
    moved_before: bool,
}

impl Bench {
    /// Opens a plan that was made on a day.
    ///
    /// # Errors
    /// [`EditFault::Unsound`] when the judge cannot judge it or its rules cannot be read.
    pub fn open(plan: PlanFile, day: Date) -> Result<Self, EditFault> {
        let bench = Self {
            plan,
            day,
            locked: BTreeSet::new(),
            done: Vec::new(),
            undone: Vec::new(),
            moved_before: false,
        };
        match bench.judged()?.into_iter().find(|b| b.rule == "number") {
            Some(b) => Err(EditFault::Unsound(b.to_string())),
            None => Ok(bench),
        }
    }

    /// Does one thing by hand. Rules that it breaks are told, not prevented.
    ///
    /// # Errors
    /// See [`EditFault`]; the bench is then as it was.
    pub fn apply(&mut self, edit: Edit) -> Result<Answer, EditFault> {
        let book = self.book()?;
        let (mut load, mut locked) = (self.plan.load.clone(), self.locked.clone());
        let ask = self.ask(&book);
        let touched = carry_out(&ask, &mut load, &mut locked, &edit)?;
        restate_gaps(&ask, &mut load, &touched.tiers)?;
        let only = Some(&touched.tiers);
        let back = Patch::of(&self.plan.load, &self.locked, only, touched.left_out);
        (self.plan.load, self.locked) = (load, locked);
        Ok(self.keep(Some(edit), back, Vec::new(), &book))
    }

    /// Takes the last step back.
    ///
    /// # Errors
    /// [`EditFault::NothingToUndo`].
    pub fn undo(&mut self) -> Result<Answer, EditFault> {
        let book = self.book()?;
        let step = self.done.pop().ok_or(EditFault::NothingToUndo)?;
        let (step, answer) = self.put_back(step, &book);
        self.undone.push(step);
        Ok(answer)
    }

    /// Does the step again that was undone last.
    ///
    /// # Errors
    /// [`EditFault::NothingToRedo`].
    pub fn redo(&mut self) -> Result<Answer, EditFault> {
        let book = self.book()?;
        let step = self.undone.pop().ok_or(EditFault::NothingToRedo)?;
        let (step, answer) = self.put_back(step, &book);
        self.done.push(step);
        Ok(answer)
    }

    /// What the judge says of the load as it is.
    ///
    /// # Errors
    /// [`EditFault::Unsound`] when the studio's own rules cannot be read.
    pub fn judged(&self) -> Result<Vec<Breach>, EditFault> {
        Ok(judge(&self.plan.studio, &self.book()?, &self.plan.load))
    }

    /// Whether the forecast still is that of this load.
    pub fn forecast_holds(&self) -> bool {
        !self.moved_before && !self.done.iter().any(Step::moves_ware)
    }

    /// The plan to keep. Without its forecast when ware was moved: what was wished of the firing
    /// stays, and [`crate::foresee`] works the rest out again.
    pub fn finished(&self) -> PlanFile {
        let mut plan = self.plan.clone();
        if !self.forecast_holds() {
            plan.forecast = None;
        }
        plan
    }

    /// The studio's rules.
    pub(super) fn book(&self) -> Result<RuleBook, EditFault> {
        RuleBook::from_overrides(&self.plan.studio.rule_overrides, text::STUDIO).map_err(|faults| {
            let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
            EditFault::Unsound(words.join("; "))
        })
    }

    /// What the planner is asked with.
    pub(super) fn ask<'a>(&'a self, book: &'a RuleBook) -> PlanAsk<'a> {
        let load = &self.plan.load;
        PlanAsk {
            studio: &self.plan.studio,
            book,
            kiln: &load.kiln,
            cone: load.cone,
            kind: load.kind,
            today: self.day,
            seed: load.seed,
            rounds: 0,
            worth: None,
        }
    }

    /// Files a step that has just changed the load.
    pub(super) fn keep(
        &mut self,
        edit: Option<Edit>,
        back: Patch,
        said: Vec<String>,
        book: &RuleBook,
    ) -> Answer {
        let tiers = back.tier_names().map(str::to_owned).collect();
        self.done.push(Step { edit, back });
        if self.done.len() > HISTORY {
            let old = self.done.remove(0);
            self.moved_before |= old.moves_ware();
        }
        self.undone.clear();
        self.answer(tiers, said, book)
    }

    fn put_back(&mut self, step: Step, book: &RuleBook) -> (Step, Answer) {
        let tiers = step.back.tier_names().map(str::to_owned).collect();
        let back = step.back.put_back(&mut self.plan.load, &mut self.locked);
        let step = Step {
            edit: step.edit,
            back,
        };
        (step, self.answer(tiers, Vec::new(), book))
    }

    fn answer(&self, tiers: Vec<String>, said: Vec<String>, book: &RuleBook) -> Answer {
        Answer {
            breaches: told(judge(&self.plan.studio, book, &self.plan.load)),
            tiers,
            said,
        }
    }

    /// The load as it is.
    pub fn load(&self) -> &LoadPlan {
        &self.plan.load
    }
}

/// What a person should hear: a load that breaks other rules may be worth more than any that does
/// not, which says nothing against the bound.
fn told(mut breaches: Vec<Breach>) -> Vec<Breach> {
    if breaches.iter().any(|b| b.rule != "bound") {
        breaches.retain(|b| b.rule != "bound");
    }
    breaches
}
