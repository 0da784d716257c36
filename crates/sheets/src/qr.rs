//! Square codes that a phone reads (QR, ISO/IEC 18004), at level M: a seventh of the code may be smudged.

use qrcode::bits::Bits;
use qrcode::types::QrError;
use qrcode::{Color, EcLevel, QrCode, Version};

use crate::svg::Svg;
use crate::typeset::SheetError;

/// Modules kept white on each side (ISO/IEC 18004).
pub(crate) const QUIET: usize = 4;

/// Says that a text is UTF-8 (the table of AIM's extended channel interpretations).
const ECI_UTF8: u32 = 26;

/// A code, ready to be drawn.
pub(crate) struct Code {
    modules: QrCode,
    text: String,
}

impl Code {
    /// The smallest code that holds the text. `what` is what the code stands on.
    pub fn new(text: &str, what: &str) -> Result<Self, SheetError> {
        let modules = if text.is_ascii() {
            QrCode::with_error_correction_level(text, EcLevel::M)
        } else {
            in_utf8(text)
        };
        Ok(Self {
            modules: modules.map_err(|_too_long| SheetError::Code {
                what: what.to_owned(),
                bytes: text.len(),
            })?,
            text: text.to_owned(),
        })
    }

    /// Modules along a side, the quiet zone among them.
    pub fn side(&self) -> usize {
        self.modules.width() + 2 * QUIET
    }

    /// The drawing, one millimetre to a module.
    pub fn svg(&self) -> String {
        let (width, mut dark) = (self.modules.width(), String::new());
        for y in 0..width {
            let mut x = 0;
            while x < width {
                let long = (x..width).take_while(|x| self.modules[(*x, y)] == Color::Dark);
                let long = long.count();
                if long > 0 {
                    dark += &format!("M{} {}h{long}v1h-{long}z", x + QUIET, y + QUIET);
                }
                x += long.max(1);
            }
        }
        let mut svg = Svg::new();
        // One path: neighbours in paths of their own would show seams.
        svg.path(&dark, r#"fill="black" shape-rendering="crispEdges""#);
        let side = self.side() as f64;
        svg.finish(side, side, &format!("QR code: {}", self.text))
    }
}

/// The library would take some UTF-8 for Kanji of Shift JIS, so the encoding is said and the bytes go in as they are.
fn in_utf8(text: &str) -> Result<QrCode, QrError> {
    let mut last = QrError::DataTooLong;
    for version in 1..=40 {
        let mut bits = Bits::new(Version::Normal(version));
        let filled = bits
            .push_eci_designator(ECI_UTF8)
            .and_then(|()| bits.push_byte_data(text.as_bytes()))
            .and_then(|()| bits.push_terminator(EcLevel::M));
        match filled {
            Ok(()) => return QrCode::with_bits(bits, EcLevel::M),
            Err(why) => last = why,
        }
    }
    Err(last)
}

/// A text as a QR code that a phone reads: level M, four modules of white around it, one millimetre to a module. The
/// drawing's name says what the code holds, for those who cannot see or scan it.
///
/// # Errors
/// [`SheetError::Code`] for a text that no code can hold: more than 2,331 bytes, 2,329 when it is not plain ASCII.
pub fn qr_svg(text: &str) -> Result<String, SheetError> {
    Ok(Code::new(text, &shortened(text))?.svg())
}

/// Enough of a text to know it by.
fn shortened(text: &str) -> String {
    if text.chars().count() <= 40 {
        return text.to_owned();
    }
    text.chars().take(39).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_address_is_a_small_code_with_white_around_it() {
        let code = Code::new("https://clay.example/K7Q2", "K7Q2").unwrap();
        assert_eq!(code.side(), 25 + 8);
        let svg = code.svg();
        assert!(svg.contains(r#"viewBox="0 0 33 33" role="img""#), "{svg}");
        // The corner mark's upper edge starts after the quiet zone.
        assert!(svg.contains("M4 4h7v1h-7z"), "{svg}");
    }

    #[test]
    fn the_name_is_safe_in_a_page() {
        let svg = qr_svg(r#"<a href="x">&"#).unwrap();
        assert!(svg.contains("QR code: &lt;a href=&quot;x&quot;&gt;&amp;"));
    }

    #[test]
    fn the_longest_text_fits_and_one_more_is_an_error_with_a_remedy() {
        assert!(qr_svg(&"a".repeat(2331)).is_ok());
        let long = qr_svg(&"a".repeat(2332)).unwrap_err().to_string();
        assert!(
            long.contains("2332 bytes") && long.contains("shorter"),
            "{long}"
        );
        // The encoding takes twelve bits, so a byte or two less.
        assert!(qr_svg(&format!("{}é", "a".repeat(2327))).is_ok());
        assert!(qr_svg(&format!("{}é", "a".repeat(2329))).is_err());
    }
}
