//! All that stands on the list, as words.

use std::collections::BTreeMap;

use serde::Serialize;

use super::{HandBack, Ready, day, total};
use crate::accounts::decimal;
use crate::typeset::one_line;

#[derive(Serialize)]
pub(super) struct List {
    paper: &'static str,
    studio: String,
    made_on: String,
    told: String,
    has: Has,
    makers: Vec<Block>,
}

/// Which columns have anything in them.
#[derive(Serialize)]
struct Has {
    by: bool,
    charge: bool,
    faults: bool,
}

#[derive(Serialize)]
struct Block {
    maker: String,
    told: String,
    pieces: Vec<Line>,
}

#[derive(Serialize)]
struct Line {
    code: String,
    what: String,
    firing: String,
    place: String,
    by: String,
    charge: String,
    faults: Vec<String>,
}

impl List {
    pub fn new(list: &HandBack) -> Self {
        let mut makers: BTreeMap<(String, String), Vec<&Ready>> = BTreeMap::new();
        for piece in &list.pieces {
            let name = one_line(&piece.maker);
            // Capitals do not change the order of names.
            makers
                .entry((name.to_lowercase(), name))
                .or_default()
                .push(piece);
        }
        let any = |has: fn(&Ready) -> bool| list.pieces.iter().any(has);
        Self {
            paper: if list.us_letter { "us-letter" } else { "a4" },
            studio: one_line(&list.studio),
            made_on: day(list.made_on),
            told: format!(
                "{} for {}",
                many(list.pieces.len(), "piece"),
                many(makers.len(), "maker")
            ),
            has: Has {
                by: any(|p| p.collect_by.is_some()),
                charge: any(|p| p.charge.is_some()),
                faults: any(|p| !p.faults.is_empty()),
            },
            makers: makers
                .into_iter()
                .map(|((_sorted_by, maker), pieces)| Block::new(maker, &pieces, &list.currency))
                .collect(),
        }
    }
}

impl Block {
    fn new(maker: String, pieces: &[&Ready], currency: &str) -> Self {
        let mut told = many(pieces.len(), "piece");
        if let Some(sum) = total(pieces) {
            told += &format!(", {} {}", decimal(sum), one_line(currency));
        }
        Self {
            maker: if maker.is_empty() {
                "Maker not known".to_owned()
            } else {
                maker
            },
            told,
            pieces: pieces.iter().map(|p| Line::new(p)).collect(),
        }
    }
}

impl Line {
    fn new(piece: &Ready) -> Self {
        let by = piece
            .collect_by
            .map(|d| d.strftime("%-d %b %Y").to_string());
        Self {
            code: one_line(&piece.code),
            what: one_line(&piece.what),
            firing: one_line(&piece.firing),
            place: one_line(&piece.place),
            by: by.unwrap_or_default(),
            charge: piece.charge.map(decimal).unwrap_or_default(),
            faults: piece.faults.iter().map(|f| one_line(f)).collect(),
        }
    }
}

fn many(count: usize, what: &str) -> String {
    let s = if count == 1 { "" } else { "s" };
    format!("{count} {what}{s}")
}
