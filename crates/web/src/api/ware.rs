//! Ware.

use axum::Json;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use glost_model::book::{State, Ware};
use glost_model::text::Fields;
use glost_rules::Level;
use glost_store::Kept;
use glost_studio::desk::take_in::HandIn;
use glost_studio::desk::verdict::{Answer, verdict};
use glost_studio::desk::ware::WareLook;
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

use super::parts::{Asked, Done, Listed, Named, Paging, Sent, fifty, one, part, tagged};
use super::problem::{AnyProblem, NoSuchThing, NotChanged};
use super::{Caller, Problem};

/// Where a piece is on its way.
#[derive(Debug, Clone, Copy, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
#[schema(as = State)]
pub enum StateWord {
    /// Written down; nobody has looked it over.
    Made,
    /// Not dry yet.
    Drying,
    /// Waits for a firing.
    Waiting,
    /// In a load that was accepted.
    Planned,
    /// In the kiln.
    InKiln,
    /// Bisque fired.
    Bisqued,
    /// Glaze fired.
    Ready,
    /// Its maker has it.
    HandedBack,
    /// Something must be done to it first.
    NeedsAttention,
    /// Not fired here.
    Refused,
    /// Broken, burst or stuck.
    Accident,
    /// Never fetched.
    Abandoned,
}

impl From<StateWord> for State {
    fn from(word: StateWord) -> Self {
        match word {
            StateWord::Made => Self::Made,
            StateWord::Drying => Self::Drying,
            StateWord::Waiting => Self::Waiting,
            StateWord::Planned => Self::Planned,
            StateWord::InKiln => Self::InKiln,
            StateWord::Bisqued => Self::Bisqued,
            StateWord::Ready => Self::Ready,
            StateWord::HandedBack => Self::HandedBack,
            StateWord::NeedsAttention => Self::NeedsAttention,
            StateWord::Refused => Self::Refused,
            StateWord::Accident => Self::Accident,
            StateWord::Abandoned => Self::Abandoned,
        }
    }
}

/// A piece of ware.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = Ware)]
pub struct WareOut {
    /// Its code.
    code: String,
    /// Goes up with each change; send it back with yours.
    version: i64,
    /// What it is.
    what: String,
    /// Who made it.
    maker: String,
    /// Id of the person that it belongs to.
    owner: String,
    /// Where it is on its way: a word of `State`.
    state: String,
    /// Since when.
    #[schema(format = DateTime)]
    since: String,
    /// Clay.
    clay: String,
    /// Glazes.
    glazes: Vec<String>,
    /// `greenware` or `glazed`.
    stage: String,
    /// Cone that its maker asked for.
    cone: Option<String>,
    /// Height, mm.
    height_mm: f64,
    /// Mass, kg.
    mass_kg: f64,
    /// When it must be back.
    #[schema(format = Date)]
    due: Option<String>,
    /// When it came in.
    #[schema(format = Date)]
    came_in: Option<String>,
    /// Why it needs attention, or what its maker wants known.
    note: String,
    /// The firing that it is in, or was in last.
    firing: Option<String>,
    /// Until when it may be fetched.
    #[schema(format = Date)]
    fetch_by: Option<String>,
    /// What was seen on it after firings.
    faults: Vec<FaultOut>,
}

/// Something that was seen on a piece.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = WareFault)]
struct FaultOut {
    /// Key, such as `pinholes`.
    kind: String,
    /// In the words of whoever saw it.
    words: String,
    /// The firing before it.
    firing: Option<String>,
    /// It cannot be given back as good.
    spoilt: bool,
}

fn out(kept: Kept<Ware>) -> WareOut {
    let version = kept.version;
    let w = kept.body;
    let p = w.piece;
    WareOut {
        code: p.id,
        version,
        what: p.what,
        maker: p.maker,
        owner: w.owner,
        state: w.state.key().to_owned(),
        since: w.since.to_string(),
        clay: p.clay,
        glazes: p.glazes,
        stage: match p.stage {
            glost_model::piece::Stage::Greenware => "greenware",
            glost_model::piece::Stage::Glazed => "glazed",
        }
        .to_owned(),
        cone: p.asked_cone.map(|c| c.to_string()),
        height_mm: p.height.to_mm(),
        mass_kg: p.mass.to_kg(),
        due: p.due.map(|d| d.to_string()),
        came_in: p.came_in.map(|d| d.to_string()),
        note: w.note,
        firing: w.firing,
        fetch_by: w.fetch_by.map(|d| d.to_string()),
        faults: w
            .faults
            .into_iter()
            .map(|f| FaultOut {
                kind: f.kind.key().to_owned(),
                words: f.words,
                firing: f.firing,
                spoilt: f.spoilt,
            })
            .collect(),
    }
}

