//! Parts of forms: each has a label, what it is about, and its fault beside it.

use glost_model::fault::Fault;
use maud::{Markup, html};

use super::typed::of_field;
use super::{Typed, called};
use crate::help;

/// A form with what was typed and what is wrong with it.
#[derive(Debug, Clone, Copy)]
pub struct Fields<'a> {
    /// As typed.
    pub typed: &'a Typed,
    /// What is wrong.
    pub faults: &'a [Fault],
}

/// How a text field looks.
#[derive(Debug, Clone, Copy, Default)]
pub struct Look<'a> {
    /// What to write, below the label.
    pub hint: &'a str,
    /// Kind of field: `text` when empty.
    pub kind: &'a str,
    /// Keyboard of a phone.
    pub keys: &'a str,
    /// Id of a list of suggestions.
    pub list: &'a str,
    /// May stay empty.
    pub optional: bool,
    /// For the browser's memory.
    pub autocomplete: &'a str,
    /// A unit shown behind the field.
    pub unit: &'a str,
}

/// Id of a field in its page.
pub fn field_id(name: &str) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
    format!("f-{}", name.chars().map(plain).collect::<String>())
}

impl Fields<'_> {
    /// Where a field is on the page.
    pub fn id(name: &str) -> String {
        field_id(name)
    }

    /// Faults of a field, each with its remedy.
    pub fn faults(&self, name: &str) -> Markup {
        let id = Self::id(name);
        let faults = of_field(self.faults, name);
        html! { @if !faults.is_empty() {
            p.fault id={ (id) "-fault" } { @for f in faults { span { strong { "Mend: " } (f.what) ". " (f.remedy) "." } } }
        } }
    }

    /// Ids of what tells more of a field.
    pub fn described(&self, name: &str, hint: &str) -> Option<String> {
        let id = Self::id(name);
        let mut ids = Vec::new();
        if !hint.is_empty() {
            ids.push(format!("{id}-hint"));
        }
        if !of_field(self.faults, name).is_empty() {
            ids.push(format!("{id}-fault"));
        }
        (!ids.is_empty()).then(|| ids.join(" "))
    }

    /// Whether a field has a fault.
    pub fn wrong(&self, name: &str) -> Option<&'static str> {
        (!of_field(self.faults, name).is_empty()).then_some("true")
    }

    /// A line of text.
    pub fn text(&self, name: &str, label: &str, look: Look<'_>) -> Markup {
        let id = Self::id(name);
        let or = |text: &'static str, given: &str| {
            if given.is_empty() {
                text.to_owned()
            } else {
                given.to_owned()
            }
        };
        html! {
            div.field {
                label for=(id) { (label) @if look.optional { " " span.optional { "(optional)" } } }
                (help::field(name, label))
                @if !look.hint.is_empty() { p.hint id={ (id) "-hint" } { (look.hint) } }
                div.with-unit {
                    input id=(id) name=(name) type=(or("text", look.kind)) value=[(look.kind != "password").then(|| self.typed.get(name))]
                        inputmode=[(!look.keys.is_empty()).then_some(look.keys)]
                        list=[(!look.list.is_empty()).then_some(look.list)]
                        autocomplete=(or("off", look.autocomplete))
                        aria-describedby=[self.described(name, look.hint)] aria-invalid=[self.wrong(name)];
                    @if !look.unit.is_empty() { span.unit { (look.unit) } }
                }
                (self.faults(name))
            }
        }
    }

    /// Several lines of text.
    pub fn lines(&self, name: &str, label: &str, hint: &str) -> Markup {
        let id = Self::id(name);
        html! {
            div.field {
                label for=(id) { (label) }
                @if !hint.is_empty() { p.hint id={ (id) "-hint" } { (hint) } }
                textarea id=(id) name=(name) rows="3" autocomplete="off" aria-describedby=[self.described(name, hint)] aria-invalid=[self.wrong(name)] { (self.typed.get(name)) }
                (self.faults(name))
            }
        }
    }

    /// One of several, in a list that opens.
    pub fn select(
        &self,
        name: &str,
        label: &str,
        hint: &str,
        options: &[(String, String)],
    ) -> Markup {
        let id = Self::id(name);
        let now = self.typed.get(name);
        html! {
            div.field {
                label for=(id) { (label) }
                (help::field(name, label))
                @if !hint.is_empty() { p.hint id={ (id) "-hint" } { (hint) } }
                select id=(id) name=(name) autocomplete="off" aria-describedby=[self.described(name, hint)] aria-invalid=[self.wrong(name)] {
                    @for (value, words) in options { option value=(value) selected[value == now] { (words) } }
                }
                (self.faults(name))
            }
        }
    }

    /// One of a few, all in sight.
    pub fn choice(&self, name: &str, label: &str, options: &[(&str, &str)]) -> Markup {
        let now = self.typed.get(name);
        let id = Self::id(name);
        html! {
            fieldset.choice aria-describedby=[self.described(name, "")] {
                legend { (label) }
                (help::field(name, label))
                div.choices { @for (i, (value, words)) in options.iter().enumerate() {
                    label { input type="radio" name=(name) autocomplete="off" value=(value) checked[*value == now] id=[(i == 0).then_some(&id)]; span { (words) } }
                } }
                (self.faults(name))
            }
        }
    }

    /// Any of several.
    pub fn many(
        &self,
        name: &str,
        label: &str,
        hint: &str,
        options: &[(String, String)],
    ) -> Markup {
        let now = self.typed.all(name);
        let id = Self::id(name);
        html! {
            fieldset.choice aria-describedby=[self.described(name, hint)] {
                legend { (label) }
                (help::field(name, label))
                @if !hint.is_empty() { p.hint id={ (id) "-hint" } { (hint) } }
                div.choices { @for (value, words) in options {
                    label { input type="checkbox" name=(name) autocomplete="off" value=(value) checked[now.contains(value)]; span { (words) } }
                } }
                (self.faults(name))
            }
        }
    }

    /// A box to tick.
    pub fn tick(&self, name: &str, label: &str) -> Markup {
        html! {
            div.field { label.tick { input type="checkbox" name=(name) autocomplete="off" value="yes" checked[self.typed.on(name)]; span { (label) } } (self.faults(name)) }
        }
    }

    /// Everything that is wrong, at the head of the form, each with a way to its field.
    pub fn summary(&self) -> Markup {
        html! { @if !self.faults.is_empty() {
            div.faults role="alert" tabindex="-1" {
                h2 { "Not stored yet: " (self.faults.len()) " to mend" }
                ul { @for f in self.faults { li {
                    @if f.field.is_empty() { (f.what) ". " (f.remedy) "." }
                    @else { a href={ "#" (Self::id(&f.field)) } { (called::field(&f.field)) } ": " (f.what) ". " (f.remedy) "." }
                } } }
            }
        } }
    }
}

/// A text to be taken elsewhere, with a button that copies it where scripts run; without one it can be chosen as it
/// stands.
pub fn to_copy(id: &str, label: &str, rows: u8, text: &str) -> Markup {
    html! {
        div.to-copy {
            label for=(id) { (label) }
            textarea.notice id=(id) readonly rows=(rows) autocomplete="off" aria-label=(label) { (text) }
            button type="button" data-copy=(id) hidden { "Copy" }
            span.copied role="status" {}
        }
    }
}

/// A hidden value. Browsers that fill a form in again as it was left must not bring an old one back: a version or a
/// day of another visit would then stand for what the page shows.
pub fn hidden(name: &str, value: &str) -> Markup {
    html! { input type="hidden" name=(name) value=(value) autocomplete="off"; }
}

/// Choices as a select wants them.
pub fn said(choices: called::Choices) -> Vec<(String, String)> {
    options(choices.iter().copied())
}

/// Values with their words, as a select wants them.
pub fn options<'a>(all: impl IntoIterator<Item = (&'a str, &'a str)>) -> Vec<(String, String)> {
    all.into_iter()
        .map(|(a, b)| (a.to_owned(), b.to_owned()))
        .collect()
}
