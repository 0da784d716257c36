//! What was put away stands in one list, and comes back as it was.

use glost_model::book::Role;

use crate::studio::{Studio, between, form, hidden};

#[test]
fn a_clay_and_a_person_come_back_as_they_were() {
    for postgres in [false, true] {
        let studio = Studio::start(postgres, "away");
        studio.someone(Role::Maker);
        let get = |path: &str| studio.get(&studio.nia, path).text();
        let send = |path: &str, version: &str| {
            studio.post(&studio.nia, path, &form(&[("version", version)]))
        };
        assert!(get("/studio/away").contains("Nothing is put away"));
        let people = get("/studio/people?words=some");
        let person = between(&people, "<li><a href=\"/studio/people/", "\"");
        let clay = between(&get("/clays"), "<li><a href=\"/clays/", "\"");
        let name = between(&get(&format!("/clays/{clay}")), "<h1>", "</h1>");
        for at in [format!("/clays/{clay}"), format!("/studio/people/{person}")] {
            let version = hidden(&get(&at), "version");
            assert_eq!(send(&format!("{at}/away"), &version).code, 303, "{at}");
        }
        assert!(!get("/clays").contains(&clay));
        let list = get("/studio/away");
        assert!(
            list.contains(&name) && list.contains("Some maker"),
            "{list}"
        );
        for (kind, id) in [("clay", &clay), ("person", &person)] {
            let to = format!("/studio/away/{kind}/{id}");
            let part = between(&list, &format!("action=\"{to}\""), "</form>");
            let version = hidden(&part, "version");
            assert_eq!(send(&to, &version).code, 303, "{to}");
            // Twice is once too often.
            assert!(send(&to, &version).code >= 400, "{to}");
        }
        assert!(get("/studio/away").contains("Nothing is put away"));
        assert!(get("/clays").contains(&clay));
        assert!(get(&format!("/studio/people/{person}")).contains("Does not sign in"));
    }
}

#[test]
fn a_name_that_is_taken_by_now_is_told() {
    let studio = Studio::start(false, "away_name");
    let clay = between(
        &studio.get(&studio.nia, "/clays").text(),
        "<li><a href=\"/clays/",
        "\"",
    );
    let at = format!("/clays/{clay}");
    let page = studio.get(&studio.nia, &at).text();
    let name = between(&page, "<h1>", "</h1>");
    let version = form(&[("version", hidden(&page, "version"))]);
    assert_eq!(
        studio
            .post(&studio.nia, &format!("{at}/away"), &version)
            .code,
        303
    );
    let new = [
        ("name", name.as_str()),
        ("cone_from", "5"),
        ("cone_to", "7"),
        ("slumps_on_points", "true"),
        ("plucks", "false"),
        ("slow_burn_out", "false"),
        ("needs_leave", "false"),
    ];
    assert_eq!(studio.post(&studio.nia, "/clays", &form(&new)).code, 303);
    let list = studio.get(&studio.nia, "/studio/away").text();
    let version = form(&[("version", hidden(&list, "version"))]);
    let back = studio.post(&studio.nia, &format!("/studio/away/clay/{clay}"), &version);
    assert_eq!(back.code, 409, "{}", back.text());
    assert!(back.text().contains("by now"), "{}", back.text());
}
