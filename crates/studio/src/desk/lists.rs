//! Lists of clays, glazes, furniture and kilns from the text files of a studio's folder: looked through first, then
//! stored in one turn.

use glost_model::book::{Act, Settings, Stock, Thing};
use glost_model::clay::{Clay, Glaze};
use glost_model::fault::Fault;
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_model::kiln::Kiln;
use glost_model::shown::Shown;
use glost_model::text::{self, Fields};
use glost_model::{Length, text::FILES};
use glost_store::{Kept, Turn, new_code};

use super::audit::{FieldChange, differing};
use super::{Actor, Desk, DeskError};

/// Most files at once.
pub const MOST_FILES: usize = 8;
/// Most things of all files at once.
pub const MOST_THINGS: usize = 2_000;

/// A file as it came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListFile {
    /// Its name; only told back.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// What a list would do to one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListLine {
    /// Kind, as in the book.
    pub kind: &'static str,
    /// What people call it.
    pub name: String,
    /// The studio has none of that name yet.
    pub new: bool,
    /// What differs from what the studio has; nothing when it is the same.
    pub fields: Vec<FieldChange>,
}

impl ListLine {
    /// Whether storing it would change anything.
    pub fn changes(&self) -> bool {
        self.new || !self.fields.is_empty()
    }
}

/// Lists that were looked through. Nothing of them is stored yet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ListPreview {
    /// What they would do.
    pub lines: Vec<ListLine>,
    /// Everything that is wrong with them; while there is anything, nothing can be stored.
    pub faults: Vec<Fault>,
    /// State of the stock that they were held against.
    pub state: i64,
}

impl ListPreview {
    /// Things that would be added or changed.
    pub fn changes(&self) -> usize {
        self.lines.iter().filter(|l| l.changes()).count()
    }
    /// Whether it can be stored.
    pub fn good(&self) -> bool {
        self.faults.is_empty() && self.changes() > 0
    }
}

/// All that the files hold.
#[derive(Debug, Default)]
struct Lists {
    clays: Vec<Clay>,
    glazes: Vec<Glaze>,
    kilns: Vec<Kiln>,
    shelves: Vec<ShelfStock>,
    posts: Vec<PostStock>,
    supports: Vec<SupportStock>,
    post_section: Option<Length>,
}

/// A thing to be stored, with what the studio has under its name.
struct Job<T> {
    thing: T,
    has: Option<Kept<Stock<T>>>,
}

impl Desk {
    /// Looks lists through and stores nothing. Lengths and the like are read in these units.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn look_lists_through(
        &self,
        actor: Actor<'_>,
        files: &[ListFile],
        units: Shown,
    ) -> Result<ListPreview, DeskError> {
        actor.must(Act::Keep)?;
        let state = self.store.stock_state().await?;
        let (lists, faults) = read(files, units);
        let mut lines = Vec::new();
        let l = &lists;
        lines.extend(told(&self.jobs(&l.clays).await?, text::clay_fields));
        lines.extend(told(&self.jobs(&l.glazes).await?, text::glaze_fields));
        let kiln = |t: &Kiln| text::kiln_fields(t, units);
        lines.extend(told(&self.jobs(&l.kilns).await?, kiln));
        let shelf = |t: &ShelfStock| text::shelf_fields(t, units);
        lines.extend(told(&self.jobs(&l.shelves).await?, shelf));
        let post = |t: &PostStock| text::post_fields(t, units);
        lines.extend(told(&self.jobs(&l.posts).await?, post));
        let support = |t: &SupportStock| text::support_fields(t, units);
        lines.extend(told(&self.jobs(&l.supports).await?, support));
        if let Some(section) = l.post_section {
            let now = self.given().await?.settings.post_section;
            let differ = (now - section).abs() > Length::mm(0.01);
            lines.push(ListLine {
                kind: "settings",
                name: "width of the posts".to_owned(),
                new: false,
                fields: differ
                    .then(|| FieldChange {
                        field: "width".to_owned(),
                        before: units.length(now),
                        after: units.length(section),
                    })
                    .into_iter()
                    .collect(),
            });
        }
        Ok(ListPreview {
            lines,
            faults,
            state,
        })
    }

    /// Stores lists that were looked through against this state of the stock, all of them or nothing.
    ///
    /// # Errors
    /// Every fault of the files; [`DeskError::Cannot`] when the stock changed since, or nothing would.
    pub async fn store_lists(
        &self,
        actor: Actor<'_>,
        files: &[ListFile],
        units: Shown,
        state: i64,
    ) -> Result<i64, DeskError> {
        let preview = self.look_lists_through(actor, files, units).await?;
        if !preview.faults.is_empty() {
            return Err(DeskError::Faults(preview.faults));
        }
        if preview.state != state {
            return Err(DeskError::cannot(
                "somebody changed kilns, furniture, clays, glazes or settings since you looked",
                "Look the lists through again: nothing was stored",
            ));
        }
        if !preview.good() {
            return Err(DeskError::cannot(
                "the studio has all of it already",
                "Nothing needs to be stored",
            ));
        }
        let (lists, _) = read(files, units);
        let verb = format!("bring {} things of lists in", preview.changes());
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let l = &lists;
        put(&mut turn, self.jobs(&l.clays).await?, text::clay_fields).await?;
        put(&mut turn, self.jobs(&l.glazes).await?, text::glaze_fields).await?;
        let kiln = |t: &Kiln| text::kiln_fields(t, units);
        put(&mut turn, self.jobs(&l.kilns).await?, kiln).await?;
        let shelf = |t: &ShelfStock| text::shelf_fields(t, units);
        put(&mut turn, self.jobs(&l.shelves).await?, shelf).await?;
        let post = |t: &PostStock| text::post_fields(t, units);
        put(&mut turn, self.jobs(&l.posts).await?, post).await?;
        let support = |t: &SupportStock| text::support_fields(t, units);
        put(&mut turn, self.jobs(&l.supports).await?, support).await?;
        if let Some(section) = lists.post_section {
            let kept = turn.get::<Settings>(Settings::ID).await?;
            let mut settings = kept.body;
            if (settings.post_section - section).abs() > Length::mm(0.01) {
                settings.post_section = section;
                turn.put(&settings, kept.version).await?;
            }
        }
        Ok(turn.commit().await?)
    }

    /// Each thing with what the studio has under its name.
    async fn jobs<T: Thing>(&self, things: &[T]) -> Result<Vec<Job<T>>, DeskError> {
        if things.is_empty() {
            return Ok(Vec::new());
        }
        let all = self.stock::<T>().await?;
        Ok(things
            .iter()
            .map(|thing| Job {
                has: all
                    .iter()
                    .find(|k| k.body.thing.name() == thing.name())
                    .cloned(),
                thing: thing.clone(),
            })
            .collect())
    }
}

