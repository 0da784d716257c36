//! What comes with a request, read with care: what cannot be read is told as a page, and no text holds a zero character,
//! which databases do not keep.

use axum::RequestPartsExt as _;
use axum::body::Bytes;
use axum::extract::multipart::MultipartError;
use axum::extract::{self, FromRequest, FromRequestParts, Request};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::http::request;
use axum::response::IntoResponse as _;
use glost_studio::desk::DeskError;
use serde::de::DeserializeOwned;
use tokio::io::AsyncWriteExt as _;

use super::Trouble;

/// Fields in the order in which they were sent.
type Pairs = Vec<(String, String)>;

/// Most fields of a form: more than a full load has ticks.
const MOST_FIELDS: usize = 12_000;

/// A form.
#[derive(Debug)]
pub struct Form<T = Pairs>(pub T);

/// The query.
#[derive(Debug)]
pub struct Query<T = Pairs>(pub T);

/// Names in the address.
#[derive(Debug)]
pub struct Path<T>(pub T);

/// A form with files.
#[derive(Debug)]
pub struct Files(extract::Multipart);

impl<S: Send + Sync> FromRequest<S> for Form {
    type Rejection = Trouble;
    async fn from_request(request: Request, state: &S) -> Result<Self, Trouble> {
        let read = extract::Form::<Pairs>::from_request(request, state).await;
        let extract::Form(pairs) = read.map_err(|e| unread(e.status()))?;
        if pairs.len() > MOST_FIELDS {
            return Err(Trouble::TooLong);
        }
        whole(&pairs)?;
        Ok(Self(pairs))
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Query {
    type Rejection = Trouble;
    async fn from_request_parts(parts: &mut request::Parts, _state: &S) -> Result<Self, Trouble> {
        let read = parts.extract::<extract::Query<Pairs>>().await;
        let extract::Query(pairs) = read.map_err(|e| unread(e.status()))?;
        whole(&pairs)?;
        Ok(Self(pairs))
    }
}

impl<S: Send + Sync, T: DeserializeOwned + Send> FromRequestParts<S> for Path<T> {
    type Rejection = Trouble;
    async fn from_request_parts(parts: &mut request::Parts, state: &S) -> Result<Self, Trouble> {
        // Nothing that is kept has such a name.
        if parts.uri.path().contains("%00") {
            return Err(Trouble::Missing);
        }
        let read = extract::Path::<T>::from_request_parts(parts, state).await;
        read.map(|p| Self(p.0))
            .map_err(|_no_such_name| Trouble::Missing)
    }
}

impl<S: Send + Sync> FromRequest<S> for Files {
    type Rejection = Trouble;
    async fn from_request(request: Request, state: &S) -> Result<Self, Trouble> {
        let read = extract::Multipart::from_request(request, state).await;
        read.map(Self)
            .map_err(|e| unread(e.into_response().status()))
    }
}

impl Files {
    /// The next part: its name and what is in it.
    ///
    /// # Errors
    /// When it is too long, or did not arrive whole.
    pub async fn next(&mut self) -> Result<Option<(String, Bytes)>, Trouble> {
        let next = self.next_named().await?;
        Ok(next.map(|(name, _file, bytes)| (name, bytes)))
    }

    /// The same with the name of its file, if it is one.
    ///
    /// # Errors
    /// As [`Self::next`].
    pub async fn next_named(&mut self) -> Result<Option<(String, Option<String>, Bytes)>, Trouble> {
        let Some(part) = self.0.next_field().await.map_err(broken)? else {
            return Ok(None);
        };
        let name = part.name().unwrap_or("").to_owned();
        let file = part.file_name().map(str::to_owned);
        Ok(Some((name, file, part.bytes().await.map_err(broken)?)))
    }
}

/// A file that came with a form.
#[derive(Debug)]
pub struct FilePart {
    /// Its name on the sender's disk.
    pub name: String,
    /// What is in it.
    pub bytes: Bytes,
}

/// A form that may have files, sent either way.
#[derive(Debug)]
pub struct Parts {
    /// Its texts.
    pub fields: Pairs,
    /// Its files that hold something.
    pub files: Vec<FilePart>,
}

impl<S: Send + Sync> FromRequest<S> for Parts {
    type Rejection = Trouble;
    async fn from_request(request: Request, state: &S) -> Result<Self, Trouble> {
        let kind = request.headers().get(CONTENT_TYPE);
        let many = kind.is_some_and(|k| k.as_bytes().starts_with(b"multipart/"));
        let mut read = Self {
            fields: Vec::new(),
            files: Vec::new(),
        };
        if !many {
            read.fields = Form::from_request(request, state).await?.0;
            return Ok(read);
        }
        let mut sent = Files::from_request(request, state).await?;
        while let Some((field, name, bytes)) = sent.next_named().await? {
            match name {
                Some(_) if bytes.is_empty() => {}
                Some(name) => read.files.push(FilePart { name, bytes }),
                None => {
                    let text = String::from_utf8(bytes.to_vec()).map_err(|_not| Trouble::Unread)?;
                    read.fields.push((field, text));
                }
            }
        }
        whole(&read.fields)?;
        Ok(read)
    }
}

/// The first file of a form, kept on the disk while it is read: a log may be longer than memory ought to hold. It is gone
/// with its last reader. Empty when no file came.
#[derive(Debug)]
pub struct Aside(pub std::fs::File);

impl<S: Send + Sync> FromRequest<S> for Aside {
    type Rejection = Trouble;
    async fn from_request(request: Request, state: &S) -> Result<Self, Trouble> {
        let unkept = |e: std::io::Error| {
            DeskError::Machine(format!("what was sent cannot be put on the disk: {e}"))
        };
        let mut sent = Files::from_request(request, state).await?;
        let mut file = tokio::fs::File::from_std(tempfile::tempfile().map_err(unkept)?);
        let mut found = false;
        while let Some(mut part) = sent.0.next_field().await.map_err(broken)? {
            // What comes after it is read to its end as well, or the sender is cut off.
            if found || part.file_name().is_none() {
                continue;
            }
            while let Some(bytes) = part.chunk().await.map_err(broken)? {
                found |= !bytes.is_empty();
                file.write_all(&bytes).await.map_err(unkept)?;
            }
        }
        file.flush().await.map_err(unkept)?;
        Ok(Self(file.into_std().await))
    }
}

fn broken(e: MultipartError) -> Trouble {
    match e.status() {
        StatusCode::PAYLOAD_TOO_LARGE => Trouble::TooLong,
        _ => Trouble::Unread,
    }
}

fn unread(status: StatusCode) -> Trouble {
    match status {
        StatusCode::PAYLOAD_TOO_LARGE => Trouble::TooLong,
        _ => Trouble::Unread,
    }
}

fn whole(pairs: &Pairs) -> Result<(), DeskError> {
    let bad = pairs
        .iter()
        .find(|p| p.0.contains('\0') || p.1.contains('\0'));
    match bad {
        Some((name, _)) => Err(DeskError::field(
            &name.replace('\0', ""),
            "it holds a zero character, which is no text",
            "Type it anew",
        )),
        None => Ok(()),
    }
}
