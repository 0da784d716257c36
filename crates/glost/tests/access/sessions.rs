//! Coming in and going out: links, sessions, cookies, and how often it may be tried.

use glost_model::book::Role;

use crate::served::FORM;
use crate::studio::{PASSWORD, Studio, between, cookie_of, form, hidden};

fn is_in(studio: &Studio, cookie: &str) -> bool {
    studio.get(cookie, "/me").code == 200
}

#[test]
fn a_link_lets_one_person_in_once() {
    let studio = Studio::start(false, "links");
    let way = studio.invite("maker");
    studio.join(&way, "Ada Fenn", "ada");
    let used = studio.get("", &way);
    assert_eq!(
        (used.code, used.text().contains("used already or is over")),
        (409, true)
    );
    let again = studio.post(
        "",
        &way,
        &form(&[("name", "B"), ("login", "bb"), ("password", PASSWORD)]),
    );
    assert_eq!(again.code, 409);
    assert!(again.header("set-cookie").is_none());
    // Withdrawn.
    let way = studio.invite("technician");
    let page = studio.get(&studio.nia, "/studio/people").text();
    let link = hidden(&page, "link");
    assert_eq!(
        studio
            .post(
                &studio.nia,
                "/studio/people/withdraw",
                &form(&[("link", &link)])
            )
            .code,
        303
    );
    assert_eq!(studio.get("", &way).code, 409);
    // The same words for a link that never was.
    assert_eq!(
        studio.get("", &way).text(),
        studio.get("", "/join/0123").text()
    );
    // Withdrawing ends links alone, not sessions.
    let digest = glost_store::digest(studio.nia.split_once('=').unwrap().1);
    studio.post(
        &studio.nia,
        "/studio/people/withdraw",
        &form(&[("link", &digest)]),
    );
    assert!(is_in(&studio, &studio.nia));
}

#[test]
fn a_session_ends_when_it_should() {
    let studio = Studio::start(false, "sessions");
    let maker = studio.someone(Role::Maker);
    let again = || cookie_of(&studio.sign_in("maker", PASSWORD));
    // Signed out.
    let other = again();
    let out = studio.post(&other, "/leave", "");
    assert!(out.header("set-cookie").unwrap().contains("Max-Age=0"));
    assert!(!is_in(&studio, &other) && is_in(&studio, &maker));
    // Signed in as somebody else on the same browser.
    let first = again();
    let second = studio.post(
        &first,
        "/enter",
        &form(&[("login", "nia"), ("password", PASSWORD)]),
    );
    assert!(!is_in(&studio, &first) && is_in(&studio, &cookie_of(&second)));
    // A new password ends the others, and not this one.
    let other = again();
    let body = form(&[("old", PASSWORD), ("password", "another lantern kiln")]);
    assert_eq!(studio.post(&maker, "/me/password", &body).code, 200);
    assert!(is_in(&studio, &maker) && !is_in(&studio, &other));
    assert_eq!(studio.sign_in("maker", PASSWORD).code, 401);
    // A new link ends all of them once it is used.
    let page = studio.get(&maker, "/me").text();
    let id = between(&page, "/accounts/", "\"");
    let link = studio
        .post(
            &studio.nia,
            "/studio/people/invite",
            &form(&[("person", id.as_str())]),
        )
        .text();
    let way: String = link[link.find("/join/").unwrap()..]
        .chars()
        .take(70)
        .collect();
    let new = studio.join(&way, "Some maker", "maker");
    assert!(!is_in(&studio, &maker) && is_in(&studio, &new));
    // Put away.
    let page = studio
        .get(&studio.nia, &format!("/studio/people/{id}"))
        .text();
    let link = studio
        .post(
            &studio.nia,
            "/studio/people/invite",
            &form(&[("person", id.as_str())]),
        )
        .text();
    let way: String = link[link.find("/join/").unwrap()..]
        .chars()
        .take(70)
        .collect();
    let body = form(&[("version", hidden(&page, "version"))]);
    assert_eq!(
        studio
            .post(&studio.nia, &format!("/studio/people/{id}/away"), &body)
            .code,
        303
    );
    assert!(!is_in(&studio, &new));
    assert_eq!(
        studio.get("", &way).code,
        409,
        "a link for somebody who was put away is over"
    );
    assert_eq!(studio.sign_in("maker", PASSWORD).code, 401);
}

