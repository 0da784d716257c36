//! Help in place: a word for each screen, and for the fields at which people err. All of its texts are here.

mod fields;
mod screens;

use maud::{Markup, html};

/// Help with a screen.
struct Screen {
    /// Its path; `*` stands for one part.
    path: &'static str,
    /// What it is for, a paragraph each.
    text: &'static [&'static str],
    /// What to mind there.
    mind: &'static [&'static str],
}

/// The help of the page at this path, folded away; nothing where none is needed.
pub fn screen(path: &str) -> Markup {
    let Some(screen) = screens::ALL.iter().find(|s| fits(s.path, path)) else {
        return html! {};
    };
    html! {
        details.why { summary { span.mark aria-hidden="true" { "?" } "Help with this page" }
            @for p in screen.text { p { (p) } }
            @if !screen.mind.is_empty() { (crate::page::cautions::list(screen.mind)) }
        }
    }
}

/// The help of a field, folded away; nothing where none is needed.
pub fn field(name: &str, label: &str) -> Markup {
    let Some((_, text)) = fields::ALL.iter().find(|f| f.0 == name) else {
        return html! {};
    };
    html! {
        details.why { summary { span.mark aria-hidden="true" { "?" } span.skip { "Help: " (label) } }
            @for p in *text { p { (p) } }
        }
    }
}

fn fits(pattern: &str, path: &str) -> bool {
    let mut parts = path.split('/');
    let mut wanted = pattern.split('/');
    loop {
        match (wanted.next(), parts.next()) {
            (None, None) => return true,
            (Some(w), Some(p)) if w == "*" || w == p => {}
            _ => return false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_star_stands_for_one_part_only() {
        assert!(fits("/kilns/*/upkeep", "/kilns/ab12/upkeep"));
        assert!(!fits("/kilns/*", "/kilns/ab12/upkeep"));
        assert!(!fits("/kilns", "/kilns/ab12") && fits("/", "/"));
    }

    #[test]
    fn what_is_named_outright_comes_before_a_star() {
        // A pattern that fits a later, plainer one would hide it.
        for (i, a) in screens::ALL.iter().enumerate() {
            for b in &screens::ALL[i + 1..] {
                assert!(!fits(a.path, b.path), "{} hides {}", a.path, b.path);
            }
        }
    }
}
