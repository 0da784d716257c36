//! What people do with Glost, a file a verb.
