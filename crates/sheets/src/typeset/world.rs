//! What the typesetter may see: one source, our two fonts, nothing else. No files, no network, no date.

use std::sync::LazyLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Dict, Duration, IntoValue as _};
use typst::syntax::{FileId, Source};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};

static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    let files: [&'static [u8]; 2] = [
        include_bytes!("../../fonts/NotoSans-Regular.ttf"),
        include_bytes!("../../fonts/NotoSans-Bold.ttf"),
    ];
    files
        .into_iter()
        .flat_map(|f| Font::iter(Bytes::new(f)))
        .collect()
});

/// A typesetter's world with one source that reads `data` as JSON from its inputs.
pub(super) struct SheetWorld {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    source: Source,
}

impl SheetWorld {
    pub fn new(source: &str, data: String) -> Self {
        let mut inputs = Dict::new();
        inputs.insert("data".into(), data.into_value());
        Self {
            library: LazyHash::new(Library::builder().with_inputs(inputs).build()),
            book: LazyHash::new(FontBook::from_fonts(FONTS.iter())),
            source: Source::detached(source),
        }
    }
}

impl World for SheetWorld {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }
    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }
    fn main(&self) -> FileId {
        self.source.id()
    }
    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.source.id() {
            Ok(self.source.clone())
        } else {
            Err(FileError::AccessDenied)
        }
    }
    fn file(&self, _id: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }
    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }
    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
