//! Drawings, load sheets and charts.
