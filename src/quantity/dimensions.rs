//! Two lengths at a right angle: `600x600mm`, `600 x 450 mm`, `25" x 8'`.

use std::fmt;
use std::str::FromStr;

use super::error::{QuantityError, harmless, quoted};
use super::measure::{Area, Length};
use super::number::starts_number;
use super::show::Units;
use super::{parse, read};

/// The size of a rectangle, as it was written: neither side is the longer by rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dimensions {
    /// The first side.
    pub width: Length,
    /// The second side.
    pub height: Length,
}

impl Dimensions {
    /// Of two sides.
    #[must_use]
    pub const fn new(width: Length, height: Length) -> Self {
        Self { width, height }
    }

    /// The area of the rectangle.
    #[must_use]
    pub fn area(self) -> Area {
        self.width * self.height
    }

    /// The units in which both sides are shown without rounding, whole millimetres or sixteenths of an inch: these if
    /// they are, else the others if those are, else these.
    #[must_use]
    pub fn round_in(self, units: Units) -> Units {
        let step = |units| match units {
            Units::Us => Length::from_in(1.0 / 16.0).mm(),
            Units::Metric => 1.0,
        };
        let whole = |units| {
            [self.width, self.height].iter().all(|side| {
                let steps = side.mm() / step(units);
                (steps - steps.round()).abs() < 1e-6
            })
        };
        let others = match units {
            Units::Us => Units::Metric,
            Units::Metric => Units::Us,
        };
        if !whole(units) && whole(others) { others } else { units }
    }

    /// As shown in these units; where it is round in the others alone, so in brackets too:
    /// `1 ft 11 5/8 in x 1 ft 11 5/8 in (600 mm x 600 mm)`.
    #[must_use]
    pub fn show_both(self, units: Units) -> String {
        let round = self.round_in(units);
        if round == units {
            self.show(units)
        } else {
            format!("{} ({})", self.show(units), self.show(round))
        }
    }

    /// `2 ft x 1 ft 6 in`, `600 mm x 450 mm`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        format!("{} x {}", self.width.show(units), self.height.show(units))
    }
}

impl fmt::Display for Dimensions {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} x {}", self.width, self.height)
    }
}

const EXAMPLES: &str = "write it like \"600x450mm\" or \"24 in x 18 in\"";

impl FromStr for Dimensions {
    type Err = QuantityError;

    /// Two lengths with `x`, `×` or `by` between them. A unit at the end holds for both if the
    /// first side has none.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let written = text.trim();
        parse::refuse_size(written)?;
        let written = &parse::plain_spaces(written);
        // No unit of length has an x or an asterisk in it.
        let by = written.replace(" by ", " x ").replace(" BY ", " x ");
        let sides: Vec<&str> = by.split(['x', 'X', '×', '✕', '*']).map(str::trim).collect();
        let [width, height] = sides[..] else { return Err(not_two(written, sides.len())) };
        if width.is_empty() || height.is_empty() {
            let error = QuantityError::new(format!("{} lacks a side", quoted(written)));
            return Err(error.hint(EXAMPLES));
        }
        if is_figure(height) {
            return Err(no_unit(width, height));
        }
        let height_read: Length = height.parse()?;
        let width_read: Length = match unit_at_end(height) {
            Some(unit) if is_figure(width) => format!("{width} {unit}").parse()?,
            _ => width.parse()?,
        };
        Ok(Self::new(width_read, height_read))
    }
}

fn not_two(written: &str, count: usize) -> QuantityError {
    let found = match count {
        _ if written.is_empty() => "nothing".to_owned(),
        1 => format!("one ({})", harmless(written)),
        _ => format!("{count} ({})", harmless(written)),
    };
    QuantityError::new(format!("expected two lengths, found {found}")).hint(EXAMPLES)
}

fn no_unit(width: &str, height: &str) -> QuantityError {
    let error = QuantityError::new(format!("{} has no unit", quoted(height)));
    if !is_figure(width) {
        return match unit_at_end(width) {
            Some(unit) => {
                let [width, height, unit] = [width, height, unit].map(harmless);
                error.hint(format!("write \"{width} x {height} {unit}\""))
            }
            None => error.hint(EXAMPLES),
        };
    }
    let [width, height] = [width, height].map(harmless);
    error.hint(format!("write \"{width} x {height} mm\" or \"{width} x {height} in\""))
}

/// Whether a side is a number alone, right or wrong, without any unit.
fn is_figure(side: &str) -> bool {
    side.chars().all(|each| starts_number(each) || " .,-/⁄".contains(each))
}

/// The unit a text ends in: what follows its last digit.
fn unit_at_end(text: &str) -> Option<&str> {
    let at = text.rfind(starts_number)?;
    let unit = text[at..].trim_start_matches(starts_number).trim();
    (!unit.is_empty()).then_some(unit)
}

impl read::Written for Dimensions {
    fn expected() -> String {
        "two lengths such as \"600x450mm\"".to_owned()
    }

    fn bare(figure: &str) -> QuantityError {
        QuantityError::new(format!("{figure} is one number, and has no unit")).hint(EXAMPLES)
    }
}

impl<'de> serde::Deserialize<'de> for Dimensions {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        read::quantity(from)
    }
}
