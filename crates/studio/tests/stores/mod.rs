//! Where a test keeps its book: in a file, or, with `GLOST_TEST_ON_SERVER` set, on the server that `scripts/test` starts.
//! `scripts/test` passes these tests on both.
#![allow(dead_code, clippy::allow_attributes, reason = "each test uses a part")]

use std::path::Path;

use glost_store::Store;

/// The book of this name in a folder: new and empty at first, the same again later.
pub async fn open_store(folder: &Path, name: &str) -> Store {
    Store::open(&place(folder, name).await).await.unwrap()
}

async fn place(folder: &Path, name: &str) -> String {
    if std::env::var_os("GLOST_TEST_ON_SERVER").is_none() {
        return folder.join(format!("{name}.db")).display().to_string();
    }
    let known = folder.join(format!("{name}.url"));
    if let Ok(url) = std::fs::read_to_string(&known) {
        return url;
    }
    let server = std::env::var("GLOST_TEST_POSTGRES")
        .map_err(|_unset| {
            "these tests need a PostgreSQL server: run `bash scripts/test`, or set GLOST_TEST_POSTGRES to what `scripts/postgres start FOLDER` prints"
        })
        .unwrap();
    sqlx::any::install_default_drivers();
    let database = format!("glost_{}", &glost_store::new_secret().unwrap()[..16]);
    let pool = sqlx::AnyPool::connect(&server).await.unwrap();
    sqlx::query(sqlx::AssertSqlSafe(format!("CREATE DATABASE {database}")))
        .execute(&pool)
        .await
        .unwrap();
    pool.close().await;
    let (head, _) = server.rsplit_once('/').unwrap();
    let url = format!("{head}/{database}");
    std::fs::write(known, &url).unwrap();
    url
}
