//! Quantities in files: always a string, so that the unit is always there.

use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

use serde::de::{Deserializer, Error, Visitor};

use super::error::QuantityError;

/// What a deserializer must know of a noun that is written as a string.
pub(super) trait Written: FromStr<Err = QuantityError> {
    /// What belongs here, for an error about something that is neither string nor number.
    fn expected() -> String;
    /// The error about a number with nothing behind it.
    fn bare(figure: &str) -> QuantityError;
}

/// Reads a string; a bare number gets an error that shows what would be right.
///
/// `deserialize_any` rather than `deserialize_str`: only then does the visitor see a number and
/// speak of units, instead of the format saying that it expected a string.
pub(super) fn quantity<'de, T: Written, D: Deserializer<'de>>(from: D) -> Result<T, D::Error> {
    from.deserialize_any(Reader(PhantomData))
}

struct Reader<T>(PhantomData<T>);

impl<T: Written> Visitor<'_> for Reader<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&T::expected())
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_f32<E: Error>(self, figure: f32) -> Result<T, E> {
        // Some formats hand over the smallest float that fits. Widened, 0.014 would be told back
        // as 0.014000000432133675.
        refuse_figure(&figure.to_string(), figure.is_finite(), T::bare)
    }

    fn visit_f64<E: Error>(self, figure: f64) -> Result<T, E> {
        refuse_figure(&figure.to_string(), figure.is_finite(), T::bare)
    }

    fn visit_i64<E: Error>(self, figure: i64) -> Result<T, E> {
        Err(E::custom(T::bare(&figure.to_string())))
    }

    fn visit_u64<E: Error>(self, figure: u64) -> Result<T, E> {
        Err(E::custom(T::bare(&figure.to_string())))
    }
}

fn refuse_figure<T, E: Error>(
    figure: &str,
    finite: bool,
    bare: fn(&str) -> QuantityError,
) -> Result<T, E> {
    if finite {
        return Err(E::custom(bare(figure)));
    }
    Err(E::custom(QuantityError::new(format!("{figure} is not an amount"))))
}