fn told<T: Thing>(jobs: &[Job<T>], fields: impl Fn(&T) -> Fields) -> Vec<ListLine> {
    let line = |job: &Job<T>| {
        let before = job.has.as_ref().map(|k| fields(&k.body.thing));
        let differ = differing(&before.clone().unwrap_or_default(), &fields(&job.thing));
        ListLine {
            kind: T::KIND,
            name: job.thing.name(),
            new: before.is_none(),
            fields: differ,
        }
    };
    jobs.iter().map(line).collect()
}

/// Stores what the preview tells as new or different, and nothing else.
async fn put<T: Thing>(
    turn: &mut Turn,
    jobs: Vec<Job<T>>,
    fields: impl Fn(&T) -> Fields,
) -> Result<(), DeskError> {
    for job in jobs {
        match job.has {
            None => {
                let id = format!("{}{}", new_code()?, new_code()?).to_lowercase();
                let thing = job.thing;
                turn.add(&Stock { id, thing }).await?;
            }
            Some(kept) => {
                let (had, has) = (fields(&kept.body.thing), fields(&job.thing));
                if !differing(&had, &has).is_empty() {
                    let id = kept.body.id;
                    let thing = job.thing;
                    turn.put(&Stock { id, thing }, kept.version).await?;
                }
            }
        }
    }
    Ok(())
}

/// What a file is, by its first list; its name does not matter.
fn kind_of(text: &str) -> Option<&'static str> {
    let [_, clays, glazes, furniture, kilns, _] = FILES;
    let table = |line: &str| {
        let name = line.trim().strip_prefix("[[")?.split("]]").next()?.trim();
        match name {
            "clay" => Some(clays),
            "glaze" => Some(glazes),
            "shelf" | "post" | "support" => Some(furniture),
            "kiln" => Some(kilns),
            _ => None,
        }
    };
    text.lines().find_map(table)
}

/// Reads the files; faults bear the names under which they came.
fn read(files: &[ListFile], units: Shown) -> (Lists, Vec<Fault>) {
    let mut lists = Lists::default();
    let mut faults = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    let whole = |name: &str, what: String, remedy: &str| Fault {
        file: name.to_owned(),
        line: None,
        field: String::new(),
        what,
        remedy: remedy.to_owned(),
    };
    if files.is_empty() {
        let remedy = "Choose one or more files, or write a list into the field";
        faults.push(whole(
            "the lists",
            "there is nothing in them".to_owned(),
            remedy,
        ));
    }
    if files.len() > MOST_FILES {
        let what = format!("{} files at once", files.len());
        faults.push(whole(
            "the lists",
            what,
            &format!("Send at most {MOST_FILES}"),
        ));
        return (lists, faults);
    }
    for file in files {
        let Some(kind) = kind_of(&file.text) else {
            let what = "holds no clay, glaze, shelf, post, support or kiln".to_owned();
            let remedy = "Each stands below a line as [[clay]] or [[kiln]]; the handbook shows how";
            faults.push(whole(&file.name, what, remedy));
            continue;
        };
        if seen.contains(&kind) {
            let what = "is of the same kind as another of these files".to_owned();
            faults.push(whole(&file.name, what, "Put both into one file"));
            continue;
        }
        seen.push(kind);
        if let Err(found) = lists.take(kind, &file.text, units) {
            faults.extend(found.into_iter().map(|f| Fault {
                file: file.name.clone(),
                ..f
            }));
        }
    }
    if lists.len() > MOST_THINGS {
        let what = format!("hold {} things", lists.len());
        let remedy = format!("Bring in at most {MOST_THINGS} at once");
        faults.push(whole("the lists", what, &remedy));
        return (Lists::default(), faults);
    }
    (lists, faults)
}

impl Lists {
    fn len(&self) -> usize {
        self.clays.len()
            + self.glazes.len()
            + self.kilns.len()
            + self.shelves.len()
            + self.posts.len()
            + self.supports.len()
    }

    fn take(&mut self, kind: &str, text: &str, units: Shown) -> Result<(), Vec<Fault>> {
        match kind {
            text::CLAYS => self.clays = text::read_clays(text)?,
            text::GLAZES => self.glazes = text::read_glazes(text)?,
            text::KILNS => self.kilns = text::read_kilns(text, units)?,
            _ => {
                let furniture = text::read_furniture(text, units)?;
                self.shelves = furniture.shelves;
                self.posts = furniture.posts;
                self.supports = furniture.supports;
                self.post_section = Some(furniture.post_section);
            }
        }
        Ok(())
    }
}
