//! The bar as people see it, on a phone and at a desk.

use glost_store::Store;
use glost_studio::desk::Desk;
use thirtyfour::prelude::*;

use crate::alarm;
use crate::browser::{Browser, DESK, PHONE, Screen};
use crate::hand::{enter, go_by, looks_right, press, says};
use crate::served::{Served, new_place};

async fn seen(screen: Screen, name: &str) {
    let folder = tempfile::tempdir().unwrap();
    let (store, photos) = new_place(folder.path(), "seen", false);
    let (served, _) = Served::with_demo(&store, &photos);
    let desk = Desk::new(Store::open(&store).await.unwrap(), photos);
    let at: jiff::Timestamp = "2026-11-26T09:00:00Z".parse().unwrap();
    desk.raise(&alarm(at)).await.unwrap();
    for n in 0..4 {
        let mut other = alarm(at);
        other.urgent = false;
        other.about = format!("sensor-{n}");
        desk.raise(&other).await.unwrap();
    }
    let browser = Browser::start().await;
    let driver = &browser.driver;
    browser.take(screen).await;
    let page = |path: &str| format!("http://{}{path}", served.host);
    enter(driver, &page("/enter"), "nia", "moor lantern kiln").await;
    for path in ["/", "/ware/new", "/studio", "/me", "/notices"] {
        driver.goto(page(path)).await.unwrap();
        let what = path.replace('/', "-");
        looks_right(&browser, screen, &format!("{name}-notices{what}")).await;
    }
    driver.goto(page("/firings")).await.unwrap();
    let calls = async || {
        driver
            .find_all(By::Css(".calls .call"))
            .await
            .unwrap()
            .len()
    };
    assert_eq!(calls().await, 3);
    let button = driver.find(By::Css(".calls button")).await.unwrap();
    let side = button.rect().await.unwrap();
    assert!(side.width >= 44.0 && side.height >= 44.0, "{side:?}");
    assert_eq!(button.text().await.unwrap(), "I am on it");
    go_by(driver, &button, "I am on it").await;
    says(driver, "Done.").await;
    assert!(driver.current_url().await.unwrap().path() == "/firings");
    // A slip of the finger.
    press(driver, "Undo").await;
    driver.goto(page("/notices")).await.unwrap();
    assert_eq!(driver.find_all(By::Css(".call")).await.unwrap().len(), 5);
    press(driver, "I am on it").await;
    says(driver, "Nia Corran is on it since").await;
    looks_right(&browser, screen, &format!("{name}-notices-seen")).await;
    browser.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bar_is_seen_on_a_phone() {
    seen(PHONE, "phone").await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bar_is_seen_at_a_desk() {
    seen(DESK, "desk").await;
}
