//! A real `glost serve`, and plain HTTP to it.
#![allow(dead_code, reason = "each test uses a part")]

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// A running server; ends with the test.
pub struct Served {
    child: Child,
    /// Host and port.
    pub host: String,
    /// Path by which its technician comes in, when it told one.
    pub way_in: Option<String>,
}

impl Served {
    /// Serves a store with more arguments, and waits until it can be reached.
    pub fn start(store: &str, photos: &Path, more: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_glost"))
            .args([
                "serve",
                "--bind",
                "127.0.0.1:0",
                "--store",
                store,
                "--photos",
            ])
            .arg(photos)
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let link = lines.find_map(|l| Some(l[l.find("http://")? + 7..l.rfind("/ (")?].to_owned()));
        let way = more
            .contains(&"--from-folder")
            .then(|| lines.find_map(|l| Some(l[l.find("/join/")?..].to_owned())))
            .flatten();
        // What it says later must find a reader.
        std::thread::spawn(move || lines.count());
        Self {
            child,
            host: link.unwrap(),
            way_in: way,
        }
    }

    /// The invented studio with a technician who has come in; answers the cookie, too.
    pub fn with_demo(store: &str, photos: &Path) -> (Self, String) {
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
        let served = Self::start(store, photos, &["--from-folder", demo.to_str().unwrap()]);
        let way = served.way_in.clone().unwrap();
        let form = "name=Nia+Corran&login=nia&password=moor+lantern+kiln";
        let answer = served.send("POST", &way, &[], form.as_bytes(), FORM);
        assert_eq!(answer.code, 303, "{}", answer.text());
        let cookie = answer.header("set-cookie").unwrap();
        let cookie = cookie.split(';').next().unwrap().to_owned();
        (served, cookie)
    }

    /// Sends something and reads the whole answer.
    pub fn send(
        &self,
        method: &str,
        path: &str,
        heads: &[(&str, &str)],
        body: &[u8],
        kind: &str,
    ) -> Answer {
        send(&self.host, method, path, heads, body, kind)
    }

    /// Stops it as a service manager does, and waits until it is gone.
    pub fn stop(mut self) {
        let id = self.child.id().to_string();
        assert!(
            Command::new("kill")
                .args(["-TERM", &id])
                .status()
                .unwrap()
                .success()
        );
        assert!(self.child.wait().unwrap().success());
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

/// Kind of a form.
pub const FORM: &str = "application/x-www-form-urlencoded";
/// Kind of JSON.
pub const JSON: &str = "application/json";

/// An answer.
pub struct Answer {
    pub code: u16,
    pub heads: Vec<(String, String)>,
    pub body: Vec<u8>,
}

impl Answer {
    pub fn header(&self, name: &str) -> Option<&str> {
        let head = self.heads.iter().find(|h| h.0 == name)?;
        Some(&head.1)
    }
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e}: {}", self.text()))
    }
}

/// Sends something to a host and reads the whole answer.
pub fn send(
    host: &str,
    method: &str,
    path: &str,
    heads: &[(&str, &str)],
    body: &[u8],
    kind: &str,
) -> Answer {
    let mut to = TcpStream::connect(host).unwrap();
    let mut head = format!(
        "{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nSec-Fetch-Site: same-origin\r\n"
    );
    for (name, value) in heads {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    if !kind.is_empty() {
        head.push_str(&format!(
            "Content-Type: {kind}\r\nContent-Length: {}\r\n",
            body.len()
        ));
    }
    to.write_all(format!("{head}\r\n").as_bytes()).unwrap();
    to.write_all(body).unwrap();
    let mut all = Vec::new();
    to.read_to_end(&mut all).unwrap();
    let end = all.windows(4).position(|w| w == b"\r\n\r\n").unwrap();
    let head = String::from_utf8_lossy(&all[..end]).into_owned();
    let heads: Vec<(String, String)> = head
        .lines()
        .skip(1)
        .filter_map(|l| l.split_once(": "))
        .map(|(n, v)| (n.to_lowercase(), v.to_owned()))
        .collect();
    let mut body = all[end + 4..].to_vec();
    if heads.iter().any(|h| h.0 == "transfer-encoding") {
        body = unchunked(&body);
    }
    Answer {
        code: head.split(' ').nth(1).unwrap().parse().unwrap(),
        heads,
        body,
    }
}

fn unchunked(mut from: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    loop {
        let end = from.windows(2).position(|w| w == b"\r\n").unwrap();
        let size = usize::from_str_radix(std::str::from_utf8(&from[..end]).unwrap(), 16).unwrap();
        if size == 0 {
            return out;
        }
        out.extend_from_slice(&from[end + 2..end + 2 + size]);
        from = &from[end + 4 + size..];
    }
}

/// Runs the command; answers whether it went well, with what it said.
pub fn glost(args: &[&str]) -> (bool, String) {
    let run = Command::new(env!("CARGO_BIN_EXE_glost"))
        .args(args)
        .output()
        .unwrap();
    let said = [run.stdout, run.stderr].concat();
    (
        run.status.success(),
        String::from_utf8_lossy(&said).into_owned(),
    )
}

/// A new empty place for a book: a file, or a database of its own on the server of the tests.
pub fn new_place(folder: &Path, name: &str, postgres: bool) -> (String, PathBuf) {
    let photos = folder.join(format!("{name}.photos"));
    if !postgres {
        return (
            folder.join(format!("{name}.db")).display().to_string(),
            photos,
        );
    }
    let server = std::env::var("GLOST_TEST_POSTGRES").expect(
        "these tests need a PostgreSQL server: run `bash scripts/test`, or set GLOST_TEST_POSTGRES to what `scripts/postgres start FOLDER` prints",
    );
    let head = server.rsplit_once('/').unwrap().0.to_owned();
    let base = format!("glost_{}_{name}", std::process::id());
    let made = base.clone();
    let run = tokio::runtime::Runtime::new().unwrap();
    run.block_on(async move {
        sqlx::any::install_default_drivers();
        let pool = sqlx::AnyPool::connect(&server).await.unwrap();
        for sql in [
            format!("DROP DATABASE IF EXISTS {made}"),
            format!("CREATE DATABASE {made}"),
        ] {
            sqlx::query(sqlx::AssertSqlSafe(sql))
                .execute(&pool)
                .await
                .unwrap();
        }
        pool.close().await;
    });
    (format!("{head}/{base}"), photos)
}
