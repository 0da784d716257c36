//! Heat-work of cones, heat flow of a kiln with its load, firing plans.
