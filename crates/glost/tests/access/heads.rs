//! What every answer says to browsers, and what is refused of other sites and of broken requests.

use std::io::Write as _;

use crate::served::{Answer, FORM};
use crate::studio::{Studio, coded, form};

fn well_headed(what: &str, answer: &Answer) {
    for (name, part) in [
        ("content-security-policy", "default-src 'self'"),
        ("content-security-policy", "frame-ancestors 'none'"),
        ("content-security-policy", "form-action 'self'"),
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "DENY"),
        ("referrer-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
    ] {
        let value = answer
            .header(name)
            .unwrap_or_else(|| panic!("{what} has no {name}"));
        assert!(value.contains(part), "{what}: {name}: {value}");
    }
    let policy = answer.header("content-security-policy").unwrap();
    assert!(!policy.contains("unsafe"), "{policy}");
}

#[test]
fn every_answer_has_its_heads() {
    let studio = Studio::start(false, "heads");
    let long = "a".repeat((14 << 20) + 1000);
    let zero = "words=%00";
    for (what, answer, code) in [
        ("page", studio.get(&studio.nia, "/"), 200),
        ("sign in", studio.get("", "/enter"), 200),
        ("sent on", studio.get("", "/ware"), 303),
        ("missing", studio.get(&studio.nia, "/nothing"), 404),
        ("missing ware", studio.get(&studio.nia, "/ware/none"), 404),
        ("no number", studio.post(&studio.nia, "/undo/none", ""), 404),
        ("no name", studio.get(&studio.nia, "/ware/%00"), 404),
        ("no text", studio.get(&studio.nia, "/ware/%ff"), 404),
        (
            "zero",
            studio.get(&studio.nia, &format!("/ware?{zero}")),
            422,
        ),
        (
            "method",
            studio.served.send("DELETE", "/ware", &[], b"", ""),
            405,
        ),
        (
            "too long",
            studio.post(&studio.nia, "/ware/new", &long),
            413,
        ),
        (
            "no form",
            studio.served.send(
                "POST",
                "/ware/new",
                &crate::studio::head(&studio.nia),
                b"{}",
                "application/json",
            ),
            400,
        ),
        (
            "no parts",
            studio.served.send(
                "POST",
                "/ware/sheet",
                &crate::studio::head(&studio.nia),
                b"x",
                "multipart/form-data",
            ),
            400,
        ),
        ("style", studio.get("", "/asset/glost.css"), 200),
        ("no style", studio.get("", "/asset/none.css"), 404),
        ("bench script", studio.get("", "/bench-files/bench.js"), 200),
        ("keeper", studio.get("", "/keeper.js"), 200),
        (
            "export",
            studio.get(&studio.nia, "/studio/export/person.csv"),
            200,
        ),
        ("for programs", studio.get("", "/api/v1/ware"), 401),
        ("health", studio.get("", "/healthz"), 200),
    ] {
        assert_eq!(answer.code, code, "{what}: {}", answer.text());
        well_headed(what, &answer);
        let stored = answer.header("cache-control").unwrap();
        let public = ["style", "bench script"].contains(&what);
        assert!(public || stored.contains("no-store"), "{what}: {stored}");
        if answer.code >= 400 && !["method", "no style", "for programs"].contains(&what) {
            assert!(answer.text().contains("<p>"), "{what}: {}", answer.text());
        }
    }
    let told = studio.post(&studio.nia, "/ware/new", &long).text();
    assert!(
        told.contains("longer than anything that is taken here"),
        "{told}"
    );
    // The same in a form with files.
    let told = studio.files(&studio.nia, "/ware/sheet", "sheet", long.as_bytes());
    assert_eq!(told.code, 413, "{}", told.text());
}

/// Sends a form with these heads alone.
fn from(studio: &Studio, heads: &str, path: &str, body: &str) -> u16 {
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nContent-Type: {FORM}\r\nContent-Length: {}\r\n{heads}\r\n{body}",
        body.len(),
        host = studio.served.host,
    );
    studio
        .raw(&head, false)
        .split(' ')
        .nth(1)
        .unwrap()
        .parse()
        .unwrap()
}

#[test]
fn another_site_changes_nothing() {
    let studio = Studio::start(false, "sites");
    let (host, cookie) = (
        studio.served.host.clone(),
        format!("Cookie: {}\r\n", studio.nia),
    );
    let before = studio.export();
    let body = form(&crate::studio::MUG);
    for heads in [
        "Origin: https://elsewhere.example\r\n".to_owned(),
        "Origin: null\r\n".to_owned(),
        "Sec-Fetch-Site: cross-site\r\n".to_owned(),
        "Sec-Fetch-Site: same-site\r\n".to_owned(),
        format!("Sec-Fetch-Site: cross-site\r\nOrigin: http://{host}\r\n"),
        format!("Origin: http://{host}.elsewhere.example\r\n"),
        String::new(),
    ] {
        assert_eq!(
            from(&studio, &format!("{cookie}{heads}"), "/ware/new", &body),
            403,
            "{heads}"
        );
    }
    assert!(studio.export() == before);
    // Nor does it sign anybody in as somebody of its own.
    let enter = "login=nia&password=moor+lantern+kiln";
    for heads in [
        "Origin: https://elsewhere.example\r\n",
        "Sec-Fetch-Site: cross-site\r\n",
        "Origin: null\r\n",
    ] {
        assert_eq!(from(&studio, heads, "/enter", enter), 403, "{heads}");
    }
    assert_eq!(
        from(&studio, "", "/enter", enter),
        303,
        "a program says nothing of sites"
    );
    let own = format!("{cookie}Origin: http://{host}\r\n");
    assert_eq!(from(&studio, &own, "/ware/new", &body), 303);
}

