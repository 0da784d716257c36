//! People and what each may do.

use serde::{Deserialize, Serialize};

use crate::shown::Shown;

/// What a person is to the studio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Loads, fires, keeps the book and sets the rules.
    Technician,
    /// Loads and starts firings under the technician's rules.
    Loader,
    /// Hands ware in for a class and follows it.
    Teacher,
    /// Hands in their own ware and follows it.
    Maker,
    /// Fees, notices and hand-back.
    Office,
}

/// Something that not everybody may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// Hand in ware of one's own.
    HandIn,
    /// Hand in ware for others.
    HandInForOthers,
    /// See everybody's ware.
    SeeAllWare,
    /// Look ware over: accept, refuse, say what it needs.
    LookOver,
    /// Propose and change plans.
    Plan,
    /// Accept a plan.
    Accept,
    /// Load, start, stop and open a kiln.
    Fire,
    /// Give ware back and note it collected.
    HandBack,
    /// Charge, take payments, see accounts of all.
    Charge,
    /// Kilns, furniture, clays and glazes.
    Keep,
    /// People, prices and rules.
    Govern,
    /// See the log and reports.
    Report,
}

impl Role {
    /// All roles, the most trusted first.
    pub const ALL: [Self; 5] = [
        Self::Technician,
        Self::Loader,
        Self::Teacher,
        Self::Maker,
        Self::Office,
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Technician => "technician",
            Self::Loader => "loader",
            Self::Teacher => "teacher",
            Self::Maker => "maker",
            Self::Office => "office",
        }
    }

    /// The role of that word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|r| r.word() == word)
    }

    /// What it is, in a line.
    pub fn about(self) -> &'static str {
        match self {
            Self::Technician => "loads, fires, keeps the book, sets rules and people",
            Self::Loader => "trained: plans, loads, starts and opens firings",
            Self::Teacher => "hands in for a class and sees its ware",
            Self::Maker => "hands in and sees their own ware",
            Self::Office => "gives ware back, charges, sends notices",
        }
    }

    /// Whether the role may do it.
    pub fn may(self, act: Act) -> bool {
        use Act::{Charge, Govern, HandBack, HandIn, HandInForOthers, Keep, Report, SeeAllWare};
        match self {
            Self::Technician => true,
            Self::Loader => !matches!(act, Charge | Keep | Govern),
            Self::Teacher => matches!(act, HandIn | HandInForOthers),
            Self::Maker => matches!(act, HandIn),
            Self::Office => matches!(act, HandIn | SeeAllWare | HandBack | Charge | Report),
        }
    }
}

/// A person of the studio. Who can sign in has a name and a password besides.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Person {
    /// Id.
    pub id: String,
    /// Name, as on slips.
    pub name: String,
    /// What they are to the studio.
    pub role: Role,
    /// Group or class that they belong to or teach.
    #[serde(default)]
    pub class: Option<String>,
    /// The mark on the foot of their ware.
    #[serde(default)]
    pub mark: String,
    /// How to reach them.
    #[serde(default)]
    pub reach: String,
    /// Units they like; nothing for those of the studio.
    #[serde(default)]
    pub shown: Option<Shown>,
    /// What they want to be told of kilns.
    #[serde(default, skip_serializing_if = "super::Wish::is_usual")]
    pub wish: super::Wish,
}

impl Person {
    /// Whether they may see a piece of this owner.
    pub fn sees(&self, owner: &Person) -> bool {
        self.role.may(Act::SeeAllWare)
            || self.id == owner.id
            || (self.role == Role::Teacher && self.class.is_some() && self.class == owner.class)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_maker_sees_only_their_own_and_a_teacher_their_class() {
        let person = |id: &str, role, class: Option<&str>| Person {
            id: id.into(),
            name: id.into(),
            role,
            class: class.map(str::to_owned),
            mark: String::new(),
            reach: String::new(),
            shown: None,
            wish: crate::book::Wish::default(),
        };
        let maker = person("a", Role::Maker, Some("tuesday"));
        let other = person("b", Role::Maker, Some("tuesday"));
        let teacher = person("t", Role::Teacher, Some("tuesday"));
        let idle = person("u", Role::Teacher, None);
        let loner = person("c", Role::Maker, None);
        assert!(maker.sees(&maker) && !maker.sees(&other));
        assert!(teacher.sees(&maker) && !teacher.sees(&loner));
        assert!(!idle.sees(&loner), "no class is not a class");
        assert!(person("o", Role::Office, None).sees(&maker));
    }
}
