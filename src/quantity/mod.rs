//! Quantities: read, written and converted, always with their unit.
//!
//! ```text
//! text ─► number ─► units ─► parse ─► measure (Mass, Volume, …) ─► show
//!                                 └─► dimensions, money
//! ```
//!
//! - [`Mass`], [`Volume`], [`Length`], [`Area`], [`Temperature`], [`TimeSpan`], [`Density`],
//!   [`Fraction`]: one number each in one base unit.
//! - [`Dimensions`]: two lengths, `600 x 450 mm`.
//! - [`Money`] in a [`Currency`].
//! - [`QuantityError`]: what is wrong with a text, and what would be right.
//! - [`Units`]: which units a person reads.
//!
//! US customary and metric units are read side by side. US measures are meant, never imperial.
//! Every text form is refused rather than guessed: a bare number, a comma, a wrong dimension.
//!
//! ```
//! use pourbook::quantity::{Area, Length, Units, Volume};
//!
//! let counter: Area = "42 sq ft".parse()?;
//! let film: Length = "1/8 in".parse()?;
//! assert_eq!((counter * film).show(Units::Us), "3.27 gal");
//!
//! let error = "8 oz".parse::<Volume>().unwrap_err();
//! assert_eq!(error.message, "expected a volume, found a mass (8 oz)");
//! # Ok::<(), pourbook::quantity::QuantityError>(())
//! ```
//!
//! Out of scope: which values make sense where. A film of nought is a length here; the model
//! refuses it.

mod currency;
mod dimensions;
mod error;
mod measure;
mod money;
mod number;
mod parse;
mod read;
mod show;
pub mod units;

pub use currency::Currency;
pub use dimensions::Dimensions;
pub use error::QuantityError;
pub use measure::{Area, Density, Fraction, Length, Mass, Temperature, TimeSpan, Volume};
pub use money::Money;
pub use show::Units;
pub use units::is_unit;
