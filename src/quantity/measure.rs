//! The measured nouns: one number each, kept in one base unit.
//!
//! Constructors and getters name their unit. They take any `f64`; text that a person wrote comes
//! in through `FromStr` or serde, which refuse what is not finite, negative or without a unit.
//! `Display` is the canonical form: it reads back as the very same value.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Sub};
use std::str::FromStr;

use super::error::QuantityError;
use super::units::{
    Dimension, G_PER_LB, G_PER_OZ, K_AT_0_C, M2_PER_FT2, ML_PER_FL_OZ, ML_PER_GAL, ML_PER_QT,
    MM_PER_FT, MM_PER_IN, MM_PER_MIL,
};
use super::{parse, read, show};

/// A noun of one number with its text forms: `new` and `get` are its base unit's constructor and
/// getter.
macro_rules! measure {
    ($(#[$doc:meta])* $name:ident, $dimension:ident, $new:ident, $get:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From ", $unit, ".")]
            #[must_use]
            pub const fn $new(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("In ", $unit, ".")]
            #[must_use]
            pub const fn $get(self) -> f64 {
                self.0
            }

            /// Whether it is a number at all: neither infinite nor `NaN`.
            #[must_use]
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }

            /// The lesser of two.
            #[must_use]
            pub const fn lesser(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The greater of two.
            #[must_use]
            pub const fn greater(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        impl FromStr for $name {
            type Err = QuantityError;

            fn from_str(text: &str) -> Result<Self, QuantityError> {
                parse::amount(text, Dimension::$dimension).map(Self)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&show::canonical(self.0, Dimension::$dimension))
            }
        }

        impl read::Written for $name {
            fn expected() -> String {
                parse::expected(Dimension::$dimension)
            }

            fn bare(figure: &str) -> QuantityError {
                parse::bare(figure, Dimension::$dimension)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                read::quantity(from)
            }
        }
    };
}

/// Sums and multiples, for every noun whose zero means nothing there.
macro_rules! amounts {
    ($($name:ident),*) => {$(
        impl $name {
            /// Nothing.
            pub const ZERO: Self = Self(0.0);

            /// Its size without the sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl Default for $name {
            fn default() -> Self {
                Self::ZERO
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, times: f64) -> Self {
                Self(self.0 * times)
            }
        }

        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, amount: $name) -> $name {
                amount * self
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, parts: f64) -> Self {
                Self(self.0 / parts)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                all.fold(Self::ZERO, Add::add)
            }
        }

        impl<'a> Sum<&'a $name> for $name {
            fn sum<I: Iterator<Item = &'a Self>>(all: I) -> Self {
                all.copied().sum()
            }
        }
    )*};
}

/// `$a · $b = $product`, and what follows from it.
macro_rules! product {
    ($a:ident * $b:ident = $product:ident, $factor:expr) => {
        impl Mul<$b> for $a {
            type Output = $product;
            fn mul(self, other: $b) -> $product {
                $product(self.0 * other.0 * $factor)
            }
        }

        impl Mul<$a> for $b {
            type Output = $product;
            fn mul(self, other: $a) -> $product {
                other * self
            }
        }

        impl Div<$a> for $product {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b(self.0 / $factor / other.0)
            }
        }

        impl Div<$b> for $product {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a(self.0 / $factor / other.0)
            }
        }
    };
}

/// More units for a noun: constructor, getter, base units in one of it, its name.
macro_rules! units {
    ($name:ident { $($new:ident, $get:ident, $factor:expr, $unit:literal;)* }) => {
        impl $name {$(
            #[doc = concat!("From ", $unit, ".")]
            #[must_use]
            pub const fn $new(value: f64) -> Self {
                Self(value * $factor)
            }

            #[doc = concat!("In ", $unit, ".")]
            #[must_use]
            pub const fn $get(self) -> f64 {
                self.0 / $factor
            }
        )*}
    };
}

