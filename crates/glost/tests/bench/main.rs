//! The bench in a real browser: pieces dragged and moved by keys, the judge's words, and the kiln in 3D.
//! Pictures are left in `target/pages/` to be looked at.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "../pages/browser.rs"]
mod browser;
mod hand;
mod server;

use browser::{Browser, DESK, PHONE};
use hand::Hand;
use serde_json::{Value, json};
use server::Demo;
use thirtyfour::prelude::*;

#[tokio::test]
async fn a_dragged_piece_is_judged_by_name_and_put_back() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    browser.take(DESK).await;
    let hand = Hand::open(&browser, &demo).await;
    let (a, b) = hand.pair().await;
    let was = hand.place(&a).await;
    hand.drag(&a, &b).await;
    hand.until(&format!(
        "document.getElementById('bench-say').textContent.includes('broken')
         && [...document.querySelectorAll('#bench-breaches li')].some(l =>
              l.textContent.includes('{a}') && l.textContent.includes('{b}') && l.textContent.includes('mm are wanted'))"
    ))
    .await;
    let wrong = hand
        .ask(&format!(
            "return document.querySelector('[data-piece=\"{a}\"]').getAttribute('aria-label')"
        ))
        .await;
    assert!(
        wrong.as_str().unwrap().ends_with("breaks a rule"),
        "{wrong}"
    );
    hand.audit("a breach").await;
    browser.picture(DESK, "/bench-breach").await;
    hand.press("bench-undo").await;
    hand.until(
        "document.getElementById('bench-say').textContent === 'The judge accepts this load.'",
    )
    .await;
    assert_eq!(hand.place(&a).await, was);
    // Done again and settled, the judge accepts it.
    hand.press("bench-redo").await;
    hand.until("!document.getElementById('bench-settle').disabled")
        .await;
    hand.press("bench-settle").await;
    hand.until("document.getElementById('bench-say').textContent.startsWith('The judge accepts this load. Changed: ')").await;
    browser.end().await;
}

#[tokio::test]
async fn everything_can_be_done_without_a_drag_on_a_phone() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    browser.take(PHONE).await;
    let hand = Hand::open(&browser, &demo).await;
    let (a, b) = hand.pair().await;
    hand.choose("bench-piece", &a).await;
    let was = hand.place(&a).await;
    // By arrow keys on the piece itself: 5 mm, then 1 mm back.
    let piece = browser
        .driver
        .find(By::Css(format!("[data-piece='{a}']")))
        .await
        .unwrap();
    piece.focus().await.unwrap();
    piece.send_keys(Key::Right + "").await.unwrap();
    hand.until(&moved(&a, was.0 + 5.0)).await;
    let piece = browser
        .driver
        .find(By::Css(format!("[data-piece='{a}']")))
        .await
        .unwrap();
    assert_eq!(
        browser
            .driver
            .active_element()
            .await
            .unwrap()
            .attr("data-piece")
            .await
            .unwrap(),
        Some(a.clone())
    );
    piece.send_keys(Key::Shift + Key::Left).await.unwrap();
    hand.until(&moved(&a, was.0 + 4.0)).await;
    // By buttons.
    hand.ask("document.querySelector('[data-nudge=\"-1 0\"]').click()")
        .await;
    hand.until(&moved(&a, was.0 - 1.0)).await;
    hand.press("bench-undo").await;
    hand.until(&moved(&a, was.0 + 4.0)).await;
    hand.press("bench-undo").await;
    hand.press("bench-undo").await;
    hand.until(&moved(&a, was.0)).await;
    // Two pieces change places.
    let there = hand.place(&b).await;
    hand.choose("bench-swap-with", &b).await;
    hand.press("bench-swap").await;
    hand.until(&moved(&a, there.0)).await;
    assert_eq!(hand.place(&b).await, was);
    hand.press("bench-undo").await;
    hand.until(&moved(&a, was.0)).await;
    // What is locked stays.
    hand.press("bench-lock").await;
    hand.until("document.getElementById('bench-lock').textContent === 'Unlock'")
        .await;
    hand.press("bench-take-out").await;
    hand.until("document.getElementById('bench-say').textContent.includes('unlock it first')")
        .await;
    hand.ask("document.querySelector('[data-nudge=\"1 0\"]').click()")
        .await;
    assert_eq!(hand.place(&a).await, was);
    hand.press("bench-lock").await;
    hand.until("document.getElementById('bench-lock').textContent === 'Lock'")
        .await;
    // Out, and in again on another tier.
    hand.press("bench-take-out").await;
    hand.until(&format!(
        "[...document.getElementById('bench-out').options].some(o => o.value === '{a}')"
    ))
    .await;
    hand.choose("bench-out", &a).await;
    let why = hand
        .ask("return document.getElementById('bench-why').textContent")
        .await;
    assert!(
        why.as_str()
            .unwrap()
            .starts_with("Stays out: taken out by hand"),
        "{why}"
    );
    hand.press("bench-put-in").await;
    hand.until(&format!(
        "document.querySelector('[data-piece=\"{a}\"][aria-pressed=true]')"
    ))
    .await;
    hand.fits(PHONE, "/bench").await;
    hand.audit("/bench on a phone").await;
    browser.picture(PHONE, "/bench").await;
    browser.end().await;
}

