//! What people may type, in every field of every form.

use crate::studio::{PASSWORD, Studio, between, coded, cookie_of, form};

/// What is tried in each field.
fn nasty() -> Vec<String> {
    let mut all: Vec<String> = [
        "a\0b",
        "<script>alert(1)</script>",
        "\"'`&<> onmouseover=alert(1)",
        "\u{202e}live\u{202c} \u{200f}שלום",
        "😀👩\u{200d}🚀 \u{301}",
        "%_\\",
        "1e999",
        "NaN",
        "-0",
        "٣",
        "-1",
        "99999999999999999999",
        "0000-01-01",
        "9999-12-31T23:59",
        "=cmd|' /C calc'!A0",
        "a\r\nSet-Cookie: x=1",
        "../../etc/passwd",
        "\u{1b}[2J",
    ]
    .map(str::to_owned)
    .into();
    all.push("ü".repeat(10_000));
    all
}

/// A form of a page: where it goes, and its fields as they are.
#[derive(Debug, Clone)]
struct Found {
    to: String,
    fields: Vec<(String, String)>,
}

fn plain(text: &str) -> String {
    text.replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
}

fn attribute(tag: &str, name: &str) -> Option<String> {
    let at = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    Some(plain(&tag[at..at + tag[at..].find('"')?]))
}

/// The forms that a page sends, read as a browser would.
fn forms(page: &str) -> Vec<Found> {
    let mut all = Vec::new();
    for part in page.split("<form").skip(1) {
        let part = part.split("</form>").next().unwrap();
        let (head, body) = part.split_once('>').unwrap();
        // A form with a file is sent as one; that of a piece is taken either way.
        let file = head.contains("multipart") && !head.contains("action=\"/ware/new\"");
        if attribute(head, "method").as_deref() != Some("post") || file {
            continue;
        }
        let mut fields: Vec<(String, String)> = Vec::new();
        for tag in body.split('<').skip(1) {
            let tag = &tag[..tag.find('>').unwrap_or(tag.len())];
            let Some(name) = attribute(tag, "name") else {
                continue;
            };
            let value = if tag.starts_with("select") || tag.starts_with("textarea") {
                let rest = &body[body.find(tag).unwrap()..];
                let chosen = rest.split("</select>").next().unwrap();
                let option = chosen
                    .split("<option")
                    .find(|o| o.contains(" selected"))
                    .or_else(|| chosen.split("<option").nth(1));
                if tag.starts_with("select") {
                    option
                        .and_then(|o| attribute(o, "value"))
                        .unwrap_or_default()
                } else {
                    String::new()
                }
            } else {
                let unticked = (tag.contains("radio") || tag.contains("checkbox"))
                    && !tag.contains(" checked");
                if unticked {
                    continue;
                }
                attribute(tag, "value").unwrap_or_default()
            };
            fields.push((name, value));
        }
        all.push(Found {
            to: attribute(head, "action").unwrap_or_default(),
            fields,
        });
    }
    all
}

/// Forms that end what the test works with, or keep both cores busy.
fn left_out(to: &str) -> bool {
    let ends = [
        "/leave",
        "/password",
        "/away",
        "/plan",
        "/stop",
        "/firings/all",
        "/firings/new",
        "/call-off",
        "/accept",
        "/keep",
        "/withdraw",
        "/tokens",
    ];
    ends.iter().any(|e| to.ends_with(e)) || to.starts_with("/undo")
}

