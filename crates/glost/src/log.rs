//! The log of the program, to standard error.

use tracing_subscriber::EnvFilter;

/// Begins it: what is of interest, or what `GLOST_LOG` asks for.
pub fn begin(json: bool) {
    let filter =
        EnvFilter::try_from_env("GLOST_LOG").unwrap_or_else(|_unset| EnvFilter::new("info"));
    let log = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr);
    // A second log of the same program is refused, and the first goes on.
    drop(if json {
        log.json().try_init()
    } else {
        log.try_init()
    });
}
