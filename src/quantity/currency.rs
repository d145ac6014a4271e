//! Currencies by their ISO 4217 codes, with the decimals each has.

use std::fmt;
use std::str::FromStr;

use super::error::{QuantityError, quoted};
use super::read;
use crate::suggest;

/// A currency in use, by its three-letter ISO 4217 code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Currency {
    code: &'static str,
}

/// Active national currencies of ISO 4217 list one (as published 2026-01-01) with two decimals.
/// Funds, units of account, metals and test codes are left out: nobody buys resin in them. All
/// three lists were compared, code and decimals, with the `iso4217` package 1.16.20260101 of
/// `PyPI`.
const TWO_DECIMALS: &[&str] = &[
    "AED", "AFN", "ALL", "AMD", "AOA", "ARS", "AUD", "AWG", "AZN", "BAM", "BBD", "BDT", "BMD",
    "BND", "BOB", "BRL", "BSD", "BTN", "BWP", "BYN", "BZD", "CAD", "CDF", "CHF", "CNY", "COP",
    "CRC", "CUP", "CVE", "CZK", "DKK", "DOP", "DZD", "EGP", "ERN", "ETB", "EUR", "FJD", "FKP",
    "GBP", "GEL", "GHS", "GIP", "GMD", "GTQ", "GYD", "HKD", "HNL", "HTG", "HUF", "IDR", "ILS",
    "INR", "IRR", "JMD", "KES", "KGS", "KHR", "KPW", "KYD", "KZT", "LAK", "LBP", "LKR", "LRD",
    "LSL", "MAD", "MDL", "MGA", "MKD", "MMK", "MNT", "MOP", "MRU", "MUR", "MVR", "MWK", "MXN",
    "MYR", "MZN", "NAD", "NGN", "NIO", "NOK", "NPR", "NZD", "PAB", "PEN", "PGK", "PHP", "PKR",
    "PLN", "QAR", "RON", "RSD", "RUB", "SAR", "SBD", "SCR", "SDG", "SEK", "SGD", "SHP", "SLE",
    "SOS", "SRD", "SSP", "STN", "SVC", "SYP", "SZL", "THB", "TJS", "TMT", "TOP", "TRY", "TTD",
    "TWD", "TZS", "UAH", "USD", "UYU", "UZS", "VED", "VES", "WST", "XCD", "XCG", "YER", "ZAR",
    "ZMW", "ZWG",
];

/// Those whose smallest unit is the currency itself.
const NO_DECIMALS: &[&str] = &[
    "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "VND", "VUV",
    "XAF", "XOF", "XPF",
];

/// Those counted in thousandths.
const THREE_DECIMALS: &[&str] = &["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"];

impl Currency {
    /// United States dollar.
    pub const USD: Self = Self { code: "USD" };
    /// Euro.
    pub const EUR: Self = Self { code: "EUR" };
    /// Pound sterling.
    pub const GBP: Self = Self { code: "GBP" };

    /// Its three-letter code.
    #[must_use]
    pub const fn code(self) -> &'static str {
        self.code
    }

    /// How many decimals its amounts have (the minor unit of ISO 4217).
    #[must_use]
    pub fn decimals(self) -> u8 {
        if NO_DECIMALS.contains(&self.code) {
            0
        } else if THREE_DECIMALS.contains(&self.code) {
            3
        } else {
            2
        }
    }

    /// How many of its smallest unit make one.
    pub(super) fn minor_per_major(self) -> f64 {
        super::units::ten_to(i32::from(self.decimals()))
    }
}

fn codes() -> impl Iterator<Item = &'static str> {
    TWO_DECIMALS.iter().chain(NO_DECIMALS).chain(THREE_DECIMALS).copied()
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code)
    }
}

impl FromStr for Currency {
    type Err = QuantityError;

    /// A code, in any case.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let written = text.trim();
        let upper = written.to_ascii_uppercase();
        if let Some(code) = codes().find(|code| *code == upper) {
            return Ok(Self { code });
        }
        // Of several codes one letter away, the usual ones are the likelier.
        let usual_first =
            [Self::USD, Self::EUR, Self::GBP].map(Self::code).into_iter().chain(codes());
        Err(QuantityError::new(format!("{} is not a currency", quoted(written)))
            .hint("write a three-letter code such as USD or EUR")
            .hint_if(suggest::did_you_mean(written, usual_first)))
    }
}

/// The currency of a sign or a code beside an amount.
pub(super) fn named(name: &str, figure: &str) -> Result<Currency, QuantityError> {
    match name {
        "$" | "US$" => Ok(Currency::USD),
        "€" => Ok(Currency::EUR),
        "£" => Ok(Currency::GBP),
        "¥" | "￥" => Err(shared_sign(name, figure, "JPY", "CNY")),
        "kr" | "Kr" => Err(shared_sign(name, figure, "SEK", "NOK")),
        "C$" | "CA$" => Err(local_dollar(name, figure, "CAD")),
        "A$" | "AU$" => Err(local_dollar(name, figure, "AUD")),
        "NZ$" => Err(local_dollar(name, figure, "NZD")),
        _ => name.parse(),
    }
}

fn shared_sign(sign: &str, figure: &str, one: &str, other: &str) -> QuantityError {
    QuantityError::new(format!("{sign} is the sign of several currencies"))
        .hint(format!("write \"{figure} {one}\" or \"{figure} {other}\""))
}

fn local_dollar(sign: &str, figure: &str, code: &str) -> QuantityError {
    QuantityError::new(format!("{sign} is not read as a currency"))
        .hint(format!("write \"{figure} {code}\""))
}

impl read::Written for Currency {
    fn expected() -> String {
        "a three-letter currency code such as \"USD\"".to_owned()
    }

    fn bare(figure: &str) -> QuantityError {
        QuantityError::new(format!("{figure} is not a currency"))
            .hint("write a three-letter code such as \"USD\"")
    }
}

impl<'de> serde::Deserialize<'de> for Currency {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        read::quantity(from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_three_capitals_and_each_stands_once() {
        let mut all: Vec<&str> = codes().collect();
        let count = all.len();
        assert!(
            all.iter().all(|code| code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase()))
        );
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count, "a code stands in two lists");
    }
}
