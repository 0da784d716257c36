//! Taking back what was just done.

use axum::Form;
use axum::extract::Path;
use axum::response::{IntoResponse, Redirect, Response};

use crate::app::{Trouble, Typed, Visit};

/// Undoes a turn, back to the page that it was done on.
pub async fn done(
    v: Visit,
    Path(turn): Path<i64>,
    Form(typed): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.app.desk.undo(v.actor(), turn).await?;
    let typed = Typed(typed);
    let to = typed.get("to");
    let own = to.starts_with('/') && !to.starts_with("//") && !to.contains('\\');
    Ok(Redirect::to(if own { to } else { "/" }).into_response())
}
