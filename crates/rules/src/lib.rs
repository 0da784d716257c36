//! Rules of the trade, each with its id, default, reason and source.
