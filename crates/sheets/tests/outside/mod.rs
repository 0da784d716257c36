//! Programs of others that read what is printed: poppler's tools, and Python's with libraries of PyPI.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// What a program says to `input`, or the test's end with the remedy.
pub fn said(program: &str, args: &[&str], input: &[u8]) -> String {
    let mut run = Command::new(program)
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap_or_else(|e| {
            panic!("{program} does not start ({e}): run scripts/test once, which installs it")
        });
    let mut stdin = run.stdin.take().unwrap();
    let input = input.to_vec();
    let feed = std::thread::spawn(move || stdin.write_all(&input));
    let out = run.wait_with_output().unwrap();
    // One that reads a file instead may be gone before it is fed.
    feed.join().unwrap().ok();
    assert!(out.status.success(), "{program} {args:?}: {}", out.status);
    String::from_utf8(out.stdout).unwrap()
}

/// What one of the scripts beside this file says, as JSON.
pub fn script(name: &str, args: &[&str], input: &[u8]) -> serde_json::Value {
    let python = root().join("target/audit/py/bin/python");
    assert!(
        python.exists(),
        "Python's libraries are missing: run scripts/test once, which installs them in target/audit/py"
    );
    let script = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/outside")
        .join(name);
    let mut all = vec![script.to_str().unwrap()];
    all.extend(args);
    serde_json::from_str(&said(python.to_str().unwrap(), &all, input)).unwrap()
}

/// The text of a PDF as it lies on the pages.
pub fn layout(pdf: &[u8]) -> String {
    let text = said("pdftotext", &["-layout", "-", "-"], pdf);
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    lines.join("\n")
}

/// The text of a PDF as one line of words.
pub fn words(pdf: &[u8]) -> String {
    let text = said("pdftotext", &["-raw", "-", "-"], pdf);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A word on a page and its box from the page's upper left corner, mm.
#[derive(Debug)]
pub struct Word {
    pub page: usize,
    pub text: String,
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

const POINT: f64 = 25.4 / 72.0;

/// Width and height of the pages, mm, and every word with its place.
pub fn placed_words(pdf: &[u8]) -> ((f64, f64), Vec<Word>) {
    let xml = said("pdftotext", &["-bbox", "-", "-"], pdf);
    // Poppler declares HTML, which the reader of XML must not fetch.
    let xml = &xml[xml.find("<html").unwrap()..];
    let xml = roxmltree::Document::parse(xml).unwrap();
    let mm = |node: roxmltree::Node<'_, '_>, name: &str| {
        node.attribute(name).unwrap().parse::<f64>().unwrap() * POINT
    };
    let pages: Vec<_> = xml
        .descendants()
        .filter(|n| n.has_tag_name("page"))
        .collect();
    let size = (mm(pages[0], "width"), mm(pages[0], "height"));
    let words = pages.iter().enumerate().flat_map(|(page, node)| {
        node.descendants()
            .filter(|n| n.has_tag_name("word"))
            .map(move |n| Word {
                page,
                text: n.text().unwrap_or_default().to_owned(),
                left: mm(n, "xMin"),
                top: mm(n, "yMin"),
                right: mm(n, "xMax"),
                bottom: mm(n, "yMax"),
            })
            .collect::<Vec<_>>()
    });
    (size, words.collect())
}

/// A square code on a page, its corners in mm.
#[derive(Debug)]
pub struct Square {
    pub text: String,
    pub level: String,
    pub top_left: (f64, f64),
    pub bottom_right: (f64, f64),
}

/// The pages as pictures of 200 dots an inch in `target/paper/NAME`, and the square codes read off them.
pub fn squares(name: &str, pdf: &[u8]) -> Vec<Vec<Square>> {
    let folder = root().join("target/paper").join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap();
    }
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("sheet.pdf"), pdf).unwrap();
    let to = folder.join("page");
    said(
        "pdftoppm",
        &["-r", "200", "-png", "-", to.to_str().unwrap()],
        pdf,
    );
    let mut pictures: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|f| f.unwrap().path())
        .filter(|f| f.extension().is_some_and(|e| e == "png"))
        .collect();
    pictures.sort();
    let pictures: Vec<&str> = pictures.iter().map(|p| p.to_str().unwrap()).collect();
    let pages = script("read_codes.py", &pictures, &[]);
    let spot = |of: &serde_json::Value| {
        let mm = |i: usize| of[i].as_f64().unwrap() * 25.4 / 200.0;
        (mm(0), mm(1))
    };
    let square = |of: &serde_json::Value| Square {
        text: of["text"].as_str().unwrap().to_owned(),
        level: of["level"].as_str().unwrap().to_owned(),
        top_left: spot(&of["top_left"]),
        bottom_right: spot(&of["bottom_right"]),
    };
    let page = |of: &serde_json::Value| of.as_array().unwrap().iter().map(square).collect();
    pages.as_array().unwrap().iter().map(page).collect()
}
