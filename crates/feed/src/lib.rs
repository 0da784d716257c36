//! Sensor logs, read only.