#[test]
fn no_field_of_any_form_brings_the_studio_down() {
    // The stricter of the two databases.
    let studio = Studio::start(true, "fields");
    let code = studio.mug(&studio.nia, &[]);
    let firing = studio.firing();
    let link = |path: &str, list: &str| {
        let page = studio.get(&studio.nia, list).text();
        between(&page, &format!("href=\"{path}/"), "\"")
    };
    let person = link("/studio/people", "/studio/people");
    let mut pages: Vec<String> = [
        "/ware/new",
        "/me",
        "/back",
        "/studio",
        "/studio/people",
        "/ware/sheet",
    ]
    .map(str::to_owned)
    .into();
    pages.extend([
        format!("/ware/{code}"),
        format!("/ware/{code}/change"),
        format!("/firings/{firing}"),
        format!("/studio/people/{person}"),
        format!("/accounts/{person}"),
    ]);
    for (path, list) in [
        ("/kilns", "/kilns"),
        ("/clays", "/clays"),
        ("/glazes", "/clays"),
        ("/furniture/shelves", "/furniture"),
        ("/furniture/posts", "/furniture"),
        ("/furniture/supports", "/furniture"),
    ] {
        pages.push(format!("{path}/new"));
        pages.push(format!("{path}/{}", link(path, list)));
    }
    let mut all: Vec<Found> = Vec::new();
    for page in &pages {
        let answer = studio.get(&studio.nia, page);
        assert_eq!(answer.code, 200, "{page}");
        all.extend(
            forms(&answer.text())
                .into_iter()
                .filter(|f| !left_out(&f.to)),
        );
    }
    // Those that no page shows just now.
    let by_hand = |to: String, names: &[&str]| Found {
        to,
        fields: names
            .iter()
            .map(|n| ((*n).to_owned(), "1".to_owned()))
            .collect(),
    };
    for (verb, names) in [
        ("begin", &["version"][..]),
        ("ticks-form", &["tick", "was"]),
        ("leave-out", &["piece", "why"]),
        (
            "read-back",
            &[
                "version", "rate.0", "target.0", "hold.0", "count", "set_by", "how", "differs",
            ],
        ),
        ("start", &["version", "meter", "may_stop", "at", "begins"]),
        ("step", &["version", "step"]),
        ("end", &["version", "hottest", "meter", "why", "at"]),
        ("open", &["version", "display", "why", "at"]),
        ("short", &["version", "short", "hottest"]),
        ("cones", &["version", "clock 1"]),
        ("fault", &["piece", "kind", "words", "spoilt"]),
        ("emptied", &["version", "next_time"]),
        ("readings", &["from", "to", "unsound", "words"]),
        ("accept", &["starts"]),
    ] {
        all.push(by_hand(format!("/firings/{firing}/{verb}"), names));
    }
    all.push(by_hand(
        "/firings/new".to_owned(),
        &["cone", "kiln", "kind", "starts", "effort"],
    ));
    all.push(by_hand(
        "/firings/written".to_owned(),
        &[
            "kiln", "kind", "cone", "load", "started", "ended", "hottest", "used", "rate.0",
            "target.0", "hold.0", "words",
        ],
    ));
    all.push(by_hand("/enter".to_owned(), &["to"]));
    all.push(by_hand(
        "/join/none".to_owned(),
        &["name", "login", "password"],
    ));
    assert!(all.len() > 35, "{}", all.len());
    let values = nasty();
    let session = |n: usize| {
        let login = format!("helper{n}");
        let cookie = studio.join(&studio.invite("technician"), "Some Helper", &login);
        (cookie, login)
    };
    let (mut cookie, mut sent) = (session(0).0, 0_usize);
    let mut tried = |found: &Found, with: &dyn Fn(usize, &str) -> String, zero: Option<&str>| {
        sent += 1;
        // No hand sends as much; each helper stays within the limit.
        if sent % 550 == 0 {
            cookie = session(sent).0;
        }
        let fields: Vec<(String, String)> = found
            .fields
            .iter()
            .enumerate()
            .map(|(i, (n, v))| (n.clone(), with(i, v)))
            .collect();
        let answer = studio.post(&cookie, &found.to, &form(&fields));
        let text = answer.text();
        // Coming in is tried too often by then.
        let door = found.to == "/enter" || found.to.starts_with("/join");
        assert!(
            answer.code < 500 && (answer.code != 429 || door),
            "{} {fields:?}: {} {text}",
            found.to,
            answer.code
        );
        assert!(
            !text.contains("<script>alert") && answer.header("set-cookie").is_none(),
            "{} {fields:?}",
            found.to
        );
        if let Some(name) = zero {
            assert_eq!(answer.code, 422, "{} {name}: {text}", found.to);
            assert!(
                text.contains(name),
                "{} does not name {name}: {text}",
                found.to
            );
        }
    };
    for (n, found) in all.iter().enumerate() {
        // Each value in all fields at once, but the one that says what was seen.
        for value in values.iter().skip(1) {
            let with = |i: usize, was: &str| {
                if found.fields[i].0 == "version" {
                    was.to_owned()
                } else {
                    value.clone()
                }
            };
            tried(found, &with, None);
        }
        for (at, (name, _)) in found.fields.iter().enumerate() {
            // A zero, and another value from field to field.
            for (value, zero) in [
                (&values[0], Some(name.as_str())),
                (&values[1 + (n + at) % (values.len() - 1)], None),
            ] {
                // What is there once more is not what is asked.
                let with = |i: usize, was: &str| {
                    if i == at {
                        value.clone()
                    } else {
                        was.to_owned()
                    }
                };
                tried(found, &with, zero);
            }
        }
    }
    // Pages, lists and files bear what was stored.
    for page in pages.iter().map(String::as_str).chain([
        "/",
        "/ware",
        "/firings",
        "/log",
        "/log/report",
        "/clays",
        "/kilns",
        "/furniture",
        "/studio/log",
        "/accounts",
        "/accounts.csv",
        "/studio/export/ware.csv",
        "/studio/export/firing.csv",
        "/studio/export/pieces.csv",
        "/studio/export/glost.json",
        "/back/list.pdf",
        "/log?from=0000-01-01&to=9999-12-31",
        "/log/report?from=0000-01-01&to=9999-12-31",
        "/log/report?from=-9999-01-01&to=9999-12-31",
        "/ware?page=99999999999",
    ]) {
        let answer = studio.get(&studio.nia, page);
        assert!(answer.code < 500, "{page}: {}", answer.text());
        let json = answer
            .header("content-type")
            .is_some_and(|k| !k.contains("html"));
        assert!(json || !answer.text().contains("<script>alert"), "{page}");
    }
}