/// Which ware.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct WareAsked {
    /// Only in this state.
    #[param(inline)]
    state: Option<StateWord>,
    /// Only of this person.
    owner: Option<String>,
    /// Only in this firing.
    firing: Option<String>,
    /// Only with all of these words.
    words: Option<String>,
    /// Page, from 1.
    #[serde(default = "one")]
    #[param(minimum = 1, maximum = 10000, default = 1)]
    page: u32,
    /// Pieces on a page.
    #[serde(default = "fifty")]
    #[param(minimum = 1, maximum = 200, default = 50)]
    each: u32,
}

/// Ware, as far as the person may see it; the longest waiting first.
#[utoipa::path(get, path = "/ware", tag = "ware", params(WareAsked),
    responses((status = 200, description = "A page of it", body = Listed<WareOut>), AnyProblem, NoSuchThing))]
pub async fn list(c: Caller, Asked(q): Asked<WareAsked>) -> Result<Json<Listed<WareOut>>, Problem> {
    let (skip, most) = part(q.page, q.each)?;
    let state = q.state.map(State::from);
    let states: Vec<&str> = state.iter().map(|s| s.key()).collect();
    let look = WareLook {
        states: &states,
        owner: q.owner.as_deref().filter(|o| !o.is_empty()),
        firing: q.firing.as_deref().filter(|f| !f.is_empty()),
        words: q.words.as_deref(),
        latest: false,
        skip,
        most,
    };
    let (list, total) = c.app.desk.wares(&c.person, &look).await?;
    Ok(Json(Listed {
        items: list.into_iter().map(out).collect(),
        total,
        page: q.page,
        each: q.each,
    }))
}

/// One piece.
#[utoipa::path(get, path = "/ware/{code}", tag = "ware", params(("code" = String, Path, description = "Its code")),
    responses((status = 200, description = "The piece", body = WareOut, headers(("ETag" = String, description = "Its version"))), AnyProblem, NoSuchThing))]
pub async fn one_ware(
    c: Caller,
    Named(code): Named,
    heads: HeaderMap,
) -> Result<Response, Problem> {
    let kept = c.app.desk.ware(&c.person, &code).await?;
    Ok(tagged(&heads, kept.version, out(kept)))
}

/// A piece, or several alike, as it is handed in.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = HandIn)]
pub struct HandInBody {
    /// What it is.
    what: String,
    /// Id of its owner; left out for one's own.
    owner: Option<String>,
    /// How many alike.
    #[serde(default = "one_piece_alike")]
    #[schema(minimum = 1, maximum = 60, default = 1)]
    count: u16,
    /// What its maker wants known.
    #[serde(default)]
    note: String,
    /// Whoever writes it down has looked it over. Counts only for those who may.
    #[serde(default)]
    looked_over: bool,
    /// Shape seen from above, as in the column `shape` of pieces.csv: `circle`, `rectangle`, …
    shape: String,
    /// Size of the widest part, mm, as in the column `size`: `120`, or `300x200`.
    size_mm: String,
    /// Size of what stands on the shelf, mm.
    foot_size_mm: Option<String>,
    /// Height, mm.
    height_mm: f64,
    /// Mass, kg.
    mass_kg: f64,
    /// Thickest section, mm.
    wall_mm: f64,
    /// Clay, a name of the studio.
    clay: String,
    /// Glazes, names of the studio.
    #[serde(default)]
    glazes: Vec<String>,
    /// What is on the foot: `bare`, `wiped`, `glazed`, as in pieces.csv.
    foot: String,
    /// Bare margin above the foot, mm.
    glaze_margin_mm: Option<f64>,
    /// How dry it is, as in pieces.csv.
    dryness: String,
    /// How it bears handling, as in pieces.csv.
    delicacy: Option<String>,
    /// `greenware` or `glazed`.
    stage: String,
    /// Cone asked for.
    cone: Option<String>,
    /// When it must be back.
    #[schema(format = Date)]
    due: Option<String>,
    /// 1 (can wait) to 5 (first).
    #[schema(minimum = 1, maximum = 5)]
    priority: Option<u8>,
    /// How it is hollow, as in pieces.csv.
    inside: Option<String>,
}

fn one_piece_alike() -> u16 {
    1
}

/// Columns of pieces.csv and what they are called here.
const NAMES: [(&str, &str); 5] = [
    ("size", "size_mm"),
    ("foot_size", "foot_size_mm"),
    ("height", "height_mm"),
    ("mass", "mass_kg"),
    ("wall", "wall_mm"),
];

