//! The pages of a shown plan in a real browser: on a phone and at a desk, by keyboard, and audited by
//! axe-core for WCAG 2.2 AA. Pictures of every page are left in `target/pages/` to be looked at.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod browser;
#[path = "../bench/server.rs"]
mod server;

use browser::{Browser, DESK, PHONE, Screen};
use serde_json::json;
use server::Demo;
use thirtyfour::prelude::*;

/// Least side of what a gloved finger has to hit, CSS pixels (WCAG 2.2 asks for 24).
const TARGET: f64 = 44.0;

#[tokio::test]
async fn pages_can_be_read_and_worked_on_a_phone_and_at_a_desk() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    for screen in [PHONE, DESK] {
        browser.take(screen).await;
        for path in pages(&browser.driver, &demo).await {
            browser.driver.goto(demo.at(&path)).await.unwrap();
            fits(&browser.driver, screen, &path).await;
            audit(&browser, &path).await;
            browser.picture(screen, &path).await;
        }
        slides(&browser.driver, &demo).await;
    }
    browser.end().await;
}

#[tokio::test]
async fn the_loader_walks_from_the_load_up_the_tiers() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    let driver = &browser.driver;
    browser.take(PHONE).await;
    driver.goto(demo.at("/")).await.unwrap();
    // By keyboard alone: the first stop jumps over the rooms.
    driver
        .action_chain()
        .send_keys(Key::Tab + "")
        .perform()
        .await
        .unwrap();
    let first = driver.active_element().await.unwrap();
    assert_eq!(first.text().await.unwrap(), "Skip to the page");
    let tiers = driver.find_all(By::Css(".tiers a")).await.unwrap();
    let (count, lowest) = (tiers.len(), tiers.first().unwrap());
    assert!(count > 2, "{count} tiers");
    lowest.send_keys(Key::Enter + "").await.unwrap();
    for i in 1..count {
        let next = driver.find(By::XPath("//a[starts-with(., 'Next:')]")).await;
        assert!(next.is_ok(), "no way on after {i} tiers");
        next.unwrap().click().await.unwrap();
    }
    let next = driver
        .find_all(By::XPath("//a[starts-with(., 'Next:')]"))
        .await;
    assert!(next.unwrap().is_empty(), "the top tier leads nowhere");
    let sheet = fetched(driver, "/load-sheet.pdf").await;
    assert_eq!(sheet, json!([200, "application/pdf", "%PDF"]));
    let lost = fetched(driver, "/tier/none").await;
    assert_eq!(lost[0], 404);
    browser.end().await;
}

#[tokio::test]
async fn without_script_the_kiln_is_shown_at_a_few_moments() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    let driver = &browser.driver;
    browser.take(PHONE).await;
    let off = json!({ "value": true });
    let cdp = driver.cdp();
    cdp.send_raw("Emulation.setScriptExecutionDisabled", off)
        .await
        .unwrap();
    driver.goto(demo.at("/firing")).await.unwrap();
    let source = driver.source().await.unwrap();
    assert!(
        source.contains(r#"<noscript><div class="stills">"#),
        "parsed as markup"
    );
    let stills = driver
        .find_all(By::Css("noscript figure svg"))
        .await
        .unwrap();
    assert_eq!(stills.len(), 4);
    for still in stills {
        assert!(still.is_displayed().await.unwrap());
    }
    let slider = driver.find(By::Id("across-time")).await.unwrap();
    assert!(
        !slider.is_displayed().await.unwrap(),
        "a slider that does nothing"
    );
    browser.picture(PHONE, "/firing-without-script").await;
    browser.end().await;
}

/// What the picture of the kiln across shows: its time, and the number, ground and ink of the lowest ware.
async fn across(driver: &WebDriver) -> Vec<String> {
    let found = driver
        .execute(
            "const all = document.getElementById('across');
             const part = all.querySelector('[data-part=ware-0]'), heat = all.querySelector('[data-heat=ware-0]');
             return [document.getElementById('across-when').textContent, heat.textContent,
               part.getAttribute('fill'), heat.getAttribute('fill'),
               document.getElementById('across-time').getAttribute('aria-valuetext')];",
            vec![],
        )
        .await
        .unwrap();
    found.convert().unwrap()
}

