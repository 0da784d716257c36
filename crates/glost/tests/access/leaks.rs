//! What is not for somebody is not there for them: the same answer as for what does not exist, in status, words and
//! length.

use glost_model::book::Role;

use crate::served::Answer;
use crate::studio::{PASSWORD, Studio, call, form, token};

/// A PNG of one pixel.
pub const PIXEL: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\x02\0\0\0\x90wS\xde\0\0\0\x0cIDATx\x9cc\xf8\xcf\xc0\0\0\x03\x01\x01\0\xc9\xfe\x92\xef\0\0\0\0IEND\xaeB`\x82";

/// Fails unless two answers are the same but for the name that was asked for.
fn same(what: &str, there: &Answer, name: &str, not_there: &Answer, other: &str) {
    assert_eq!(there.code, not_there.code, "{what}: {}", there.text());
    assert!(there.code >= 400, "{what}: {}", there.text());
    let (a, b) = (
        there.text().replace(name, "-"),
        not_there.text().replace(other, "-"),
    );
    assert_eq!(a, b, "{what}");
    let heads = |a: &Answer| {
        let mut all: Vec<String> = a
            .heads
            .iter()
            .filter(|h| h.0 != "date" && h.0 != "content-length")
            .map(|h| h.0.clone())
            .collect();
        all.sort();
        all
    };
    assert_eq!(heads(there), heads(not_there), "{what}");
}

fn others_things_are_not_there(postgres: bool) {
    let studio = Studio::start(postgres, "leaks");
    let wen = studio.someone(Role::Maker);
    let teacher = studio.someone(Role::Teacher);
    // Somebody else's piece, with a photo, and what was done to it.
    let code = studio.mug(&studio.nia, &[]);
    assert_eq!(
        studio
            .files(&studio.nia, &format!("/ware/{code}/photo"), "photo", PIXEL)
            .code,
        303
    );
    let page = studio.get(&studio.nia, &format!("/ware/{code}")).text();
    let photo = crate::studio::between(&page, "/photo/", "\"");
    let log = studio.get(&studio.nia, "/studio/log").text();
    let turn = crate::studio::between(&log, "/undo/", "\"");
    let none = "ZZZZ";
    assert_ne!(code, none);
    let firing = studio.firing();
    let mut change: Vec<(&str, &str)> = crate::studio::MUG.to_vec();
    change.push(("version", "1"));
    for cookie in [&wen, &teacher] {
        for path in ["", "/change"] {
            let at = |code: &str| studio.get(cookie, &format!("/ware/{code}{path}"));
            same(path, &at(&code), &code, &at(none), none);
        }
        for (path, body) in [
            ("/change", form(&change)),
            ("/move", form(&[("to", "waiting"), ("version", "1")])),
            ("/move", form(&[("to", "refused"), ("version", "7")])),
            ("/glazed", form(&[("version", "1")])),
        ] {
            let at = |code: &str| studio.post(cookie, &format!("/ware/{code}{path}"), &body);
            same(path, &at(&code), &code, &at(none), none);
        }
        let at = |code: &str| studio.files(cookie, &format!("/ware/{code}/photo"), "photo", PIXEL);
        same("photo of a piece", &at(&code), &code, &at(none), none);
        let at = |code: &str| studio.post(cookie, "/back", &form(&[("code", code)]));
        same("fetch", &at(&code), &code, &at(none), none);
        for small in ["", "?small=yes"] {
            let other = "0".repeat(photo.len());
            let at = |id: &str| studio.get(cookie, &format!("/photo/{id}{small}"));
            same("photo", &at(&photo), &photo, &at(&other), &other);
        }
        let at = |turn: &str| studio.post(cookie, &format!("/undo/{turn}"), "");
        same("undo", &at(&turn), &turn, &at("987654"), "987654");
        let at =
            |code: &str| studio.get(cookie, &format!("/ware/labels.pdf?sheet=a4-24&code={code}"));
        same("label", &at(&code), &code, &at(none), none);
        // Faults of a firing that nothing of theirs was in, and of a piece that is not theirs.
        let at = |id: &str| studio.get(cookie, &format!("/firings/{id}/causes"));
        same("causes", &at(&firing), &firing, &at("9876"), "9876");
        let at = |code: &str| studio.get(cookie, &format!("/firings/{firing}/causes/{code}"));
        same("causes of a piece", &at(&code), &code, &at(none), none);
        // A form filled in like a piece that is not there is the usual form.
        let at = |code: &str| studio.get(cookie, &format!("/ware/new?like={code}")).text();
        assert_eq!(at(&code), at(none));
        // As a program.
        let token = token(&studio, cookie);
        let at = |code: &str| call(&studio, "GET", &format!("/api/v1/ware/{code}"), &token);
        same("by a program", &at(&code), &code, &at(none), none);
    }
    // People, by their ids.
    let people = studio.get(&studio.nia, "/studio/people").text();
    let ids: Vec<String> = people
        .split("href=\"/studio/people/")
        .skip(1)
        .map(|p| p[..p.find('"').unwrap()].to_owned())
        .collect();
    let me = studio.get(&wen, "/me").text();
    let me = crate::studio::between(&me, "/accounts/", "\"");
    let other = ids.iter().find(|id| **id != me).unwrap();
    let nobody = "nobodyatall1";
    for cookie in [&wen, &teacher] {
        for path in [
            "/accounts/",
            "/back/notice/",
            "/studio/people/",
            "/ware?owner=",
        ] {
            let at = |id: &str| studio.get(cookie, &format!("{path}{id}"));
            same(path, &at(other), other, &at(nobody), nobody);
        }
        let at = |id: &str| studio.post(cookie, &format!("/accounts/{id}"), "amount=x");
        same("pay", &at(other), other, &at(nobody), nobody);
        let hand_in = |id: &str| {
            let mut fields: Vec<(&str, &str)> = crate::studio::MUG.to_vec();
            fields.push(("owner", id));
            studio.post(cookie, "/ware/new", &form(&fields))
        };
        same(
            "hand in for",
            &hand_in(other),
            other,
            &hand_in(nobody),
            nobody,
        );
    }
    // Calendars and tokens go by secrets; a digest is none.
    let named = |name: &str| studio.get(&wen, &format!("/calendar/{name}.ics"));
    let (a, b) = ("0".repeat(64), "f".repeat(64));
    same("calendar", &named(&a), &a, &named(&b), &b);
    let _token = token(&studio, &studio.nia);
    let page = studio.get(&studio.nia, "/me/tokens").text();
    let digest = crate::studio::between(&page, "/me/tokens/", "\"");
    let at = |digest: &str| studio.post(&wen, &format!("/me/tokens/{digest}"), "");
    same("token", &at(&digest), &digest, &at(&a), &a);
    assert!(
        studio
            .get(&studio.nia, "/me/tokens")
            .text()
            .contains(&digest),
        "it is still there"
    );
}

#[test]
fn others_things_are_not_there_in_a_file() {
    others_things_are_not_there(false);
}

#[test]
fn others_things_are_not_there_in_a_server() {
    others_things_are_not_there(true);
}

#[test]
fn what_is_wrong_with_a_form_tells_nothing_to_those_who_may_not() {
    let studio = Studio::start(false, "forms");
    let maker = studio.someone(Role::Maker);
    let firing = studio.firing();
    let kilns = studio.get(&studio.nia, "/kilns").text();
    let kiln = crate::studio::between(&kilns, "href=\"/kilns/", "\"");
    // Each was once answered with the page and its faults, for anybody.
    for (path, body) in [
        (format!("/firings/{firing}/read-back"), "peak=1"),
        (format!("/firings/{firing}/start"), "meter=x"),
        (format!("/firings/{firing}/end"), "hottest=x"),
        (format!("/firings/{firing}/accept"), "starts=x"),
        (format!("/firings/{firing}/note"), "words="),
        (format!("/firings/{firing}/cones"), "clock 1=99"),
        (format!("/firings/{firing}/call-off"), "version=1"),
        (format!("/firings/{firing}/stop"), ""),
        (format!("/kilns/{kiln}"), "name="),
        ("/studio".to_owned(), "name="),
        ("/studio/people".to_owned(), "name="),
    ] {
        let answer = studio.post(&maker, &path, body);
        assert_eq!(answer.code, 403, "{path}");
        let text = answer.text();
        assert!(
            text.contains("A maker may not do this") && !text.contains("<form"),
            "{path}: {text}"
        );
    }
}

#[test]
fn nobody_takes_anothers_name_by_changing_their_own_page() {
    let studio = Studio::start(false, "names");
    let maker = studio.someone(Role::Maker);
    let page = studio.get(&maker, "/me").text();
    let (id, version) = (
        crate::studio::between(&page, "/accounts/", "\""),
        crate::studio::hidden(&page, "version"),
    );
    let body = form(&[
        ("name", "Nia Corran"),
        ("role", "technician"),
        ("class", "all"),
        ("mark", "NC"),
        ("version", version.as_str()),
    ]);
    assert_eq!(
        studio
            .post(&maker, &format!("/studio/people/{id}"), &body)
            .code,
        403
    );
    assert_eq!(studio.post(&maker, "/me", &body).code, 303);
    let page = studio.get(&maker, "/me").text();
    assert!(
        page.contains("Some maker, maker") && page.contains("value=\"NC\""),
        "{page}"
    );
    assert_eq!(studio.sign_in("maker", PASSWORD).code, 303);
}
