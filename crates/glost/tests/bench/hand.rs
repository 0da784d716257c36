//! A hand on the bench, and eyes on the page.

use serde_json::{Value, json};
use thirtyfour::prelude::*;

use crate::browser::{Browser, Screen};
use crate::server::Demo;

/// Least side of what a finger has to hit, CSS pixels.
const TARGET: f64 = 44.0;

/// Someone at the demo's bench.
pub struct Hand<'b> {
    browser: &'b Browser,
}

impl<'b> Hand<'b> {
    /// Opens the bench and waits until the load is drawn.
    pub async fn open(browser: &'b Browser, demo: &Demo) -> Self {
        browser.driver.goto(demo.at("/bench")).await.unwrap();
        let cdp = browser.driver.cdp();
        let still =
            json!({ "features": [{ "name": "prefers-reduced-motion", "value": "reduce" }] });
        cdp.send_raw("Emulation.setEmulatedMedia", still)
            .await
            .unwrap();
        let hand = Self { browser };
        hand.until("document.querySelectorAll('#bench-drawing [data-piece]').length > 3")
            .await;
        hand
    }

    /// What a script on the page answers.
    pub async fn ask(&self, script: &str) -> Value {
        let found = self.browser.driver.execute(script, vec![]).await.unwrap();
        found.json().clone()
    }

    /// The same for a script that answers later.
    pub async fn wait_for(&self, script: &str) -> Value {
        let found = self
            .browser
            .driver
            .execute_async(script, vec![])
            .await
            .unwrap();
        found.json().clone()
    }

    /// Waits until something is true of the page; fails with the page's own words when it never is.
    pub async fn until(&self, what: &str) {
        let script = format!(
            "const done = arguments[arguments.length - 1];
             const end = performance.now() + 15000;
             const look = () => {{
               if ({what}) return done(true);
               if (performance.now() > end) return done(document.getElementById('bench-say')?.textContent ?? document.body.textContent);
               requestAnimationFrame(look);
             }};
             look();"
        );
        let found = self.wait_for(&script).await;
        assert_eq!(found, json!(true), "never: {what}");
    }

    /// Presses a button.
    pub async fn press(&self, id: &str) {
        let button = self.browser.driver.find(By::Id(id)).await.unwrap();
        button.scroll_into_view().await.unwrap();
        button.click().await.unwrap();
    }

    /// Chooses from a list, as by its keys.
    pub async fn choose(&self, id: &str, value: &str) {
        self.ask(&format!(
            "const s = document.getElementById('{id}'); s.value = '{value}';
             if (s.value !== '{value}') throw new Error('{value} cannot be chosen');
             s.dispatchEvent(new Event('change', {{ bubbles: true }}))"
        ))
        .await;
    }

    /// Names of two pieces on the tier that is shown, that stand on its shelf.
    pub async fn pair(&self) -> (String, String) {
        let found = self
            .ask("return [...document.querySelectorAll('#bench-drawing .piece:not(.rider)')].slice(0, 2).map(g => g.dataset.piece)")
            .await;
        serde_json::from_value(found).unwrap()
    }

    /// Where a piece is drawn, mm.
    pub async fn place(&self, piece: &str) -> (f64, f64) {
        let found = self
            .ask(&format!(
                "return document.querySelector('[data-piece=\"{piece}\"]').getAttribute('transform')
                   .match(/translate\\(([-0-9.e]+) ([-0-9.e]+)\\)/).slice(1).map(Number)"
            ))
            .await;
        serde_json::from_value(found).unwrap()
    }

    /// Drags one piece onto another with the mouse.
    pub async fn drag(&self, piece: &str, onto: &str) {
        let middle = async |id: &str| -> (i64, i64) {
            let found = self
                .ask(&format!(
                    "const r = document.querySelector('[data-piece=\"{id}\"] .body').getBoundingClientRect();
                     return [Math.round(r.x + r.width / 2), Math.round(r.y + r.height / 2)]"
                ))
                .await;
            serde_json::from_value(found).unwrap()
        };
        self.ask("document.getElementById('bench-drawing').scrollIntoView()")
            .await;
        let (from, to) = (middle(piece).await, middle(onto).await);
        let chain = self.browser.driver.action_chain();
        let chain = chain.move_to(from.0, from.1).click_and_hold();
        let chain = chain.move_by_offset(10, 0).move_to(to.0, to.1);
        chain.release().perform().await.unwrap();
    }