/// The slider moves the kiln across through its firing, by keyboard and by its buttons.
async fn slides(driver: &WebDriver, demo: &Demo) {
    driver.goto(demo.at("/firing")).await.unwrap();
    let at_peak = across(driver).await;
    let slider = driver.find(By::Id("across-time")).await.unwrap();
    slider.send_keys(Key::Home + "").await.unwrap();
    let cold = across(driver).await;
    assert!(cold[0].contains(" min after the start, firing"), "{cold:?}");
    assert_eq!(cold[0], cold[4]);
    let (hot, room): (f64, f64) = (at_peak[1].parse().unwrap(), cold[1].parse().unwrap());
    assert!(hot > 1000.0 && room < 40.0, "{hot} {room}");
    assert_ne!(at_peak[2], cold[2]);
    assert_eq!(
        (at_peak[3].as_str(), cold[3].as_str()),
        ("#ffffff", "#000000")
    );
    slider.send_keys(Key::Right + "").await.unwrap();
    let next = across(driver).await;
    assert_ne!(next[0], cold[0]);
    driver
        .find(By::Id("across-earlier"))
        .await
        .unwrap()
        .click()
        .await
        .unwrap();
    assert_eq!(across(driver).await, cold);
    slider.send_keys(Key::End + "").await.unwrap();
    assert!(across(driver).await[0].contains("cooling"));
    for word in [" after the start", "sensor ", "ware "] {
        assert!(cold[4].contains(word), "{cold:?}");
    }
    // Without script a few moments stand in its place.
    let stills = driver
        .execute(
            "const page = new DOMParser().parseFromString(document.querySelector('noscript').textContent, 'text/html');
             return [...page.querySelectorAll('svg')].map(s => s.getAttribute('aria-label'));",
            vec![],
        )
        .await
        .unwrap();
    let stills: Vec<String> = stills.convert().unwrap();
    assert_eq!(stills.len(), 4, "{stills:?}");
}

/// Every page that the load leads to.
async fn pages(driver: &WebDriver, demo: &Demo) -> Vec<String> {
    driver.goto(demo.at("/")).await.unwrap();
    let mut all = Vec::new();
    for link in driver.find_all(By::Css("nav a, .tiers a")).await.unwrap() {
        all.push(link.attr("href").await.unwrap().unwrap());
    }
    assert!(all.len() > 5, "{all:?}");
    all.push("/nowhere".to_owned());
    all
}

/// Nothing runs over the side, what is touched is large enough, and drawn words can be read.
async fn fits(driver: &WebDriver, screen: Screen, path: &str) {
    let found = driver
        .execute(
            "const root = document.documentElement;
             const small = [...document.querySelectorAll('nav a, .tiers a, .step, footer a, button, input')]
               .map(a => [a.textContent, a.getBoundingClientRect()])
               .filter(([_, r]) => Math.min(r.width, r.height) < arguments[0]).map(([t]) => t);
             const tiny = [...document.querySelectorAll('figure svg')].flatMap(svg => {
               const box = svg.getBoundingClientRect(), view = svg.viewBox.baseVal;
               const px = Math.min(box.width / view.width, box.height / view.height);
               return [...svg.querySelectorAll('text')].filter(t => px > 0 && t.getAttribute('font-size') * px < 12)
                 .map(t => t.textContent); });
             return { width: innerWidth, over: root.scrollWidth - root.clientWidth, small, tiny,
               heading: document.querySelectorAll('h1').length };",
            vec![json!(TARGET)],
        )
        .await
        .unwrap();
    assert_eq!(
        found.json(),
        &json!({ "width": screen.width, "over": 0, "small": [], "tiny": [], "heading": 1 }),
        "{path}"
    );
}

async fn audit(browser: &Browser, path: &str) {
    let found = browser
        .driver
        .execute_async(
            &format!(
                "{}; const done = arguments[arguments.length - 1];
                 axe.run({{ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] }})
                   .then(r => done({{ rules: r.passes.length, faults: r.violations.map(v =>
                     v.id + ': ' + v.nodes.map(n => n.html).join(' | ')) }}));",
                browser.axe
            ),
            vec![],
        )
        .await
        .unwrap();
    let found = found.json();
    assert_eq!(found["faults"], json!([]), "{path}");
    assert!(
        found["rules"].as_u64().unwrap() > 5,
        "the audit ran on {path}"
    );
}

/// Status, kind and first bytes of a file.
async fn fetched(driver: &WebDriver, path: &str) -> serde_json::Value {
    let found = driver
        .execute_async(
            "const done = arguments[1];
             fetch(arguments[0]).then(async r => done([r.status, r.headers.get('content-type'),
               new TextDecoder('latin1').decode((await r.arrayBuffer()).slice(0, 4))]));",
            vec![json!(path)],
        )
        .await
        .unwrap();
    found.json().clone()
}