#[tokio::test]
async fn a_change_made_for_an_older_load_is_refused_in_words() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    browser.take(DESK).await;
    let hand = Hand::open(&browser, &demo).await;
    let (a, _) = hand.pair().await;
    let post = |body: Value| {
        format!(
            "const done = arguments[arguments.length - 1];
             fetch('/bench/edit', {{ method: 'POST', body: JSON.stringify({body}) }})
               .then(async r => done([r.status, await r.json()]));"
        )
    };
    let late = hand
        .wait_for(&post(json!({ "do": "lock", "piece": a, "version": 99 })))
        .await;
    assert_eq!(late[0], 409);
    assert_eq!(
        late[1]["error"],
        "somebody else changed this load: you saw version 99, it is now 1. Look at the load as it is now, then do yours again"
    );
    let unknown = hand
        .wait_for(&post(
            json!({ "do": "lock", "piece": "none", "version": 1 }),
        ))
        .await;
    assert_eq!(
        (&unknown[0], &unknown[1]["error"]),
        (
            &json!(422),
            &json!("the studio has no piece 'none': check its slip")
        )
    );
    let broken = hand
        .wait_for(&post(json!({ "do": "burn", "version": 1 })))
        .await;
    assert_eq!(broken[0], 400);
    let done = hand
        .wait_for(&post(json!({ "do": "lock", "piece": a, "version": 1 })))
        .await;
    assert_eq!(
        (&done[0], &done[1]["version"], &done[1]["can_undo"]),
        (&json!(200), &json!(2), &json!(true))
    );
    // The page, which still shows the load before, says so and shows the one there is now.
    hand.choose("bench-piece", &a).await;
    hand.press("bench-take-out").await;
    hand.until("document.getElementById('bench-say').textContent.startsWith('Not done: somebody else changed this load')").await;
    hand.until("document.getElementById('bench-lock').textContent === 'Unlock'")
        .await;
    browser.end().await;
}

#[tokio::test]
async fn the_answer_comes_before_a_hand_notices() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    browser.take(DESK).await;
    let hand = Hand::open(&browser, &demo).await;
    let (a, _) = hand.pair().await;
    let took = hand
        .wait_for(&format!(
            "const done = arguments[arguments.length - 1];
             (async () => {{
               const took = [];
               for (let n = 0; n < 20; n++) {{
                 const start = performance.now();
                 const body = JSON.stringify({{ do: 'move', piece: '{a}', tier: '1', x_m: n / 200, y_m: 0, version: 1 }});
                 const answer = await fetch('/bench/try', {{ method: 'POST', body }});
                 await answer.json();
                 took.push(performance.now() - start);
               }}
               done(took.sort((a, b) => a - b));
             }})();"
        ))
        .await;
    let took: Vec<f64> = serde_json::from_value(took).unwrap();
    println!(
        "asked from the page: {:.0} ms in the middle, {:.0} ms at most",
        took[10], took[19]
    );
    assert!(took[10] < 100.0, "{took:?}");
    browser.end().await;
}

