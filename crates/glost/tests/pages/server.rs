//! The demo, started as a person starts it.

use std::io::{BufRead as _, BufReader};
use std::process::{Child, Command, Stdio};

/// A running `glost demo`; ends with the test.
pub struct Demo {
    child: Child,
    link: String,
}

impl Demo {
    /// Starts it on a free port and waits for the link that it prints.
    pub fn start() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(["demo", "--port", "0"])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let out = BufReader::new(child.stdout.take().unwrap());
        let link = out
            .lines()
            .map_while(Result::ok)
            .find_map(|l| Some(l[l.find("http://")?..l.rfind("/ (")?].to_owned()));
        Self {
            child,
            link: link.unwrap(),
        }
    }

    /// The address of a page.
    pub fn at(&self, path: &str) -> String {
        format!("{}{path}", self.link)
    }
}

impl Drop for Demo {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}
