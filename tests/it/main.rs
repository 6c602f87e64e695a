//! Integration tests, in one binary: a module an area.

mod audit;
mod parse;
mod schema;
