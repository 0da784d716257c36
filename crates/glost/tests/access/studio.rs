//! A served studio with somebody of each role in it.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;

use glost_model::book::Role;

use crate::served::{Answer, FORM, Served, new_place, send};

/// The password of everybody here.
pub const PASSWORD: &str = "moor lantern kiln";

/// A served studio.
pub struct Studio {
    pub served: Served,
    /// Where its book is.
    pub store: String,
    /// Cookie of the first technician.
    pub nia: String,
    _folder: tempfile::TempDir,
}

/// A text as part of a form.
pub fn coded(text: &str) -> String {
    text.bytes().map(|b| format!("%{b:02X}")).collect()
}

/// Fields as a form is sent.
pub fn form<A: AsRef<str>, B: AsRef<str>>(fields: &[(A, B)]) -> String {
    let one = |f: &(A, B)| format!("{}={}", coded(f.0.as_ref()), coded(f.1.as_ref()));
    fields.iter().map(one).collect::<Vec<_>>().join("&")
}

impl Studio {
    pub fn start(postgres: bool, name: &str) -> Self {
        Self::with(postgres, name, &[])
    }

    pub fn with(postgres: bool, name: &str, more: &[&str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (store, photos) = new_place(folder.path(), name, postgres);
        let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
        let mut args = vec!["--from-folder", demo.to_str().unwrap()];
        args.extend(more);
        let served = Served::start(&store, &photos, &args);
        let mut studio = Self {
            nia: String::new(),
            served,
            store,
            _folder: folder,
        };
        let way = studio.served.way_in.clone().unwrap();
        studio.nia = studio.join(&way, "Nia Corran", "nia");
        studio
    }

    /// Joins by a link; answers the cookie.
    pub fn join(&self, way: &str, name: &str, login: &str) -> String {
        let body = form(&[("name", name), ("login", login), ("password", PASSWORD)]);
        let answer = self.post("", way, &body);
        assert_eq!(answer.code, 303, "{}", answer.text());
        cookie_of(&answer)
    }

    /// A link for somebody new.
    pub fn invite(&self, role: &str) -> String {
        let page = self.post(
            &self.nia,
            "/studio/people/invite",
            &form(&[("role", role), ("label", "for a test")]),
        );
        assert_eq!(page.code, 200);
        let text = page.text();
        text[text.find("/join/").unwrap()..]
            .chars()
            .take(6 + 64)
            .collect()
    }

    /// Somebody new of a role, who has come in; the login is the role's word.
    pub fn someone(&self, role: Role) -> String {
        let word = role.word();
        self.join(&self.invite(word), &format!("Some {word}"), word)
    }

    pub fn get(&self, cookie: &str, path: &str) -> Answer {
        self.served.send("GET", path, &head(cookie), b"", "")
    }

    pub fn post(&self, cookie: &str, path: &str, body: &str) -> Answer {
        self.served
            .send("POST", path, &head(cookie), body.as_bytes(), FORM)
    }

    pub fn sign_in(&self, login: &str, password: &str) -> Answer {
        self.post(
            "",
            "/enter",
            &form(&[("login", login), ("password", password)]),
        )
    }

    /// Sends a form with files.
    pub fn files(&self, cookie: &str, path: &str, name: &str, bytes: &[u8]) -> Answer {
        let mut body = format!(
            "--b\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"a\"\r\n\r\n"
        )
        .into_bytes();
        body.extend_from_slice(bytes);
        body.extend_from_slice(b"\r\n--b--\r\n");
        self.served.send(
            "POST",
            path,
            &head(cookie),
            &body,
            "multipart/form-data; boundary=b",
        )
    }

    /// Sends a form with texts and a file.
    pub fn texts_and_file(
        &self,
        cookie: &str,
        path: &str,
        texts: &[(&str, &str)],
        (name, bytes): (&str, &[u8]),
    ) -> Answer {
        let mut body = Vec::new();
        for (name, text) in texts {
            let head = format!("--b\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n");
            body.extend_from_slice(format!("{head}{text}\r\n").as_bytes());
        }
        body.extend_from_slice(
            format!(
                "--b\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"a\"\r\n\r\n"
            )
            .as_bytes(),
        );
        body.extend_from_slice(bytes);
        body.extend_from_slice(b"\r\n--b--\r\n");
        let kind = "multipart/form-data; boundary=b";
        self.served.send("POST", path, &head(cookie), &body, kind)
    }

    /// Sends these bytes as they are, and reads what comes; cut off, nothing more will.
    pub fn raw(&self, bytes: &str, cut: bool) -> String {
        let mut to = TcpStream::connect(&self.served.host).unwrap();
        to.write_all(bytes.as_bytes()).unwrap();
        if cut {
            to.shutdown(std::net::Shutdown::Write).unwrap();
        }
        let mut all = Vec::new();
        // A server may hang up on what is broken.
        drop(to.read_to_end(&mut all));
        String::from_utf8_lossy(&all).into_owned()
    }

    /// Hands a mug in; answers its code.
    pub fn mug(&self, cookie: &str, more: &[(&str, &str)]) -> String {
        let mut fields: Vec<(&str, &str)> = MUG.to_vec();
        fields.extend(more);
        let answer = self.post(cookie, "/ware/new", &form(&fields));
        assert_eq!(answer.code, 303, "{}", answer.text());
        let to = answer.header("location").unwrap();
        to["/ware/".len()..].split('?').next().unwrap().to_owned()
    }

    /// The whole book.
    pub fn export(&self) -> String {
        self.get(&self.nia, "/studio/export/glost.json").text()
    }

    /// A firing that waits to be planned, without a planner at work; answers its number.
    pub fn firing(&self) -> String {
        let kilns = self.get(&self.nia, "/firings/new").text();
        let kiln = between(&kilns, "option value=\"", "\"");
        let body = form(&[
            ("kiln", kiln.as_str()),
            ("cone", "6"),
            ("kind", "glaze"),
            ("effort", "short"),
        ]);
        let answer = self.post(&self.nia, "/firings/new", &body);
        assert_eq!(answer.code, 303, "{}", answer.text());
        answer
            .header("location")
            .unwrap()
            .rsplit('/')
            .next()
            .unwrap()
            .to_owned()
    }
}

/// What a mug's form says.
pub const MUG: [(&str, &str); 13] = [
    ("what", "mug"),
    ("stage", "greenware"),
    ("shape", "circle"),
    ("size", "90"),
    ("foot_size", "70"),
    ("height", "100"),
    ("mass", "0.4"),
    ("wall", "5"),
    ("clay", "Heatherstone"),
    ("foot", "bare"),
    ("dryness", "bone-dry"),
    ("count", "1"),
    ("then", "one"),
];

/// The text between two others.
pub fn between(text: &str, from: &str, to: &str) -> String {
    let at = text
        .find(from)
        .unwrap_or_else(|| panic!("no {from} in {text}"))
        + from.len();
    text[at..at + text[at..].find(to).unwrap()].to_owned()
}

/// The value of a hidden field, the first of that name.
pub fn hidden(page: &str, name: &str) -> String {
    between(page, &format!("name=\"{name}\" value=\""), "\"")
}

pub fn head(cookie: &str) -> Vec<(&'static str, &str)> {
    if cookie.is_empty() {
        Vec::new()
    } else {
        vec![("Cookie", cookie)]
    }
}

pub fn cookie_of(answer: &Answer) -> String {
    let all = answer.header("set-cookie").unwrap();
    all.split(';').next().unwrap().to_owned()
}

/// A token of whoever the cookie is of.
pub fn token(studio: &Studio, cookie: &str) -> String {
    let text = studio.post(cookie, "/me/tokens", "label=test").text();
    format!(
        "Bearer {}",
        between(&text, "aria-label=\"The token\">", "<")
    )
}

/// Asks as a program.
pub fn call(studio: &Studio, method: &str, path: &str, token: &str) -> Answer {
    let (body, kind) = if method == "POST" {
        ("{}", crate::served::JSON)
    } else {
        ("", "")
    };
    let heads = [("Authorization", token)];
    send(
        &studio.served.host,
        method,
        path,
        &heads,
        body.as_bytes(),
        kind,
    )
}
