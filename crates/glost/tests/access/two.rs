//! Two people at one thing: nobody's work is lost, and the second sees both versions.

use crate::served::{Answer, JSON};
use crate::studio::{MUG, Studio, between, form, hidden};

/// The answer to whoever came second: both versions, and a form that can be sent on top.
fn both_told(answer: &Answer, theirs: &str, mine: &str, words: &str) -> String {
    let page = answer.text();
    assert_eq!(answer.code, 409, "{page}");
    let part = between(&page, "Somebody else was quicker", "</section>");
    for text in [theirs, mine, words, "Nia Corran"] {
        assert!(part.contains(text), "no '{text}' in {part}");
    }
    page
}

#[test]
fn two_at_one_piece_keep_what_each_changed() {
    for postgres in [false, true] {
        let studio = Studio::start(postgres, "piece");
        let dav = studio.someone(glost_model::book::Role::Loader);
        let code = studio.mug(&studio.nia, &[]);
        let at = format!("/ware/{code}/change");
        let with = |changes: &[(&str, &str)], version: &str| {
            let mut fields: Vec<(&str, &str)> = MUG.to_vec();
            for (name, value) in changes {
                fields.retain(|f| f.0 != *name);
                fields.push((name, value));
            }
            fields.push(("version", version));
            form(&fields)
        };
        let nia = studio.post(
            &studio.nia,
            &at,
            &with(&[("height", "111"), ("note", "glaze thin")], "1"),
        );
        assert_eq!(nia.code, 303);
        let second = studio.post(
            &dav,
            &at,
            &with(&[("mass", "0.55"), ("note", "handle loose")], "1"),
        );
        let page = both_told(
            &second,
            "glaze thin",
            "handle loose",
            "Both of you changed it",
        );
        assert!(
            page.contains("They changed it, you did not: the form has theirs")
                && page.contains("You changed it, they did not")
        );
        // Sent again on top as the form has it, it loses neither.
        assert_eq!(hidden(&page, "version"), "2");
        let value = |name: &str| {
            between(
                &page,
                &format!("name=\"{name}\" type=\"text\" value=\""),
                "\"",
            )
        };
        assert_eq!(
            (value("height"), value("mass")),
            ("111".to_owned(), "0.55".to_owned())
        );
        let again = studio.post(
            &dav,
            &at,
            &with(
                &[
                    ("height", &value("height")),
                    ("mass", &value("mass")),
                    ("note", "handle loose; glaze thin"),
                ],
                "2",
            ),
        );
        assert_eq!(again.code, 303, "{}", again.text());
        let page = studio.get(&dav, &format!("/ware/{code}")).text();
        assert!(
            page.contains("111 mm")
                && page.contains("0.55 kg")
                && page.contains("handle loose; glaze thin"),
            "{page}"
        );
        // Moved on by one while the other writes why it may not go.
        let to = format!("/ware/{code}/move");
        assert_eq!(
            studio
                .post(
                    &studio.nia,
                    &to,
                    &form(&[("version", "3"), ("to", "drying")])
                )
                .code,
            303
        );
        let second = studio.post(
            &dav,
            &to,
            &form(&[
                ("version", "3"),
                ("to", "refused"),
                ("note", "crack in the foot"),
            ]),
        );
        let page = both_told(&second, "drying", "crack in the foot", "They changed it");
        assert!(
            between(&page, "<textarea", "</textarea>").contains("crack in the foot"),
            "the reason is kept in its field"
        );
    }
}

#[test]
fn every_form_with_a_version_shows_both() {
    let studio = Studio::start(false, "every");
    let dav = studio.join(&studio.invite("technician"), "Davor Lund", "davor");
    // Things of the studio: each form as its page has it, a field changed by each.
    for (path, list, field, theirs, mine) in [
        ("/kilns", "/kilns", "controller.max_segments", "7", "6"),
        ("/clays", "/clays", "cone_to", "9", "10"),
        ("/glazes", "/clays", "cone_to", "9", "10"),
        ("/furniture/shelves", "/furniture", "count", "31", "32"),
        ("/furniture/posts", "/furniture", "count", "31", "32"),
        ("/furniture/supports", "/furniture", "count", "31", "32"),
    ] {
        let page = studio.get(&studio.nia, list).text();
        let id = between(&page, &format!("href=\"{path}/"), "\"");
        let at = format!("{path}/{id}");
        two_at(&studio, &dav, &at, &at, field, theirs, mine);
    }
    two_at(&studio, &dav, "/studio", "/studio", "keep_days", "21", "35");
    let page = studio.get(&studio.nia, "/studio/people").text();
    let ids = page
        .split("href=\"/studio/people/")
        .skip(1)
        .map(|p| p.split('"').next().unwrap());
    let wen = ids.last().unwrap();
    let at = format!("/studio/people/{wen}");
    two_at(&studio, &dav, &at, &at, "mark", "W1", "W2");
    // One's own page, which a technician changes at the same time.
    let me = studio.get(&dav, "/me").text();
    let (id, version) = (between(&me, "/accounts/", "\""), hidden(&me, "version"));
    let body = form(&[
        ("version", version.as_str()),
        ("name", "Davor Lund"),
        ("role", "technician"),
        ("mark", "D1"),
    ]);
    assert_eq!(
        studio
            .post(&studio.nia, &format!("/studio/people/{id}"), &body)
            .code,
        303
    );
    let second = studio.post(
        &dav,
        "/me",
        &form(&[
            ("version", version.as_str()),
            ("mark", "D2"),
            ("reach", "by the door"),
        ]),
    );
    let page = both_told(&second, "D1", "D2", "Both of you changed it");
    assert!(page.contains("value=\"by the door\""));
}

