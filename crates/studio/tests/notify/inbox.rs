//! A mail server of others, and what came to it.

use std::io::{BufRead as _, BufReader, Lines};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};

use glost_model::book::{ErrandState, Mail, MailSafety, Role, Ways, Which};
use serde_json::Value;

use crate::place::{alarm, errands, person, sender, studio};

/// A running server; ends with the test.
pub struct Inbox {
    child: Child,
    lines: Lines<BufReader<ChildStdout>>,
    port: u16,
}

impl Inbox {
    pub fn start() -> Self {
        Self::with(&[])
    }

    fn with(args: &[&str]) -> Self {
        let here = Path::new(env!("CARGO_MANIFEST_DIR"));
        let python = here.join("../../target/audit/py/bin/python");
        assert!(
            python.exists(),
            "run `bash scripts/test`, which installs the mail server of this test"
        );
        let mut child = Command::new(python)
            .arg(here.join("tests/notify/inbox.py"))
            .args(args)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let port = lines.next().unwrap().unwrap().parse().unwrap();
        Self { child, lines, port }
    }

    /// The way to it.
    pub fn mail(&self) -> Mail {
        Mail {
            host: "127.0.0.1".into(),
            port: self.port,
            safety: MailSafety::Plain,
            from: "kilns@moor.example".into(),
            login: String::new(),
            secret: None,
        }
    }

    /// The next message, as Python's library reads it.
    pub fn next(&mut self) -> Value {
        serde_json::from_str(&self.lines.next().unwrap().unwrap()).unwrap()
    }

    /// What came and was not looked at yet, once the server has ended.
    fn rest(mut self) -> usize {
        self.child.kill().unwrap();
        self.lines.by_ref().count()
    }
}

impl Drop for Inbox {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

fn by_mail(mail: Mail) -> Ways {
    Ways {
        address: "https://kilns.moor.example".into(),
        mail: Some(mail),
        ..Ways::default()
    }
}

#[tokio::test]
async fn a_mail_reads_as_it_was_meant_whatever_a_kiln_is_called() {
    let folder = tempfile::tempdir().unwrap();
    let mut inbox = Inbox::start();
    let people = [
        person("ann", Role::Loader, "ann@moor.example", Which::Mine),
        person(
            "bea",
            Role::Technician,
            " bea+kiln@moor.example ",
            Which::All,
        ),
    ];
    let desk = studio(folder.path(), by_mail(inbox.mail()), &people).await;
    let mut notice = alarm("element-out");
    notice.urgent = true;
    notice.kiln = "Heron\r\nBcc: eve@elsewhere.example\r\n\r\n<b>Grün</b>".into();
    notice.words = "It rises at 40 °C/h, not 60\n.\nQUIT\u{2028}X-Evil: yes".into();
    notice.what_to_do = "Look: =?utf-8?q?elements?= äöü ½.".into();
    desk.raise(&notice).await.unwrap();
    assert_eq!(sender(&desk).round().await.unwrap(), 2);
    let mut to = Vec::new();
    for _ in 0..2 {
        let mail = inbox.next();
        let mut heads: Vec<String> = mail["heads"]
            .as_array()
            .unwrap()
            .iter()
            .map(|h| h.as_str().unwrap().to_lowercase())
            .collect();
        heads.sort();
        assert_eq!(
            heads,
            [
                "auto-submitted",
                "content-transfer-encoding",
                "content-type",
                "date",
                "from",
                "importance",
                "message-id",
                "mime-version",
                "subject",
                "to"
            ]
        );
        assert_eq!(
            mail["subject"],
            "URGENT: Heron Bcc: eve@elsewhere.example <b>Grün</b>: It rises at 40 °C/h, not 60 . QUIT X-Evil: yes"
        );
        assert_eq!(mail["from"], "kilns@moor.example");
        assert_eq!(mail["name"], "Moor Clay kilns");
        assert_eq!(mail["date"], "2026-11-26T09:00:00+00:00");
        assert_eq!(mail["parts"], 1);
        assert_eq!(mail["defects"], serde_json::json!([]));
        assert_eq!(mail["rcpt"].as_array().unwrap().len(), 1);
        let text = mail["text"].as_str().unwrap();
        let first = "It rises at 40 °C/h, not 60 . QUIT X-Evil: yes\n\nLook: =?utf-8?q?elements?= äöü ½.\n\nThu 26 Nov 2026, 09:00 UTC";
        assert!(text.replace("\r\n", "\n").starts_with(first), "{text}");
        assert!(text.contains("https://kilns.moor.example/firings/0007"));
        to.push((mail["to"].clone(), mail["id"].clone()));
    }
    to.sort_by_key(|t| t.0.to_string());
    assert_eq!(to[0].0, "ann@moor.example");
    assert_eq!(to[1].0, "bea+kiln@moor.example");
    assert_ne!(to[0].1, to[1].1);
    assert_eq!(inbox.rest(), 0);
}

#[tokio::test]
async fn a_password_goes_to_a_safe_server_only_and_is_told_nowhere() {
    let folder = tempfile::tempdir().unwrap();
    let mut inbox = Inbox::with(&["--signed"]);
    let mut mail = inbox.mail();
    mail.login = "kilns".into();
    mail.secret = Some("GLOST_SECRET_MAIL".into());
    let ann = person("ann", Role::Loader, "ann@moor.example", Which::Mine);
    let desk = studio(folder.path(), by_mail(mail), &[ann]).await;
    desk.raise(&alarm("element-out")).await.unwrap();
    sender(&desk).round().await.unwrap();
    assert_eq!(inbox.next()["to"], "ann@moor.example");
    let mut export = Vec::new();
    desk.store.export(&mut export).await.unwrap();
    let export = String::from_utf8(export).unwrap();
    assert!(export.contains("GLOST_SECRET_MAIL") && !export.contains("peat fire"));
}

#[tokio::test]
async fn without_the_safety_that_was_set_nothing_is_sent() {
    let folder = tempfile::tempdir().unwrap();
    let inbox = Inbox::start();
    for safety in [MailSafety::StartTls, MailSafety::Tls] {
        let folder = folder.path().join(format!("{safety:?}"));
        std::fs::create_dir(&folder).unwrap();
        let mail = Mail {
            safety,
            ..inbox.mail()
        };
        let ann = person("ann", Role::Loader, "ann@moor.example", Which::Mine);
        let desk = studio(&folder, by_mail(mail), &[ann]).await;
        desk.raise(&alarm("element-out")).await.unwrap();
        sender(&desk).round().await.unwrap();
        let errand = &errands(&desk).await[0];
        assert_eq!(errand.state, ErrandState::Waiting, "{errand:?}");
    }
    assert_eq!(inbox.rest(), 0);
}