#[tokio::test]
async fn the_forecast_stands_beside_the_load_and_follows_it_when_asked() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    browser.take(PHONE).await;
    let hand = Hand::open(&browser, &demo).await;
    let of = |words: &str| {
        format!("document.getElementById('bench-forecast-of').textContent.startsWith('{words}')")
    };
    hand.until(&of("Of the plan")).await;
    hand.until("document.getElementById('bench-foresee').hidden")
        .await;
    let (a, b) = hand.pair().await;
    for piece in [&a, &b] {
        hand.choose("bench-piece", piece).await;
        hand.press("bench-take-out").await;
        let out = format!(
            "[...document.getElementById('bench-out').options].some(o => o.value === '{piece}')"
        );
        hand.until(&out).await;
    }
    hand.until(&of("The load was changed since")).await;
    hand.press("bench-foresee").await;
    hand.until(&of("Of the load as it is now")).await;
    for (screen, name) in [(PHONE, "/bench-foreseen"), (DESK, "/bench-foreseen")] {
        browser.take(screen).await;
        hand.fits(screen, name).await;
        hand.audit(name).await;
        browser.picture(screen, name).await;
    }
    // A lock moves nothing; what moves makes it old.
    hand.choose("bench-piece", hand.pair().await.0.as_str())
        .await;
    hand.press("bench-lock").await;
    hand.until("document.getElementById('bench-lock').textContent === 'Unlock'")
        .await;
    hand.until(&of("Of the load as it is now")).await;
    for back in [
        "The load was changed since",
        "The load was changed since",
        "Of the plan",
    ] {
        hand.press("bench-undo").await;
        hand.until(&of(back)).await;
    }
    browser.end().await;
}

#[tokio::test]
async fn the_kiln_turns_and_its_pieces_are_named() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    for screen in [PHONE, DESK] {
        browser.take(screen).await;
        let hand = Hand::open(&browser, &demo).await;
        hand.until("document.getElementById('view-piece').options.length > 20")
            .await;
        let first = hand.seen().await;
        assert!(first.0 > 12, "{first:?}: a blank picture");
        // By key, then from above; motion that was not wanted is not made.
        let canvas = browser.driver.find(By::Id("view-canvas")).await.unwrap();
        canvas.focus().await.unwrap();
        canvas.send_keys(Key::Left + "").await.unwrap();
        let turned = hand.seen().await;
        assert_ne!(turned.1, first.1);
        hand.press("view-above").await;
        let above = hand.seen().await;
        assert_ne!(above.1, turned.1);
        // The uppermost shelf hides what is below it until it is lifted off.
        hand.ask("const s = document.getElementById('view-tiers'); s.value = '1'; s.dispatchEvent(new Event('input'))").await;
        assert_ne!(hand.seen().await.1, above.1);
        let lifted = hand
            .ask("return document.getElementById('view-lifted').textContent")
            .await;
        assert!(
            lifted.as_str().unwrap().starts_with("Lifted off: tier "),
            "{lifted}"
        );
        let hit = hand.point_at_a_piece().await;
        let said = hand
            .ask("return document.getElementById('view-say').textContent")
            .await;
        assert!(
            said.as_str().unwrap().starts_with(&format!("{hit}: ")),
            "{said}"
        );
        let chosen = hand
            .ask("return document.getElementById('bench-piece').value")
            .await;
        assert_eq!(chosen, json!(hit), "chosen on the bench as well");
        hand.fits(screen, "/bench").await;
        hand.audit("/bench").await;
        browser.picture(screen, "/bench-3d").await;
    }
    browser.end().await;
}

#[tokio::test]
async fn two_loads_are_told_apart() {
    let demo = Demo::start();
    let browser = Browser::start().await;
    browser.take(DESK).await;
    let hand = Hand::open(&browser, &demo).await;
    let (a, b) = hand.pair().await;
    hand.choose("bench-piece", &a).await;
    hand.press("bench-take-out").await;
    hand.until("!document.getElementById('bench-undo').disabled")
        .await;
    hand.choose("bench-piece", &b).await;
    hand.ask("document.querySelector('[data-nudge=\"0 -1\"]').click()")
        .await;
    hand.until("document.getElementById('bench-undo').textContent.startsWith('Undo: move')")
        .await;
    for screen in [PHONE, DESK] {
        browser.take(screen).await;
        browser
            .driver
            .goto(demo.at("/bench/compare"))
            .await
            .unwrap();
        let text = browser
            .driver
            .find(By::Id("main"))
            .await
            .unwrap()
            .text()
            .await
            .unwrap();
        assert!(
            text.contains("Only in: As planned") && text.contains(&a),
            "{text}"
        );
        assert!(text.contains("1 stand elsewhere on their tier"), "{text}");
        hand.fits(screen, "/bench/compare").await;
        hand.audit("/bench/compare").await;
        browser.picture(screen, "/bench-compare").await;
    }
    browser.end().await;
}

/// Whether a piece is drawn at this x, mm.
fn moved(piece: &str, x_mm: f64) -> String {
    format!(
        "Math.abs(Number(document.querySelector('[data-piece=\"{piece}\"]')?.getAttribute('transform')
           .match(/translate\\(([-0-9.e]+)/)[1]) - {x_mm}) < 0.01
         && document.getElementById('bench-say').textContent.startsWith('The judge')"
    )
}
