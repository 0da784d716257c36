//! Take ware in: one piece by a form, or many from a sheet.

use glost_model::book::{Act, Person, State, Ware};
use glost_model::fault::Fault;
use glost_model::text::{self, Fields};
use glost_store::{Look, StoreError, Turn, new_code};
use jiff::civil::Date;

use super::verdict::{Answer, verdict};
use super::words::{MOST_NOTE, words};
use super::{Actor, Desk, DeskError, MOST_NAME};

/// A piece as it is handed in.
#[derive(Debug, Clone, Default)]
pub struct HandIn {
    /// Fields by the names of the ware sheet, in the units of whoever typed them.
    pub fields: Fields,
    /// Id of the owner; nothing for one's own.
    pub owner: Option<String>,
    /// How many alike.
    pub count: u16,
    /// What its maker wants known.
    pub note: String,
    /// Whoever writes it down has looked it over.
    pub looked_over: bool,
}

/// Most pieces alike at once.
pub const MOST_ALIKE: u16 = 60;
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
    /// Takes pieces in; answers them with the number of the turn.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], every fault of the form.
    pub async fn take_in(
        &self,
        actor: Actor<'_>,
        hand_in: &HandIn,
        today: Date,
    ) -> Result<(Vec<Ware>, i64), DeskError> {
        actor.must(Act::HandIn)?;
        let owner = self.owner(actor, hand_in.owner.as_deref()).await?;
        if hand_in.count == 0 || hand_in.count > MOST_ALIKE {
            return Err(DeskError::field(
                "count",
                format!("{} pieces alike", hand_in.count),
                format!("Write 1 to {MOST_ALIKE}"),
            ));
        }
        let given = self.given().await?;
        let shown = actor.person.shown.unwrap_or(given.studio.shown);
        let mut fields = hand_in.fields.clone();
        set(&mut fields, "id", "new");
        set(&mut fields, "maker", &owner.name);
        if !has(&fields, "came_in") {
            set(&mut fields, "came_in", &today.to_string());
        }
        let piece = text::read_piece(&fields, shown).map_err(DeskError::Faults)?;
        let note = words("note", &hand_in.note, MOST_NOTE)?;
        let verb = format!("take in {} {} of {}", hand_in.count, piece.what, owner.name);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let mut all = Vec::new();
        for _ in 0..hand_in.count {
            let mut ware = Ware {
                piece: piece.clone(),
                owner: owner.id.clone(),
                by: actor.person.id.clone(),
                state: State::Made,
                note: note.clone(),
                firing: None,
                stood: Vec::new(),
                faults: Vec::new(),
                since: actor.at,
                fetch_by: None,
            };
            let trusted = hand_in.looked_over && actor.person.role.may(Act::LookOver);
            if trusted {
                let fit = verdict(&given, &piece).answer != Answer::No;
                ware.state = if fit {
                    State::Waiting
                } else {
                    State::NeedsAttention
                };
            }
            add_with_code(&mut turn, &mut ware).await?;
            all.push(ware);
        }
        Ok((all, turn.commit().await?))
    }

    /// Whose piece it is to be.
    async fn owner(&self, actor: Actor<'_>, owner: Option<&str>) -> Result<Person, DeskError> {
        let Some(id) = owner.filter(|id| *id != actor.person.id) else {
            return Ok(actor.person.clone());
        };
        let all = actor.person.role.may(Act::LookOver);
        if !all {
            actor.must(Act::HandInForOthers)?;
        }
        let found = self.store.find::<Person>(id).await?;
        // Who else there is, is not told to those who may not know.
        found
            .map(|k| k.body)
            .filter(|p| all || actor.person.sees(p))
            .ok_or_else(|| {
                DeskError::field(
                    "owner",
                    "nobody for whom you may hand in has that name",
                    "Choose one of the people listed",
                )
            })
    }

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
        let every = actor.person.role.may(Act::LookOver);
        let taken = self
            .codes_taken(
                read.rows
                    .iter()
                    .filter_map(|r| r.piece.as_ref().ok())
                    .map(|p| p.id.as_str()),
            )
            .await?;
        for row in read.rows {
            let mut line = Line {
                line: row.line,
                fields: row.fields,
                faults: Vec::new(),
                ware: None,
                unfit: None,
            };
            match row.piece {
                Err(faults) => line.faults = faults,
                Ok(mut piece) => {
                    let owner = people
                        .iter()
                        .map(|p| &p.body)
                        .find(|p| p.name == piece.maker);
                    let mine = owner.is_some_and(|p| actor.person.sees(p));
                    let fault = |field: &str, what: String, remedy: &str| Fault {
                        file: "the sheet".to_owned(),
                        line: Some(row.line),
                        field: field.to_owned(),
                        what,
                        remedy: remedy.to_owned(),
                    };
                    if !every && !mine {
                        line.faults.push(fault(
                            "maker",
                            format!("{} is neither you nor of your class", piece.maker),
                            "Leave the line out, or ask a technician to bring it in",
                        ));
                    }
                    if owner.is_none() && piece.maker.chars().count() > MOST_NAME {
                        line.faults.push(fault(
                            "maker",
                            format!(
                                "a name of {} letters is too long",
                                piece.maker.chars().count()
                            ),
                            "Write the name as on slips, at most sixty letters",
                        ));
                    }
                    if taken.contains(&piece.id) {
                        line.faults.push(fault(
                            "id",
                            format!("the studio has a piece {} already", piece.id),
                            "Give it another name, or leave the line out",
                        ));
                    }
                    if line.faults.is_empty() {
                        if owner.is_none() && !out.new_makers.contains(&piece.maker) {
                            out.new_makers.push(piece.maker.clone());
                        }
                        piece.came_in = piece.came_in.or(Some(today));
                        let v = verdict(&given, &piece);
                        line.unfit = (v.answer == Answer::No).then(|| {
                            v.findings
                                .first()
                                .map_or_else(String::new, |f| f.why.clone())
                        });
                        let state = match (every, v.answer) {
                            (false, _) => State::Made,
                            (true, Answer::No) => State::NeedsAttention,
                            (true, _) => State::Waiting,
                        };
                        line.ware = Some(Ware {
                            owner: owner.map_or_else(String::new, |o| o.id.clone()),
                            by: actor.person.id.clone(),
                            state,
                            note: line.unfit.clone().unwrap_or_default(),
                            firing: None,
                            stood: Vec::new(),
                            faults: Vec::new(),
                            since: actor.at,
                            fetch_by: None,
                            piece,
                        });
                    }
                }
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
                role: glost_model::book::Role::Maker,
                class: None,
                mark: String::new(),
                reach: String::new(),
                shown: None,
                wish: glost_model::book::Wish::default(),
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
    ) -> Result<std::collections::BTreeSet<String>, StoreError> {
        let mut out = std::collections::BTreeSet::new();
        for code in codes {
            if self.store.has::<Ware>(code).await? {
                out.insert(code.to_owned());
            }
        }
        Ok(out)
    }
}

/// Gives a piece a code that none has, and keeps it.
async fn add_with_code(turn: &mut Turn, ware: &mut Ware) -> Result<(), DeskError> {
    // With 450 000 codes a free one is found at once in any studio.
    for _ in 0..64 {
        ware.piece.id = new_code()?;
        match turn.add(ware).await {
            Err(StoreError::Taken { .. }) => {}
            done => return Ok(done?),
        }
    }
    Err(DeskError::cannot("no free code was found", "Try again"))
}

pub(super) fn set(fields: &mut Fields, name: &str, value: &str) {
    match fields.iter_mut().find(|f| f.0 == name) {
        Some(field) => value.clone_into(&mut field.1),
        None => fields.push((name.to_owned(), value.to_owned())),
    }
}

fn has(fields: &Fields, name: &str) -> bool {
    fields.iter().any(|f| f.0 == name && !f.1.trim().is_empty())
}
