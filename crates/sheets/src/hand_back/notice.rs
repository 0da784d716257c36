//! The message to one maker.

use glost_model::Money;

use super::{HandBack, Ready, day, total};
use crate::accounts::decimal;
use crate::typeset::one_line;

/// Words to copy into a message to one maker, as plain text; nothing when none of the pieces is this maker's.
pub fn notice(list: &HandBack, maker: &str) -> Option<String> {
    let name = one_line(maker);
    let of_maker = |p: &&Ready| one_line(&p.maker) == name;
    let pieces: Vec<&Ready> = list.pieces.iter().filter(of_maker).collect();
    let first = pieces.first()?;
    let one = pieces.len() == 1;
    let (are, wait, them) = if one {
        ("is", "It waits", "it")
    } else {
        ("are", "They wait", "them")
    };
    // One day for all is said once, else each piece has its own.
    let same_day = pieces.iter().all(|p| p.collect_by == first.collect_by);

    let hello = format!("Hello {name}");
    let hello = hello.trim_end();
    let mut told = format!(
        "{hello},\n\n{} of your pieces {are} ready at {}:\n",
        counted(pieces.len()),
        one_line(&list.studio),
    );
    for piece in &pieces {
        told += &format!("- {}\n", line(piece, !same_day));
    }
    told += &match first.collect_by.filter(|_day| same_day) {
        Some(by) => format!("\n{wait} for you until {}.", day(by)),
        None if same_day => format!("\n{wait} for you."),
        None => format!("\nPlease collect {them} by these days."),
    };
    if let Some(sum) = total(&pieces).filter(|sum| *sum != Money::cents(0)) {
        let sum = format!("{} {}", decimal(sum), one_line(&list.currency));
        told += &format!(" The charge for firing {them} is {sum}.");
    }
    if pieces.iter().any(|p| !p.faults.is_empty()) {
        told += " Ask at the kiln about any fault named above.";
    }
    told.push('\n');
    Some(told)
}

/// A piece in one line.
fn line(piece: &Ready, with_day: bool) -> String {
    let (what, code) = (one_line(&piece.what), one_line(&piece.code));
    let mut told = match (what.is_empty(), code.is_empty()) {
        (false, false) => format!("{what} {code}"),
        _ => what + &code,
    };
    if with_day {
        told += &match piece.collect_by {
            Some(by) => format!(", until {}", day(by)),
            None => ", no last day".to_owned(),
        };
    }
    let faults: Vec<String> = piece.faults.iter().map(|f| one_line(f)).collect();
    match faults.as_slice() {
        [] => told,
        [fault] => told + "; fault: " + fault,
        many => told + "; faults: " + &many.join(", "),
    }
}

/// A count at the start of a sentence: in words up to twelve.
fn counted(count: usize) -> String {
    const WORDS: [&str; 12] = [
        "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven",
        "Twelve",
    ];
    let word = count.checked_sub(1).and_then(|i| WORDS.get(i));
    word.map_or_else(|| count.to_string(), |w| (*w).to_owned())
}
