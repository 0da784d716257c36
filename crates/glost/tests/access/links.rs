//! No page leads anybody to a page that refuses them, or that there is not.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use glost_model::book::Role;

use crate::lived_in::LivedIn;
use crate::studio::{Studio, between, form};

/// So many pages of one kind are gone to.
const OF_A_KIND: usize = 6;

/// Makes a link for somebody who is in the book already, and has them come in.
fn come_in(studio: &Studio, name: &str, role: Role) -> String {
    let found = studio.get(
        &studio.nia,
        &format!("/studio/people?words={}", name.replace(' ', "%20")),
    );
    let person = between(&found.text(), "<li><a href=\"/studio/people/", "\"");
    let page = studio
        .get(&studio.nia, &format!("/studio/people/{person}"))
        .text();
    let version = crate::studio::hidden(&page, "version");
    let change = [
        ("version", version.as_str()),
        ("name", name),
        ("role", role.word()),
        ("class", "Tuesday evening"),
        ("mark", "X"),
        ("reach", ""),
    ];
    let to = format!("/studio/people/{person}");
    assert_eq!(studio.post(&studio.nia, &to, &form(&change)).code, 303);
    let invited = [
        ("role", role.word()),
        ("person", person.as_str()),
        ("label", name),
    ];
    let page = studio
        .post(&studio.nia, "/studio/people/invite", &form(&invited))
        .text();
    let way: String = page[page.find("/join/").unwrap()..]
        .chars()
        .take(6 + 64)
        .collect();
    studio.join(&way, name, &format!("{}-in", role.word()))
}

/// A path without what names one thing in it, and without its query.
fn kind_of(path: &str) -> String {
    let path = path.split('?').next().unwrap();
    let named =
        |part: &str| part.chars().any(|c| c.is_ascii_digit()) || part == part.to_uppercase();
    let parts = path
        .split('/')
        .map(|p| if named(p) && !p.is_empty() { "*" } else { p });
    parts.collect::<Vec<_>>().join("/")
}

fn links(page: &str) -> BTreeSet<String> {
    page.split("href=\"/")
        .skip(1)
        .map(|p| format!("/{}", p.split(['"', '#']).next().unwrap()).replace("&amp;", "&"))
        .filter(|l| !l.starts_with("/asset/") && !l.starts_with("//"))
        .collect()
}

/// Goes wherever pages lead, from the first one on; answers what leads nowhere.
fn walk(studio: &Studio, cookie: &str) -> (usize, Vec<String>) {
    let mut seen = BTreeSet::from(["/".to_owned()]);
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    let mut next = VecDeque::from([("/".to_owned(), "nowhere".to_owned())]);
    let (mut gone, mut dead) = (0, Vec::new());
    while let Some((path, from)) = next.pop_front() {
        let met = kinds.entry(kind_of(&path)).or_default();
        *met += 1;
        if *met > OF_A_KIND {
            continue;
        }
        let answer = studio.get(cookie, &path);
        gone += 1;
        if answer.code >= 400 {
            dead.push(format!("{path}, from {from}: {}", answer.code));
        }
        let page = answer
            .header("content-type")
            .is_some_and(|k| k.starts_with("text/html"));
        if page && answer.code == 200 {
            for link in links(&answer.text()) {
                if seen.insert(link.clone()) {
                    next.push_back((link, path.clone()));
                }
            }
        }
    }
    (gone, dead)
}

#[test]
fn no_link_is_dead_for_any_role() {
    let lived = LivedIn::new("links", &mut |_, _, _| {});
    let studio = &lived.studio;
    // Somebody whose ware has a fault, and for whom it waits.
    let page = studio
        .get(&studio.nia, &format!("/ware/{}", lived.faulty))
        .text();
    let owner = between(&page, &format!("<h1>{} ", lived.faulty), "</h1>");
    let owner = owner.rsplit(", ").next().unwrap().to_owned();
    let mut wrong = Vec::new();
    for role in Role::ALL {
        let cookie = match role {
            Role::Technician => studio.nia.clone(),
            Role::Maker => come_in(studio, &owner, role),
            _ => studio.someone(role),
        };
        let (gone, dead) = walk(studio, &cookie);
        assert!(gone > 8, "{role:?} comes to {gone} pages");
        wrong.extend(dead.into_iter().map(|d| format!("{role:?}: {d}")));
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
