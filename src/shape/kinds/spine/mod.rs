//! A shell on a spine that bends: one ring a straight piece of the spine, each a part with a frame of its own, joined
//! where its neighbours' planes are its own.
//!
//! What the text leaves open:
//! - positions run along the centre line as it is made, from cut to cut; a bend's `radius` is that of the arc its pieces
//!   touch, its `long` the length of its centre line;
//! - a mitred bend begins and ends with half pieces, so that every cut turns by as much; a flipped one has pieces of one
//!   length, cut from one straight tube;
//! - a direction on the spine is carried along with it without a twist: `facing: front` of a second bend is where the
//!   front has come to;
//! - on a mitred spine a wall that narrows is made of cones about balls on the centre line (`geom::spine`): at its first
//!   and last station it has its size, between them the ball on each cut has that of the straight run between stations;
//! - sections that are not all round have at each cut between two stations the size and form that a straight wall between
//!   these would have there. A shell with a station that leans between its ends is built in the same way, on a straight
//!   spine.

mod build;
mod hulled;
mod read;

pub(super) use build::lower;
pub(super) use read::{Bent, Spine, read};