#[test]
fn looking_changes_nothing() {
    let studio = Studio::start(false, "looking");
    studio.mug(&studio.nia, &[]);
    let before = studio.export();
    let mut seen = std::collections::BTreeSet::new();
    let mut next = vec!["/".to_owned()];
    // A few of each kind of page do: pages of pieces are alike.
    let kind = |path: &str| {
        path.split('?')
            .next()
            .unwrap()
            .split('/')
            .map(|p| {
                if p.chars().any(|c| c.is_ascii_digit()) || p.chars().all(char::is_uppercase) {
                    "*"
                } else {
                    p
                }
            })
            .collect::<Vec<_>>()
            .join("/")
    };
    let mut of: std::collections::BTreeMap<String, u32> = std::collections::BTreeMap::new();
    while let Some(path) = next.pop() {
        let count = of.entry(kind(&path)).or_default();
        if *count >= 3 || !seen.insert(path.clone()) {
            continue;
        }
        *count += 1;
        let answer = studio.get(&studio.nia, &path);
        assert!(answer.code < 500, "{path}: {}", answer.code);
        let text = answer.text();
        for part in text
            .split("href=\"")
            .skip(1)
            .chain(text.split("src=\"").skip(1))
        {
            let to = part.split(['"', '#']).next().unwrap().replace("&amp;", "&");
            if to.starts_with('/') && !to.starts_with("/asset") {
                next.push(to);
            }
        }
    }
    assert!(seen.len() > 30, "{seen:?}");
    assert!(
        seen.contains("/studio/log") && seen.iter().any(|p| p.ends_with("/change")),
        "{seen:?}"
    );
    // What forms send, sent by a link.
    for path in [
        "/leave",
        "/ware/new?what=mug&count=1",
        "/studio/people/invite",
        "/me/calendar",
        "/undo/1",
        "/firings/all?aim=fewest",
    ] {
        assert!(studio.get(&studio.nia, path).code < 500);
    }
    assert_eq!(
        studio.get(&studio.nia, "/me").code,
        200,
        "a link signs nobody out"
    );
    assert!(
        studio.export() == before,
        "a page that was looked at has changed the book"
    );
}

#[test]
fn what_is_broken_or_never_ends_is_told_and_holds_nobody_up() {
    let studio = Studio::start(false, "broken");
    let host = &studio.served.host;
    let head = |kind: &str, length: usize| {
        format!(
            "POST /ware/sheet HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nSec-Fetch-Site: same-origin\r\nCookie: {}\r\nContent-Type: {kind}\r\nContent-Length: {length}\r\n\r\n",
            studio.nia
        )
    };
    // Forty who begin to send and stop.
    let stalled: Vec<std::net::TcpStream> = (0..40)
        .map(|_| {
            let mut to = std::net::TcpStream::connect(host).unwrap();
            to.write_all(head("multipart/form-data; boundary=b", 100_000).as_bytes())
                .unwrap();
            to.write_all(b"--b\r\nContent-Disposition: form-data; name=\"sheet\"\r\n\r\nid,what")
                .unwrap();
            to
        })
        .collect();
    for (what, kind, body) in [
        (
            "no end",
            "multipart/form-data; boundary=b",
            "--b\r\nContent-Disposition: form-data; name=\"sheet\"\r\n\r\nid,what",
        ),
        (
            "another boundary",
            "multipart/form-data; boundary=c",
            "--b\r\nContent-Disposition: form-data; name=\"sheet\"\r\n\r\nid\r\n--b--\r\n",
        ),
        (
            "no head",
            "multipart/form-data; boundary=b",
            "--b\r\n\r\nid\r\n--b--\r\n",
        ),
        ("nothing", "multipart/form-data; boundary=b", ""),
        (
            "long name",
            "multipart/form-data; boundary=b",
            "--b\r\nContent-Disposition: form-data; name=\"sheet\"; filename=\"a\r\nX-Evil: 1\"\r\n\r\nid\r\n--b--\r\n",
        ),
    ] {
        let answer = studio.raw(&format!("{}{body}", head(kind, body.len())), false);
        let code: u16 = answer.split(' ').nth(1).unwrap().parse().unwrap();
        assert!(
            (200..500).contains(&code) && !answer.to_lowercase().contains("x-evil"),
            "{what}: {answer}"
        );
    }
    // Cut off in the middle.
    let cut = studio.raw(
        &format!(
            "{}--b\r\nContent-Disposition: form-data; name=\"sheet\"\r\n\r\nid",
            head("multipart/form-data; boundary=b", 5_000)
        ),
        true,
    );
    assert!(cut.is_empty() || cut.contains(" 400 "), "{cut}");
    assert_eq!(studio.get("", "/healthz").code, 200);
    assert_eq!(studio.get(&studio.nia, "/ware").code, 200);
    drop(stalled);
    // Ends of lines in names of the address come to nothing.
    for path in [
        "/firings/a%0d%0aSet-Cookie:%20x/stop",
        "/firings/a%0d%0ab/ticks-form",
        "/ware/a%0d%0ab/move",
        "/undo/1%0d%0a",
    ] {
        let answer = studio.post(&studio.nia, path, "");
        assert!(
            answer.code < 500 && answer.header("set-cookie").is_none(),
            "{path}: {}",
            answer.code
        );
    }
    let to = coded("/\r\nSet-Cookie: glost=x");
    let answer = studio.post(&studio.nia, "/undo/1", &format!("to={to}"));
    assert!(answer.code < 500 && answer.header("set-cookie").is_none());
}
