//! A person at a page: what they see, type and press.

use std::time::Duration;

use serde_json::json;
use thirtyfour::prelude::*;

use crate::browser::{Browser, Screen};

/// Least side of what a gloved finger has to hit, CSS pixels.
const TARGET: f64 = 44.0;

/// Signs in.
pub async fn enter(driver: &WebDriver, at: &str, login: &str, password: &str) {
    driver.goto(at).await.unwrap();
    write(driver, "login", login).await;
    write(driver, "password", password).await;
    press(driver, "Sign in").await;
}

/// Writes into a field, in place of what is there.
pub async fn write(driver: &WebDriver, name: &str, text: &str) {
    let field = driver.find(By::Name(name)).await.unwrap();
    unfold(driver, &field).await;
    let kind = field.attr("type").await.unwrap().unwrap_or_default();
    if kind == "datetime-local" || kind == "date" {
        // Typed in parts that depend on the browser's language; a page gets the value alone.
        driver
            .execute(
                "arguments[0].value = arguments[1]",
                vec![field.to_json().unwrap(), json!(text)],
            )
            .await
            .unwrap();
        return;
    }
    field.clear().await.unwrap();
    field.send_keys(text).await.unwrap();
}

/// Opens what an element is folded away in.
async fn unfold(driver: &WebDriver, element: &WebElement) {
    driver
        .execute(
            "for (let d = arguments[0].closest('details'); d; d = d.parentElement.closest('details')) d.open = true",
            vec![element.to_json().unwrap()],
        )
        .await
        .unwrap();
}

/// Chooses one of a list, or one of several in sight.
pub async fn choose(driver: &WebDriver, name: &str, value: &str) {
    let radio = driver
        .find_all(By::Css(format!("input[name='{name}'][value='{value}']")))
        .await
        .unwrap();
    match radio.first() {
        Some(radio) => {
            unfold(driver, radio).await;
            touch(radio).await;
        }
        None => {
            let option = By::Css(format!("select[name='{name}'] option[value='{value}']"));
            driver.find(option).await.unwrap().click().await.unwrap();
        }
    }
}

/// Touches it where no bar lies over it.
pub async fn touch(element: &WebElement) {
    element.scroll_into_view().await.unwrap();
    element.click().await.unwrap();
}

/// Presses what leads to another page, and waits for that. A form is sent after the click is over: the page that comes
/// is the one without a mark.
pub async fn go_by(driver: &WebDriver, element: &WebElement, words: &str) {
    driver
        .execute("document.documentElement.dataset.pressed = 'yes'", vec![])
        .await
        .unwrap();
    element.click().await.unwrap();
    let next = driver.query(By::Css("html:not([data-pressed]) body footer"));
    let next = next.wait(Duration::from_secs(60), Duration::from_millis(50));
    assert!(
        next.first().await.is_ok(),
        "'{words}' leads to no other page"
    );
}

/// Presses a button or follows a link by its words.
pub async fn press(driver: &WebDriver, words: &str) {
    let found = driver
        .find_all(By::XPath(format!(
            "//main//button[contains(normalize-space(.), \"{words}\")] | //main//a[contains(normalize-space(.), \"{words}\")] | //main//summary[contains(normalize-space(.), \"{words}\")]"
        )))
        .await
        .unwrap();
    for element in found {
        if element.is_displayed().await.unwrap() {
            element.scroll_into_view().await.unwrap();
            if element.tag_name().await.unwrap() == "summary" {
                element.click().await.unwrap();
            } else {
                go_by(driver, &element, words).await;
            }
            return;
        }
    }
    panic!(
        "nothing to press says '{words}' on:\n{}",
        said(driver).await
    );
}

/// The words of the page.
pub async fn said(driver: &WebDriver) -> String {
    driver
        .find(By::Css("main"))
        .await
        .unwrap()
        .text()
        .await
        .unwrap()
}

/// Fails with the page's words when it does not say this.
pub async fn says(driver: &WebDriver, words: &str) {
    let all = said(driver).await;
    assert!(
        all.contains(words),
        "the page does not say '{words}':\n{all}"
    );
}

/// Waits until the page says something, as after a plan was made.
pub async fn until(driver: &WebDriver, words: &str) {
    let found = driver
        .query(By::XPath(format!(
            "//main[contains(normalize-space(.), \"{words}\")]"
        )))
        .wait(Duration::from_secs(180), Duration::from_millis(200))
        .first()
        .await;
    assert!(
        found.is_ok(),
        "the page never says '{words}':\n{}",
        said(driver).await
    );
}

/// The page is fit for everybody: axe-core finds nothing, nothing is cut off, targets are large; and a picture is left.
pub async fn looks_right(browser: &Browser, screen: Screen, name: &str) {
    let driver = &browser.driver;
    let wide = driver
        .execute("return document.documentElement.scrollWidth", vec![])
        .await
        .unwrap();
    assert!(
        wide.json().as_u64().unwrap() <= u64::from(screen.width),
        "{name} is wider than the screen"
    );
    let small = driver
        .execute(
            "return [...document.querySelectorAll('main button, main a, main summary, nav a, nav summary, main select, main input:not([type=hidden])')]
               .filter((e) => e.offsetParent && e.checkVisibility()).map((e) => { const b = (e.closest('label') ?? e).getBoundingClientRect(); return [b.width, b.height, e.outerHTML.slice(0, 90)]; })
               .filter(([w, h]) => w < arguments[0] || h < arguments[0]).map(String)",
            vec![json!(TARGET)],
        )
        .await
        .unwrap();
    assert_eq!(small.json(), &json!([]), "{name}");
    driver.execute(&browser.axe, vec![]).await.unwrap();
    let found = driver
        .execute_async(
            "const done = arguments[0];
             axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] })
               .then((r) => done(r.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html).join(' ')}`)), (e) => done(String(e)))",
            vec![],
        )
        .await
        .unwrap();
    assert_eq!(found.json(), &json!([]), "{name}");
    browser.picture(screen, &format!("week-{name}")).await;
}
