//! What every drawing keeps.

use roxmltree::{Document, Node};

/// An attribute as a number.
pub fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

/// Rectangles and words lie on the paper, words are at least 4 mm high, and no two words stand on one another.
pub fn sound(svg: &str) {
    let doc = Document::parse(svg).unwrap();
    let root = doc.root_element();
    let view: Vec<f64> = root
        .attribute("viewBox")
        .unwrap()
        .split(' ')
        .map(|v| v.parse().unwrap())
        .collect();
    let mut words: Vec<[f64; 4]> = Vec::new();
    for n in doc.descendants().filter(|n| n.has_tag_name("text")) {
        let (x, y, size) = (number(n, "x"), number(n, "y"), number(n, "font-size"));
        assert!(size >= 4.0);
        // Common faces are about half as wide as high.
        let wide = 0.5 * size * n.text().unwrap_or("").chars().count() as f64;
        let back = match n.attribute("text-anchor").unwrap() {
            "start" => 0.0,
            "middle" => wide / 2.0,
            _ => wide,
        };
        // What is turned runs upward.
        let here = if n.has_attribute("transform") {
            [x - 0.7 * size, y + back - wide, x, y + back]
        } else {
            [x - back, y - 0.7 * size, x - back + wide, y]
        };
        assert!(here[0] >= 0.0 && here[1] >= 0.0, "{:?} {here:?}", n.text());
        assert!(
            here[2] <= view[2] && here[3] <= view[3],
            "{:?} {here:?}",
            n.text()
        );
        for other in &words {
            let apart = here[2] <= other[0]
                || other[2] <= here[0]
                || here[3] <= other[1]
                || other[3] <= here[1];
            assert!(apart, "{:?} {here:?} on {other:?}", n.text());
        }
        words.push(here);
    }
    for n in doc
        .descendants()
        .filter(|n| n.has_tag_name("rect") && n.has_attribute("x"))
    {
        let right = number(n, "x") + number(n, "width");
        let low = number(n, "y") + number(n, "height");
        assert!(right <= view[2] && low <= view[3], "{n:?}");
    }
}
