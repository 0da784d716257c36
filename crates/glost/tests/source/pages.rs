//! The page that sets a source up: each kind, what is wrong with it, and a try.

use crate::served::{FORM, Served};
use crate::{Place, page, sign_in};

/// The fields of the form on a page, as a browser would send them again.
fn fields(html: &str) -> Vec<(String, String)> {
    let form = html
        .split("<form method=\"post\" action=\"/kilns/")
        .nth(1)
        .unwrap();
    let form = form.split("</form>").next().unwrap();
    let attribute = |tag: &str, name: &str| {
        let rest = tag.split(&format!(" {name}=\"")).nth(1)?;
        let text = rest.split('"').next()?;
        Some(text.replace("&quot;", "\"").replace("&amp;", "&"))
    };
    let mut all = Vec::new();
    for part in form.split('<').skip(1) {
        let tag = part.split('>').next().unwrap_or_default();
        if tag.starts_with("input ") {
            let radio = tag.contains("type=\"radio\"");
            if radio && !tag.contains(" checked") {
                continue;
            }
            let value = attribute(tag, "value").unwrap_or_default();
            all.extend(attribute(tag, "name").map(|n| (n, value)));
        } else if tag.starts_with("select ") {
            all.extend(attribute(tag, "name").map(|n| (n, String::new())));
        } else if tag.starts_with("option ") && tag.contains(" selected") {
            let value = attribute(tag, "value").unwrap_or_default();
            if let Some(last) = all.last_mut() {
                last.1 = value;
            }
        }
    }
    all
}

fn encoded(fields: &[(String, String)]) -> String {
    let one = |text: &str| {
        text.bytes()
            .map(|b| match b {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => {
                    char::from(b).to_string()
                }
                b => format!("%{b:02X}"),
            })
            .collect::<String>()
    };
    let all: Vec<String> = fields
        .iter()
        .map(|(n, v)| format!("{}={}", one(n), one(v)))
        .collect();
    all.join("&")
}

pub struct Form<'a> {
    pub served: &'a Served,
    pub cookie: &'a str,
    pub at: String,
}

impl Form<'_> {
    pub fn send(&self, fields: &[(String, String)]) -> (u16, String) {
        let head = [("Cookie", self.cookie)];
        let body = encoded(fields);
        let answer = self
            .served
            .send("POST", &self.at, &head, body.as_bytes(), FORM);
        (answer.code, answer.text())
    }

    /// The form of a kind, with these fields set.
    pub fn filled(&self, kind: &str, set: &[(&str, &str)]) -> Vec<(String, String)> {
        let html = page(
            self.served,
            self.cookie,
            &format!("{}?kind={kind}", self.at),
        );
        with(fields(&html), set)
    }
}

fn with(mut all: Vec<(String, String)>, set: &[(&str, &str)]) -> Vec<(String, String)> {
    for (name, value) in set {
        all.retain(|f| f.0 != *name);
        all.push(((*name).to_owned(), (*value).to_owned()));
    }
    all
}

