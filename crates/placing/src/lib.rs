//! The load planner: which ware goes and where it stands.
