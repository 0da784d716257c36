//! Take ware in from a sheet, looked through before anything is stored.

use std::collections::BTreeSet;

use glost_model::book::{Act, Person, Role, State, Ware, Wish};
use glost_model::fault::Fault;
use glost_model::piece::Piece;
use glost_model::text::{self, Fields, PieceRow};
use glost_store::{Kept, Look, StoreError, new_code};
use jiff::civil::Date;

use super::assemble::Given;
use super::verdict::{Answer, verdict};
use super::{Actor, Desk, DeskError, MOST_NAME};

/// Most lines of a sheet at once.
pub const MOST_LINES: usize = 20_000;

/// One line of a sheet.
#[derive(Debug, Clone)]
pub struct Line {
    /// In the file, from 1.
    pub line: usize,
    /// As typed, for the preview.
    pub fields: Fields,
    /// What is wrong with it; nothing when it can be stored.
    pub faults: Vec<Fault>,
    /// Ready to be stored.
    pub ware: Option<Ware>,
    /// Not fit to fire as it is, with the first reason.
    pub unfit: Option<String>,
}

/// A sheet that was looked through. Nothing of it is stored yet.
#[derive(Debug, Clone, Default)]
pub struct Preview {
    /// Its lines.
    pub lines: Vec<Line>,
    /// Faults of the sheet as a whole.
    pub faults: Vec<Fault>,
    /// Makers that the studio does not know yet.
    pub new_makers: Vec<String>,
}

impl Preview {
    /// Lines that can be stored.
    pub fn good(&self) -> usize {
        self.lines.iter().filter(|l| l.ware.is_some()).count()
    }
    /// Lines that cannot.
    pub fn bad(&self) -> usize {
        self.lines.len() - self.good()
    }
}

impl Desk {
    /// Looks a sheet of ware through and stores nothing.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn preview(
        &self,
        actor: Actor<'_>,
        csv: &str,
        today: Date,
    ) -> Result<Preview, DeskError> {
        actor.must(Act::HandIn)?;
        let given = self.given().await?;
        let shown = actor.person.shown.unwrap_or(given.studio.shown);
        let people = self.store.list::<Person>(&Look::default()).await?;
        let read = text::read_pieces(csv, "the sheet", shown);
        let mut out = Preview {
            faults: read.faults,
            ..Preview::default()
        };
        if read.rows.len() > MOST_LINES {
            out.faults.push(Fault {
                file: "the sheet".to_owned(),
                line: None,
                field: String::new(),
                what: format!("has {} lines, more than {MOST_LINES}", read.rows.len()),
                remedy: "Split it".to_owned(),
            });
            return Ok(out);
        }
        let codes = read.rows.iter().filter_map(|r| cell(&r.fields, "id"));
        let sheet = Sheet {
            taken: self.codes_taken(codes).await?,
            given: &given,
            people: &people,
            actor,
            today,
        };
        for row in read.rows {
            let (line, new) = sheet.look(row);
            if let Some(name) = new.filter(|n| !out.new_makers.contains(n)) {
                out.new_makers.push(name);
            }
            out.lines.push(line);
        }
        Ok(out)
    }

    /// Stores the good lines of a sheet in one turn, with the makers that are new; answers how many.
    ///
    /// # Errors
    /// As [`Self::preview`]; when a line was taken in the meantime, nothing is stored.
    pub async fn import(
        &self,
        actor: Actor<'_>,
        csv: &str,
        today: Date,
    ) -> Result<(usize, i64), DeskError> {
        let preview = self.preview(actor, csv, today).await?;
        if preview.good() == 0 {
            return Err(DeskError::cannot(
                "no line of the sheet can be stored",
                "Mend what the preview names",
            ));
        }
        let verb = format!("take in {} pieces from a sheet", preview.good());
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let mut ids = std::collections::BTreeMap::new();
        for name in &preview.new_makers {
            let person = Person {
                id: format!("{}{}", new_code()?, new_code()?).to_lowercase(),
                name: name.clone(),
                role: Role::Maker,
                class: None,
                mark: String::new(),
                reach: String::new(),
                shown: None,
                wish: Wish::default(),
            };
            turn.add(&person).await?;
            ids.insert(name.clone(), person.id);
        }
        let mut stored = 0;
        for mut ware in preview.lines.into_iter().filter_map(|l| l.ware) {
            if ware.owner.is_empty() {
                ware.owner = ids.get(&ware.piece.maker).cloned().unwrap_or_default();
            }
            turn.add(&ware).await?;
            stored += 1;
        }
        Ok((stored, turn.commit().await?))
    }

    /// Which of these codes the studio has given already.
    async fn codes_taken<'a>(
        &self,
        codes: impl Iterator<Item = &'a str>,
    ) -> Result<BTreeSet<String>, StoreError> {
        let mut out = BTreeSet::new();
        for code in codes {
            if self.store.has::<Ware>(code).await? {
                out.insert(code.to_owned());
            }
        }
        Ok(out)
    }
}