/// Fields of the first form that goes there, as a browser sends it.
fn fields_of(page: &str, to: &str) -> Vec<(String, String)> {
    let part = between(
        page,
        &format!("<form method=\"post\" action=\"{to}\""),
        "</form>",
    );
    let mut all = Vec::new();
    for tag in part.split('<').skip(1) {
        let attribute = |name: &str| {
            Some(
                tag.split_once(&format!(" {name}=\""))?
                    .1
                    .split('"')
                    .next()
                    .unwrap()
                    .to_owned(),
            )
        };
        let Some(name) = attribute("name") else {
            continue;
        };
        if tag.starts_with("select") {
            let rest = part
                .split_once(&format!("<{}", tag.split('>').next().unwrap()))
                .unwrap()
                .1;
            let chosen = rest
                .split("</select>")
                .next()
                .unwrap()
                .split("<option")
                .find(|o| o.contains(" selected"));
            let value = chosen.map_or(String::new(), |o| between(o, "value=\"", "\""));
            all.push((name, value));
        } else if !(tag.contains("\"radio\"") || tag.contains("\"checkbox\""))
            || tag.contains(" checked")
        {
            all.push((name, attribute("value").unwrap_or_default()));
        }
    }
    all
}

fn two_at(
    studio: &Studio,
    second: &str,
    page: &str,
    to: &str,
    field: &str,
    theirs: &str,
    mine: &str,
) {
    let open = studio.get(second, page);
    assert_eq!(open.code, 200, "{page}");
    let fields = fields_of(&open.text(), to);
    let with = |value: &str| {
        let mut fields = fields.clone();
        fields.retain(|f| f.0 != field);
        fields.push((field.to_owned(), value.to_owned()));
        form(&fields)
    };
    let first = studio.post(&studio.nia, to, &with(theirs));
    assert_eq!(first.code, 303, "{to}: {}", first.text());
    let answer = studio.post(second, to, &with(mine));
    let told = both_told(&answer, theirs, mine, "Both of you changed it");
    // What the form has now is sent on top.
    let again = fields_of(&told, to);
    assert!(
        again.iter().any(|f| f.0 == field && f.1 == mine),
        "{to}: {again:?}"
    );
    assert_eq!(studio.post(second, to, &form(&again)).code, 303, "{to}");
    let stored = fields_of(&studio.get(second, page).text(), to);
    assert!(
        stored.iter().any(|f| f.0 == field && f.1 == mine),
        "{to}: {stored:?}"
    );
}

/// Puts a piece into a firing that it came out of cracked.
async fn cracked(studio: &Studio, firing: &str, code: &str) {
    use glost_model::book::ware::{Fault, Spot};
    use glost_model::book::{FaultKind, Ware};
    let store = glost_store::Store::open(&studio.store).await.unwrap();
    let kept = store.get::<Ware>(code).await.unwrap();
    let mut ware = kept.body;
    ware.stood.push(Spot {
        firing: firing.to_owned(),
        tier: "1".to_owned(),
    });
    ware.faults.push(Fault {
        kind: FaultKind::Crack,
        words: String::new(),
        firing: Some(firing.to_owned()),
        edges: None,
        spoilt: false,
        who: ware.owner.clone(),
        at: kept.changed,
    });
    let by = glost_store::By {
        who: "p1",
        at: kept.changed,
    };
    let mut turn = store.turn(by, "note a fault").await.unwrap();
    turn.put(&ware, kept.version).await.unwrap();
    turn.commit().await.unwrap();
    store.close().await;
}

#[test]
fn two_who_tell_of_the_edges_of_one_crack_see_both() {
    let studio = Studio::start(false, "edges");
    let dav = studio.someone(glost_model::book::Role::Loader);
    let firing = studio.firing();
    let code = studio.mug(&studio.nia, &[]);
    let run = tokio::runtime::Runtime::new().unwrap();
    run.block_on(cracked(&studio, &firing, &code));
    let at = format!("/firings/{firing}/causes/{code}");
    two_at(&studio, &dav, &at, &at, "edges 0", "sharp", "rounded");
    let page = studio.get(&dav, &at).text();
    assert!(page.contains("Edges of the crack"), "{page}");
}

