//! Money: a whole count of a currency's smallest unit, so that sums of prices are exact.

use std::fmt;
use std::str::FromStr;

use super::currency::{self, Currency};
use super::error::{QuantityError, quoted};
use super::number::{Number, take_number};
use super::{parse, read};

/// Beyond this many minor units a double no longer counts every one.
const LARGEST_MINOR: f64 = 9_007_199_254_740_992.0;

/// An amount in one currency.
///
/// Amounts of two currencies do not add up and are not comparable: [`Money::plus`] says so as an
/// error, and `partial_cmp` gives `None`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

impl Money {
    /// Of a whole count of the currency's smallest unit, such as cents.
    #[must_use]
    pub const fn from_minor(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// Of an amount, rounded to the currency's smallest unit (half away from nought).
    ///
    /// # Errors
    /// Not finite, or too large to be counted in minor units.
    pub fn new(amount: f64, currency: Currency) -> Result<Self, QuantityError> {
        let minor = (amount * currency.minor_per_major()).round();
        if minor.is_nan() || minor.abs() > LARGEST_MINOR {
            return Err(QuantityError::new(format!("{amount} {currency} cannot be counted")));
        }
        #[expect(clippy::cast_possible_truncation, reason = "whole and below 2^53")]
        let minor = minor as i64;
        Ok(Self { minor, currency })
    }

    /// Nothing, in that currency.
    #[must_use]
    pub const fn zero(currency: Currency) -> Self {
        Self { minor: 0, currency }
    }

    /// The count of the currency's smallest unit.
    #[must_use]
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// The amount in whole units of the currency.
    #[must_use]
    pub fn amount(self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "for eyes and ratios; sums use minor units")]
        let minor = self.minor as f64;
        minor / self.currency.minor_per_major()
    }

    /// Its currency.
    #[must_use]
    pub const fn currency(self) -> Currency {
        self.currency
    }

    /// The sum with another amount.
    ///
    /// # Errors
    /// Another currency, or a sum too large to count.
    pub fn plus(self, other: Self) -> Result<Self, QuantityError> {
        self.one_currency(other)?;
        self.counted(self.minor.checked_add(other.minor))
    }

    /// What is left when another amount is taken away; it may be less than nothing.
    ///
    /// # Errors
    /// Another currency, or a difference too large to count.
    pub fn minus(self, other: Self) -> Result<Self, QuantityError> {
        self.one_currency(other)?;
        self.counted(self.minor.checked_sub(other.minor))
    }

    /// So many of it.
    ///
    /// # Errors
    /// A product too large to count.
    pub fn times(self, count: u32) -> Result<Self, QuantityError> {
        self.counted(self.minor.checked_mul(i64::from(count)))
    }

    /// A multiple or part of it, rounded to the smallest unit.
    ///
    /// # Errors
    /// Not finite, or too large to count.
    pub fn scaled(self, factor: f64) -> Result<Self, QuantityError> {
        Self::new(self.amount() * factor, self.currency)
    }

    /// The sum of all, or `None` for no amounts: nothing has no currency.
    ///
    /// # Errors
    /// Two currencies, or a sum too large to count.
    pub fn sum(all: impl IntoIterator<Item = Self>) -> Result<Option<Self>, QuantityError> {
        let mut total: Option<Self> = None;
        for each in all {
            total = Some(match total {
                Some(sum) => sum.plus(each)?,
                None => each,
            });
        }
        Ok(total)
    }

    /// As a person reads it: the canonical form, `34.50 USD`.
    #[must_use]
    pub fn show(self) -> String {
        self.to_string()
    }

    fn one_currency(self, other: Self) -> Result<(), QuantityError> {
        if self.currency == other.currency {
            return Ok(());
        }
        Err(QuantityError::new(format!(
            "{self} and {other} are in two currencies and do not add up"
        ))
        .hint("write every price of a shop in one currency"))
    }

    fn counted(self, minor: Option<i64>) -> Result<Self, QuantityError> {
        match minor {
            Some(minor) => Ok(Self { minor, currency: self.currency }),
            None => Err(QuantityError::new(format!("an amount of {} is too large", self.currency))),
        }
    }
}

impl PartialOrd for Money {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        (self.currency == other.currency).then(|| self.minor.cmp(&other.minor))
    }
}

impl fmt::Display for Money {
    /// Every decimal the currency has, then its code: `34.50 USD`, `1200 JPY`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.minor < 0 { "-" } else { "" };
        let decimals = usize::from(self.currency.decimals());
        let digits = format!("{:0>width$}", self.minor.unsigned_abs(), width = decimals + 1);
        let (whole, part) = digits.split_at(digits.len() - decimals);
        let point = if decimals == 0 { "" } else { "." };
        write!(f, "{sign}{whole}{point}{part} {}", self.currency)
    }
}

const EXAMPLES: &str = "write it like \"34.50 USD\", \"$34.50\" or \"12 EUR\"";

impl FromStr for Money {
    type Err = QuantityError;

