//! All routes on one page.

use std::time::Duration;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::IntoResponse;
use axum::routing::{MethodRouter, get, post};
use glost_model::clay::{Clay, Glaze};
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_model::kiln::Kiln;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::RequestBodyTimeoutLayer;

use super::{App, Trouble, asset, guard, meter};
use crate::room;
use crate::room::stock_forms::Keeps;

/// Most bytes of a form; a sheet of 20 000 pieces or a photo fits.
const MOST_BYTES: usize = 14 << 20;
/// Most of a log: some millions of readings. It goes to the disk, not to memory.
const MOST_OF_LOG: usize = 256 << 20;

/// Whoever sends nothing for so long has gone; nobody holds a connection open by sending a form for ever.
const MOST_PAUSE: Duration = Duration::from_secs(60);

/// The studio's app.
pub fn routes(app: App) -> Router {
    Router::new()
        // Coming in.
        .route("/set-up", get(room::set_up::show).post(room::set_up::done))
        .route("/enter", get(room::enter::show).post(room::enter::done))
        .route("/leave", post(room::enter::leave))
        .route(
            "/join/{secret}",
            get(room::enter::join).post(room::enter::joined),
        )
        .route("/me", get(room::me::show).post(room::me::change))
        .route("/me/password", post(room::me::password))
        // Ware.
        .route("/", get(room::today::show))
        .route("/ware", get(room::ware::show))
        .route(
            "/ware/new",
            get(room::take_in::show).post(room::take_in::done),
        )
        .route(
            "/ware/sheet",
            get(room::sheet::show).post(room::sheet::look),
        )
        .route("/ware/sheet/take-in", post(room::sheet::take_in))
        .route("/ware/looked-over", post(room::ware::looked_over))
        .route("/ware/{code}", get(room::ware_one::show))
        .route(
            "/ware/{code}/change",
            get(room::ware_one::edit).post(room::ware_one::change),
        )
        .route("/ware/{code}/move", post(room::ware_one::move_on))
        .route("/ware/{code}/glazed", post(room::ware_one::glazed))
        .route("/ware/{code}/photo", post(room::photo::add))
        .route("/photo/{id}", get(room::photo::show))
        .route("/ware/labels", get(room::labels::show))
        .route("/ware/labels.pdf", get(room::labels::pdf))
        // Firings.
        .route("/firings", get(room::firings::show))
        .route(
            "/firings/new",
            get(room::firings::new).post(room::firings::made),
        )
        .route(
            "/firings/all",
            get(room::firings::all).post(room::firings::all_begun),
        )
        .route(
            "/firings/written",
            get(room::written::show).post(room::written::send),
        )
        .route("/firings/{id}", get(room::firing::show))
        .route("/firings/{id}/plan", post(room::draft::again))
        .route("/firings/{id}/progress", get(room::draft::events))
        .route("/firings/{id}/stop", post(room::draft::stop))
        .route("/firings/{id}/load", get(room::plan_pages::load))
        .route("/firings/{id}/tier/{name}", get(room::plan_pages::tier))
        .route("/firings/{id}/programme", get(room::plan_pages::programme))
        .route("/firings/{id}/stays", get(room::plan_pages::stays))
        .route("/firings/{id}/beside", get(room::plan_pages::beside))
        .route("/firings/{id}/load-sheet.pdf", get(room::plan_pages::sheet))
        .route("/firings/{id}/plan.json", get(room::plan_pages::json))
        .route("/firings/{id}/bench", get(room::bench::show))
        .route("/firings/{id}/bench/keep", post(room::bench::keep))
        .nest(
            "/firings/{id}/bench",
            crate::bench::routes::<App, room::bench::FiringBench>(),
        )
        .route("/firings/{id}/accept", post(room::fire_day::accept))
        .route("/firings/{id}/call-off", post(room::fire_day::call_off))
        .route("/firings/{id}/begin", post(room::fire_day::begin))
        .route("/firings/{id}/at-kiln", get(room::at_kiln::show))
        .route("/firings/{id}/ticks", post(room::at_kiln::ticks))
        .route("/firings/{id}/ticks-form", post(room::at_kiln::ticks_form))
        .route("/firings/{id}/leave-out", post(room::at_kiln::leave_out))
        .route("/firings/{id}/read-back", post(room::read_back::send))
        .route("/firings/{id}/start", post(room::fire_day::start))
        .route("/firings/{id}/step", post(room::fire_day::step))
        .route("/firings/{id}/note", post(room::fire_day::note))
        .route("/firings/{id}/end", post(room::fire_day::end))
        .route("/firings/{id}/open", post(room::fire_day::open))
        .route("/firings/{id}/watch", get(room::watch::show))
        .route("/firings/{id}/watch/events", get(room::watch::events))
        .route("/firings/{id}/watch/reading", post(room::watch::reading))
        .route(
            "/firings/{id}/watch/log",
            post(room::log_in::sent).layer(DefaultBodyLimit::max(MOST_OF_LOG)),
        )
        .route(
            "/firings/{id}/watch/log/read",
            post(room::log_in::looked_over),
        )
        .route(
            "/firings/{id}/readings",
            get(room::readings::show).post(room::readings::mark),
        )
        .route(
            "/firings/{id}/readings/{stretch}/believe",
            post(room::readings::believe),
        )
        .route("/firings/{id}/cones", post(room::opening::cones))
        .route("/firings/{id}/cones/photo", post(room::cones::photo))
        .route("/firings/{id}/fault", post(room::opening::fault))
        .route("/firings/{id}/causes", get(room::causes::show))
        .route(
            "/firings/{id}/causes/{code}",
            get(room::causes::one).post(room::causes::edges),
        )
        .route("/firings/{id}/emptied", post(room::opening::emptied))
        .route("/firings/{id}/short", post(room::opening::short))
        .route("/firings/{id}/cost", get(room::accounts::real))
        // What the studio has, and who it is.
        .merge(kept::<Kiln>(get(room::stock::kilns)))
        .merge(kept::<Clay>(get(room::stock::materials)))
        .merge(kept::<Glaze>(get(room::stock::materials)))
        .merge(kept::<ShelfStock>(get(room::stock::furniture)))
        .merge(kept::<PostStock>(get(room::stock::furniture)))
        .merge(kept::<SupportStock>(get(room::stock::furniture)))
        .route("/furniture", get(room::stock::furniture))
        .route(
            "/furniture/losses",
            get(room::losses::show).post(room::losses::note),
        )
        .route("/kilns/draw", post(room::kiln_draw::draw))
        .route(
            "/kilns/{id}/upkeep",
            get(room::upkeep::show).post(room::upkeep::note),
        )
        .route(
            "/kilns/{id}/learnt",
            get(room::learnt::show).post(room::learnt::learn),
        )
        .route("/kilns/{id}/learnt/progress", get(room::learnt::events))
        .route("/kilns/{id}/learnt/after", post(room::learnt::after))
        .route("/kilns/{id}/learnt/use", post(room::learnt::set_use))
        .route(
            "/kilns/{id}/learnt/leave-out",
            post(room::learnt::leave_out),
        )
        .route("/kilns/{id}/learnt/back", post(room::learnt::back))
        .route("/kilns/{id}/ageing", post(room::upkeep::ageing))
        .route(
            "/kilns/{id}/source",
            get(room::source::show).post(room::source::change),
        )
        .route(
            "/studio/lists",
            get(room::lists::show).post(room::lists::look),
        )
        .route("/studio/lists/store", post(room::lists::store))
        .route(
            "/studio",
            get(room::settings::show).post(room::settings::change),
        )
        .route("/studio/away", get(room::away::show))
        .route("/studio/away/{kind}/{id}", post(room::away::back))
        .route("/studio/log", get(room::audit::show))
        .route("/studio/log/{turn}", get(room::audit::one_turn))
        .route(
            "/studio/people",
            get(room::people::show).post(room::people::add),
        )
        .route("/studio/people/invite", post(room::people::invite))
        .route("/studio/people/withdraw", post(room::people::withdraw))
        .route(
            "/studio/people/{id}",
            get(room::people::one).post(room::people::change),
        )
        .route("/studio/people/{id}/away", post(room::people::away))
        // Notices of kilns.
        .route("/notices", get(room::notices::show))
        .route("/notices/{id}/on-it", post(room::notices::on_it))
        .route("/studio/notices/test", post(room::notices::test_studio))
        .route("/me/notices/test", post(room::notices::test_me))
        // Hand back and accounts.
        .route("/back", get(room::back::show).post(room::back::done))
        .route("/back/list.pdf", get(room::back::list))
        .route("/back/notice/{person}", get(room::back::words))
        .route("/accounts", get(room::accounts::show))
        .route("/accounts.csv", get(room::accounts::csv))
        .route(
            "/accounts/{person}",
            get(room::accounts::one).post(room::accounts::pay),
        )
        .route("/me/calendar", post(room::calendar::link))
        .route("/calendar/{name}", get(room::calendar::feed))
        .route("/help", get(room::help::show))
        .nest(crate::page::bench::FILES, crate::bench_files::routes())
        .route("/keeper.js", get(room::at_kiln::keeper))
        // Log, export, programs.
        .route("/log", get(room::log::show))
        .route("/log/compare", get(room::log::compare))
        .route("/log/report", get(room::report::show))
        .route("/studio/export", get(room::export::show))
        .route("/studio/export/{name}", get(room::export::one))
        .route(
            "/me/tokens",
            get(room::tokens::show).post(room::tokens::make),
        )
        .route("/me/tokens/{digest}", post(room::tokens::withdraw))
        .nest(crate::api::API, crate::api::routes())
        // Everything.
        .route("/undo/{turn}", post(room::undo::done))
        .route("/asset/{name}", get(asset::asset))
        .route("/healthz", get(room::today::health))
        .fallback(async || Trouble::Missing.into_response())
        .method_not_allowed_fallback(async || {
            (StatusCode::METHOD_NOT_ALLOWED, "This cannot be done here.").into_response()
        })
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .layer(RequestBodyTimeoutLayer::new(MOST_PAUSE))
        .layer(from_fn(guard::same_origin))
        .layer(CatchPanicLayer::new())
        .layer(CompressionLayer::new())
        .layer(from_fn(guard::headers))
        .layer(from_fn_with_state(app.clone(), meter::count))
        .with_state(app)
}

/// The pages of one kind of thing: `PATH`, `PATH/new`, `PATH/{id}`, `PATH/{id}/away`.
fn kept<T: Keeps + 'static>(list: MethodRouter<App>) -> Router<App> {
    let at = |rest: &str| format!("{}{rest}", T::PATH);
    Router::new()
        .route(T::PATH, list.post(room::stock::add::<T>))
        .route(&at("/new"), get(room::stock::new::<T>))
        .route(
            &at("/{id}"),
            get(room::stock::show::<T>).post(room::stock::change::<T>),
        )
        .route(&at("/{id}/away"), post(room::stock::away::<T>))
}
