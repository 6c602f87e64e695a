//! The check phase.
