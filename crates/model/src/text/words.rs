//! The words of the files, each beside what it stands for. Readers and writers share them.

use super::plan;
use super::size::Form;
use crate::furniture::{ShelfSpan, SupportKind};
use crate::kiln::{Lining, Opening};
use crate::piece::{Delicacy, Dryness, Foot, Held, Inside, Stage};

/// Words of one field.
pub(super) type Words<T> = &'static [(&'static str, T)];

/// The word for a value; nothing is written for what has none.
pub(super) fn say<T: PartialEq>(words: Words<T>, value: &T) -> &'static str {
    let hit = words.iter().find(|(_, v)| v == value);
    hit.map_or("", |(word, _)| word)
}

pub(super) const FORM: Words<Form> = &[
    ("circle", Form::Circle),
    ("ellipse", Form::Ellipse),
    ("rectangle", Form::Rectangle),
    ("outline", Form::Outline),
];

pub(super) const FOOT: Words<Foot> = &[
    ("bare", Foot::Bare),
    ("wiped", Foot::Wiped),
    ("glazed", Foot::Glazed),
];

pub(super) const DRYNESS: Words<Dryness> = &[
    ("bone-dry", Dryness::BoneDry),
    ("doubtful", Dryness::Doubtful),
    ("damp", Dryness::Damp),
];

pub(super) const DELICACY: Words<Delicacy> = &[
    ("sturdy", Delicacy::Sturdy),
    ("usual", Delicacy::Usual),
    ("delicate", Delicacy::Delicate),
];

pub(super) const STAGE: Words<Stage> =
    &[("greenware", Stage::Greenware), ("glazed", Stage::Glazed)];

pub(super) const HELD: Words<Option<Held>> = &[
    ("cracked", Some(Held::Cracked)),
    ("overglazed", Some(Held::Overglazed)),
    ("attached", Some(Held::Attached)),
    ("food-claim", Some(Held::FoodClaim)),
    ("banned", Some(Held::Banned)),
    ("no-name", Some(Held::NoName)),
    ("not-logged", Some(Held::NotLogged)),
    ("cannot-stand", Some(Held::CannotStand)),
];

pub(super) const INSIDE: Words<Option<Inside>> = &[
    ("open", Some(Inside::Open)),
    ("straight", Some(Inside::Straight)),
    ("closed", Some(Inside::Closed)),
];

pub(super) const PLAN: Words<plan::Form> = &[
    ("circle", plan::Form::Circle),
    ("regular-polygon", plan::Form::RegularPolygon),
    ("oval", plan::Form::Oval),
    ("rectangle", plan::Form::Rectangle),
];

pub(super) const SPAN: Words<ShelfSpan> = &[("full", ShelfSpan::Full), ("half", ShelfSpan::Half)];

pub(super) const SUPPORT: Words<SupportKind> = &[
    ("stilt", SupportKind::Stilt),
    ("pin-support", SupportKind::PinSupport),
    ("waster-slab", SupportKind::WasterSlab),
];

pub(super) const OPENING: Words<Opening> = &[("lid", Opening::Lid), ("door", Opening::Door)];

pub(super) const LINING: Words<Lining> = &[
    ("brick-23", Lining::Brick23),
    ("brick-26", Lining::Brick26),
    ("fibre", Lining::Fibre),
    ("castable", Lining::Castable),
];