impl HandInBody {
    fn fields(&self) -> Fields {
        let number = |n: f64| n.to_string();
        let all = [
            ("what", Some(self.what.clone())),
            ("shape", Some(self.shape.clone())),
            ("size", Some(self.size_mm.clone())),
            ("foot_size", self.foot_size_mm.clone()),
            ("height", Some(number(self.height_mm))),
            ("mass", Some(number(self.mass_kg))),
            ("wall", Some(number(self.wall_mm))),
            ("clay", Some(self.clay.clone())),
            ("glazes", Some(self.glazes.join(";"))),
            ("foot", Some(self.foot.clone())),
            ("glaze_margin", self.glaze_margin_mm.map(number)),
            ("dryness", Some(self.dryness.clone())),
            ("delicacy", self.delicacy.clone()),
            ("stage", Some(self.stage.clone())),
            ("cone", self.cone.clone()),
            ("due", self.due.clone()),
            ("priority", self.priority.map(|p| p.to_string())),
            ("inside", self.inside.clone()),
        ];
        let filled = |(name, value): (&str, Option<String>)| {
            let value = value.filter(|v| !v.trim().is_empty())?;
            Some((name.to_owned(), value))
        };
        all.into_iter().filter_map(filled).collect()
    }
}

/// Hands ware in; answers the pieces with their codes.
#[utoipa::path(post, path = "/ware", tag = "ware", request_body = HandInBody,
    responses((status = 201, description = "The pieces", body = Vec<WareOut>), AnyProblem, NotChanged))]
pub async fn hand_in(c: Caller, Sent(body): Sent<HandInBody>) -> Result<Response, Problem> {
    let hand_in = HandIn {
        fields: body.fields(),
        owner: body.owner.clone(),
        count: body.count,
        note: body.note,
        looked_over: body.looked_over,
        photo: None,
    };
    let done = c.app.desk.take_in(c.actor(), &hand_in, c.today).await;
    let (ware, _) = done.map_err(|e| Problem::from(e).renamed(&NAMES))?;
    let ware: Vec<WareOut> = ware
        .into_iter()
        .map(|body| {
            out(Kept {
                version: 1,
                archived: None,
                changed: c.now,
                body,
            })
        })
        .collect();
    Ok((StatusCode::CREATED, Json(ware)).into_response())
}

/// Where a piece goes.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = MoveOn)]
pub struct MoveBody {
    /// To this state.
    to: StateWord,
    /// The version that was seen.
    version: i64,
    /// Why; needed where something is wrong with it.
    #[serde(default)]
    note: String,
}

/// Moves a piece on, by the ways that its state has.
#[utoipa::path(post, path = "/ware/{code}/state", tag = "ware", params(("code" = String, Path, description = "Its code")), request_body = MoveBody,
    responses((status = 200, description = "It is there now", body = Done), AnyProblem, NoSuchThing, NotChanged))]
pub async fn move_on(
    c: Caller,
    Named(code): Named,
    Sent(body): Sent<MoveBody>,
) -> Result<Json<Done>, Problem> {
    let desk = &c.app.desk;
    let turn = desk
        .move_ware(c.actor(), &code, body.version, body.to.into(), &body.note)
        .await?;
    Ok(Json(Done {
        turn,
        version: body.version + 1,
    }))
}

/// What the rules say about a piece that waits.
#[derive(Debug, Serialize, ToSchema)]
pub struct Waiting {
    /// Its code.
    code: String,
    /// `yes`, `yes-with` or `no`.
    fit: String,
    /// In words.
    words: String,
    /// The cone that it is for.
    cone: Option<String>,
    /// What the rules find, gravest first.
    findings: Vec<Found>,
}

/// What a rule finds.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = Finding)]
struct Found {
    /// Which rule.
    rule: String,
    /// `block`, `require` or `warn`.
    level: String,
    /// Why.
    why: String,
    /// What would help.
    remedy: String,
}

/// Ware that waits for a firing, with what the rules say of it.
#[utoipa::path(get, path = "/waiting", tag = "ware", params(Paging),
    responses((status = 200, description = "A page of it", body = Listed<Waiting>), AnyProblem))]
pub async fn waiting(c: Caller, Asked(q): Asked<Paging>) -> Result<Json<Listed<Waiting>>, Problem> {
    let (skip, most) = part(q.page, q.each)?;
    let given = c.app.desk.given().await?;
    let look = WareLook {
        states: &[State::Waiting.key()],
        skip,
        most,
        ..WareLook::default()
    };
    let (list, total) = c.app.desk.wares(&c.person, &look).await?;
    let items = list
        .into_iter()
        .map(|kept| {
            let v = verdict(&given, &kept.body.piece);
            Waiting {
                code: kept.body.piece.id,
                fit: match v.answer {
                    Answer::Yes => "yes",
                    Answer::YesWith => "yes-with",
                    Answer::No => "no",
                }
                .to_owned(),
                words: v.words().to_owned(),
                cone: v.cone.map(|c| c.to_string()),
                findings: v
                    .findings
                    .into_iter()
                    .map(|f| Found {
                        rule: f.rule.to_owned(),
                        level: match f.level {
                            Level::Block => "block",
                            Level::Require => "require",
                            Level::Warn => "warn",
                        }
                        .to_owned(),
                        why: f.why,
                        remedy: f.remedy,
                    })
                    .collect(),
            }
        })
        .collect();
    Ok(Json(Listed {
        items,
        total,
        page: q.page,
        each: q.each,
    }))
}
