//! A backup that is not as it was written is refused, and nothing is written of it.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod stores;

use std::fs;
use std::path::Path;

use glost_store::{By, PhotoRow, Store};
use glost_studio::desk::Desk;
use glost_studio::keep::{back_up, check, export_to, import_json, restore};
use glost_studio::{demo_texts, open_texts};
use jiff::Timestamp;

fn now() -> Timestamp {
    Timestamp::from_second(1_795_000_000).unwrap()
}

/// The invented studio with two photos, one of whose files is gone.
async fn studio(folder: &Path) -> Desk {
    let store = stores::open_store(folder, "a").await;
    let desk = Desk::new(store, folder.join("a.photos"));
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    desk.bring_in(&studio, &[], now()).await.unwrap();
    fs::create_dir_all(&desk.photos).unwrap();
    let by = By {
        who: "p1",
        at: now(),
    };
    let mut turn = desk.store.turn(by, "photos").await.unwrap();
    for id in ["aa11", "bb22"] {
        turn.add_photo(&PhotoRow {
            id: id.into(),
            kind: "ware".into(),
            thing: "x".into(),
            who: "p1".into(),
            width: 4,
            height: 3,
            made: now(),
        })
        .await
        .unwrap();
    }
    turn.commit().await.unwrap();
    // What a picture holds does not matter here; long enough for many blocks.
    fs::write(desk.photos.join("aa11.jpg"), vec![7u8; 70_000]).unwrap();
    fs::write(desk.photos.join("aa11.small.jpg"), b"small").unwrap();
    desk
}

async fn book(store: &Store) -> String {
    let mut out = Vec::new();
    store.export(&mut out).await.unwrap();
    String::from_utf8(out).unwrap()
}

#[tokio::test]
async fn a_backup_comes_back_whole_and_others_can_check_it() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path()).await;
    let file = folder.path().join("studio.tar");
    let done = back_up(&desk.store, &desk.photos, &file, now())
        .await
        .unwrap();
    assert_eq!((done.photos, done.missing), (1, vec!["bb22".to_owned()]));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = fs::metadata(&file).unwrap().permissions().mode();
        assert_eq!(mode & 0o077, 0, "only its owner reads it");
    }

    // Programs of others unpack it and find the digests right.
    let out = folder.path().join("unpacked");
    fs::create_dir(&out).unwrap();
    let tar = std::process::Command::new("tar")
        .args([
            "-xf".as_ref(),
            file.as_os_str(),
            "-C".as_ref(),
            out.as_os_str(),
        ])
        .status()
        .unwrap();
    assert!(tar.success());
    let sums = std::process::Command::new("sha256sum")
        .args(["--check", "--strict", "--quiet", "SHA256SUMS"])
        .current_dir(&out)
        .status()
        .unwrap();
    assert!(sums.success());

    let target = stores::open_store(folder.path(), "b").await;
    let photos = folder.path().join("b.photos");
    restore(&file, &target, &photos).await.unwrap();
    assert_eq!(book(&target).await, book(&desk.store).await);
    assert_eq!(fs::read(photos.join("aa11.jpg")).unwrap().len(), 70_000);
    let left: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.starts_with('.'))
        .collect();
    assert!(left.is_empty(), "passing files are gone: {left:?}");
    // Once more into the same place is refused and harms nothing.
    assert!(restore(&file, &target, &photos).await.is_err());
    assert!(
        restore(&file, &target, &folder.path().join("c.photos"))
            .await
            .is_err()
    );
    assert!(!folder.path().join("c.photos").exists());
    assert!(photos.join("aa11.jpg").exists());
}

