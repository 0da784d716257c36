//! `glost serve`, and a person who hands ware in.

use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use reqwest::header::{COOKIE, SET_COOKIE};

/// A running server.
pub struct Served {
    child: Child,
    link: String,
    cookie: std::sync::Mutex<String>,
}

/// Somebody who has signed in.
#[derive(Clone)]
pub struct Person {
    client: reqwest::Client,
    link: String,
    cookie: String,
}

impl Served {
    /// Starts it on that store.
    pub async fn start(store: &str, photos: &Path) -> Self {
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
            .env("GLOST_LOG", "off")
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let link = lines.find_map(|l| Some(l[l.find("http://")?..l.rfind("/ (")?].to_owned()));
        std::thread::spawn(move || lines.count());
        Self {
            child,
            link: link.unwrap(),
            cookie: std::sync::Mutex::default(),
        }
    }

    /// Sets a new studio up.
    pub async fn set_up(&self) {
        let form = [
            ("studio", "Fennel Lane Pottery"),
            ("length", "mm"),
            ("mass", "kg"),
            ("temperature", "C"),
            ("currency", "EUR"),
            ("name", "Ada Fenn"),
            ("login", "ada"),
            ("password", "a kiln by the sea"),
        ];
        let answer = client()
            .post(format!("{}/set-up", self.link))
            .form(&form)
            .send()
            .await
            .unwrap();
        let cookie = answer.headers().get(SET_COOKIE).unwrap().to_str().unwrap();
        *self.cookie.lock().unwrap() = cookie.split(';').next().unwrap().to_owned();
    }

    /// The cookie of who signed in.
    pub fn name(&self) -> String {
        self.cookie.lock().unwrap().clone()
    }

    /// Goes on with a cookie of before.
    pub fn go_on_as(&self, cookie: String) {
        *self.cookie.lock().unwrap() = cookie;
    }

    /// Somebody with a connection of their own.
    pub fn person(&self) -> Person {
        Person {
            client: client(),
            link: self.link.clone(),
            cookie: self.name(),
        }
    }

    /// Without any warning.
    pub fn kill_9(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

fn client() -> reqwest::Client {
    let client = reqwest::Client::builder().redirect(reqwest::redirect::Policy::none());
    client.build().unwrap()
}

impl Person {
    /// Hands pieces in; whether it was acknowledged, or nothing when no answer came.
    pub async fn hand_in(&self, what: &str, count: u32) -> Option<bool> {
        let count = count.to_string();
        let form = [
            ("what", what),
            ("count", count.as_str()),
            ("stage", "greenware"),
            ("clay", "Heatherstone"),
            ("shape", "circle"),
            ("size", "90"),
            ("height", "100"),
            ("wall", "5"),
            ("mass", "0.4"),
            ("foot", "bare"),
            ("dryness", "bone-dry"),
            ("then", "one"),
        ];
        let sent = self.client.post(format!("{}/ware/new", self.link));
        let sent = sent
            .header(COOKIE, &self.cookie)
            .header("sec-fetch-site", "same-origin");
        let answer = sent.form(&form).send().await.ok()?;
        Some(answer.status() == 303)
    }
}