/// What the lines of a sheet are held against.
struct Sheet<'a> {
    /// Codes of the sheet that the studio has given already.
    taken: BTreeSet<String>,
    given: &'a Given,
    people: &'a [Kept<Person>],
    actor: Actor<'a>,
    today: Date,
}

impl Sheet<'_> {
    /// Looks one line through: everything that is wrong with it, not only the first; with the maker that is new by it.
    fn look(&self, row: PieceRow) -> (Line, Option<String>) {
        let mut line = Line {
            line: row.line,
            fields: row.fields,
            faults: Vec::new(),
            ware: None,
            unfit: None,
        };
        let owner = cell(&line.fields, "maker").and_then(|name| self.person(name));
        let in_book = self.in_book(&line, owner);
        match row.piece {
            Ok(piece) if in_book.is_empty() => {
                let new = owner.is_none().then(|| piece.maker.clone());
                let (ware, unfit) = self.ware(piece, owner);
                line.ware = Some(ware);
                line.unfit = unfit;
                return (line, new);
            }
            Ok(_) => line.faults = in_book,
            Err(faults) => {
                line.faults = faults;
                line.faults.extend(in_book);
            }
        }
        (line, None)
    }

    fn person(&self, name: &str) -> Option<&Person> {
        self.people.iter().map(|p| &p.body).find(|p| p.name == name)
    }

    /// What is wrong with a line by what the book has.
    fn in_book(&self, line: &Line, owner: Option<&Person>) -> Vec<Fault> {
        let mut faults = Vec::new();
        let mut fault = |field: &str, what: String, remedy: &str| {
            faults.push(Fault {
                file: "the sheet".to_owned(),
                line: Some(line.line),
                field: field.to_owned(),
                what,
                remedy: remedy.to_owned(),
            });
        };
        if let Some(maker) = cell(&line.fields, "maker") {
            let every = self.actor.person.role.may(Act::LookOver);
            if !every && !owner.is_some_and(|p| self.actor.person.sees(p)) {
                fault(
                    "maker",
                    format!("{maker} is neither you nor of your class"),
                    "Leave the line out, or ask a technician to bring it in",
                );
            }
            let letters = maker.chars().count();
            if owner.is_none() && letters > MOST_NAME {
                fault(
                    "maker",
                    format!("a name of {letters} letters is too long"),
                    "Write the name as on slips, at most sixty letters",
                );
            }
        }
        if let Some(id) = cell(&line.fields, "id").filter(|id| self.taken.contains(*id)) {
            fault(
                "id",
                format!("the studio has a piece {id} already"),
                "Give it another name, or leave the line out",
            );
        }
        faults
    }

    /// The piece as it would be stored, and why it is not fit to fire as it is.
    fn ware(&self, mut piece: Piece, owner: Option<&Person>) -> (Ware, Option<String>) {
        piece.came_in = piece.came_in.or(Some(self.today));
        let v = verdict(self.given, &piece);
        let unfit = (v.answer == Answer::No).then(|| {
            let first = v.findings.first();
            first.map_or_else(String::new, |f| f.why.clone())
        });
        let state = match (self.actor.person.role.may(Act::LookOver), v.answer) {
            (false, _) => State::Made,
            (true, Answer::No) => State::NeedsAttention,
            (true, _) => State::Waiting,
        };
        let ware = Ware {
            owner: owner.map_or_else(String::new, |o| o.id.clone()),
            by: self.actor.person.id.clone(),
            state,
            note: unfit.clone().unwrap_or_default(),
            firing: None,
            stood: Vec::new(),
            faults: Vec::new(),
            since: self.actor.at,
            fetch_by: None,
            piece,
        };
        (ware, unfit)
    }
}

/// What stands in a column, if anything does.
fn cell<'f>(fields: &'f Fields, column: &str) -> Option<&'f str> {
    let found = fields.iter().find(|f| f.0 == column)?;
    Some(found.1.trim()).filter(|t| !t.is_empty())
}
