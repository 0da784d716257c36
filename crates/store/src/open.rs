//! Open the store.

use std::path::Path;
use std::str::FromStr;
use std::time::Duration;

use sqlx::any::{AnyConnectOptions, AnyPoolOptions};
use sqlx::{AnyPool, Connection, Executor};

use crate::StoreError;

/// Which database it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dialect {
    /// A file of its own.
    Sqlite,
    /// A server.
    Postgres,
}

/// The studio's store. Cloning shares it.
#[derive(Debug, Clone)]
pub struct Store {
    pub(crate) dialect: Dialect,
    /// For reading.
    pub(crate) pool: AnyPool,
    /// For writing. SQLite has one writer at a time, who then never waits for a lock that another holds.
    pub(crate) writer: AnyPool,
}

/// A commit is on the disk before it is acknowledged.
/// After so long without a question a connection is asked first whether it is still there.
const IDLE: Duration = Duration::from_secs(1);
const SQLITE_SET_UP: &str = "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA busy_timeout = 10000; PRAGMA cache_size = -16000";

impl Store {
    /// Opens `postgres://…`, or a file of SQLite, which is made when it is not there; brings its tables up to date.
    ///
    /// # Errors
    /// [`StoreError::Open`], without the password.
    pub async fn open(place: &str) -> Result<Self, StoreError> {
        sqlx::any::install_default_drivers();
        let postgres = place.starts_with("postgres://") || place.starts_with("postgresql://");
        let dialect = if postgres {
            Dialect::Postgres
        } else {
            Dialect::Sqlite
        };
        let fail = |e: &dyn std::fmt::Display| StoreError::Open {
            place: without_password(place),
            what: e.to_string(),
        };
        let url = match dialect {
            Dialect::Postgres => place.to_owned(),
            Dialect::Sqlite => format!("sqlite://{}?mode=rwc", escaped(place)),
        };
        let options = AnyConnectOptions::from_str(&url).map_err(|e| fail(&e))?;
        let pool_of = |most: u32| {
            let pool = AnyPoolOptions::new()
                .max_connections(most)
                .acquire_timeout(Duration::from_secs(20));
            // A connection that answered a moment ago is not asked again whether it is still there: that would double the
            // trips to the server.
            let pool = pool
                .test_before_acquire(false)
                .before_acquire(|connection, meta| {
                    Box::pin(async move {
                        if meta.idle_for >= IDLE {
                            connection.ping().await?;
                        }
                        Ok(true)
                    })
                });
            match dialect {
                Dialect::Postgres => pool,
                Dialect::Sqlite => pool.after_connect(|connection, _| {
                    Box::pin(async move {
                        connection.execute(SQLITE_SET_UP).await?;
                        Ok(())
                    })
                }),
            }
        };
        let writers = if dialect == Dialect::Sqlite { 1 } else { 8 };
        let writer = pool_of(writers)
            .connect_with(options.clone())
            .await
            .map_err(|e| fail(&e))?;
        let migrator = match dialect {
            Dialect::Sqlite => sqlx::migrate!("migrations/sqlite"),
            Dialect::Postgres => sqlx::migrate!("migrations/postgres"),
        };
        migrator.run(&writer).await.map_err(|e| fail(&e))?;
        let pool = pool_of(8)
            .connect_with(options)
            .await
            .map_err(|e| fail(&e))?;
        Ok(Self {
            dialect,
            pool,
            writer,
        })
    }

    /// Which database it is.
    pub fn dialect(&self) -> Dialect {
        self.dialect
    }

    /// Whether it answers.
    ///
    /// # Errors
    /// When it does not.
    pub async fn ping(&self) -> Result<(), StoreError> {
        sqlx::query("SELECT 1").execute(&self.pool).await?;
        Ok(())
    }

    /// Lets the database look at what it holds, so that it chooses well how to look things up. Quick, and worth doing
    /// now and then.
    ///
    /// # Errors
    /// When it does not answer.
    pub async fn take_stock(&self) -> Result<(), StoreError> {
        sqlx::query("ANALYZE").execute(&self.writer).await?;
        Ok(())
    }

    /// Waits for what is under way and closes.
    pub async fn close(&self) {
        self.writer.close().await;
        self.pool.close().await;
    }
}

/// A path inside a URL.
fn escaped(path: &str) -> String {
    let mut out = String::new();
    for c in Path::new(path).display().to_string().chars() {
        match c {
            '%' => out.push_str("%25"),
            '?' => out.push_str("%3F"),
            '#' => out.push_str("%23"),
            c => out.push(c),
        }
    }
    out
}

fn without_password(place: &str) -> String {
    let Some((head, rest)) = place.split_once("://") else {
        return place.to_owned();
    };
    match rest.rsplit_once('@') {
        Some((who, at)) => {
            let name = who.split(':').next().unwrap_or("");
            format!("{head}://{name}@{at}")
        }
        None => place.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::without_password;

    #[test]
    fn no_password_is_told() {
        assert_eq!(
            without_password("postgres://ann:s:e@cret@db.example/studio"),
            "postgres://ann@db.example/studio"
        );
        assert_eq!(without_password("/srv/studio.db"), "/srv/studio.db");
    }
}
