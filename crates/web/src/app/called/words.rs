//! Choices of forms: the word that is stored, and what people are told. Forms offer them and pages tell them alike.

/// What is stored, and what it is called.
pub type Choices = &'static [(&'static str, &'static str)];

/// Shape of a piece.
pub const FORM: Choices = &[
    ("circle", "round"),
    ("ellipse", "oval"),
    ("rectangle", "rectangle"),
    ("outline", "by its corners"),
];
/// Shape of a chamber or shelf.
pub const PLAN: Choices = &[
    ("circle", "round"),
    ("regular-polygon", "with flats"),
    ("oval", "oval"),
    ("rectangle", "box"),
];
/// What is below a piece.
pub const FOOT: Choices = &[
    ("bare", "bare"),
    ("wiped", "wiped clean"),
    ("glazed", "glazed"),
];
/// How dry it is.
pub const DRYNESS: Choices = &[
    ("bone-dry", "bone dry"),
    ("doubtful", "not sure"),
    ("damp", "cold to the cheek: damp"),
];
/// How it bears handling.
pub const DELICACY: Choices = &[
    ("usual", "usual"),
    ("sturdy", "sturdy"),
    ("delicate", "delicate: stands high"),
];
/// What it is fired for.
pub const STAGE: Choices = &[
    ("greenware", "not yet: greenware"),
    ("glazed", "glazed, for its glaze firing"),
];
/// How it is hollow.
pub const INSIDE: Choices = &[
    ("", "not said"),
    ("open", "open: widest at the rim"),
    ("straight", "straight wall"),
    ("closed", "closed, or solid"),
];
/// Why it is kept back.
pub const HELD: Choices = &[
    ("", "no"),
    ("cracked", "cracked"),
    ("overglazed", "glaze too thick"),
    ("attached", "something not clay stuck on"),
    ("food-claim", "to be sold as food safe, unproved"),
    ("banned", "holds a material not fired here"),
    ("no-name", "nobody knows whose"),
    ("not-logged", "was never written down"),
    ("cannot-stand", "no safe way to stand"),
];
/// Whole or half shelf.
pub const SPAN: Choices = &[("full", "whole"), ("half", "half of that shape")];
/// What a support does.
pub const SUPPORT: Choices = &[
    ("stilt", "stilt under a glazed foot"),
    ("pin-support", "pins that raise a bare foot"),
    ("waster-slab", "slab that catches runs"),
];
/// How a kiln is loaded.
pub const OPENING: Choices = &[
    ("lid", "from above: 12 o'clock is the hinge"),
    ("door", "from the front: 12 o'clock is the door"),
];
/// A lining.
pub const LINING: Choices = &[
    ("", "none"),
    ("brick-23", "light brick, 23"),
    ("brick-26", "light brick, 26"),
    ("fibre", "fibre"),
    ("castable", "castable"),
];
/// What ware is charged by.
pub const MEASURE: Choices = &[
    ("nothing", "nothing: in the dues"),
    ("volume", "volume of its box"),
    ("mass", "mass"),
    ("footprint", "footprint"),
    ("shelf", "share of a shelf"),
    ("piece", "piece"),
];
/// What prices are for.
pub const MEASURED: Choices = &[
    ("metric", "litre, kg, dm²"),
    ("inches", "cubic inch, lb, square inch"),
];
/// How mail is sent.
pub const MAIL_SAFETY: Choices = &[
    ("starttls", "STARTTLS"),
    ("tls", "TLS"),
    ("plain", "none: same machine only"),
];
/// Of which firings somebody is told.
pub const WHICH: Choices = &[
    ("mine", "of my firings"),
    ("all", "of all firings"),
    ("no", "never"),
];
/// Units.
const LENGTH: Choices = &[("in", "inches")];
const TEMPERATURE: Choices = &[("C", "°C"), ("F", "°F")];

/// Fields that are a choice.
pub(super) const ALL: &[(&[&str], Choices)] = &[
    (&["shape"], SHAPE),
    (&["foot"], FOOT),
    (&["dryness"], DRYNESS),
    (&["delicacy"], DELICACY),
    (&["stage"], STAGE),
    (&["inside"], INSIDE),
    (&["held"], HELD),
    (&["span"], SPAN),
    (&["kind"], SUPPORT),
    (&["opening"], OPENING),
    (&["lining"], LINING),
    (&["measure"], MEASURE),
    (&["measured"], MEASURED),
    (&["mail_safety"], MAIL_SAFETY),
    (&["which"], WHICH),
    (&["length"], LENGTH),
    (&["temperature"], TEMPERATURE),
];

/// Pieces, shelves and chambers name their shape by one field.
const SHAPE: Choices = &[
    ("circle", "round"),
    ("ellipse", "oval"),
    ("oval", "oval"),
    ("rectangle", "rectangle"),
    ("outline", "by its corners"),
    ("regular-polygon", "with flats"),
];