    /// How many tones the picture of the kiln has on a coarse grid, and a print of it.
    pub async fn seen(&self) -> (u64, u64) {
        let found = self
            .ask(
                "const c = document.getElementById('view-canvas'), gl = c.getContext('webgl');
                 const p = new Uint8Array(c.width * c.height * 4);
                 gl.readPixels(0, 0, c.width, c.height, gl.RGBA, gl.UNSIGNED_BYTE, p);
                 const tones = new Set(); let print = 0;
                 for (let y = 0; y < c.height; y += 5) for (let x = 0; x < c.width; x += 5) {
                   const i = 4 * (y * c.width + x), t = p[i] * 65536 + p[i + 1] * 256 + p[i + 2];
                   tones.add(t); print = (print * 31 + t) % 4294967291;
                 }
                 return [tones.size, print];",
            )
            .await;
        serde_json::from_value(found).unwrap()
    }

    /// Points at a piece of the kiln seen from above, and answers with its name.
    pub async fn point_at_a_piece(&self) -> String {
        let canvas = self
            .browser
            .driver
            .find(By::Id("view-canvas"))
            .await
            .unwrap();
        canvas.scroll_into_view().await.unwrap();
        for dx in [0, 40, -40, 70, -70, 20, -20] {
            let chain = self.browser.driver.action_chain();
            let chain = chain.move_to_element_with_offset(&canvas, dx, dx / 2);
            chain.click().perform().await.unwrap();
            let found = self
                .ask("return document.getElementById('view-piece').value")
                .await;
            if let Some(id) = found.as_str().filter(|id| !id.is_empty()) {
                return id.to_owned();
            }
        }
        String::new()
    }

    /// Nothing runs over the side, what is touched is large enough, and what is drawn can be read.
    pub async fn fits(&self, screen: Screen, path: &str) {
        let script = format!(
            "const root = document.documentElement;
             const small = [...document.querySelectorAll('nav a, button, select, input:not([type=checkbox]), .bench-check')]
               .map(a => [a.id || a.textContent, a.getBoundingClientRect()])
               .filter(([_, r]) => r.width > 0 && Math.min(r.width, r.height) < {TARGET}).map(([t]) => t);
             const svg = document.getElementById('bench-drawing');
             const scale = svg?.getScreenCTM().a ?? 1;
             const tiny = [...(svg?.querySelectorAll('text') ?? [])].filter(t => t.getAttribute('font-size') * scale < 12).map(t => t.textContent);
             const hits = [...(svg?.querySelectorAll('.hit') ?? [])].filter(h => 2 * h.getAttribute('r') * scale < 23.9).length;
             return {{ width: innerWidth, over: root.scrollWidth - root.clientWidth, small, tiny, hits,
               heading: document.querySelectorAll('h1').length }};"
        );
        let found = self.ask(&script).await;
        let wanted = json!({ "width": screen.width, "over": 0, "small": [], "tiny": [], "hits": 0, "heading": 1 });
        assert_eq!(found, wanted, "{path}");
    }

    /// WCAG 2.2 AA by axe-core, in light and in dark.
    pub async fn audit(&self, path: &str) {
        for scheme in ["light", "dark"] {
            let cdp = self.browser.driver.cdp();
            let media = json!({ "features": [
                { "name": "prefers-color-scheme", "value": scheme },
                { "name": "prefers-reduced-motion", "value": "reduce" },
            ] });
            cdp.send_raw("Emulation.setEmulatedMedia", media)
                .await
                .unwrap();
            let found = self
                .wait_for(&format!(
                    "{}; const done = arguments[arguments.length - 1];
                     axe.run({{ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] }})
                       .then(r => done({{ rules: r.passes.length, faults: r.violations.map(v =>
                         v.id + ': ' + v.nodes.map(n => n.html + ' ' + n.failureSummary).join(' | ')) }}));",
                    self.browser.axe
                ))
                .await;
            assert_eq!(found["faults"], json!([]), "{path}, {scheme}");
            assert!(
                found["rules"].as_u64().unwrap() > 5,
                "the audit ran on {path}"
            );
        }
        let cdp = self.browser.driver.cdp();
        let media = json!({ "features": [
            { "name": "prefers-color-scheme", "value": "light" },
            { "name": "prefers-reduced-motion", "value": "reduce" },
        ] });
        cdp.send_raw("Emulation.setEmulatedMedia", media)
            .await
            .unwrap();
    }
}
