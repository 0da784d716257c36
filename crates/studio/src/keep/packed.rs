//! A tar whose last file has the digests of all others, in the format of `sha256sum`, so that any machine can check it.

use std::collections::BTreeMap;
use std::io::{self, Read, Write};

use sha2::{Digest, Sha256};

/// The last file.
pub const SUMS: &str = "SHA256SUMS";

/// Writes the tar.
pub struct Packer<W: Write> {
    tar: tar::Builder<W>,
    sums: String,
    at: u64,
}

impl<W: Write> Packer<W> {
    /// Begins it. `at` is the time of its files, seconds since 1970.
    pub fn new(out: W, at: u64) -> Self {
        Self {
            tar: tar::Builder::new(out),
            sums: String::new(),
            at,
        }
    }

    /// Adds a file of so many bytes.
    pub fn add(&mut self, name: &str, bytes: u64, from: &mut dyn Read) -> io::Result<()> {
        let mut from = Summing::new(from.take(bytes));
        self.put(name, bytes, &mut from)?;
        if from.bytes != bytes {
            return Err(io::Error::other(format!("{name} became shorter meanwhile")));
        }
        self.sums.push_str(&format!("{}  {name}\n", from.digest()));
        Ok(())
    }

    /// Adds the digests and ends it.
    pub fn end(mut self) -> io::Result<W> {
        let sums = std::mem::take(&mut self.sums).into_bytes();
        self.put(SUMS, sums.len() as u64, &mut sums.as_slice())?;
        self.tar.into_inner()
    }

    fn put(&mut self, name: &str, bytes: u64, from: &mut dyn Read) -> io::Result<()> {
        let mut header = tar::Header::new_gnu();
        header.set_size(bytes);
        // Names of people are in it, and digests of their passwords.
        header.set_mode(0o600);
        header.set_mtime(self.at);
        self.tar.append_data(&mut header, name, from)
    }
}

/// Goes through a tar that was written so, file by file, and checks it. What is not as it was written is an error; so
/// is a name that `known` does not know.
pub fn unpack(
    tar: impl Read,
    known: &dyn Fn(&str) -> bool,
    each: &mut dyn FnMut(&str, &mut dyn Read) -> io::Result<()>,
) -> io::Result<()> {
    let bad = |what: String| Err(io::Error::new(io::ErrorKind::InvalidData, what));
    let mut archive = tar::Archive::new(tar);
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    let mut sums = None;
    for entry in archive.entries()? {
        let mut entry = entry?;
        let name = String::from_utf8_lossy(&entry.path_bytes()).into_owned();
        if sums.is_some() {
            return bad(format!("{name} follows after the digests"));
        }
        if !entry.header().entry_type().is_file() {
            return bad(format!("{name} is no plain file"));
        }
        if name == SUMS {
            let mut text = String::new();
            entry.read_to_string(&mut text)?;
            sums = Some(text);
            continue;
        }
        if !known(&name) {
            return bad(format!("it holds {name}, which does not belong there"));
        }
        let size = entry.size();
        let mut summing = Summing::new(entry);
        each(&name, &mut summing)?;
        io::copy(&mut summing, &mut io::sink())?;
        if summing.bytes != size {
            return bad(format!("{name} is cut off"));
        }
        let digest = summing.digest();
        if found.insert(name.clone(), digest).is_some() {
            return bad(format!("{name} is there twice"));
        }
    }
    let Some(sums) = sums else {
        return bad("it ends early; the digests are missing".to_owned());
    };
    let written: BTreeMap<&str, &str> = sums
        .lines()
        .filter_map(|l| l.split_once("  "))
        .map(|(digest, name)| (name, digest))
        .collect();
    for (name, digest) in &found {
        if written.get(name.as_str()) != Some(&digest.as_str()) {
            return bad(format!("{name} is not as it was written"));
        }
    }
    match written.keys().find(|name| !found.contains_key(**name)) {
        Some(name) => bad(format!("{name} is missing")),
        None => Ok(()),
    }
}

/// Reads and adds up the digest on the way.
struct Summing<R> {
    from: R,
    sum: Sha256,
    bytes: u64,
}

impl<R: Read> Summing<R> {
    fn new(from: R) -> Self {
        Self {
            from,
            sum: Sha256::new(),
            bytes: 0,
        }
    }
    fn digest(self) -> String {
        self.sum
            .finalize()
            .iter()
            .map(|b| format!("{b:02x}"))
            .collect()
    }
}

impl<R: Read> Read for Summing<R> {
    fn read(&mut self, to: &mut [u8]) -> io::Result<usize> {
        let n = self.from.read(to)?;
        self.sum.update(to.get(..n).unwrap_or_default());
        self.bytes += n as u64;
        Ok(n)
    }
}
