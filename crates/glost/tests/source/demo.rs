//! `glost demo --fire`: the live page shows a whole firing with an element that fails midway.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use crate::served::{FORM, send};
use crate::until;

/// The running demo; ends with the test.
struct Demo {
    child: Child,
    host: String,
    _folder: tempfile::TempDir,
}

impl Drop for Demo {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

impl Demo {
    fn start(more: &[&str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(["demo", "--fire", "--port", "0", "--keep"])
            .arg(folder.path())
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let host = lines.find_map(|l| Some(l[l.find("http://")? + 7..l.rfind("/ (")?].to_owned()));
        // What it says later must find a reader.
        std::thread::spawn(move || lines.count());
        Self {
            child,
            host: host.unwrap(),
            _folder: folder,
        }
    }
}

/// What the page is told of itself first, as a browser hears it.
fn heard(host: &str, cookie: &str) -> String {
    let mut to = TcpStream::connect(host).unwrap();
    to.set_read_timeout(Some(Duration::from_secs(5))).unwrap();
    let ask = format!(
        "GET /firings/0001/watch/events HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n\r\n"
    );
    to.write_all(ask.as_bytes()).unwrap();
    let (mut all, mut piece) = (String::new(), [0; 4096]);
    while let Ok(n @ 1..) = to.read(&mut piece) {
        all.push_str(&String::from_utf8_lossy(&piece[..n]));
        if all.contains("\n\n") && all.contains("data:") {
            break;
        }
    }
    all
}

#[tokio::test(flavor = "multi_thread")]
async fn the_demo_shows_a_firing_whose_element_fails_midway() {
    let demo = Demo::start(&["--fault", "element-out", "--at", "4h", "--pace", "4000"]);
    let form = "login=nia&password=moor+lantern+kiln";
    let answer = send(&demo.host, "POST", "/enter", &[], form.as_bytes(), FORM);
    let cookie = answer.header("set-cookie").unwrap();
    let cookie = cookie.split(';').next().unwrap().to_owned();
    let look = |path: &str| {
        let head = [("Cookie", cookie.as_str())];
        send(&demo.host, "GET", path, &head, b"", "").text()
    };
    let first = until(60, "it is read", async || {
        let text = look("/firings/0001/watch");
        text.contains("Beside cone 6").then_some(text)
    })
    .await;
    assert!(first.contains("Rehearsal, 4000 times as fast"), "{first}");
    assert!(first.contains("Readings come from the file heron-0001.csv"));
    until(60, "its alarm rings", async || {
        look("/firings/0001/watch")
            .contains("Alarm: ")
            .then_some(())
    })
    .await;
    let told = heard(&demo.host, &cookie);
    assert!(told.contains("data:") && told.contains("Alarm"), "{told}");
    // Whoever fires sees it on every page, and that it is none of a kiln.
    until(10, "people are called", async || {
        look("/").contains("Rehearsal, no kiln: ").then_some(())
    })
    .await;
    until(60, "it cools", async || {
        let text = look("/firings/0001/watch");
        assert!(!text.contains("No power comes"), "{text}");
        look("/firings/0001").contains("cooling").then_some(())
    })
    .await;
}
