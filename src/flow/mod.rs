//! How poured resin moves: closed-form, area-preserving maps of the plane, and what leaves a container when.
//!
//! - [`Map`] is one movement (a drop or a [`Ribbon`] pushing the film aside, a wave, a tine, a vortex) with its
//!   exact inverse;
//! - [`back_trace`] carries one point back through a list of maps, the plain and slow way;
//! - [`Tracer`] carries blocks of a picture's samples back, a patch of them as one polynomial;
//! - [`draw_off`] says how much of each layer leaves a tilted container in each part of the pour;
//! - [`Random`] and the functions of [`series`] give the same bits on every machine.
//!
//! Lengths are millimetres, areas mm², angles turns unless a name says otherwise. Only `+ − × ÷ √` are used on
//! the way from a recipe to a picture (each correctly rounded by IEEE 754, so the same everywhere): no fused
//! multiply-add and no transcendental function of the standard library.
//!
//! Out of scope: colours, boards, and how a pour is planned from a recipe.

mod map;
mod outflow;
mod random;
mod ribbon;
pub mod series;
mod spline;
mod tracer;

pub use map::{Back, Map, Origin, Rotation, Source, Tine, Vortex, Wave, back_trace, tilt};
pub use outflow::draw_off;
pub use random::Random;
pub use ribbon::{Lattice, Ribbon};
pub use tracer::{FIRST_FILM, Grid, Traced, Tracer, origin};
