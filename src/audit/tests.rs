//! The audit on pieces made by brute force: thousands of rules flattened triangle by triangle, so that neither the
//! audit's way of reckoning nor the development's is used to make what it judges.

mod fixture;
mod good;
mod pages;
mod sabotage;
mod sheets;