#[test]
fn two_at_one_firing_lose_no_note_no_tick_and_no_step() {
    let studio = Studio::start(false, "firing");
    let dav = studio.someone(glost_model::book::Role::Loader);
    let firing = studio.firing();
    // Until it is planned its version goes up by itself.
    let page = loop {
        let page = studio
            .get(&studio.nia, &format!("/firings/{firing}"))
            .text();
        if page.contains("Accept it") {
            // Once more: the plan may have come while the page was being written.
            break studio
                .get(&studio.nia, &format!("/firings/{firing}"))
                .text();
        }
        assert!(!page.contains("There is no plan yet"), "{page}");
        std::thread::yield_now();
    };
    let version = hidden(&page, "version");
    let note = |cookie: &str, words: &str, version: &str| {
        studio.post(
            cookie,
            &format!("/firings/{firing}/note"),
            &form(&[("version", version), ("words", words)]),
        )
    };
    assert_eq!(note(&studio.nia, "lid sticks", &version).code, 303);
    let second = note(&dav, "relay clicks", &version);
    let page = both_told(&second, "lid sticks", "relay clicks", "They changed it");
    assert!(
        page.contains("relay clicks</textarea>"),
        "kept where it was typed"
    );
    assert_eq!(
        note(&dav, "relay clicks", &hidden(&page, "version")).code,
        303
    );
    let page = studio.get(&dav, &format!("/firings/{firing}")).text();
    assert!(page.contains("lid sticks") && page.contains("relay clicks"));

    // On the bench: of two steps made for one state the second is told, and a step for an old plan is none for a new.
    let scene = studio
        .get(&dav, &format!("/firings/{firing}/bench/scene"))
        .json();
    let seen = scene["version"].as_u64().unwrap();
    let piece = between(&scene["tiers"].to_string(), "\"piece\":\"", "\"");
    let edit = |cookie: &str, version: u64| {
        let body = format!("{{\"do\":\"take-out\",\"piece\":\"{piece}\",\"version\":{version}}}");
        studio.served.send(
            "POST",
            &format!("/firings/{firing}/bench/edit"),
            &crate::studio::head(cookie),
            body.as_bytes(),
            JSON,
        )
    };
    let first = edit(&studio.nia, seen);
    assert_eq!(first.code, 200, "{}", first.text());
    let second = edit(&dav, seen);
    assert_eq!(second.code, 409, "{}", second.text());
    assert!(second.text().contains("somebody else changed this load"));

    // At the kiln: two phones at once, with and without script.
    let page = studio
        .get(&studio.nia, &format!("/firings/{firing}"))
        .text();
    assert_eq!(
        studio
            .post(
                &studio.nia,
                &format!("/firings/{firing}/accept"),
                &form(&[("version", hidden(&page, "version"))])
            )
            .code,
        303
    );
    std::thread::scope(|s| {
        for (cookie, half) in [(&studio.nia, 0), (&dav, 1)] {
            let (studio, firing) = (&studio, &firing);
            s.spawn(move || {
                for n in 0..10 {
                    let body = format!(
                        "{{\"fetch/{half}-{n}\":{{\"done\":true,\"at\":\"2026-11-26T10:00:00Z\"}}}}"
                    );
                    let answer = studio.served.send(
                        "POST",
                        &format!("/firings/{firing}/ticks"),
                        &crate::studio::head(cookie),
                        body.as_bytes(),
                        JSON,
                    );
                    assert_eq!(answer.code, 200, "{}", answer.text());
                }
            });
        }
    });
    let ticks = || {
        studio
            .served
            .send(
                "POST",
                &format!("/firings/{firing}/ticks"),
                &crate::studio::head(&dav),
                b"{}",
                JSON,
            )
            .json()
    };
    let done = |ticks: &serde_json::Value| {
        ticks
            .as_object()
            .unwrap()
            .values()
            .filter(|t| t["done"] == true)
            .count()
    };
    assert_eq!(done(&ticks()), 20);
    // A page without script that was opened when only one was ticked leaves the others alone.
    let by_form = |fields: &[(&str, &str)]| {
        studio
            .post(
                &dav,
                &format!("/firings/{firing}/ticks-form"),
                &form(fields),
            )
            .code
    };
    assert_eq!(
        by_form(&[
            ("was", "fetch/0-0"),
            ("tick", "fetch/0-0"),
            ("tick", "shelf/1")
        ]),
        303
    );
    assert_eq!(done(&ticks()), 21);
    assert_eq!(by_form(&[("was", "fetch/0-0")]), 303);
    assert_eq!(done(&ticks()), 20);
}
