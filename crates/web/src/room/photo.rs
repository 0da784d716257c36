//! Photos of ware.

use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};

use crate::app::{Files, Path, Query, Trouble, Typed, Visit, escaped};

/// Keeps a photo.
pub async fn add(v: Visit, Path(code): Path<String>, mut form: Files) -> Result<Response, Trouble> {
    while let Some((name, bytes)) = form.next().await? {
        if name == "photo" && !bytes.is_empty() {
            v.app
                .desk
                .add_photo(v.actor(), &code, bytes.to_vec())
                .await?;
        }
    }
    Ok(Redirect::to(&format!("/ware/{}", escaped(&code))).into_response())
}

/// The photo, for those who may see its piece.
pub async fn show(
    v: Visit,
    Path(id): Path<String>,
    Query(q): Query<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let bytes = v
        .app
        .desk
        .photo_file(v.person(), &id, Typed(q).on("small"))
        .await?;
    let kind = [
        (header::CONTENT_TYPE, "image/jpeg"),
        (header::CACHE_CONTROL, "private, max-age=86400"),
    ];
    Ok((kind, bytes).into_response())
}
