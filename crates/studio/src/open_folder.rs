//! Open a studio: read its folder, or say everything that is wrong with it.

use std::path::Path;

use glost_model::fault::Fault;
use glost_model::studio::Studio;
use glost_model::text::{self, FILES, Texts};
use glost_rules::RuleBook;

/// Most bytes of one file. A sheet of 100 000 pieces stays well below.
const MOST_BYTES: u64 = 64 << 20;

/// Reads a studio's folder and lays its own rules over the defaults.
///
/// # Errors
/// All faults of all files. Files that are missing, too large or not UTF-8 are told first, since
/// without them the rest cannot be judged.
pub fn open_folder(folder: &Path) -> Result<(Studio, RuleBook), Vec<Fault>> {
    let mut faults = Vec::new();
    let mut texts = FILES.iter().map(|name| match read(folder, name) {
        Ok(text) => text,
        Err(fault) => {
            faults.push(fault);
            String::new()
        }
    });
    let mut next = || texts.next().unwrap_or_default();
    let texts = Texts {
        studio: next(),
        clays: next(),
        glazes: next(),
        furniture: next(),
        kilns: next(),
        pieces: next(),
    };
    if !faults.is_empty() {
        return Err(faults);
    }
    let studio = text::read(&texts)?;
    let book = RuleBook::from_overrides(&studio.rule_overrides, text::STUDIO)?;
    Ok((studio, book))
}

fn read(folder: &Path, name: &str) -> Result<String, Fault> {
    let path = folder.join(name);
    let fault = |what: String, remedy: &str| Fault {
        file: path.display().to_string(),
        line: None,
        field: String::new(),
        what,
        remedy: remedy.to_owned(),
    };
    let size = std::fs::metadata(&path).map_err(|e| {
        fault(
            format!("cannot be read: {e}"),
            "A studio is a folder with the six files that the handbook lists",
        )
    })?;
    if size.len() > MOST_BYTES {
        return Err(fault(
            format!("has {} bytes, more than {MOST_BYTES}", size.len()),
            "Split the studio",
        ));
    }
    let bytes = std::fs::read(&path)
        .map_err(|e| fault(format!("cannot be read: {e}"), "Check that it may be read"))?;
    String::from_utf8(bytes).map_err(|e| {
        let line = bytes_before(&e) + 1;
        Fault {
            line: Some(line),
            ..fault("is not UTF-8 text".to_owned(), "Save it as UTF-8")
        }
    })
}

/// Lines that end before the first bad byte.
fn bytes_before(e: &std::string::FromUtf8Error) -> usize {
    e.as_bytes()
        .iter()
        .take(e.utf8_error().valid_up_to())
        .filter(|b| **b == b'\n')
        .count()
}
