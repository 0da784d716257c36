//! A new empty store of each kind for a test.

use glost_store::Store;

/// Where a store is; what it lies in goes away with it.
pub struct Place {
    pub store: Store,
    pub url: String,
    #[expect(dead_code, reason = "keeps the folder for as long as the test runs")]
    folder: tempfile::TempDir,
}

/// One in SQLite, one in PostgreSQL.
pub async fn both() -> Vec<Place> {
    let mut all = Vec::new();
    for url in [None, Some(new_database().await)] {
        let folder = tempfile::tempdir().unwrap();
        let url = url.unwrap_or_else(|| folder.path().join("studio.db").display().to_string());
        let store = Store::open(&url).await.unwrap();
        all.push(Place { store, url, folder });
    }
    all
}

/// A database of its own on the server that `scripts/test` starts.
async fn new_database() -> String {
    let server = std::env::var("GLOST_TEST_POSTGRES").expect(
        "these tests need a PostgreSQL server: run `bash scripts/test`, or set GLOST_TEST_POSTGRES to what `scripts/postgres start FOLDER` prints",
    );
    sqlx::any::install_default_drivers();
    let name = format!("glost_{}", &glost_store::new_secret().unwrap()[..16]);
    let pool = sqlx::AnyPool::connect(&server).await.unwrap();
    sqlx::query(sqlx::AssertSqlSafe(format!("CREATE DATABASE {name}")))
        .execute(&pool)
        .await
        .unwrap();
    pool.close().await;
    let (head, _) = server.rsplit_once('/').unwrap();
    format!("{head}/{name}")
}
