//! What is done once something is on the scale, before the next thing goes on it.

/// One act in two lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Then {
    /// For the plan's text and a label.
    pub long: &'static str,
    /// For one line of a card of half a page.
    pub short: &'static str,
}

/// Once part B is in: nothing from an unmixed wall is poured, and the colorants are weighed on a scale at nought.
pub const AFTER_PART_B: Then =
    Then { long: "then into a clean vessel, mix again, tare", short: "clean vessel, remix, tare" };

/// Once a let-down is in: part A is reckoned from nought on, and what rinses the cup is of it.
pub const AFTER_LET_DOWN: Then =
    Then { long: "then tare the vessel; rinse the cup with some of part A", short: "then tare" };
