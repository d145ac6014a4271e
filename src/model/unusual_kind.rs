//! A colorant whose kind and carrier do not go together: a paste that is dry, a powder that is not.
//!
//! All bounds are common practice, no source.

use super::colorant::{Colorant, Kind};
use super::fault::at;
use super::tenfold::{TENS, meant};
use super::unusual::{ReadOff, Unusual};
use crate::quantity::{Fraction, Units};

/// Solids of pastes.
const USUAL_SOLIDS: std::ops::RangeInclusive<f64> = 0.1..=0.85;

/// The most of a powder that is no pigment: a coating of its grains. (Common practice, no source.)
const MOST_CARRIER_OF_A_POWDER: f64 = 0.1;

impl Colorant {
    /// A paste that is all pigment, or next to none: whatever is dry enough for that is dust, which has a caution of its
    /// own. And a powder that is not dry.
    pub(super) fn unusual_kind(&self) -> Option<Unusual> {
        if self.kind == Kind::Powder && self.carrier_fraction() > MOST_CARRIER_OF_A_POWDER {
            return Some(Unusual {
                path: at!["kind"],
                what: format!(
                    "a powder of which {} is carrier",
                    Fraction::new(self.carrier_fraction()).show(Units::Metric)
                ),
                meant: Some("kind: Paste".to_owned()),
                mistaken: "",
                usual: "Powders are dry, without a carrier",
                read_off: ReadOff::Datasheet,
            });
        }
        let solids = self.solids.value();
        let is_dry = self.kind == Kind::Paste && self.carrier_fraction() <= 0.0;
        if self.kind == Kind::Paste && !is_dry && !USUAL_SOLIDS.contains(&solids) {
            return Some(Unusual {
                path: at!["solids"],
                what: format!("a paste of {} solids", self.solids.show(Units::Metric)),
                meant: meant(solids, &USUAL_SOLIDS, TENS)
                    .map(|likely| Fraction::new(likely).show(Units::Metric)),
                mistaken: "",
                usual: "Pastes are 10–75 % pigment in a carrier",
                read_off: ReadOff::Datasheet,
            });
        }
        is_dry.then(|| Unusual {
            path: at!["kind"],
            what: "a paste without a carrier".to_owned(),
            meant: Some("kind: Powder".to_owned()),
            mistaken: "solids and carrier left out?",
            usual: "Pastes are 10–75 % pigment in a carrier; a dry powder dusts, and has a caution for it",
            read_off: ReadOff::Datasheet,
        })
    }
}