#[test]
fn a_link_that_is_two_weeks_old_is_over() {
    let studio = Studio::start(false, "old");
    let way = studio.invite("maker");
    // The clock of the test cannot be turned on; what is stored can.
    let run = tokio::runtime::Runtime::new().unwrap();
    run.block_on(async {
        sqlx::any::install_default_drivers();
        let pool = sqlx::AnyPool::connect(&format!("sqlite://{}", studio.store))
            .await
            .unwrap();
        sqlx::query("UPDATE pass SET ends = ends - 1209600000000")
            .execute(&pool)
            .await
            .unwrap();
        pool.close().await;
    });
    assert_eq!(studio.get("", &way).code, 409);
    assert!(!is_in(&studio, &studio.nia), "so is a session");
}

#[test]
fn a_cookie_is_for_this_site_alone_and_made_anew() {
    let studio = Studio::with(false, "cookie", &["--https"]);
    let mine = "glost=1234123412341234123412341234123412341234123412341234123412341234";
    let answer = studio.post(
        mine,
        "/enter",
        &form(&[("login", "nia"), ("password", PASSWORD)]),
    );
    let cookie = answer.header("set-cookie").unwrap();
    for flag in ["HttpOnly", "SameSite=Lax", "Secure", "Path=/"] {
        assert!(cookie.contains(flag), "{cookie}");
    }
    assert_ne!(
        cookie_of(&answer),
        mine,
        "a session is not begun on a secret that somebody else chose"
    );
    assert!(!is_in(&studio, mine));
    let plain = Studio::start(false, "plain");
    let cookie = plain
        .sign_in("nia", PASSWORD)
        .header("set-cookie")
        .unwrap()
        .to_owned();
    assert!(
        !cookie.contains("Secure")
            && cookie.contains("HttpOnly")
            && cookie.contains("SameSite=Lax")
    );
    // A wrong password gives none, and the same words as a name that nobody has.
    let (wrong, nobody) = (plain.sign_in("nia", "x"), plain.sign_in("abc", "x"));
    assert_eq!((wrong.code, nobody.code), (401, 401));
    assert_eq!(wrong.text().replace("nia", "abc"), nobody.text());
    assert!(wrong.header("set-cookie").is_none());
    // After coming in, no other site is gone on to.
    let to = |to: &str| {
        let body = form(&[("login", "nia"), ("password", PASSWORD), ("to", to)]);
        plain
            .post("", "/enter", &body)
            .header("location")
            .unwrap()
            .to_owned()
    };
    assert_eq!(
        (to("//elsewhere.example"), to("/ware\r\nx: y")),
        ("/".to_owned(), "/".to_owned())
    );
}

/// How many tries are heard before one is refused; more come in with time, so a slow machine has a few more.
fn refused_after(most: usize, code: impl Fn(usize) -> u16) -> usize {
    let refused = (0..most).find(|n| code(*n) == 429);
    refused.unwrap_or_else(|| panic!("none of {most} tries was refused"))
}

#[test]
fn guessing_is_slow_and_keeps_nobody_else_out() {
    let studio = Studio::with(false, "guess", &["--https"]);
    // A class of thirty, all behind one address, each with a link of their own, at once.
    for n in 0..30 {
        studio.join(
            &studio.invite("maker"),
            &format!("Maker {n}"),
            &format!("maker{n}"),
        );
    }
    // And all of them sign in, more than once.
    for n in 0..70 {
        assert_eq!(
            studio.sign_in(&format!("maker{}", n % 30), PASSWORD).code,
            303,
            "{n}"
        );
    }
    // One name is guessed at.
    let tries = refused_after(60, |_| studio.sign_in("maker0", "guess").code);
    assert!(tries >= 10, "{tries}");
    let refused = studio.sign_in("MAKER0 ", PASSWORD);
    assert_eq!(
        (refused.code, refused.header("retry-after")),
        (429, Some("60"))
    );
    // Others at the same address come in all the while, and so does its owner from elsewhere.
    assert_eq!(studio.sign_in("maker1", PASSWORD).code, 303);
    let elsewhere = |from: &str, login: &str, password: &str| {
        let body = form(&[("login", login), ("password", password)]);
        let heads = [("X-Forwarded-For", from)];
        studio
            .served
            .send("POST", "/enter", &heads, body.as_bytes(), FORM)
            .code
    };
    assert_eq!(elsewhere("203.0.113.5", "maker0", PASSWORD), 303);
    // Many names from one address.
    let tries = refused_after(600, |n| elsewhere("203.0.113.9", &format!("name{n}"), "x"));
    assert!(tries >= 60, "{tries}");
    assert_eq!(
        elsewhere("203.0.113.6", "maker2", PASSWORD),
        303,
        "another address"
    );
    // A link is guessed at; other links work.
    let join = |way: &str| {
        studio
            .post("", way, "name=a&login=guesser&password=short")
            .code
    };
    refused_after(60, |_| join("/join/0123"));
    studio.join(&studio.invite("maker"), "Late Maker", "late");
}
