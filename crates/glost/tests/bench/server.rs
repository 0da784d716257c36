//! The invented studio's load, planned once and shown as a person shows it.

use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::LazyLock;

/// The plan that all of these tests change; it is planned for the day on which it is opened.
static PLAN: LazyLock<PathBuf> = LazyLock::new(|| {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench");
    let run = Command::new(env!("CARGO_BIN_EXE_glost"))
        .arg("plan")
        .arg(demo)
        .args(["--kiln", "Heron", "--cone", "6", "--rounds", "60", "--out"])
        .arg(&out)
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    out.join("plan.json")
});

/// A running `glost show`; ends with the test.
pub struct Demo {
    child: Child,
    link: String,
}

impl Demo {
    /// Starts it on a free port and waits for the link that it prints.
    pub fn start() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_glost"))
            .arg("show")
            .arg(&*PLAN)
            .args(["--port", "0"])
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
