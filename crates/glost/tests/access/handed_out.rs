//! Links that are handed out: their owner sees them, and ends them.

use glost_model::book::Role;

use crate::studio::{Studio, between};

#[test]
fn the_link_of_a_calendar_is_listed_and_withdrawn() {
    let studio = Studio::start(false, "links");
    let teacher = studio.someone(Role::Teacher);
    let made = studio.post(&studio.nia, "/me/calendar", "").text();
    assert!(
        made.contains("which only this machine can open"),
        "a phone cannot open a loopback address: {made}"
    );
    let feed = format!("/calendar/{}.ics", between(&made, "/calendar/", ".ics"));
    assert_eq!(studio.get("", &feed).code, 200);
    let mine = studio.get(&studio.nia, "/me/tokens").text();
    assert!(mine.contains("Calendar of firings"), "{mine}");
    let digest = between(&mine, "action=\"/me/tokens/", "\"");
    let end = format!("/me/tokens/{digest}");

    let theirs = studio.get(&teacher, "/me/tokens").text();
    assert!(!theirs.contains(&digest), "{theirs}");
    assert_eq!(studio.post(&teacher, &end, "").code, 404);
    assert_eq!(studio.get("", &feed).code, 200, "it is not theirs to end");

    assert_eq!(studio.post(&studio.nia, &end, "").code, 303);
    assert_eq!(studio.get("", &feed).code, 404);
    let mine = studio.get(&studio.nia, "/me/tokens").text();
    assert!(!mine.contains(&digest), "{mine}");
    assert_eq!(studio.post(&studio.nia, &end, "").code, 404);
}

#[test]
fn labels_that_no_phone_can_open_are_warned_of() {
    let studio = Studio::start(false, "labels");
    let page = studio.get(&studio.nia, "/ware/labels").text();
    assert!(page.contains("which only this machine can open"), "{page}");
}
