//! A small writer of SVG. One unit is one millimetre of paper.

use glost_model::shown::trimmed;
use std::fmt::Write as _;

/// A place on the paper.
pub(crate) type Spot = (f64, f64);

/// Smallest type on a drawing, mm.
pub(crate) const SMALL: f64 = 4.0;

/// How a text stands at its place.
#[derive(Clone, Copy)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// A drawing being made. Every style is an attribute of its own element, so that several
/// drawings in one page cannot disturb each other.
pub(crate) struct Svg {
    body: String,
}

/// A number for a path, to a hundredth of a millimetre.
fn n(value: f64) -> String {
    trimmed(value, 2)
}

/// Text that is safe between tags and in attributes.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' | '\r' => out.push(' '),
            // XML 1.0 has no way to write other controls, nor these two.
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

impl Svg {
    pub fn new() -> Self {
        Self {
            body: String::new(),
        }
    }

    fn put(&mut self, element: std::fmt::Arguments<'_>) {
        // Writing to a String cannot fail.
        self.body.write_fmt(element).ok();
        self.body.push('\n');
    }

    pub fn line(&mut self, a: Spot, b: Spot, look: &str) {
        let (x1, y1, x2, y2) = (n(a.0), n(a.1), n(b.0), n(b.1));
        self.put(format_args!(
            r#"<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}" {look}/>"#
        ));
    }

    pub fn circle(&mut self, at: Spot, r: f64, look: &str) {
        let (x, y, r) = (n(at.0), n(at.1), n(r));
        self.put(format_args!(
            r#"<circle cx="{x}" cy="{y}" r="{r}" {look}/>"#
        ));
    }

    pub fn rect(&mut self, corner: Spot, size: Spot, look: &str) {
        let (x, y, w, h) = (n(corner.0), n(corner.1), n(size.0), n(size.1));
        self.put(format_args!(
            r#"<rect x="{x}" y="{y}" width="{w}" height="{h}" {look}/>"#
        ));
    }

    pub fn polygon(&mut self, corners: &[Spot], look: &str) {
        let points = joined(corners);
        self.put(format_args!(r#"<polygon points="{points}" {look}/>"#));
    }

    pub fn polyline(&mut self, spots: &[Spot], look: &str) {
        let points = joined(spots);
        self.put(format_args!(r#"<polyline points="{points}" {look}/>"#));
    }

    pub fn path(&mut self, d: &str, look: &str) {
        self.put(format_args!(r#"<path d="{d}" {look}/>"#));
    }

    /// Text on a baseline, with a white rim so that lines beneath do not eat into it.
    pub fn text(&mut self, at: Spot, size: f64, anchor: Anchor, text: &str) {
        self.words(at, size, anchor, "", text);
    }

    /// As [`Self::text`], in bold.
    pub fn bold(&mut self, at: Spot, size: f64, anchor: Anchor, text: &str) {
        self.words(at, size, anchor, r#" font-weight="bold""#, text);
    }

    /// Text that runs upward, in bold if wanted.
    pub fn upward(&mut self, at: Spot, size: f64, anchor: Anchor, bold: bool, text: &str) {
        let weight = if bold { r#" font-weight="bold""# } else { "" };
        let turn = format!(
            r#"{weight} transform="rotate(-90 {} {})""#,
            n(at.0),
            n(at.1)
        );
        self.words(at, size, anchor, &turn, text);
    }

    /// White text on a black ground.
    pub fn reversed(&mut self, at: Spot, size: f64, anchor: Anchor, text: &str) {
        let look = r#"fill="white" font-weight="bold""#;
        self.letters(at, size, anchor, look, text);
    }

    fn words(&mut self, at: Spot, size: f64, anchor: Anchor, more: &str, text: &str) {
        let rim = format!(
            r#"stroke="white" stroke-width="1" stroke-linejoin="round" paint-order="stroke"{more}"#
        );
        self.letters(at, size, anchor, &rim, text);
    }

    /// Text with a look of its own and no rim.
    pub fn letters(&mut self, at: Spot, size: f64, anchor: Anchor, look: &str, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let (x, y, text) = (n(at.0), n(at.1), escaped(text));
        self.put(format_args!(
            r#"<text x="{x}" y="{y}" font-size="{size}" text-anchor="{anchor}" {look}>{text}</text>"#
        ));
    }

    /// Closes the drawing at this size, with a name for those who cannot see it.
    pub fn finish(self, width: f64, height: f64, name: &str) -> String {
        let (w, h, name) = (n(width), n(height), escaped(name));
        format!(
            concat!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" "#,
                r#"viewBox="0 0 {w} {h}" role="img" aria-label="{name}" "#,
                r#"font-family="'Noto Sans', sans-serif">"#,
                "\n<title>{name}</title>\n",
                r#"<rect width="{w}" height="{h}" fill="white"/>"#,
                "\n{body}</svg>\n"
            ),
            w = w,
            h = h,
            name = name,
            body = self.body
        )
    }
}

fn joined(spots: &[Spot]) -> String {
    spots
        .iter()
        .map(|(x, y)| format!("{},{}", n(*x), n(*y)))
        .collect::<Vec<_>>()
        .join(" ")
}

/// Width of a text, mm, generous enough for a fallback face.
pub(crate) fn width_of(text: &str, size: f64) -> f64 {
    0.6 * size * text.chars().count() as f64
}

/// Breaks a text into lines of at most this width, mm.
pub(crate) fn wrapped(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        // The estimate is wide for running text.
        if width_of(&longer, size) * RUNNING > width && !line.is_empty() {
            lines.push(std::mem::replace(&mut line, word.to_owned()));
        } else {
            line = longer;
        }
    }
    lines.push(line);
    lines
}

/// Running text is mostly narrow letters.
pub(crate) const RUNNING: f64 = 0.88;
