//! Why something was not done.

use glost_model::book::Role;
use glost_model::fault::Fault;
use glost_store::StoreError;

/// Why something was not done. Nothing is half done then.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// What was given has faults.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Faults(Vec<Fault>),
    /// The person's role does not allow it.
    #[error("{} may not do this. Ask a technician of the studio", whom(*.0))]
    NotAllowed(Role),
    /// It cannot be done as things stand.
    #[error("{what}. {remedy}")]
    Cannot {
        /// What stands in the way.
        what: String,
        /// What to do.
        remedy: String,
    },
    /// Wrong name or password.
    #[error("name and password do not go together. Try again, or ask a technician for a new link")]
    WrongPassword,
    /// The machine.
    #[error("{0}. Try again; if it stays so, look at the log of the program")]
    Machine(String),
}

fn whom(role: Role) -> &'static str {
    match role {
        Role::Technician => "a technician",
        Role::Loader => "a loader",
        Role::Teacher => "a teacher",
        Role::Maker => "a maker",
        Role::Office => "the office",
    }
}

impl DeskError {
    /// Something stands in the way.
    pub fn cannot(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::Cannot {
            what: what.into(),
            remedy: remedy.into(),
        }
    }
    /// All faults of several checks at once, as each round costs whoever fills a form in; another error goes first.
    ///
    /// # Errors
    /// Those of the checks.
    pub fn together(all: impl IntoIterator<Item = Result<(), Self>>) -> Result<(), Self> {
        let mut faults = Vec::new();
        for e in all.into_iter().filter_map(Result::err) {
            match e {
                Self::Faults(more) => faults.extend(more),
                other => return Err(other),
            }
        }
        if faults.is_empty() {
            return Ok(());
        }
        Err(Self::Faults(faults))
    }
    /// What is wrong in several checks, of which at least one failed.
    pub fn all_of(all: impl IntoIterator<Item = Result<(), Self>>) -> Self {
        match Self::together(all) {
            Err(e) => e,
            Ok(()) => Self::Faults(Vec::new()),
        }
    }
    /// One fault of a form.
    pub fn field(field: &str, what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::fields([(field.to_owned(), what, remedy)])
    }
    /// Faults of a form: field, what is wrong, what to do.
    pub fn fields<W: Into<String>, R: Into<String>>(
        all: impl IntoIterator<Item = (String, W, R)>,
    ) -> Self {
        let fault = |(field, what, remedy): (String, W, R)| Fault {
            file: String::new(),
            line: None,
            field,
            what: what.into(),
            remedy: remedy.into(),
        };
        Self::Faults(all.into_iter().map(fault).collect())
    }
}

impl From<getrandom::Error> for DeskError {
    fn from(e: getrandom::Error) -> Self {
        Self::Machine(format!("the system gives no random numbers: {e}"))
    }
}
