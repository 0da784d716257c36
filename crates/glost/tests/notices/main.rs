//! Notices on the pages of a served studio, as programs read them and as people see them.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

#[path = "../pages/browser.rs"]
mod browser;
#[path = "../week/hand.rs"]
#[expect(dead_code, reason = "these tests use a part")]
mod hand;
mod seen;
#[path = "../served/mod.rs"]
mod served;

use glost_model::book::{Notice, NoticeKind};
use glost_store::Store;
use glost_studio::desk::Desk;
use glost_studio::desk::notice::RaisedAs;
use glost_studio::{demo_texts, open_texts};
use served::{FORM, Served, new_place};

/// An alarm of a kiln whose name could break a page.
fn alarm(at: jiff::Timestamp) -> Notice {
    Notice {
        firing: "0001".into(),
        kiln: "Heron <b>".into(),
        at,
        kind: NoticeKind::Alarm,
        about: "element-out".into(),
        words: "The kiln rises slower than it should.".into(),
        what_to_do: "Look whether all elements glow.".into(),
        urgent: true,
        grave: 0,
        link: Some("/firings".into()),
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn an_alarm_stands_on_every_page_until_somebody_is_on_it() {
    let folder = tempfile::tempdir().unwrap();
    let (store, photos) = new_place(folder.path(), "notices", false);
    let (served, cookie) = Served::with_demo(&store, &photos);
    let get = |path: &str| served.send("GET", path, &[("Cookie", &cookie)], b"", "");
    let post = |path: &str, form: &str| {
        served.send("POST", path, &[("Cookie", &cookie)], form.as_bytes(), FORM)
    };
    assert!(!get("/").text().contains("I am on it"));
    // The watcher raises it in the same book.
    let desk = Desk::new(Store::open(&store).await.unwrap(), photos.clone());
    let at = "2026-11-26T09:00:00Z".parse().unwrap();
    desk.raise(&alarm(at)).await.unwrap();
    for path in [
        "/", "/ware", "/firings", "/studio", "/me", "/help", "/notices",
    ] {
        let page = get(path).text();
        assert!(page.contains("Heron &lt;b&gt;, alarm. "), "{path}: {page}");
        assert!(page.contains("Urgent: ") && page.contains("Look whether all elements glow."));
        assert!(page.contains("/notices/000001/on-it"), "{path}");
        assert_eq!(
            page.matches("role=\"alert\"").count(),
            usize::from(path != "/notices")
        );
    }
    let answer = post("/notices/000001/on-it", "to=/ware");
    assert_eq!(answer.code, 303, "{}", answer.text());
    assert!(answer.header("location").unwrap().starts_with("/ware?did="));
    assert!(!get("/ware").text().contains("I am on it"));
    let list = get("/notices").text();
    assert!(list.contains("Nia Corran is on it since"), "{list}");
    // Nobody is led elsewhere.
    let answer = post("/notices/000001/on-it", "to=//elsewhere.example/");
    assert!(
        answer
            .header("location")
            .unwrap()
            .starts_with("/notices?did=")
    );
    assert_eq!(post("/notices/000009/on-it", "to=/").code, 404);
}

/// In either database, where the one that comes second must wait for the first.
#[test]
fn two_who_see_the_same_at_once_tell_it_once() {
    for postgres in [false, true] {
        let folder = tempfile::tempdir().unwrap();
        let (store, photos) = new_place(folder.path(), "twice", postgres);
        let run = tokio::runtime::Runtime::new().unwrap();
        run.block_on(async {
            let desk = Desk::new(Store::open(&store).await.unwrap(), photos);
            let (studio, _) = open_texts(&demo_texts()).unwrap();
            let at = "2026-11-26T09:00:00Z".parse().unwrap();
            desk.bring_in(&studio, &[], at).await.unwrap();
            let mut all = tokio::task::JoinSet::new();
            for _ in 0..6 {
                let desk = desk.clone();
                all.spawn(async move { desk.raise(&alarm(at)).await.unwrap() });
            }
            let raised = all.join_all().await;
            let new = raised.iter().filter(|r| matches!(r, RaisedAs::New { .. }));
            assert_eq!(new.count(), 1, "{raised:?}");
            desk.store.close().await;
        });
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn wishes_and_ways_are_stored_and_tried_from_pages() {
    let folder = tempfile::tempdir().unwrap();
    let (store, photos) = new_place(folder.path(), "ways", false);
    let (served, cookie) = Served::with_demo(&store, &photos);
    let get = |path: &str| served.send("GET", path, &[("Cookie", &cookie)], b"", "");
    let post = |path: &str, form: &str| {
        served.send("POST", path, &[("Cookie", &cookie)], form.as_bytes(), FORM)
    };
    let mine = "version=1&length=mm&mass=kg&temperature=C&reach=nia%40moor.example&which=all";
    let answer = post("/me", &format!("{mine}&quiet=late"));
    assert_eq!(answer.code, 422);
    assert!(
        answer.text().contains("no span of hours") && answer.text().contains("nia@moor.example")
    );
    let answer = post("/me", &format!("{mine}&quiet=22:00-07:00"));
    assert_eq!(answer.code, 303, "{}", answer.text());
    assert!(get("/me").text().contains("22:00-07:00"));
    // Nothing is set yet.
    assert!(
        post("/studio/notices/test", "")
            .text()
            .contains("No way to tell people is set yet")
    );
    assert!(
        post("/me/notices/test", "")
            .text()
            .contains("has no e-mail set")
    );
    // The form as a browser sends it back, with a webhook where nobody is.
    let page = get("/studio").text();
    let mut form = fields_of(&page);
    form.retain(|f| f.0 != "ways.webhook" && f.0 != "ways.mqtt_topic");
    form.push(("ways.webhook".into(), "http://127.0.0.1:9/hook".into()));
    let text = |form: &[(String, String)]| {
        let pairs: Vec<String> = form
            .iter()
            .map(|(a, b)| format!("{}={}", escaped(a), escaped(b)))
            .collect();
        pairs.join("&")
    };
    let mut bad = form.clone();
    bad.push(("ways.mqtt_topic".into(), "kilns/1/set-point".into()));
    let answer = post("/studio", &text(&bad));
    assert_eq!(answer.code, 422);
    assert!(
        answer
            .text()
            .contains("Glost does not publish on that topic")
    );
    let answer = post("/studio", &text(&form));
    assert_eq!(answer.code, 303, "{}", answer.text());
    let tried = post("/studio/notices/test", "").text();
    assert!(
        tried.contains("webhook: ") && tried.contains("127.0.0.1 cannot be reached"),
        "{tried}"
    );
}

/// Fields of the form of the studio, as they stand.
fn fields_of(page: &str) -> Vec<(String, String)> {
    let start = page.find("action=\"/studio\"").unwrap();
    let form = &page[start..start + page[start..].find("</form>").unwrap()];
    let part = |tag: &str, key: &str| {
        let from = tag.find(&format!(" {key}=\""))? + key.len() + 3;
        Some(tag[from..from + tag[from..].find('"')?].to_owned())
    };
    let tags = form
        .split("<input ")
        .skip(1)
        .map(|t| format!(" {}", &t[..t.find('>').unwrap()]));
    tags.filter(|t| !t.contains("type=\"radio\"") || t.contains(" checked"))
        .filter_map(|t| Some((part(&t, "name")?, part(&t, "value").unwrap_or_default())))
        .collect()
}

fn escaped(text: &str) -> String {
    text.bytes().map(|b| format!("%{b:02X}")).collect()
}
