//! A let-down in words.

use crate::quantity::Fraction;

/// A let-down of this ratio (colorant to colorant and part A) as it is spoken of: parts of colorant to
/// parts of A by mass.
///
/// ```
/// use pourbook::quantity::Fraction;
/// use pourbook::report::let_down_words;
/// assert_eq!(let_down_words(Fraction::from_percent(10.0)), "let-down 1 : 9");
/// ```
#[must_use]
pub fn let_down_words(ratio: Fraction) -> String {
    format!("let-down {}", ratio_words(ratio))
}

/// Its strength alone: `1 : 9`.
pub(super) fn ratio_words(ratio: Fraction) -> String {
    let parts_of_a = 1.0 / ratio.value() - 1.0;
    format!("1 : {}", (parts_of_a * 100.0).round() / 100.0)
}
