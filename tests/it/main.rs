//! Integration tests, in one binary: a module an area.

mod parse;
mod pieces;
mod schema;
