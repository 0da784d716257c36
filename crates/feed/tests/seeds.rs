//! The bytes that the fuzzer begins with, and those that once broke a reader (`scripts/fuzz`), through the same readers.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "../../../fuzz/src/readers.rs"]
mod readers;

/// Puts each file of a folder of seeds through a reader.
fn every(folder: &str, read: fn(&[u8])) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fuzz/seeds")
        .join(folder);
    let files: Vec<_> = std::fs::read_dir(&folder).unwrap().collect();
    assert!(!files.is_empty(), "{}", folder.display());
    for file in files {
        let bytes = std::fs::read(file.unwrap().path()).unwrap();
        read(&bytes);
        // Also cut short anywhere, as by a full disk.
        for end in 0..bytes.len() {
            read(bytes.get(..end).unwrap());
        }
    }
}

#[test]
fn logs() {
    every("log", readers::log);
}

#[test]
fn layouts() {
    every("layout", readers::layout);
}

#[test]
fn wires() {
    every("wire", readers::wire);
}
