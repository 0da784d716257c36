//! Ware that somebody keeps back. Source: what community studios write in their house rules that they refuse; common practice.

use glost_model::piece::Held;

use crate::{Case, Finding};

/// Ware that somebody keeps back.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let (why, remedy) = match case.piece.held? {
        Held::Cracked => (
            "is cracked already, and heat opens a crack",
            "Give it back: mend it as raw clay, or make it again",
        ),
        Held::Overglazed => (
            "is glazed so thick that it will run or crawl",
            "Ask the maker to scrape or wash glaze off and let it dry",
        ),
        Held::Attached => (
            "has something stuck to it that is not clay: it burns, melts or bursts",
            "Ask the maker to take it off; add it after the firing",
        ),
        Held::FoodClaim => (
            "is meant to be sold as safe for food, and nothing shows that it is",
            "Fire it without that claim, or have a fired sample tested by a laboratory",
        ),
        Held::Banned => (
            "holds a material that this studio does not fire",
            "Give it back to its maker",
        ),
        Held::NoName => (
            "bears no name, so nobody can be asked about it",
            "Find its maker, then write the name on its slip",
        ),
        Held::NotLogged => (
            "was never written into the studio's book",
            "Have its maker write it in",
        ),
        Held::CannotStand => (
            "has no safe way to stand",
            "Ask the maker for a foot or for props that go with it",
        ),
    };
    Some(Finding::block("held", why.to_owned(), remedy))
}
