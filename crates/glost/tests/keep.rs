//! The book is backed up while people work, and comes back on another machine, in either database.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod served;

use std::fs;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

use served::{FORM, Served, glost, new_place};

/// A PNG of one pixel.
const PIXEL: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\x02\0\0\0\x90wS\xde\0\0\0\x0cIDATx\x9cc\xf8\xcf\xc0\0\0\x03\x01\x01\0\xc9\xfe\x92\xef\0\0\0\0IEND\xaeB`\x82";

fn export(store: &str, photos: &Path, to: &Path) -> String {
    let (good, said) = glost(&[
        "export",
        "--store",
        store,
        "--photos",
        photos.to_str().unwrap(),
        "--out",
        to.to_str().unwrap(),
    ]);
    assert!(good, "{said}");
    fs::read_to_string(to.join("glost.json")).unwrap()
}

/// One who works on: hands ware in and takes photos, one after the other, so that each piece has a photo soon after.
fn work(served: &Served, cookie: &str, go_on: &AtomicBool, done: &AtomicU32) {
    while go_on.load(Ordering::Relaxed) {
        let n = done.load(Ordering::Relaxed);
        let form = format!(
            "count=1&what=bowl+{n}&stage=greenware&shape=circle&size=120&foot_size=80&height=80&mass=0.5&wall=7&clay=Heatherstone&foot=bare&dryness=bone-dry&looked_over=yes"
        );
        let answer = served.send(
            "POST",
            "/ware/new",
            &[("Cookie", cookie)],
            form.as_bytes(),
            FORM,
        );
        assert_eq!(answer.code, 303, "{}", answer.text());
        let to = answer.header("location").unwrap();
        let piece = to.split('?').next().unwrap();
        let mut body =
            b"--b\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"a.png\"\r\n\r\n"
                .to_vec();
        body.extend_from_slice(PIXEL);
        body.extend_from_slice(b"\r\n--b--\r\n");
        let answer = served.send(
            "POST",
            &format!("{piece}/photo"),
            &[("Cookie", cookie)],
            &body,
            "multipart/form-data; boundary=b",
        );
        assert_eq!(answer.code, 303, "{}", answer.text());
        done.fetch_add(1, Ordering::Relaxed);
    }
}

fn backed_up_at_work(postgres: bool) {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let (store, photos) = new_place(folder.path(), "first", postgres);
    let (served, cookie) = Served::with_demo(&store, &photos);
    let go_on = AtomicBool::new(true);
    let done = AtomicU32::new(0);
    std::thread::scope(|s| {
        s.spawn(|| work(&served, &cookie, &go_on, &done));
        for n in 0..3 {
            // Work goes on before, between and during backups.
            let before = done.load(Ordering::Relaxed);
            while done.load(Ordering::Relaxed) < before + 2 {
                std::thread::yield_now();
            }
            let file = at(&format!("{n}.tar"));
            let (good, said) = glost(&[
                "backup",
                "--store",
                &store,
                "--photos",
                photos.to_str().unwrap(),
                "--out",
                file.to_str().unwrap(),
            ]);
            assert!(good && !said.contains("missing"), "{said}");
        }
        go_on.store(false, Ordering::Relaxed);
    });
    let last = at("last.tar");
    let (good, said) = glost(&[
        "backup",
        "--store",
        &store,
        "--photos",
        photos.to_str().unwrap(),
        "--out",
        last.to_str().unwrap(),
    ]);
    assert!(good, "{said}");
    let now = export(&store, &photos, &at("now"));
    served.stop();

    for to_postgres in [false, true] {
        let name = if to_postgres { "pg" } else { "file" };
        for file in ["1.tar", "last.tar"] {
            let tag = format!("{name}_{}_{postgres}", file.replace(".tar", ""));
            let (other, other_photos) = new_place(folder.path(), &tag, to_postgres);
            let restore = |file: &str| {
                glost(&[
                    "restore",
                    at(file).to_str().unwrap(),
                    "--store",
                    &other,
                    "--photos",
                    other_photos.to_str().unwrap(),
                ])
            };
            let (good, said) = restore(file);
            assert!(good, "{said}");
            let again = export(&other, &other_photos, &at(&tag));
            if file == "last.tar" {
                assert!(again == now, "{tag}: the book is not what it was");
            }
            // Each piece that was handed in by then is whole, and each photo is there, byte for byte.
            let book: serde_json::Value = serde_json::from_str(&again).unwrap();
            let known = book["photos"].as_array().unwrap();
            assert!(known.len() >= 2, "{tag}");
            for photo in known {
                let name = format!("{}.jpg", photo["id"].as_str().unwrap());
                assert!(
                    fs::read(other_photos.join(&name)).unwrap()
                        == fs::read(photos.join(&name)).unwrap()
                );
            }
            // It is not brought into a book that is there.
            assert!(!restore(file).0);
            // People sign in as they did.
            let back = Served::start(&other, &other_photos, &[]);
            let form = b"login=nia&password=moor+lantern+kiln&to=/";
            let answer = back.send("POST", "/enter", &[], form, FORM);
            assert_eq!(answer.code, 303);
            assert!(answer.header("set-cookie").is_some());
            back.stop();
        }
    }
}

#[test]
fn a_file_is_backed_up_at_work_and_comes_back() {
    backed_up_at_work(false);
}

#[test]
fn a_server_is_backed_up_at_work_and_comes_back() {
    backed_up_at_work(true);
}

#[test]
fn what_cannot_be_done_is_said_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).display().to_string();
    let (good, said) = glost(&["backup", "--store", &at("none.db"), "--out", &at("b.tar")]);
    assert!(!good && said.contains("there is no book at"), "{said}");
    fs::write(at("bad.tar"), "no backup").unwrap();
    let (good, said) = glost(&["restore", &at("bad.tar"), "--store", &at("new.db")]);
    assert!(!good && said.contains("bad.tar"), "{said}");
    let (good, said) = glost(&["import", &at("bad.tar"), "--store", &at("new.db")]);
    assert!(!good && said.contains("no export"), "{said}");
    let left: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(left, ["bad.tar"]);
}

#[test]
fn an_export_is_brought_in_and_its_technician_comes_in() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let (store, photos) = new_place(folder.path(), "first", false);
    let (served, _) = Served::with_demo(&store, &photos);
    served.stop();
    let first = export(&store, &photos, &at("out"));
    let (other, other_photos) = new_place(folder.path(), "imported", true);
    let (good, said) = glost(&[
        "import",
        at("out").to_str().unwrap(),
        "--store",
        &other,
        "--photos",
        other_photos.to_str().unwrap(),
    ]);
    assert!(good, "{said}");
    assert!(export(&other, &other_photos, &at("again")) == first);
    let way = said[said.find("/join/").unwrap()..].trim().to_owned();
    let served = Served::start(&other, &other_photos, &[]);
    let form = b"name=Nia+Corran&login=nia&password=another+long+sentence";
    let answer = served.send("POST", &way, &[], form, FORM);
    assert_eq!(answer.code, 303, "{}", answer.text());
    let cookie = answer.header("set-cookie").unwrap().to_owned();
    let page = served.send("GET", "/me", &[("Cookie", &cookie)], b"", "");
    assert!(
        page.text().contains("Nia Corran"),
        "the same person as before"
    );
}
