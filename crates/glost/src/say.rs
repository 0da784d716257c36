//! How the command speaks: answers on standard output, trouble on standard error.

use std::io::Write as _;
use std::process::ExitCode;

use glost_model::fault::Fault;

/// What keeps a command from its work. Nothing has been written then.
#[derive(Debug)]
pub enum Trouble {
    /// What was typed in cannot be used: exit code 2.
    Input(Vec<Fault>),
    /// One sentence, with what to do: exit code 2.
    Words(String),
}

impl Trouble {
    /// Tells it and gives the exit code.
    pub fn tell(self) -> ExitCode {
        let mut err = std::io::stderr().lock();
        let told = match self {
            Self::Input(faults) => {
                let count = faults.len();
                faults
                    .iter()
                    .try_for_each(|f| writeln!(err, "{f}"))
                    .and_then(|()| {
                        writeln!(
                            err,
                            "{count} fault{}; nothing was written.",
                            if count == 1 { "" } else { "s" }
                        )
                    })
            }
            Self::Words(text) => writeln!(err, "{text}"),
        };
        // Without a standard error there is nobody to tell; the exit code still says it.
        drop(told);
        ExitCode::from(2)
    }
}

/// Writes an answer; a reader that went away (a closed pipe) is no fault of ours.
pub fn answer(text: &str) {
    drop(writeln!(std::io::stdout().lock(), "{text}"));
}

/// Says something beside the answer, on standard error.
pub fn remark(text: &str) {
    drop(writeln!(std::io::stderr().lock(), "{text}"));
}

/// Reads a file that the person named.
pub fn read_file(path: &std::path::Path) -> Result<String, Trouble> {
    std::fs::read_to_string(path).map_err(|e| {
        Trouble::Words(format!(
            "{} cannot be read: {e}. Check the name",
            path.display()
        ))
    })
}

/// Reads a cone that the person named.
pub fn cone(text: &str) -> Result<glost_model::cone::Cone, String> {
    glost_model::cone::Cone::parse(text).map_err(|e| e.to_string())
}

/// Any JSON as text.
pub fn json(value: &serde_json::Value) -> String {
    format!("{value:#}")
}
