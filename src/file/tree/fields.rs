//! The fields of a group, taken one by one.

use super::likely::{article, meant};
use super::value::{Label, Value};
use super::{Field, Kind};
use crate::diagnostic::{Diagnostic, Place};

/// The fields of one group.
#[derive(Debug, Clone, Copy)]
pub struct Fields<'t> {
    at: Value<'t>,
    what: &'static str,
    names: &'static [&'static str],
}

impl<'t> Fields<'t> {
    pub(super) const fn new(
        at: Value<'t>,
        what: &'static str,
        names: &'static [&'static str],
    ) -> Self {
        Self { at, what, names }
    }

    /// The group itself, for mistakes that concern several of its fields.
    #[must_use]
    pub const fn whole(self) -> Value<'t> {
        self.at
    }

    fn find(self, name: &'static str) -> Option<Value<'t>> {
        debug_assert!(
            self.names.contains(&name),
            "'{name}' is not among the names of a {}",
            self.what
        );
        let Kind::Fields { fields, .. } = &self.at.node().kind else { return None };
        // A name that is told to be wrong already is read as the one that was meant, so that it is not missed as well.
        let misnamed = |field: &&Field| {
            !self.names.contains(&field.name.text.as_str())
                && meant(&field.name.text, self.names) == Some(name)
        };
        fields
            .iter()
            .find(|field| field.name.text == name)
            .or_else(|| fields.iter().find(misnamed))
            .map(|field| self.at.to(&field.value, Label::Named(name)))
    }

    /// The field `name`, if it is there and not `None`.
    #[must_use]
    pub fn get(self, name: &'static str) -> Option<Value<'t>> {
        self.find(name).filter(|value| !value.node().is_none())
    }

    /// The field `name` by `take`; its absence is a mistake.
    pub fn need<T>(
        self,
        name: &'static str,
        take: impl FnOnce(Value<'t>) -> Option<T>,
    ) -> Option<T> {
        if let Some(value) = self.find(name) {
            return take(value);
        }
        // Where a part of the group could not be read, the field may well be that part.
        if matches!(self.at.node().kind, Kind::Fields { broken: true, .. }) {
            return None;
        }
        let start = self.at.node().span.start;
        self.at.report(
            Diagnostic::error(format!("{} {} needs '{name}'", article(self.what), self.what))
                .at(Place::new(self.at.source, start..start + 1)),
        )
    }

    /// The field `name` by `take`: `Some(None)` where it is absent, `None` where it is wrong.
    pub fn may<T>(
        self,
        name: &'static str,
        take: impl FnOnce(Value<'t>) -> Option<T>,
    ) -> Option<Option<T>> {
        match self.get(name) {
            None => Some(None),
            Some(value) => take(value).map(Some),
        }
    }

    /// The field `name` by `take`, or `absent` where it is not there.
    pub fn or<T>(
        self,
        name: &'static str,
        absent: T,
        take: impl FnOnce(Value<'t>) -> Option<T>,
    ) -> Option<T> {
        match self.get(name) {
            None => Some(absent),
            Some(value) => take(value),
        }
    }
}
