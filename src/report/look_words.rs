//! A look in words.

use crate::model::Finish;
use crate::predict::Look;
use crate::quantity::Units;

/// What stands where a look's contrast ratio would, if there is none.
pub const HIDING_NOT_KNOWN: &str = "whether the primer shows through is not known: one drawdown over black and white, or a sample board on the real primer, tells";

/// The same for a client, who looks at boards.
pub const HIDING_NOT_KNOWN_TO_CLIENT: &str =
    "Whether the primer shows through is not known: look at a sample board on the real primer.";

/// A look in one line: Lab, what it hides, how far it can be trusted.
#[must_use]
pub fn look_line(look: &Look, units: Units) -> String {
    let hides = match look.hiding_film {
        Some(film) => format!("hides from {}", film.show_film(units)),
        None => "does not hide below 100 mm".to_owned(),
    };
    let finish = match look.finish {
        Finish::Plain => "",
        Finish::Pearl => " · pearl: a mean over directions",
        Finish::Metallic => " · metallic: a mean over directions",
    };
    let gamut = if look.in_gamut { "" } else { " · no screen shows it fully" };
    format!(
        "L* {:.1} a* {:.1} b* {:.1} (D65/2°, {}) · contrast ratio {:.3}, {hides}{finish}{gamut}",
        look.lab.l,
        tenth(look.lab.a),
        tenth(look.lab.b),
        look.standing,
        look.contrast_ratio,
    )
}

/// A coordinate to a tenth, without a minus before nought.
fn tenth(coordinate: f64) -> f64 {
    (coordinate * 10.0).round() / 10.0 + 0.0
}
