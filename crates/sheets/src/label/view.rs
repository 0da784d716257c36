//! Where everything on the labels stands, mm, and in which words. The typesetter only cuts what is too long.

use serde::Serialize;

use super::{Label, LabelSheet};
use crate::qr::{Code, QUIET};
use crate::typeset::{SheetError, one_line};

/// Finest module that phones read off paper, mm. Common practice, no source.
const FINEST: f64 = 0.33;
/// A module that every phone reads at once, mm. Common practice, no source.
const EASY: f64 = 0.55;
/// On high labels the code takes at least this part of the height, so that it is read from farther off.
const HIGH: f64 = 0.66;
/// Largest part of a label's width for the square code, so that words have room.
const SHARE: f64 = 0.42;
/// Between the white around the square code and the words, mm.
const GAP: f64 = 0.4;
/// White that stays between the square code's and the label's edge, mm: sheets are not fed true.
const ASKEW: f64 = 1.0;

#[derive(Serialize)]
pub(super) struct Pages {
    title: String,
    /// Width and height of the sheet, mm.
    page: (f64, f64),
    /// Width and height of what is printed on a label, mm.
    inside: (f64, f64),
    /// Size of plain words, mm.
    body: f64,
    pages: Vec<Vec<Placed>>,
}

#[derive(Serialize)]
struct Placed {
    /// Left and top edge of what is printed, mm.
    at: (f64, f64),
    /// Side of the square code with the white around it, mm.
    side: f64,
    /// Left edge of that from the left edge of what is printed, mm: its white may lie on what is kept free.
    square_at: f64,
    /// Left edge of the words from that of the label's, and their width, mm.
    words: (f64, f64),
    square: String,
    square_says: String,
    code: String,
    maker: String,
    lines: Vec<String>,
    cone: Option<(String, &'static str)>,
}

/// How large plain words are and how many lines of them there are, for a height in mm. The short code takes 2.2 of the
/// words' size, the cone 1.75, a line 1.2, the gaps between them 0.5.
fn lines_for(height: f64) -> (f64, usize) {
    let size = |lines: usize| height / (4.45 + 1.2 * (lines + 1) as f64);
    // More lines only where words stay easy to read: 3.15 mm is 9 points, 2.7 is 7½.
    let lines = if size(4) >= 3.15 {
        4
    } else if size(3) >= 2.7 {
        3
    } else {
        2
    };
    (size(lines).min(4.4), lines)
}

impl Pages {
    pub fn new(sheet: &LabelSheet, skip: usize, labels: &[Label]) -> Result<Self, SheetError> {
        let mm = |of: super::Across| (of.0.to_mm(), of.1.to_mm());
        let (label, free) = (mm(sheet.label), mm(sheet.free));
        let inside = (label.0 - 2.0 * free.0, label.1 - 2.0 * free.1);
        let (body, lines) = lines_for(inside.1);
        let mut pages: Vec<Vec<Placed>> = Vec::new();
        for (i, label) in labels.iter().enumerate() {
            let place = skip + i;
            let corner = mm(sheet.corner(place % sheet.places()));
            let at = (corner.0 + free.0, corner.1 + free.1);
            let placed = Placed::new(label, at, inside, free.0, lines)?;
            match pages.last_mut() {
                Some(page) if !place.is_multiple_of(sheet.places()) => page.push(placed),
                _ => pages.push(vec![placed]),
            }
        }
        let s = if labels.len() == 1 { "" } else { "s" };
        Ok(Self {
            title: format!("{} label{s} for ware", labels.len()),
            page: mm(sheet.page),
            inside,
            body,
            pages,
        })
    }
}

impl Placed {
    fn new(
        label: &Label,
        at: (f64, f64),
        inside: (f64, f64),
        free: f64,
        lines: usize,
    ) -> Result<Self, SheetError> {
        let text = if label.url.trim().is_empty() {
            label.code.trim()
        } else {
            label.url.trim()
        };
        let square = Code::new(text, &label.code)?;
        let modules = square.side() as f64;
        // Words give way to a code that would else be too fine, up to half the label.
        let large = (modules * EASY).max(inside.1 * HIGH);
        let wanted = large.min(inside.0 * SHARE);
        let side = wanted.max(modules * FINEST).min(inside.1);
        if side < modules * FINEST - 1e-9 || side > inside.0 / 2.0 {
            return Err(SheetError::Code {
                what: label.code.clone(),
                bytes: text.len(),
            });
        }
        let white = QUIET as f64 * side / modules;
        let square_at = -white.min((free - ASKEW).max(0.0));
        let from = square_at + side + GAP;
        Ok(Self {
            at,
            side,
            square_at,
            words: (from, inside.0 - from),
            square: square.svg(),
            square_says: format!("QR code: {text}"),
            code: one_line(&label.code),
            maker: one_line(&label.maker),
            lines: told(label, lines),
            cone: label.cone.map(|c| (c.to_string(), range(c.range_name()))),
        })
    }
}

/// The range without what it is used for, which has no room.
fn range(name: &'static str) -> &'static str {
    name.split_once(',').map_or(name, |(range, _use)| range)
}

/// What the lines say: what it is and of what come before the rest.
fn told(label: &Label, lines: usize) -> Vec<String> {
    let glazes: Vec<String> = label.glazes.iter().map(|g| one_line(g)).collect();
    let (clay, glazes) = (one_line(&label.clay), glazes.join(", "));
    let came = label
        .came_in
        .map(|d| d.strftime("in %-d %b %Y").to_string());
    let rest = joined([one_line(&label.kind), came.unwrap_or_default()]);
    let mut told = vec![one_line(&label.what)];
    match lines {
        4.. => told.extend([clay, glazes, rest]),
        3 => told.extend([joined([clay, glazes]), rest]),
        _ => told.push(joined([clay, glazes])),
    }
    told
}

fn joined<const N: usize>(parts: [String; N]) -> String {
    let parts: Vec<String> = parts.into_iter().filter(|p| !p.is_empty()).collect();
    parts.join(" · ")
}
