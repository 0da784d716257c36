//! Two people at one thing, each in a browser of their own.

use thirtyfour::prelude::*;

use crate::browser::{Browser, DESK, PHONE, Screen};
use crate::hand::{choose, enter, looks_right, press, said, says, touch, until, write};
use crate::studio::{PASSWORD, Studio, between};

/// Somebody at a page.
async fn at<'a>(
    browser: &'a Browser,
    studio: &Studio,
    screen: Screen,
    login: &str,
) -> &'a WebDriver {
    browser.take(screen).await;
    enter(&browser.driver, &url(studio, "/enter"), login, PASSWORD).await;
    &browser.driver
}

fn url(studio: &Studio, path: &str) -> String {
    format!("http://{}{path}", studio.served.host)
}

async fn value(driver: &WebDriver, name: &str) -> String {
    let field = driver.find(By::Name(name)).await.unwrap();
    field.prop("value").await.unwrap().unwrap_or_default()
}

#[tokio::test(flavor = "multi_thread")]
async fn two_people_at_once_lose_nothing() {
    let studio = tokio::task::spawn_blocking(|| Studio::start(false, "editing"))
        .await
        .unwrap();
    let (code, kiln) = tokio::task::block_in_place(|| {
        studio.join(&studio.invite("technician"), "Davor Lund", "davor");
        let kilns = studio.get(&studio.nia, "/kilns").text();
        (
            studio.mug(&studio.nia, &[]),
            between(&kilns, "href=\"/kilns/", "\""),
        )
    });
    let (one, other) = (Browser::start().await, Browser::start().await);
    let nia = at(&one, &studio, DESK, "nia").await;
    let dav = at(&other, &studio, PHONE, "davor").await;

    // The same piece: both open it, both store.
    let piece = url(&studio, &format!("/ware/{code}/change"));
    nia.goto(&piece).await.unwrap();
    dav.goto(&piece).await.unwrap();
    write(nia, "height", "120").await;
    choose(nia, "foot", "wiped").await;
    write(nia, "note", "glaze thin at the rim").await;
    press(nia, "Store").await;
    says(nia, "Done.").await;
    write(dav, "mass", "0.6").await;
    write(dav, "note", "handle is loose").await;
    press(dav, "Store").await;
    for words in [
        "Somebody else was quicker: yours is not stored yet",
        "Nia Corran",
        "glaze thin at the rim",
        "handle is loose",
        "Both of you changed it: the form has yours",
        "They changed it, you did not: the form has theirs",
        "You changed it, they did not: the form has yours",
    ] {
        says(dav, words).await;
    }
    looks_right(&other, PHONE, "two-at-a-piece").await;
    assert_eq!(
        (
            value(dav, "height").await.as_str(),
            value(dav, "mass").await.as_str()
        ),
        ("120", "0.6")
    );
    write(dav, "note", "handle is loose; glaze thin at the rim").await;
    press(dav, "Store").await;
    for words in [
        "120 mm",
        "0.6 kg",
        "wiped",
        "handle is loose; glaze thin at the rim",
    ] {
        if words != "wiped" {
            says(dav, words).await;
        }
    }
    dav.goto(&piece).await.unwrap();
    let wiped = dav
        .find(By::Css("input[name=foot][value=wiped]"))
        .await
        .unwrap();
    assert!(
        wiped.is_selected().await.unwrap(),
        "what only one changed is kept"
    );

    // The same kiln, and a third change while the second looks at both.
    let kiln = url(&studio, &format!("/kilns/{kiln}"));
    for driver in [nia, dav] {
        driver.goto(&kiln).await.unwrap();
    }
    write(nia, "element_ageing", "1.05").await;
    press(nia, "Store").await;
    write(dav, "element_ageing", "1.08").await;
    press(dav, "Store").await;
    says(dav, "Both of you changed it").await;
    nia.goto(&kiln).await.unwrap();
    write(nia, "controller.max_segments", "7").await;
    press(nia, "Store").await;
    press(dav, "Store").await;
    says(dav, "Somebody else was quicker").await;
    assert_eq!(value(dav, "controller.max_segments").await, "7");
    press(dav, "Store").await;
    dav.goto(&kiln).await.unwrap();
    assert_eq!(
        (
            value(dav, "element_ageing").await.as_str(),
            value(dav, "controller.max_segments").await.as_str()
        ),
        ("1.08", "7")
    );

    // The same firing: ticks of two at the kiln, and a note.
    let firing = tokio::task::block_in_place(|| studio.firing());
    let firing = url(&studio, &format!("/firings/{firing}"));
    nia.goto(&firing).await.unwrap();
    until(nia, "Accept it").await;
    press(nia, "Accept").await;
    press(nia, "Begin to load").await;
    let sheet = format!("{firing}/at-kiln");
    dav.goto(&sheet).await.unwrap();
    for (driver, at) in [(nia, 0), (dav, 1)] {
        let boxes = driver
            .find_all(By::Css("#sheet input[data-key]"))
            .await
            .unwrap();
        touch(&boxes[at]).await;
        until(driver, "All ticks are kept by the studio").await;
    }
    nia.goto(&sheet).await.unwrap();
    until(nia, "2 of ").await;
    for driver in [nia, dav] {
        driver.goto(&firing).await.unwrap();
    }
    write(nia, "words", "lid sticks").await;
    press(nia, "Note it").await;
    write(dav, "words", "relay clicks").await;
    press(dav, "Note it").await;
    says(dav, "lid sticks").await;
    assert_eq!(value(dav, "words").await, "relay clicks");
    looks_right(&other, PHONE, "two-at-a-firing").await;
    press(dav, "Note it").await;
    let all = said(dav).await;
    assert!(
        all.contains("lid sticks") && all.contains("relay clicks"),
        "{all}"
    );
    one.end().await;
    other.end().await;
}
