//! The nouns of the shop, valid by construction: what a file says once it has been understood and
//! found sound.
//!
//! Each noun is made from its plain parts by `new`, which returns every [`Fault`] it finds; a fault
//! says where in the noun it lies, so that whoever holds the text can point at it.
//!
//! - [`System`]: a two-part resin system, as read off its datasheet.
//! - [`Colorant`], [`Shelf`]: one pigment preparation; all that stand on the shelf.
//! - [`Colourway`]: a recipe: bases, accents, pours, film, primer.
//! - [`Job`]: measured counters and boards, losses, prices asked for.
//! - [`House`]: the shop's own scales, vessels and thresholds.
//! - [`Shop`]: all of them.
//! - [`Recipe`]: a colourway with its system and colorants at hand, every reference resolved.
//! - [`Fingerprint`]: one short word for one meaning.

mod colorant;
mod colourway;
mod fault;
mod fingerprint;
mod house;
mod job;
mod job_edges;
mod overhang;
mod package;
mod recipe;
mod shape;
mod shop;
mod slip_of_film;
mod slip_of_length;
mod slip_of_volume;
mod standing;
mod system;
mod tenfold;
mod timed;
mod unusual;
mod unusual_board;
mod unusual_cutout;
mod unusual_edge;
mod unusual_figures;
mod unusual_house;
mod unusual_kind;
mod unusual_price;
mod unusual_size;
mod unusual_system;
mod unusual_temperature;

pub use colorant::{Carrier, Colorant, ColorantParts, Finish, Hazard, Kind, Lot, Optics, Shelf};
pub use colourway::{
    Accent, Base, Colourway, ColourwayParts, Dose, Layer, Mist, Pattern, Pour, Primer, Ribbon,
};
pub(crate) use fault::at;
pub use fault::{Fault, Faults, Step};
pub use fingerprint::Fingerprint;
pub use house::{House, HouseParts, Scale};
pub use job::{
    Board, Choice, Cling, Counter, CutOut, Edge, Job, JobParts, Losses, Origin, Override, Raised,
    RunOff, Splashback, TopCoat,
};
pub use package::{Amount, Package, PackageUnit};
pub use recipe::Recipe;
pub use shape::{Point, Shape};
pub use shop::Shop;
pub use standing::Standing;
pub use system::{
    Ceilings, Clear, EQUIVALENTS_WITHIN, MixRatio, OffEquivalents, PotLife, Stoichiometry, System,
    SystemParts,
};
pub(crate) use tenfold::meant;
pub use timed::Timed;
pub use unusual::{Unusual, overdose_meant};
pub(crate) use unusual_figures::LEAST_ROOM;
pub use unusual_size::UnusualSize;
pub(crate) use unusual_size::face_film_meant;
