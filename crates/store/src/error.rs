//! What can go wrong with the store.

use jiff::Timestamp;

/// Why the store did not do what was asked. Nothing is half stored then.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The database cannot be opened or brought up to date.
    #[error(
        "cannot open the studio's store at {place}: {what}. Check that the place exists and may be written, or name another with --store"
    )]
    Open {
        /// Where, without any password.
        place: String,
        /// Why not.
        what: String,
    },
    /// Somebody else changed it in the meantime.
    #[error(
        "{who} changed {kind} {id} while you were at it (you saw version {yours}, now it is {now}). Look at it again and make your change anew; nothing was stored"
    )]
    Stale {
        /// Kind of thing.
        kind: String,
        /// Which.
        id: String,
        /// Version that the change was based on.
        yours: i64,
        /// Version there is.
        now: i64,
        /// Who changed it last.
        who: String,
        /// When.
        at: Option<Timestamp>,
    },
    /// There is no such thing.
    #[error("there is no {kind} {id}. It may have another name, or belong to another studio")]
    Missing {
        /// Kind of thing.
        kind: String,
        /// Which.
        id: String,
    },
    /// Another thing has that name already.
    #[error("there is a {kind} {id} already. Choose another name")]
    Taken {
        /// Kind of thing.
        kind: String,
        /// Which.
        id: String,
    },
    /// A turn can no longer be taken back.
    #[error("'{verb}' cannot be undone: {why}")]
    NotUndone {
        /// What was done.
        verb: String,
        /// Why not.
        why: String,
    },
    /// What is stored cannot be read by this version of Glost.
    #[error("{kind} {id} cannot be read: {what}. It may have been written by a newer Glost")]
    Body {
        /// Kind of thing.
        kind: String,
        /// Which.
        id: String,
        /// Why not.
        what: String,
    },
    /// A backup that is not whole or not a backup.
    #[error("line {line} of the backup: {what}. Nothing was restored")]
    Backup {
        /// From 1.
        line: usize,
        /// What is wrong.
        what: String,
    },
    /// The database itself.
    #[error("the studio's store answers: {0}. Nothing was stored; try again")]
    Sql(#[from] sqlx::Error),
}
