//! What is wrong with a noun, and where in it.

use crate::diagnostic::Severity;
use crate::suggest;

/// One step into a noun: a field or key by name, or an entry by number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// A field of a struct or a key of a map.
    Key(String),
    /// An entry of a list, from 0.
    Index(usize),
}

impl From<&str> for Step {
    fn from(key: &str) -> Self {
        Self::Key(key.to_owned())
    }
}

impl From<&String> for Step {
    fn from(key: &String) -> Self {
        Self::Key(key.clone())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Self::Index(index)
    }
}

/// Something wrong with a noun: where in it, what, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// From the noun's outside to the value at fault; empty for the noun itself.
    pub path: Vec<Step>,
    /// How much it weighs.
    pub severity: Severity,
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// What would be right.
    pub hints: Vec<String>,
}

/// A list of faults being gathered.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Faults(pub Vec<Fault>);

impl Faults {
    /// An error at a path.
    pub fn error(&mut self, path: Vec<Step>, message: impl Into<String>) -> &mut Fault {
        self.push(path, Severity::Error, message)
    }

    /// A fault of any severity at a path; returned so that a hint can be hung on it.
    pub fn push(
        &mut self,
        path: Vec<Step>,
        severity: Severity,
        message: impl Into<String>,
    ) -> &mut Fault {
        self.0.push(Fault { path, severity, message: message.into(), hints: Vec::new() });
        let last = self.0.len() - 1;
        &mut self.0[last]
    }

    /// An error unless `value` is finite and above zero.
    pub fn positive(&mut self, path: Vec<Step>, what: &str, value: f64) {
        if !(value.is_finite() && value > 0.0) {
            self.error(path, format!("{what} must be above zero"));
        }
    }

    /// An error unless `value` is finite and not below zero.
    pub fn not_negative(&mut self, path: Vec<Step>, what: &str, value: f64) {
        if !(value.is_finite() && value >= 0.0) {
            self.error(path, format!("{what} must not be negative"));
        }
    }

    /// An error unless `value` lies in 0 < value ≤ `most`; returned so that a hint can be hung on it.
    pub fn share(
        &mut self,
        path: Vec<Step>,
        what: &str,
        value: f64,
        most: f64,
    ) -> Option<&mut Fault> {
        if value.is_finite() && value > 0.0 && value <= most {
            return None;
        }
        Some(self.error(path, format!("{what} must be above 0 % and at most {} %", most * 100.0)))
    }

    /// `Ok(noun)` when nothing here stops it.
    ///
    /// # Errors
    /// These faults, when one of them is an error.
    pub fn into_result<T>(self, noun: impl FnOnce() -> T) -> Result<T, Self> {
        if self.0.iter().any(|fault| fault.severity >= Severity::Refused) {
            Err(self)
        } else {
            Ok(noun())
        }
    }
}

impl Fault {
    /// The same with one more hint.
    pub fn hint(&mut self, hint: impl Into<String>) -> &mut Self {
        self.hints.push(hint.into());
        self
    }

    /// The same with the nearest known word as a hint, or all of them when none is near.
    pub fn offer<'a>(&mut self, word: &str, known: impl Iterator<Item = &'a String>) -> &mut Self {
        let known: Vec<&str> = known.map(String::as_str).collect();
        let hint = suggest::did_you_mean(word, known.iter().copied()).unwrap_or_else(|| {
            if known.is_empty() {
                "the shop has no sound one".to_owned()
            } else {
                format!("there are: {}", suggest::listed(&known, "and"))
            }
        });
        self.hint(hint)
    }
}

/// A path from anything that makes steps.
macro_rules! at {
    ($($step:expr),* $(,)?) => { vec![$($crate::model::Step::from($step)),*] };
}
pub(crate) use at;
