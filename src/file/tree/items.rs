//! The values of a group without names, in their order.

use super::likely::in_parts;
use super::value::{Label, Value};
use super::{Field, Kind, Node};
use crate::diagnostic::Diagnostic;

impl<'t> Value<'t> {
    /// Exactly `N` values in round brackets; `names` say what they are, in messages.
    pub fn items<const N: usize>(self, names: [&'static str; N]) -> Option<[Self; N]> {
        let wanted = || format!("{}({})", self.written_name(), names.join(", "));
        let right =
            |values: &[String]| format!("write {}({})", self.written_name(), values.join(", "));
        let quoted = |texts: Vec<String>| -> Vec<String> {
            texts.into_iter().map(|text| format!("\"{text}\"")).collect()
        };
        let items: &[Node] = match &self.node.kind {
            Kind::Tuple { name, items } if name.is_none() || self.name_used => items,
            Kind::Word(_) if self.name_used => &[],
            kind => {
                let values = match kind {
                    Kind::Text(text) | Kind::Unquoted(text) => {
                        in_parts::<N>(text).map(|parts| quoted(parts.into()))
                    }
                    Kind::List(items) if items.len() == N => Some(
                        items
                            .iter()
                            .map(|item| self.to(item, Label::Key).written().to_owned())
                            .collect(),
                    ),
                    Kind::Fields { fields, .. } => {
                        fields.iter().for_each(|field| self.take_back(&field.name.span));
                        self.in_order(fields, names)
                    }
                    _ => None,
                };
                let Some(values) = values else { return self.not(&wanted()) };
                self.instead();
                return self.report(
                    Diagnostic::error(format!(
                        "{} must be {}, not {}",
                        self.label,
                        wanted(),
                        self.described()
                    ))
                    .hint(right(&values)),
                );
            }
        };
        if items.len() == N {
            let mut each = items.iter().zip(names);
            let values: [Option<Self>; N] = std::array::from_fn(|_| {
                each.next().map(|(item, name)| self.to(item, Label::Named(name)))
            });
            let values: Vec<Self> = values.into_iter().flatten().collect();
            return values.try_into().ok();
        }
        // What could not be read is told already, and may be what is lacking.
        if items.iter().any(|item| item.kind == Kind::Broken) {
            return None;
        }
        let parts = match items {
            [one] => self.to(one, Label::Key).words().and_then(in_parts::<N>),
            _ => None,
        };
        if let (Some(parts), [one]) = (parts, items) {
            self.to(one, Label::Key).instead();
            return self.report(
                Diagnostic::error(format!("{} is needed here, each in its own quotes", wanted()))
                    .hint(right(&quoted(parts.into()))),
            );
        }
        let held = match items.len() {
            0 => "nothing".to_owned(),
            1 => "1 value".to_owned(),
            many => format!("{many} values"),
        };
        self.report(Diagnostic::error(format!(
            "{} is needed here; the brackets hold {held}",
            wanted()
        )))
    }

    pub(super) fn written_name(self) -> &'t str {
        match &self.node.kind {
            Kind::Word(word) => word,
            Kind::Tuple { name: Some(name), .. } | Kind::Fields { name: Some(name), .. } => {
                &name.text
            }
            _ => "",
        }
    }

    /// The values of `fields` as they are written, in the order of `names`; of one field under another name, as in
    /// `("slate": 60)`, that name and the value.
    pub(super) fn in_order<const N: usize>(
        self,
        fields: &'t [Field],
        names: [&str; N],
    ) -> Option<Vec<String>> {
        let written = |node: &'t Node| self.to(node, Label::Key).written().to_owned();
        if let ([one], 2) = (fields, N)
            && !names.contains(&one.name.text.as_str())
        {
            let name = self.source.text.get(one.name.span.clone())?;
            return Some(vec![name.to_owned(), written(&one.value)]);
        }
        let value = |name: &str| fields.iter().find(|field| field.name.text == name);
        if fields.len() == N && names.iter().all(|name| value(name).is_none()) {
            return Some(fields.iter().map(|field| written(&field.value)).collect());
        }
        names.iter().map(|name| value(name).map(|field| written(&field.value))).collect()
    }

    /// `names` with what stands in `items` for each, if there are as many.
    pub(super) fn named(self, items: &[Node], names: &[&str]) -> String {
        let names = names.iter().filter(|name| **name != "note");
        let count = names.clone().count();
        let mut values = items.iter().filter(|_| items.len() == count);
        let each: Vec<String> = names
            .map(|name| {
                let value = values.next().map(|item| self.to(item, Label::Key).written());
                format!("{name}: {}", value.unwrap_or("…"))
            })
            .collect();
        each.join(", ")
    }
}