/// Lets the page look at a file, and stores what it proposes.
pub fn look_and_store(served: &Served, cookie: &str, kiln: &str, file: &str) {
    let form = Form {
        served,
        cookie,
        at: format!("/kilns/{kiln}/source"),
    };
    let (code, proposed) = form.send(&form.filled("file", &[("file", file), ("do", "look")]));
    assert_eq!(code, 200, "{proposed}");
    let (code, text) = form.send(&with(
        fields(&proposed),
        &[("do", "store"), ("rehearsal", "")],
    ));
    assert_eq!(code, 303, "{text}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_source_is_set_up_and_tried_on_its_page() {
    let place = Place::new().await;
    let log = "Date;Time;Kiln temp (°C);Setpoint;Power %\n27.11.2026;10:00:00;18,4;20;12\n27.11.2026;10:01:00;19,1;22;30\n";
    std::fs::write(place.logs.join("badger.csv"), log).unwrap();
    std::fs::write(place.logs.parent().unwrap().join("out.csv"), log).unwrap();
    let served = place.serve();
    let cookie = sign_in(&served, "nia");
    let kiln = place.desk.kiln_of("Badger").await.unwrap().unwrap();
    let form = Form {
        served: &served,
        cookie: &cookie,
        at: format!("/kilns/{kiln}/source"),
    };
    let kiln_page = page(&served, &cookie, &format!("/kilns/{kiln}"));
    assert!(kiln_page.contains("Where its readings come from"));
    let first = page(&served, &cookie, &form.at);
    assert!(first.contains("what people read off the display") && first.contains("only listens"));

    // Nothing but files of the folder.
    for bad in ["../out.csv", "/etc/passwd", "sub/x.csv", ".x", ""] {
        let (_, text) = form.send(&form.filled("file", &[("file", bad), ("do", "look")]));
        assert!(
            text.contains("no name of a file in the folder"),
            "{bad}: {text}"
        );
    }
    let (_, text) = form.send(&form.filled("file", &[("file", "later.csv"), ("do", "look")]));
    assert!(text.contains("later.csv cannot be read"), "{text}");

    // A file is looked at first, then tried as it was understood, then kept.
    let (code, proposed) =
        form.send(&form.filled("file", &[("file", "badger.csv"), ("do", "store")]));
    assert_eq!(code, 200);
    assert!(
        proposed.contains("18.4 °C") || proposed.contains("18 °C"),
        "{proposed}"
    );
    assert!(
        proposed.contains("Column 3, &#39;Kiln temp (°C)&#39;") || proposed.contains("Kiln temp")
    );
    assert_eq!(place.desk.source(&kiln).await.unwrap().version, 0);
    let typed = fields(&proposed);
    let (code, text) = form.send(&with(typed.clone(), &[("unit.2", "F"), ("do", "try")]));
    assert_eq!(code, 200);
    assert!(text.contains("−7") || text.contains("-7"), "{text}");
    let (code, text) = form.send(&with(
        typed.clone(),
        &[
            ("role.2", ""),
            ("role.3", ""),
            ("role.4", ""),
            ("do", "store"),
        ],
    ));
    assert_eq!(code, 422);
    assert!(text.contains("no column holds a reading"), "{text}");
    let (code, _) = form.send(&with(typed.clone(), &[("do", "store")]));
    assert_eq!(code, 303);
    let kept = page(&served, &cookie, &form.at);
    assert!(kept.contains("the file badger.csv") && kept.contains("Kiln temp"));
    // What is shown again is what was kept.
    let again = fields(&kept);
    for (name, value) in &typed {
        if name != "version" && !value.is_empty() && name != "do" {
            assert!(
                again.contains(&(name.clone(), value.clone())),
                "{name}={value}: {again:?}"
            );
        }
    }
    // Taken back, it is read by hand; and set once more.
    let undone = format!("/undo/{}", place.desk.store.latest_turn().await.unwrap());
    let answer = served.send("POST", &undone, &[("Cookie", &cookie)], b"", FORM);
    assert!(answer.code < 400, "{}", answer.text());
    let hand = page(&served, &cookie, &form.at);
    assert!(hand.contains("what people read off the display"), "{hand}");
    let version = place.desk.source(&kiln).await.unwrap().version.to_string();
    let again = with(typed.clone(), &[("do", "store"), ("version", &version)]);
    assert_eq!(form.send(&again).0, 303);
    assert!(page(&served, &cookie, &form.at).contains("the file badger.csv"));
    // Somebody stored meanwhile: nothing is overwritten unseen.
    let (code, _) = form.send(&with(typed, &[("do", "store"), ("version", "7")]));
    assert_eq!(code, 409);

    // A broker and a controller that are not there are told in words.
    let broker = [
        ("host", "127.0.0.1:1"),
        ("topic.0", "kilns/badger/pv"),
        ("role.0", "sensor"),
        ("do", "try"),
    ];
    let (_, text) = form.send(&form.filled("broker", &broker));
    assert!(text.contains("the source cannot be reached"), "{text}");
    for (name, value, what) in [
        ("topic.0", "kilns/+/pv", "wildcard"),
        ("secret", "hunter2", "never the secret itself"),
        ("host", "no host!", "no machine in a network"),
        ("role.0", "", "what the number is"),
        ("topic.0", "", "0 topics"),
    ] {
        let wrong = with(
            form.filled("broker", &broker),
            &[(name, value), ("do", "store")],
        );
        let (code, text) = form.send(&wrong);
        assert!(code == 422 && text.contains(what), "{name}={value}: {text}");
    }
    let controller = [
        ("host", "127.0.0.1:1"),
        ("address.0", "0"),
        ("role.0", "sensor"),
        ("scale.0", "0.1"),
        ("do", "try"),
    ];
    let (_, text) = form.send(&form.filled("controller", &controller));
    assert!(text.contains("the source cannot be reached"), "{text}");
    let wrong = with(
        form.filled("controller", &controller),
        &[("address.0", "x"), ("do", "store")],
    );
    let (code, text) = form.send(&wrong);
    assert!(code == 422 && text.contains("no address"), "{text}");
    let (code, _) = form.send(&with(
        form.filled("controller", &controller),
        &[("do", "store")],
    ));
    assert_eq!(code, 303);
    let kept = page(&served, &cookie, &form.at);
    assert!(kept.contains("the controller at 127.0.0.1:1"), "{kept}");

    // By hand again; and it is nobody's but the technician's.
    let (code, _) = form.send(&form.filled("hand", &[("do", "store")]));
    assert_eq!(code, 303);
    let other = sign_in(&served, "davor");
    let answer = served.send("GET", &form.at, &[("Cookie", &other)], b"", "");
    assert_eq!(answer.code, 403);
    let seen = page(&served, &other, &format!("/kilns/{kiln}"));
    assert!(!seen.contains("/source"));
}
