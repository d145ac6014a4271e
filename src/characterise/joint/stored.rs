//! A fit kept as JSON text, and read again: what is read is checked, for a person may have changed it.

use super::answer::JointFit;
use super::law::Face;
use super::sample::Measure;
use crate::spectrum::BANDS;

/// The form that is read.
const VERSION: u32 = 1;

/// Why a text is no fit.
#[derive(Debug, thiserror::Error)]
pub enum StoredError {
    /// It is not such JSON.
    #[error("this is no fit: {0}")]
    Form(#[from] serde_json::Error),
    /// Another form.
    #[error("this fit has the form {0}; this pourbook reads form {VERSION}")]
    Version(u32),
    /// Numbers that cannot be.
    #[error("this fit cannot be: {0}")]
    Impossible(&'static str),
}

impl JointFit {
    /// The fit as JSON text.
    ///
    /// # Errors
    /// Only where a number is none.
    pub fn to_json(&self) -> Result<String, StoredError> {
        Ok(serde_json::to_string_pretty(self)? + "\n")
    }

    /// A fit from [`Self::to_json`]'s text.
    ///
    /// # Errors
    /// [`StoredError`]: another text, another form, or numbers that cannot be.
    pub fn from_json(text: &str) -> Result<Self, StoredError> {
        let fit: Self = serde_json::from_str(text)?;
        if fit.version != VERSION {
            return Err(StoredError::Version(fit.version));
        }
        fit.check().map_err(StoredError::Impossible)?;
        Ok(fit)
    }

    fn check(&self) -> Result<(), &'static str> {
        let bands = |values: &[f64]| {
            values.len() == BANDS && values.iter().all(|v| v.is_finite() && *v >= 0.0)
        };
        let finite = |values: &[f64]| values.iter().all(|value| value.is_finite());
        if !self.pigments.iter().all(|p| bands(&p.k) && bands(&p.s)) {
            return Err("a pigment's k and s are 36 numbers each, none negative");
        }
        if !self.substrates.iter().all(|s| bands(&s.reflectance)) {
            return Err("a substrate's reflectance is 36 numbers, none negative");
        }
        let law = &self.law;
        if !(law.reference.is_finite() && law.reference > 0.0 && law.spread.is_finite()) {
            return Err("the law's reference and spread are numbers, the reference above 0");
        }
        let alone = if law.measure == Measure::Quantity { self.pigments.len() } else { 0 };
        if law.ln_alone.len() != alone || !finite(&law.ln_alone) {
            return Err("the law has one strength a pigment where it is alone");
        }
        match &law.face {
            Face::Smooth { index } if !(1.0..=3.0).contains(index) => {
                Err("a refractive index lies between 1 and 3")
            }
            Face::Smooth { .. } => Ok(()),
            Face::Matt { ln_levels, knots, ln_factors, k2 } => {
                let rising = knots.windows(2).all(|pair| pair[0] < pair[1]);
                let sound = ln_levels.len() == self.pigments.len()
                    && knots.len() == ln_factors.len()
                    && !knots.is_empty()
                    && rising
                    && [ln_levels, knots, ln_factors].into_iter().all(|values| finite(values))
                    && (0.0..1.0).contains(k2);
                if sound { Ok(()) } else { Err("the matt face's numbers do not fit one another") }
            }
        }
    }
}