#[tokio::test]
async fn a_damaged_backup_is_refused_wherever_it_is_damaged() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path()).await;
    let file = folder.path().join("studio.tar");
    back_up(&desk.store, &desk.photos, &file, now())
        .await
        .unwrap();
    let whole = fs::read(&file).unwrap();
    let bad = folder.path().join("bad.tar");
    let target = stores::open_store(folder.path(), "b").await;
    let photos = folder.path().join("b.photos");
    // A bit in every part: heads, the book, a photo, the digests. The padding between files holds nothing.
    let find = |what: &[u8]| whole.windows(what.len()).position(|w| w == what).unwrap();
    let spots = [
        3,
        600,
        find(b"\"person\""),
        find(b"photos/aa11.jpg") + 7,
        find(&[7u8; 600]) + 500,
        find(b"  book.jsonl") - 5,
    ];
    for spot in spots {
        let mut bytes = whole.clone();
        bytes[spot] ^= 0x04;
        fs::write(&bad, &bytes).unwrap();
        check(&bad).expect_err(&format!("byte {spot}"));
        restore(&bad, &target, &photos).await.unwrap_err();
    }
    for share in 0..10 {
        fs::write(&bad, &whole[..whole.len() * share / 10]).unwrap();
        check(&bad).expect_err(&format!("cut at {share}/10"));
        restore(&bad, &target, &photos).await.unwrap_err();
    }
    assert!(!photos.exists());
    // Nothing of any of them is in the store.
    restore(&file, &target, &photos).await.unwrap();
}

#[tokio::test]
async fn a_name_that_leads_elsewhere_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("evil.tar");
    for name in [
        "../evil.jpg",
        "photos/../../evil.jpg",
        "/evil.jpg",
        "photos/a/b.jpg",
    ] {
        let mut tar = tar::Builder::new(fs::File::create(&file).unwrap());
        let mut header = tar::Header::new_gnu();
        header.as_mut_bytes()[..name.len()].copy_from_slice(name.as_bytes());
        header.set_size(3);
        header.set_cksum();
        tar.append(&header, &b"abc"[..]).unwrap();
        tar.finish().unwrap();
        let e = check(&file).unwrap_err().to_string();
        assert!(e.contains("does not belong"), "{name}: {e}");
    }
}

#[tokio::test]
async fn an_export_is_read_by_others_and_brought_in_again() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path()).await;
    let out = folder.path().join("out");
    let done = export_to(&desk, &out).await.unwrap();
    assert_eq!((done.sheets, done.photos), (20, 2));
    let ware = fs::read_to_string(out.join("ware.csv")).unwrap();
    let mut lines = csv::Reader::from_reader(ware.as_bytes());
    let head = lines.headers().unwrap().clone();
    for name in [
        "id",
        "piece.height_m",
        "piece.mass_kg",
        "piece.clay",
        "state",
    ] {
        assert!(head.iter().any(|h| h == name), "{name}: {head:?}");
    }
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    assert_eq!(
        lines.records().map(Result::unwrap).count(),
        studio.pieces.len()
    );
    let kilns = fs::read_to_string(out.join("kiln.csv")).unwrap();
    assert!(
        kilns.starts_with("id,version,put_away,changed,thing.name,"),
        "{kilns}"
    );
    assert!(kilns.contains("thing.max_temperature_c"), "{kilns}");
    // The ware in the columns of a folder is read back by the reader of folders.
    let pieces = fs::read_to_string(out.join("pieces.csv")).unwrap();
    let texts = glost_model::text::Texts {
        pieces,
        ..demo_texts()
    };
    assert_eq!(
        open_texts(&texts).unwrap().0.pieces.len(),
        studio.pieces.len()
    );

    let store = stores::open_store(folder.path(), "b").await;
    let other = Desk::new(store, folder.path().join("b.photos"));
    import_json(&other, &out).await.unwrap();
    let again = folder.path().join("again");
    export_to(&other, &again).await.unwrap();
    for entry in fs::read_dir(&out).unwrap() {
        let name = entry.unwrap().file_name();
        if name != "photos" {
            let same = fs::read(out.join(&name)).unwrap() == fs::read(again.join(&name)).unwrap();
            assert!(same, "{name:?}");
        }
    }
    assert_eq!(
        fs::read(again.join("photos/aa11.jpg")).unwrap(),
        fs::read(out.join("photos/aa11.jpg")).unwrap()
    );
}
