//! Backlogs with a known answer, random ones against the proof, and the hours of people.

mod dealt;
mod proof;
mod timed;

use glost_model::piece::Piece;
use glost_model::studio::Studio;
use glost_model::text::{Texts, read};
use glost_model::{Money, Span};
use glost_rules::RuleBook;
use jiff::ZonedDateTime;
use jiff::civil::date;
use jiff::tz::TimeZone;

use super::{Aim, Backlog, BacklogAsk, BacklogError, Care, Course, firings};

/// A row of `pieces.csv`: id, diameter and height in mm, then what differs from the usual.
pub struct Row<'a> {
    pub id: String,
    pub across: u32,
    pub height: u32,
    pub clay: &'a str,
    pub glaze: &'a str,
    pub stage: &'a str,
    pub cone: &'a str,
    pub due: &'a str,
    pub group: &'a str,
}

/// A glazed round piece.
pub fn row<'a>(n: usize, across: u32, height: u32) -> Row<'a> {
    Row {
        id: format!("P{n:03}"),
        across,
        height,
        clay: "stone",
        glaze: "calm",
        stage: "glazed",
        cone: "",
        due: "",
        group: "",
    }
}

/// A round kiln, mm.
pub fn kiln(name: &str, across: u32, height: u32, max_cone: &str) -> String {
    let top = height / 2;
    format!(
        "[[kiln]]\nname = \"{name}\"\nshape = \"circle\"\ndiameter = {across}\nheight = {height}\nopening = \"lid\"\n\
         max_cone = \"{max_cone}\"\nmax_temperature = 1290\n\
         bands = [{{ from = 0, to = {height}, power_kw = 8 }}]\n\
         sensor = {{ clock = 7.5, height = {top}, reach = 20 }}\npeepholes = []\n\
         wall = [{{ lining = \"brick-23\", thickness = 76 }}]\nfloor = [{{ lining = \"brick-23\", thickness = 76 }}]\n\
         lid = [{{ lining = \"brick-23\", thickness = 76 }}]\n\
         controller = {{ max_segments = 8, zoned = false, hold_step_minutes = 1 }}\n\n"
    )
}

/// Shelves of 530 mm for the kilns, posts and supports; `hours` goes into `studio.toml`.
pub fn studio(kilns: &str, posts_each: u32, hours: &str, rows: &[Row<'_>]) -> Studio {
    let clay = |name: &str, from: &str, to: &str| {
        format!(
            "[[clay]]\nname = \"{name}\"\ncone_from = \"{from}\"\ncone_to = \"{to}\"\nslumps_on_points = true\n"
        )
    };
    let glaze = |name: &str, from: &str, to: &str, lead: bool| {
        format!(
            "[[glaze]]\nname = \"{name}\"\ncone_from = \"{from}\"\ncone_to = \"{to}\"\nlead = {lead}\n"
        )
    };
    let shelf = |name: &str, span: &str, count: u32| {
        format!(
            "[[shelf]]\nname = \"{name}\"\nshape = \"circle\"\ndiameter = 530\nspan = \"{span}\"\nthickness = 16\n\
             count = {count}\nmass = 7\nload_limit = 20\n"
        )
    };
    let posts: String = [25, 50, 75, 100, 125, 150, 200]
        .map(|l| format!("[[post]]\nlength = {l}\ncount = {posts_each}\n"))
        .concat();
    let mut pieces = "id,what,maker,shape,size,foot_size,height,mass,wall,clay,glazes,foot,glaze_margin,dryness,delicacy,stage,cone,due,came_in,priority,group,held\n".to_owned();
    for r in rows {
        let foot = if r.glaze.is_empty() {
            "bare,"
        } else {
            "wiped,8"
        };
        pieces += &format!(
            "{},ware,Ada,circle,{},,{},0.6,6,{},{},{foot},bone-dry,,{},{},{},2026-11-01,3,{},\n",
            r.id, r.across, r.height, r.clay, r.glaze, r.stage, r.cone, r.due, r.group
        );
    }
    read(&Texts {
        studio: format!(
            "name = \"Test\"\n[units]\nlength = \"mm\"\nmass = \"kg\"\ntemperature = \"C\"\n\
             [energy]\ncurrency = \"EUR\"\nprice_per_kwh = 0.3\n{hours}"
        ),
        clays: clay("stone", "4", "8") + &clay("low", "06", "02") + &clay("high", "8", "10"),
        glazes: glaze("calm", "5", "7", false)
            + &glaze("haw", "06", "03", false)
            + &glaze("lead", "5", "7", true)
            + &glaze("six", "6", "7", false)
            + &glaze("five", "4", "5", false),
        furniture: format!(
            "post_section = 38\n{}{}{posts}",
            shelf("full", "full", 6),
            shelf("half", "half", 8)
        ),
        kilns: kilns.to_owned(),
        pieces,
    })
    .unwrap()
}

/// A usual piece.
pub fn piece(id: &str) -> Piece {
    let mut studio = studio(&kiln("Wren", 660, 690, "10"), 18, "", &[row(0, 100, 100)]);
    let mut piece = studio.pieces.remove(0);
    piece.id = id.to_owned();
    piece
}

/// A moment in the middle of Europe, by the rule for its clocks, whatever zones this machine knows.
pub fn at(year: i16, month: i8, day: i8, hour: i8) -> ZonedDateTime {
    let zone = TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap();
    zone.to_zoned_datetime(date(year, month, day).at(hour, 0, 0, 0))
        .unwrap()
}

/// Ten hours to the peak, thirty until it may be opened; a litre of kiln costs a cent.
pub fn course(
    studio: &Studio,
) -> impl FnMut(&glost_model::load::LoadPlan, Care) -> Result<Course, String> {
    let kilns = studio.kilns.clone();
    move |load, _| {
        let kiln = kilns.iter().find(|k| k.name == load.kiln).unwrap();
        Ok(Course {
            peak: Span::h(10.0),
            open: Span::h(30.0),
            cost: Money::cents((kiln.height.to_m() * 1000.0) as i64),
            fit: true,
        })
    }
}

/// Asks for few firings of all kilns from Wednesday, 25 November 2026, 9 o'clock.
pub fn asked(studio: &Studio, aim: Aim, seed: u64, rounds: u32) -> Backlog {
    asked_from(
        studio,
        aim,
        seed,
        rounds,
        &at(2026, 11, 25, 9),
        &mut |_, _| true,
    )
}

pub fn asked_from(
    studio: &Studio,
    aim: Aim,
    seed: u64,
    rounds: u32,
    from: &ZonedDateTime,
    watch: &mut dyn FnMut(f64, usize) -> bool,
) -> Backlog {
    tried(studio, aim, seed, rounds, from, watch).unwrap()
}

pub fn tried(
    studio: &Studio,
    aim: Aim,
    seed: u64,
    rounds: u32,
    from: &ZonedDateTime,
    watch: &mut dyn FnMut(f64, usize) -> bool,
) -> Result<Backlog, BacklogError> {
    let kilns: Vec<String> = studio.kilns.iter().map(|k| k.name.clone()).collect();
    let ask = BacklogAsk {
        studio,
        book: &RuleBook::default(),
        kilns: &kilns,
        from,
        aim,
        bisque: glost_model::cone::Cone::parse("06").unwrap(),
        seed,
        rounds,
    };
    firings(&ask, &mut course(studio), watch)
}

/// Names of the pieces of a firing.
pub fn names(firing: &super::Firing) -> Vec<&str> {
    let mut names: Vec<&str> = firing
        .load
        .placed()
        .map(|(_, p)| p.piece.as_str())
        .collect();
    names.sort_unstable();
    names
}
