//! Reads a studio from the texts of its folder. Nothing here touches a disk: the caller hands
//! over the texts, and says itself when a file is missing or is not UTF-8.
//!
//! Every fault is collected before the reader gives up, each with file, line, field, what was
//! found and what to do. Nothing is mended in silence: what cannot be read as it stands is a
//! fault. A clay or glaze that a piece names and nobody lists is none: the rules refuse that
//! piece when a load is planned, so that one slip does not stop the whole studio.
//!
//! What people write is held by `Row` (a table of TOML) and `Slip` (a line of the CSV), which
//! refuse fields that nobody asked for; the types of the crate are made from them only when
//! every field could be read.
//!
//! The way back is here too: `Record` holds a thing as it is written, for a file ([`write()`]) or a
//! form ([`Fields`]); forms and imported sheets go through the readers of the files, so that every
//! check has one home.

mod cells;
mod energy;
mod fields;
mod form;
mod furniture;
mod hours;
mod import;
mod kilns;
mod materials;
mod pen;
mod pieces;
mod plan;
mod row;
mod settings;
mod sheet;
mod size;
mod spot;
mod studio;
mod units;
mod value;
mod ways;
mod words;
mod write;

#[cfg(test)]
mod tests;

pub use fields::{
    Fields, clay_fields, glaze_fields, kiln_fields, piece_fields, post_fields, shelf_fields,
    support_fields,
};
pub use form::{read_clay, read_glaze, read_kiln, read_piece, read_post, read_shelf, read_support};
pub use import::{
    PieceRow, PiecesRead, read_clays, read_furniture, read_glazes, read_kilns, read_pieces,
};
pub use settings::{read_settings, settings_fields, shelf_area};
pub use write::{pieces_csv, write};

use crate::fault::Fault;
use crate::studio::Studio;
use spot::Page;

/// Name of the file with the studio's name, units, energy price and own rules.
pub const STUDIO: &str = "studio.toml";
/// Name of the file with the clays.
pub const CLAYS: &str = "clays.toml";
/// Name of the file with the glazes.
pub const GLAZES: &str = "glazes.toml";
/// Name of the file with shelves, posts and supports.
pub const FURNITURE: &str = "furniture.toml";
/// Name of the file with the kilns.
pub const KILNS: &str = "kilns.toml";
/// Name of the file with the ware that waits.
pub const PIECES: &str = "pieces.csv";

/// The files of a studio's folder, in the order of the fields of [`Texts`].
pub const FILES: [&str; 6] = [STUDIO, CLAYS, GLAZES, FURNITURE, KILNS, PIECES];

/// The texts of a studio's folder, one for each of [`FILES`].
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Texts {
    /// `studio.toml`.
    pub studio: String,
    /// `clays.toml`.
    pub clays: String,
    /// `glazes.toml`.
    pub glazes: String,
    /// `furniture.toml`.
    pub furniture: String,
    /// `kilns.toml`.
    pub kilns: String,
    /// `pieces.csv`.
    pub pieces: String,
}

/// Reads a studio.
///
/// # Errors
/// Every fault of every file, in the order of [`FILES`] and by line within a file. When the units
/// cannot be read, limits that depend on them are left unchecked until they can.
pub fn read(texts: &Texts) -> Result<Studio, Vec<Fault>> {
    let pages = [
        Page::new(STUDIO, &texts.studio),
        Page::new(CLAYS, &texts.clays),
        Page::new(GLAZES, &texts.glazes),
        Page::new(FURNITURE, &texts.furniture),
        Page::new(KILNS, &texts.kilns),
        Page::new(PIECES, &texts.pieces),
    ];
    let [studio, clays, glazes, furniture, kilns, pieces] = &pages;
    let (head, units) = studio::read(studio);
    let read = (
        head,
        materials::clays(clays),
        materials::glazes(glazes),
        furniture::read(furniture, units),
        kilns::read(kilns, units),
        pieces::read(pieces, units),
    );
    let faults: Vec<Fault> = pages.into_iter().flat_map(Page::into_faults).collect();
    match read {
        (Some(head), Some(clays), Some(glazes), Some(furniture), Some(kilns), Some(pieces))
            if faults.is_empty() =>
        {
            Ok(Studio {
                name: head.name,
                kilns,
                furniture,
                clays,
                glazes,
                pieces,
                tariff: head.tariff,
                hours: head.hours,
                shown: units.shown(),
                rule_overrides: head.rule_overrides,
            })
        }
        _ => Err(faults),
    }
}