    /// `34.50 USD`, `USD 34.50`, `$34.50` (US dollars), `€12`, `12 €`, `£9.99`. Never negative,
    /// never with more decimals than the currency has.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let written = text.trim();
        parse::refuse_size(written)?;
        let written = &parse::plain_spaces(written);
        if written.is_empty() {
            return Err(QuantityError::new("expected a price, found nothing").hint(EXAMPLES));
        }
        if written.contains(['-', '−']) {
            return Err(QuantityError::new(format!("{} is negative", quoted(written)))
                .hint("a price is never less than nothing"));
        }
        let digit = |each: char| each.is_ascii_digit() || each == '.';
        let Some(start) = written.find(digit) else {
            return Err(
                QuantityError::new(format!("{} is not a price", quoted(written))).hint(EXAMPLES)
            );
        };
        let before = written[..start].trim();
        let Some((number, after)) = take_number(&written[start..])? else {
            return Err(
                QuantityError::new(format!("{} is not a price", quoted(written))).hint(EXAMPLES)
            );
        };
        let figure = written[start..written.len() - after.len()].trim();
        let currency = match (before, after.trim()) {
            ("", "") => return Err(<Self as read::Written>::bare(figure)),
            (name, "") | ("", name) => currency::named(name, figure)?,
            _ => {
                return Err(QuantityError::new(format!(
                    "{} has words before and after the amount",
                    quoted(written)
                ))
                .hint(EXAMPLES));
            }
        };
        counted(&number, figure, currency)
    }
}

/// The exact count of minor units in a decimal figure.
fn counted(number: &Number, figure: &str, currency: Currency) -> Result<Money, QuantityError> {
    let Number::Decimal { digits, exponent: 0 } = number else {
        return Err(QuantityError::new(format!("{} is not a price", quoted(figure)))
            .hint("write a price as a plain decimal, such as 34.50"));
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let decimals = usize::from(currency.decimals());
    if part.len() > decimals && part[decimals..].bytes().any(|digit| digit != b'0') {
        return Err(QuantityError::new(format!(
            "{figure} has more decimals than {currency}, which has {decimals}"
        )));
    }
    let part = &part[..part.len().min(decimals)];
    let minor = format!("{whole}{part:0<decimals$}");
    // No digits at all stand for nought: ".0" of a currency without decimals.
    let minor = if minor.is_empty() { Ok(0) } else { minor.parse::<i64>() };
    match minor {
        Ok(minor) => Ok(Money { minor, currency }),
        Err(_) => Err(QuantityError::new(format!("{} is too large a price", quoted(figure)))),
    }
}

impl read::Written for Money {
    fn expected() -> String {
        "a price such as \"34.50 USD\"".to_owned()
    }

    fn bare(figure: &str) -> QuantityError {
        QuantityError::new(format!("{figure} has no currency"))
            .hint(format!("write \"{figure} USD\" or the code of your own currency"))
    }
}

impl<'de> serde::Deserialize<'de> for Money {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        read::quantity(from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn written_with_every_decimal_of_its_currency() {
        let yen: Currency = "JPY".parse().unwrap();
        let dinar: Currency = "kwd".parse().unwrap();
        assert_eq!(Money::from_minor(3450, Currency::USD).to_string(), "34.50 USD");
        assert_eq!(Money::from_minor(5, Currency::USD).to_string(), "0.05 USD");
        assert_eq!(Money::from_minor(-5, Currency::EUR).to_string(), "-0.05 EUR");
        assert_eq!(Money::from_minor(1200, yen).to_string(), "1200 JPY");
        assert_eq!(Money::from_minor(1500, dinar).to_string(), "1.500 KWD");
        assert_eq!(
            Money::from_minor(i64::MIN, Currency::USD).to_string(),
            "-92233720368547758.08 USD"
        );
    }

    #[test]
    fn currencies_do_not_mix() {
        let dollars = Money::from_minor(100, Currency::USD);
        let euros = Money::from_minor(100, Currency::EUR);
        let error = dollars.plus(euros).unwrap_err();
        assert_eq!(error.message, "1.00 USD and 1.00 EUR are in two currencies and do not add up");
        assert!(dollars.minus(euros).is_err());
        assert!(dollars.partial_cmp(&euros).is_none());
        assert!(Money::sum([dollars, euros]).is_err());
        assert_eq!(Money::sum([]), Ok(None));
    }

    #[test]
    fn arithmetic_refuses_what_it_cannot_count() {
        let most = Money::from_minor(i64::MAX, Currency::USD);
        let cent = Money::from_minor(1, Currency::USD);
        assert!(most.plus(cent).is_err());
        assert!(most.times(2).is_err());
        assert!(most.scaled(2.0).is_err());
        assert!(cent.scaled(f64::NAN).is_err());
        assert!(Money::new(f64::INFINITY, Currency::USD).is_err());
        assert_eq!(cent.times(3).unwrap().minus(cent).unwrap().minor(), 2);
        assert_eq!(Money::new(34.505, Currency::USD).unwrap().minor(), 3451, "half goes up");
        assert_eq!(Money::from_minor(1000, Currency::USD).scaled(1.0 / 3.0).unwrap().minor(), 333);
    }
}