#[test]
fn what_is_typed_is_kept_letter_by_letter_and_shown_as_text() {
    for postgres in [false, true] {
        let studio = Studio::start(postgres, "letters");
        let names = [
            "<b>bold</b> & \"co\"",
            "😀 \u{202e}cup",
            "100 % cotton_rag\\paper",
            "=1+1",
            "O'Brien's; drop table ware",
            "مزهرية ٣",
        ];
        for name in names {
            let code = studio.mug(&studio.nia, &[("note", name)]);
            let fields = form(&[("version", "1"), ("to", "refused"), ("note", name)]);
            assert_eq!(
                studio
                    .post(&studio.nia, &format!("/ware/{code}/move"), &fields)
                    .code,
                303
            );
            let page = studio.get(&studio.nia, &format!("/ware/{code}")).text();
            let shown = name
                .replace('&', "&amp;")
                .replace('<', "&lt;")
                .replace('>', "&gt;")
                .replace('"', "&quot;");
            assert!(page.contains(&shown), "{shown} in {page}");
        }
        // Signs of patterns mean themselves.
        let found = |words: &str| {
            let page = studio
                .get(&studio.nia, &format!("/ware?words={}", coded(words)))
                .text();
            page.split("<ul class=\"rows\">")
                .nth(1)
                .unwrap_or("")
                .matches("<li>")
                .count()
        };
        for (words, count) in [
            ("%", 1),
            ("cotton_rag", 1),
            ("cotton%rag", 0),
            ("cottonxrag", 0),
            ("\\paper", 1),
            ("_", 1),
            ("%%", 0),
            ("' OR 1=1", 0),
            ("o'brien's;", 1),
            ("مزهرية", 1),
        ] {
            assert_eq!(found(words), count, "{words} in PostgreSQL: {postgres}");
        }
        assert!(
            studio
                .get(&studio.nia, "/studio/people?words=%25")
                .text()
                .contains("Nobody of that name")
        );
    }
}

#[test]
fn a_spreadsheet_finds_no_formula_in_what_is_exported() {
    let studio = Studio::start(false, "formulas");
    let page = studio.get(&studio.nia, "/me").text();
    let id = between(&page, "/accounts/", "\"");
    for formula in ["=cmd|' /C calc'!A0", "+1", "-2+3", "@SUM(A1)", "\t=1"] {
        let body = form(&[("amount", "1"), ("words", formula)]);
        assert_eq!(
            studio
                .post(&studio.nia, &format!("/accounts/{id}"), &body)
                .code,
            303
        );
        let mut fields: Vec<(&str, &str)> = crate::studio::MUG.to_vec();
        fields[0].1 = formula;
        fields.push(("group", formula));
        fields.push(("note", formula));
        assert_eq!(
            studio.post(&studio.nia, "/ware/new", &form(&fields)).code,
            303
        );
        let body = form(&[
            ("name", formula.trim()),
            ("class", formula.trim()),
            ("reach", formula.trim()),
        ]);
        assert_eq!(studio.post(&studio.nia, "/studio/people", &body).code, 303);
    }
    for path in [
        "/accounts.csv",
        "/studio/export/ware.csv",
        "/studio/export/person.csv",
        "/studio/export/entry.csv",
        "/studio/export/pieces.csv",
    ] {
        let text = studio.get(&studio.nia, path).text();
        assert!(text.len() > 100, "{path}");
        for line in text.lines().skip(1) {
            // A cell that begins as a formula does; numbers and corners may begin with a minus.
            for cell in line
                .split(',')
                .map(|c| c.trim_start_matches('"').trim_start())
            {
                let number = cell
                    .trim_end_matches('"')
                    .split([' ', ';'])
                    .all(|n| n.is_empty() || n.parse::<f64>().is_ok());
                assert!(
                    number || !cell.starts_with(['=', '+', '-', '@']),
                    "{path}: {line}"
                );
            }
        }
    }
}

#[test]
fn nothing_is_cut_off_in_silence() {
    let studio = Studio::start(false, "long");
    let long = "long ".repeat(200);
    let code = studio.mug(&studio.nia, &[]);
    let at = format!("/ware/{code}/move");
    let answer = studio.post(
        &studio.nia,
        &at,
        &form(&[("version", "1"), ("to", "refused"), ("note", long.as_str())]),
    );
    assert_eq!(answer.code, 422);
    let text = answer.text();
    assert!(
        text.contains("999 letters are more than are kept here") && text.contains(long.trim()),
        "{text}"
    );
    let page = studio.get(&studio.nia, "/me").text();
    let version = crate::studio::hidden(&page, "version");
    let body = form(&[
        ("version", version.as_str()),
        ("mark", long.as_str()),
        ("reach", "by post"),
    ]);
    let answer = studio.post(&studio.nia, "/me", &body);
    assert_eq!(answer.code, 422);
    assert!(answer.text().contains("id=\"f-mark-fault\"") && answer.text().contains("by post"));
    let password = "x".repeat(300);
    let body = form(&[("old", PASSWORD), ("password", password.as_str())]);
    assert_eq!(studio.post(&studio.nia, "/me/password", &body).code, 422);
    assert_eq!(
        cookie_of(&studio.sign_in("nia", PASSWORD)).len(),
        "glost=".len() + 64
    );
}