measure!(
    /// A mass, kept in grams.
    Mass, Mass, from_g, g, "grams"
);
measure!(
    /// A volume, kept in millilitres.
    Volume, Volume, from_ml, ml, "millilitres"
);
measure!(
    /// A length, kept in millimetres.
    Length, Length, from_mm, mm, "millimetres"
);
measure!(
    /// An area, kept in square metres.
    Area, Area, from_m2, m2, "square metres"
);
measure!(
    /// A temperature, kept in degrees Celsius. Its zero is a convention, so temperatures do not
    /// add up; see [`Temperature::above`].
    Temperature, Temperature, from_c, c, "degrees Celsius"
);
measure!(
    /// A span of time, kept in seconds.
    TimeSpan, Time, from_s, s, "seconds"
);
measure!(
    /// A density, kept in grams per millilitre, which is also kilograms per litre.
    Density, Density, from_g_per_ml, g_per_ml, "grams per millilitre"
);
measure!(
    /// A part of one, written in percent: `1.4 %` is 0.014.
    Fraction, Fraction, new, value, "parts of one"
);

amounts!(Mass, Volume, Length, Area, TimeSpan, Density, Fraction);

units!(Mass {
    from_kg, kg, 1000.0, "kilograms";
    from_oz, oz, G_PER_OZ, "avoirdupois ounces";
    from_lb, lb, G_PER_LB, "avoirdupois pounds";
});
units!(Volume {
    from_l, l, 1000.0, "litres";
    from_gal, gal, ML_PER_GAL, "US gallons";
    from_qt, qt, ML_PER_QT, "US liquid quarts";
    from_fl_oz, fl_oz, ML_PER_FL_OZ, "US fluid ounces";
});
units!(Length {
    from_m, m, 1000.0, "metres";
    from_in, in_, MM_PER_IN, "inches";
    from_ft, ft, MM_PER_FT, "feet";
    from_mil, mil, MM_PER_MIL, "mils, thousandths of an inch";
});
units!(Area {
    from_ft2, ft2, M2_PER_FT2, "square feet";
    from_mm2, mm2, 1e-6, "square millimetres";
});
units!(TimeSpan {
    from_min, min, 60.0, "minutes";
    from_h, h, 3600.0, "hours";
});
units!(Density {
    from_lb_per_gal, lb_per_gal, G_PER_LB / ML_PER_GAL, "pounds per US gallon";
});
units!(Fraction {
    from_percent, percent, 0.01, "percent";
});

product!(Density * Volume = Mass, 1.0);
// 1 m² · 1 mm = 1 L.
product!(Area * Length = Volume, 1000.0);

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area(self.0 * other.0 / 1e6)
    }
}

impl Div<Length> for Area {
    type Output = Length;
    fn div(self, other: Length) -> Length {
        Length(self.0 / other.0 * 1e6)
    }
}

impl Temperature {
    /// From degrees Fahrenheit.
    #[must_use]
    pub const fn from_f(value: f64) -> Self {
        Self((value - 32.0) * 5.0 / 9.0)
    }

    /// In degrees Fahrenheit.
    #[must_use]
    pub const fn f(self) -> f64 {
        self.0 * 9.0 / 5.0 + 32.0
    }

    /// From kelvins.
    #[must_use]
    pub const fn from_k(value: f64) -> Self {
        Self(value - K_AT_0_C)
    }

    /// In kelvins.
    #[must_use]
    pub const fn k(self) -> f64 {
        self.0 + K_AT_0_C
    }

    /// How many kelvins it lies above another; less than nothing if it lies below.
    #[must_use]
    pub const fn above(self, other: Self) -> f64 {
        self.0 - other.0
    }
}

impl Fraction {
    /// The whole.
    pub const ONE: Self = Self(1.0);
}

