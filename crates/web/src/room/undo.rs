//! Taking back what was just done.

use axum::response::{IntoResponse, Redirect, Response};

use crate::app::{Form, Path, Trouble, Typed, Visit, own_path};

/// Undoes a turn, back to the page that it was done on.
pub async fn done(
    v: Visit,
    Path(turn): Path<i64>,
    Form(typed): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.app.desk.undo(v.actor(), turn).await?;
    let typed = Typed(typed);
    Ok(Redirect::to(own_path(typed.get("to"))).into_response())
}
