//! Integration tests, in one binary: a module an area.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]
#![allow(clippy::print_stdout, reason = "a test says its figures")]

mod articulation;
mod audit;
mod bent;
mod border;
mod chance;
mod check;
mod cli;
mod cli_files;
mod cli_words;
mod cli_world;
mod command;
mod cores;
mod corpus;
mod covers;
mod discs;
mod drum;
mod edges;
mod feet;
mod fitted;
mod folded;
mod formed;
mod forms;
mod grounds;
mod harsh;
mod hostile;
mod in_the_way;
mod keels;
mod knees;
mod lacing;
mod manual;
mod marks;
mod memory;
mod mockup;
mod mutate;
mod nest;
mod outside;
mod panels;
mod parse;
mod pieces;
mod placing;
mod plan;
mod plates;
mod random;
mod sabotage;
mod scallops;
mod schema;
mod seams;
mod shape;
mod support;
mod tabs;
mod tidy;
mod worn;
mod wrong;