/// The fraction of an amount.
macro_rules! fraction_of {
    ($($name:ident),*) => {$(
        impl Mul<$name> for Fraction {
            type Output = $name;
            fn mul(self, amount: $name) -> $name {
                $name(self.0 * amount.0)
            }
        }

        impl Mul<Fraction> for $name {
            type Output = $name;
            fn mul(self, part: Fraction) -> $name {
                part * self
            }
        }
    )*};
}

fraction_of!(Mass, Volume, Area, Length, TimeSpan);

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, right: f64) {
        assert!((found - right).abs() <= 1e-12 * right.abs(), "{found} is not {right}");
    }

    #[test]
    fn a_film_over_an_area_is_a_volume() {
        // 231 in³ spread one mil thin: 231 / 0.001 / 144 ft².
        near((Volume::from_gal(1.0) / Length::from_mil(1.0)).ft2(), 231.0 / 0.001 / 144.0);
        assert_eq!(Area::from_m2(1.0) * Length::from_mm(1.0), Volume::from_l(1.0));
        assert_eq!(Length::from_mm(3.0) * Area::from_m2(2.0), Volume::from_l(6.0));
        near((Volume::from_l(6.0) / Area::from_m2(2.0)).mm(), 3.0);
    }

    #[test]
    fn sides_make_an_area() {
        near((Length::from_ft(25.5 / 12.0) * Length::from_ft(8.0)).ft2(), 17.0);
        near((Area::from_ft2(17.0) / Length::from_ft(8.0)).in_(), 25.5);
    }

    #[test]
    fn density_ties_mass_to_volume() {
        // 2 parts of 1.15 and 1 part of 0.97 by volume mix to 1.09.
        let (a, b) = (Density::from_g_per_ml(1.15), Density::from_g_per_ml(0.97));
        let mass = a * Volume::from_ml(200.0) + Volume::from_ml(100.0) * b;
        near((mass / Volume::from_ml(300.0)).g_per_ml(), 1.09);
        near((Mass::from_g(230.0) / a).ml(), 200.0);
        // One pound a gallon: 453.59237 g / 3785.411784 mL.
        near(Density::from_lb_per_gal(1.0).g_per_ml(), 0.119_826_427_316_896_9);
    }

    #[test]
    fn fractions_of_amounts() {
        near((Mass::from_g(750.0) * Fraction::from_percent(0.06)).g(), 0.45);
        near((Fraction::from_percent(20.0) * Volume::from_gal(5.0)).gal(), 1.0);
        assert_eq!(
            [Fraction::new(0.25), Fraction::new(0.75)].iter().sum::<Fraction>(),
            Fraction::ONE
        );
    }

    #[test]
    fn fixed_points_of_the_temperature_scales() {
        near(Temperature::from_f(212.0).c(), 100.0);
        near(Temperature::from_f(32.0).k(), 273.15);
        assert_eq!(Temperature::from_c(-40.0).f(), -40.0);
        near(Temperature::from_c(25.0).above(Temperature::from_c(16.693)), 8.307);
    }

    #[test]
    fn sums_and_order() {
        let all = [Mass::from_g(1.0), Mass::from_kg(1.0), Mass::from_g(0.5)];
        assert_eq!(all.iter().sum::<Mass>(), Mass::from_g(1001.5));
        assert_eq!(all.into_iter().sum::<Mass>(), Mass::from_g(1001.5));
        assert_eq!(all[0].greater(all[1]), Mass::from_kg(1.0));
        assert_eq!(all[0].lesser(all[1]), Mass::from_g(1.0));
        assert_eq!(Mass::from_g(1.0) - Mass::from_g(3.0), Mass::from_g(-2.0));
        assert_eq!((Mass::from_g(1.0) - Mass::from_g(3.0)).abs(), 2.0 * Mass::from_g(1.0));
        assert_eq!(Mass::from_kg(1.0) / Mass::from_g(250.0), 4.0);
        assert!(!Mass::from_g(f64::NAN).is_finite(), "a number that is none says so");
    }
}
