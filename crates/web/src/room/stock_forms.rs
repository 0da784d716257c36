//! What each kind of thing is asked, how it is read, and how it is told in a line.

use glost_model::book::Thing;
use glost_model::clay::{Clay, Glaze};
use glost_model::fault::Fault;
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_model::kiln::Kiln;
use glost_model::shown::Shown;
use glost_model::text::{self, Fields};
use glost_sheets::{Known, kiln_svg};
use maud::{Markup, html};

use super::kiln_draw;
use crate::app::{Here, Typed, called};
use crate::page::drawing;

/// One thing that a form asks. Names are those of the studio's files.
#[derive(Debug, Clone, Copy)]
pub enum Ask {
    /// A heading.
    Head(&'static str),
    /// A heading whose part is folded away at first: what is usual is filled in there.
    Folded(&'static str),
    /// A size that only some shapes have: these shapes, name, label, whether it is a length.
    Shaped(&'static str, &'static str, &'static str, bool),
    /// Text: name, label, hint.
    Words(&'static str, &'static str, &'static str),
    /// A length: name, label, hint.
    Length(&'static str, &'static str, &'static str),
    /// A mass.
    Mass(&'static str, &'static str),
    /// A temperature.
    Degrees(&'static str, &'static str),
    /// A number: name, label, unit, hint.
    Number(&'static str, &'static str, &'static str, &'static str),
    /// Yes or no.
    YesNo(&'static str, &'static str),
    /// One of a few.
    Choice(
        &'static str,
        &'static str,
        &'static [(&'static str, &'static str)],
    ),
    /// Rows of a list; those that stay empty are left out.
    Rows {
        /// Name of the list.
        list: &'static str,
        /// Label.
        label: &'static str,
        /// Hint.
        hint: &'static str,
        /// Rows in sight.
        near: usize,
        /// Rows offered.
        most: usize,
        /// Key, label and kind of each field of a row.
        of: &'static [(&'static str, &'static str, RowKind)],
    },
}

/// Kind of a field within a row.
#[derive(Debug, Clone, Copy)]
pub enum RowKind {
    /// A length.
    Length,
    /// A number of a unit.
    Unit(&'static str),
    /// A lining.
    Lining,
}

/// A kind of thing with its pages.
pub trait Keeps: Thing {
    /// Path of its pages.
    const PATH: &'static str;
    /// Path of the list that it is in.
    const LIST: &'static str;
    /// Room.
    const HERE: Here;
    /// One of them, in words.
    const ONE: &'static str;
    /// Many of them.
    const MANY: &'static str;
    /// What is asked.
    const ASKS: &'static [Ask];
    /// As its form has it.
    fn written(&self, shown: Shown) -> Fields;
    /// From its form.
    ///
    /// # Errors
    /// Every fault with its field.
    fn read(fields: &Fields, shown: Shown) -> Result<Self, Vec<Fault>>;
    /// What people call it, in the units at hand.
    fn called(&self, _shown: Shown) -> String {
        self.name()
    }
    /// In a line.
    fn about(&self, shown: Shown) -> String;
    /// What a new one usually has.
    fn usual(shown: Shown) -> Fields;
    /// Path that draws what is in the form, if anything does.
    const DRAW: Option<&'static str> = None;
    /// A drawing for those who may only look, if there is one.
    fn drawn(&self, _shown: Shown) -> Markup {
        html! {}
    }
    /// What stands beside the form: a drawing of what is typed, else of what is stored.
    fn panel(_typed: &Typed, _stored: Option<&Self>, _shown: Shown) -> Option<Markup> {
        None
    }
    /// Where to go from its page.
    fn ways(&self, _at: &str, _governs: bool) -> Markup {
        html! {}
    }
}

fn usual(all: &[(&str, &str)]) -> Fields {
    all.iter()
        .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
        .collect()
}

/// A usual length, as somebody would write it in the units at hand.
fn long(mm: f64, shown: Shown) -> String {
    shown.example_size(mm)
}

const SHAPES: Ask = Ask::Choice("shape", "Shape from above", called::PLAN);

/// Sizes from above; each shape has its own.
const SIZES: [Ask; 6] = [
    Ask::Shaped("circle", "diameter", "Diameter", true),
    Ask::Shaped("regular-polygon", "sides", "Number of flats", false),
    Ask::Shaped(
        "regular-polygon",
        "across_flats",
        "Between opposite flats",
        true,
    ),
    Ask::Shaped("oval", "length", "Length, left to right", true),
    Ask::Shaped(
        "oval rectangle",
        "width",
        "Width: of an oval front to back, of a box left to right",
        true,
    ),
    Ask::Shaped("rectangle", "depth", "Depth, front to back", true),
];

/// What was sent, without sizes that a shape does not have: they may have been typed before it was chosen.
pub fn of_shape(mut fields: Fields) -> Fields {
    let shape = fields.iter().find(|f| f.0 == "shape");
    let Some(shape) = shape.map(|f| f.1.clone()) else {
        return fields;
    };
    fields.retain(|(name, _)| {
        let mut own = SIZES.iter().filter_map(|ask| match ask {
            Ask::Shaped(shapes, size, ..) if size == name => Some(shapes),
            _ => None,
        });
        own.next()
            .is_none_or(|shapes| shapes.split(' ').any(|s| s == shape))
    });
    fields
}

impl Keeps for Clay {
    const PATH: &'static str = "/clays";
    const LIST: &'static str = "/clays";
    const HERE: Here = Here::Studio;
    const ONE: &'static str = "a clay";
    const MANY: &'static str = "Clays";
    const ASKS: &'static [Ask] = &[
        Ask::Words("name", "Name, as on slips", ""),
        Ask::Words(
            "cone_from",
            "Coolest cone at which it matures",
            "With its zero: 06 and 6 are very different",
        ),
        Ask::Words(
            "cone_to",
            "Hottest cone that it can take",
            "Above it, it melts or bloats",
        ),
        Ask::YesNo(
            "slumps_on_points",
            "Softens at its cone, as stoneware and porcelain do?",
        ),
        Ask::YesNo("plucks", "Tears at the foot, as porcelain does?"),
        Ask::YesNo(
            "slow_burn_out",
            "Dark, with iron or paper: wants a slow burn-out?",
        ),
        Ask::YesNo(
            "needs_leave",
            "Holds something to be asked about (paper, wire, salt)?",
        ),
    ];
    fn written(&self, _shown: Shown) -> Fields {
        text::clay_fields(self)
    }
    fn read(fields: &Fields, _shown: Shown) -> Result<Self, Vec<Fault>> {
        text::read_clay(fields)
    }
    fn about(&self, _shown: Shown) -> String {
        format!("cone {} to {}", self.cone_from, self.cone_to)
    }
    fn usual(_shown: Shown) -> Fields {
        usual(&[
            ("plucks", "false"),
            ("slow_burn_out", "false"),
            ("needs_leave", "false"),
        ])
    }
}

impl Keeps for Glaze {
    const PATH: &'static str = "/glazes";
    const LIST: &'static str = "/clays";
    const HERE: Here = Here::Studio;
    const ONE: &'static str = "a glaze";
    const MANY: &'static str = "Glazes";
    const ASKS: &'static [Ask] = &[
        Ask::Words("name", "Name, as on slips", ""),
        Ask::Words(
            "cone_from",
            "Coolest cone at which it melts well",
            "With its zero: 06 and 6 are very different",
        ),
        Ask::Words("cone_to", "Hottest cone before it runs or burns out", ""),
        Ask::YesNo("lead", "Does it hold lead? Never guess"),
        Ask::YesNo("runny", "Runs?"),
        Ask::YesNo("chrome", "Holds chrome, which turns tin whites pink?"),
        Ask::YesNo("tin_white", "A tin white, or another that takes chrome up?"),
        Ask::YesNo("volatile_colour", "Gives off copper or another colour?"),
        Ask::YesNo("light", "A light one that such colour marks?"),
        Ask::YesNo(
            "slow_cool",
            "Wants a slow cooling (matte, crystals, iron red)?",
        ),
        Ask::YesNo("own_firing", "Fires alone (lustre, decals, china paint)?"),
    ];
    fn written(&self, _shown: Shown) -> Fields {
        text::glaze_fields(self)
    }
    fn read(fields: &Fields, _shown: Shown) -> Result<Self, Vec<Fault>> {
        text::read_glaze(fields)
    }
    fn about(&self, _shown: Shown) -> String {
        let mut words = format!("cone {} to {}", self.cone_from, self.cone_to);
        for (on, word) in [
            (self.lead, "holds lead"),
            (self.runny, "runs"),
            (self.chrome, "holds chrome"),
            (self.tin_white, "tin white"),
            (self.own_firing, "fires alone"),
        ] {
            if on {
                words.push_str(", ");
                words.push_str(word);
            }
        }
        words
    }
    fn usual(_shown: Shown) -> Fields {
        let off = [
            "runny",
            "chrome",
            "tin_white",
            "volatile_colour",
            "light",
            "slow_cool",
            "own_firing",
        ];
        usual(&off.map(|k| (k, "false")))
    }
}

impl Keeps for ShelfStock {
    const PATH: &'static str = "/furniture/shelves";
    const LIST: &'static str = "/furniture";
    const HERE: Here = Here::Kilns;
    const ONE: &'static str = "shelves";
    const MANY: &'static str = "Shelves";
    const ASKS: &'static [Ask] = &[
        Ask::Words("name", "Name", "As round, or square half"),
        SHAPES,
        SIZES[0],
        SIZES[1],
        SIZES[2],
        SIZES[3],
        SIZES[4],
        SIZES[5],
        Ask::Choice("span", "Whole or half", called::SPAN),
        Ask::Length("thickness", "Thickness", ""),
        Ask::Mass("mass", "Mass of one"),
        Ask::Mass("load_limit", "Most that one may carry when hot"),
        Ask::Number("count", "How many there are", "", ""),
    ];
    fn written(&self, shown: Shown) -> Fields {
        text::shelf_fields(self, shown)
    }
    fn read(fields: &Fields, shown: Shown) -> Result<Self, Vec<Fault>> {
        text::read_shelf(fields, shown)
    }
    fn about(&self, shown: Shown) -> String {
        format!(
            "{} there, {} thick, {} each",
            self.count,
            shown.length(self.thickness),
            shown.mass(self.mass)
        )
    }
    fn usual(shown: Shown) -> Fields {
        let thick = long(16.0, shown);
        usual(&[
            ("shape", "circle"),
            ("span", "full"),
            ("thickness", &thick),
            ("load_limit", if shown.pounds { "44" } else { "20" }),
        ])
    }
}

impl Keeps for PostStock {
    const PATH: &'static str = "/furniture/posts";
    const LIST: &'static str = "/furniture";
    const HERE: Here = Here::Kilns;
    const ONE: &'static str = "posts";
    const MANY: &'static str = "Posts";
    const ASKS: &'static [Ask] = &[
        Ask::Length("length", "Length when standing", ""),
        Ask::Number(
            "count",
            "How many there are",
            "",
            "Three stand under each shelf",
        ),
    ];
    fn written(&self, shown: Shown) -> Fields {
        text::post_fields(self, shown)
    }
    fn read(fields: &Fields, shown: Shown) -> Result<Self, Vec<Fault>> {
        text::read_post(fields, shown)
    }
    fn called(&self, shown: Shown) -> String {
        shown.length(self.length)
    }
    fn about(&self, _shown: Shown) -> String {
        format!("{} there", self.count)
    }
    fn usual(_shown: Shown) -> Fields {
        Vec::new()
    }
}

impl Keeps for SupportStock {
    const PATH: &'static str = "/furniture/supports";
    const LIST: &'static str = "/furniture";
    const HERE: Here = Here::Kilns;
    const ONE: &'static str = "stilts, pins or slabs";
    const MANY: &'static str = "Stilts, pins and slabs";
    const ASKS: &'static [Ask] = &[
        Ask::Words("name", "Name", ""),
        Ask::Choice("kind", "What it does", called::SUPPORT),
        Ask::Length("diameter", "Across", "Of the circle that it covers"),
        Ask::Length("height", "How much it raises the ware", ""),
        Ask::Mass("load_limit", "Most that one may carry"),
        Ask::Words("max_cone", "Hottest cone that it can take", ""),
        Ask::Number("count", "How many there are", "", ""),
    ];
    fn written(&self, shown: Shown) -> Fields {
        text::support_fields(self, shown)
    }
    fn read(fields: &Fields, shown: Shown) -> Result<Self, Vec<Fault>> {
        text::read_support(fields, shown)
    }
    fn about(&self, shown: Shown) -> String {
        format!(
            "{} there, {} across, {} high",
            self.count,
            shown.length(self.diameter),
            shown.length(self.height)
        )
    }
    fn usual(_shown: Shown) -> Fields {
        Vec::new()
    }
}

const LAYER: &[(&str, &str, RowKind)] = &[
    ("lining", "Lining", RowKind::Lining),
    ("thickness", "Thickness", RowKind::Length),
];

impl Keeps for Kiln {
    const PATH: &'static str = "/kilns";
    const LIST: &'static str = "/kilns";
    const HERE: Here = Here::Kilns;
    const ONE: &'static str = "a kiln";
    const MANY: &'static str = "Kilns of the studio";
    const ASKS: &'static [Ask] = &[
        Ask::Words("name", "Name", "As people here call it"),
        Ask::Head("Chamber"),
        SHAPES,
        SIZES[0],
        SIZES[1],
        SIZES[2],
        SIZES[3],
        SIZES[4],
        SIZES[5],
        Ask::Length("height", "Height from floor to lid or roof", ""),
        Ask::Choice("opening", "Loaded", called::OPENING),
        Ask::Head("Nameplate"),
        Ask::Words("max_cone", "Hottest cone", ""),
        Ask::Degrees("max_temperature", "Hottest temperature"),
        Ask::Head("Elements"),
        Ask::Rows {
            list: "bands",
            label: "Rings of elements, from the floor up",
            hint: "Heights above the floor, power from the nameplate shared over the rings",
            near: 3,
            most: 8,
            of: &[
                ("from", "From", RowKind::Length),
                ("to", "To", RowKind::Length),
                ("power_kw", "Power", RowKind::Unit("kW")),
            ],
        },
        Ask::Head("Sensor"),
        Ask::Length("sensor.height", "Sensor: height above the floor", ""),
        Ask::Number(
            "sensor.clock",
            "Sensor: where on the clock",
            "o'clock",
            "Seen from above; 12 toward hinge or door",
        ),
        Ask::Folded("Peepholes, vent fan, age of the elements"),
        Ask::Length("sensor.reach", "Sensor: how far it sticks in", ""),
        Ask::YesNo("vent_fan", "Does a vent fan run during firings?"),
        Ask::Number(
            "element_ageing",
            "Elements' resistance over their first reading",
            "",
            "1 when new, 1.1 when due",
        ),
        Ask::Rows {
            list: "peepholes",
            label: "Peepholes",
            hint: "",
            near: 2,
            most: 4,
            of: &[
                ("clock", "Where on the clock", RowKind::Unit("o'clock")),
                ("height", "Height", RowKind::Length),
            ],
        },
        Ask::Folded("Lining, from the hot face outward"),
        Ask::Rows {
            list: "wall",
            label: "Side wall",
            hint: "",
            near: 2,
            most: 3,
            of: LAYER,
        },
        Ask::Rows {
            list: "floor",
            label: "Floor",
            hint: "",
            near: 2,
            most: 3,
            of: LAYER,
        },
        Ask::Rows {
            list: "lid",
            label: "Lid or roof",
            hint: "",
            near: 2,
            most: 3,
            of: LAYER,
        },
        Ask::Folded("Controller"),
        Ask::Number(
            "controller.max_segments",
            "Most segments of one programme",
            "",
            "",
        ),
        Ask::YesNo("controller.zoned", "Is each ring switched on its own?"),
        Ask::Number(
            "controller.hold_step_minutes",
            "Smallest step of a hold",
            "min",
            "",
        ),
    ];
    fn written(&self, shown: Shown) -> Fields {
        text::kiln_fields(self, shown)
    }
    fn read(fields: &Fields, shown: Shown) -> Result<Self, Vec<Fault>> {
        text::read_kiln(fields, shown)
    }
    fn about(&self, shown: Shown) -> String {
        let power: f64 = self.bands.iter().map(|b| b.power.to_kw()).sum();
        format!(
            "to cone {}, {} high, {power:.1} kW",
            self.max_cone,
            shown.length(self.height)
        )
    }
    const DRAW: Option<&'static str> = Some("/kilns/draw");
    fn drawn(&self, shown: Shown) -> Markup {
        let drawn = |paper| kiln_svg(self, Known::ALL, shown, paper);
        let label = format!("{} from above and cut open, to scale", self.name);
        html! { (drawing(drawn, &label)) (kiln_draw::words(self, Known::ALL, shown)) }
    }
    fn panel(typed: &Typed, stored: Option<&Self>, shown: Shown) -> Option<Markup> {
        Some(kiln_draw::panel(typed, stored, shown))
    }
    fn ways(&self, at: &str, governs: bool) -> Markup {
        html! { p.steps {
            a.step href={ (at) "/upkeep" } { "Upkeep" }
            a.step href={ (at) "/learnt" } { "What its firings taught" }
            @if governs { a.step href={ (at) "/source" } { "Where its readings come from" } }
        } }
    }
    fn usual(shown: Shown) -> Fields {
        let mm = |mm: f64| long(mm, shown);
        let (wall, reach, hottest) = (
            mm(76.0),
            mm(35.0),
            if shown.fahrenheit { "2350" } else { "1288" },
        );
        usual(&[
            ("shape", "circle"),
            ("opening", "lid"),
            ("max_cone", "10"),
            ("max_temperature", hottest),
            ("element_ageing", "1"),
            ("vent_fan", "false"),
            ("sensor.clock", "9"),
            ("sensor.reach", &reach),
            ("wall.0.lining", "brick-23"),
            ("wall.0.thickness", &wall),
            ("floor.0.lining", "brick-23"),
            ("floor.0.thickness", &wall),
            ("lid.0.lining", "brick-23"),
            ("lid.0.thickness", &wall),
            ("controller.max_segments", "8"),
            ("controller.zoned", "false"),
            ("controller.hold_step_minutes", "1"),
        ])
    }
}
