//! What is told of a value of another kind than what was expected: what it is, and how it would be written rightly.

use super::likely::{number_in, percent_of, short};
use super::{Kind, Value};
use crate::diagnostic::Diagnostic;

impl Value<'_> {
    /// Writes down that something else was expected here.
    pub(super) fn not<T>(self, expected: &str) -> Option<T> {
        if self.node.kind == Kind::Broken {
            return None;
        }
        self.instead();
        let mut diagnostic = Diagnostic::error(format!(
            "{} must be {expected}, not {}",
            self.label,
            self.described()
        ));
        if let Kind::Tuple { name: None, .. } = self.node.kind
            && !self.written().starts_with('(')
        {
            // Told already as several values without a bracket, which is not what is wanted here.
            self.take_back(&self.node.span);
            diagnostic.hints.push(match expected.contains("list") {
                true => format!("write [{}]", self.written()),
                false => "write a name and ':' before each further value".to_owned(),
            });
            return self.report(diagnostic);
        }
        diagnostic.hints.extend(self.mended(expected));
        self.report(diagnostic)
    }

    /// What the value is, in words.
    pub(super) fn described(self) -> String {
        match &self.node.kind {
            Kind::Broken => "something unreadable".to_owned(),
            Kind::Flag(flag) => format!("{flag}"),
            Kind::Number(digits) => format!("the number {digits}"),
            Kind::Text(text) => format!("the text {:?}", short(text)),
            Kind::Unquoted(text) => short(text),
            Kind::Char(c) => format!("the character {c:?}"),
            Kind::Word(word) => format!("the word {word}"),
            Kind::List(_) => "a list".to_owned(),
            Kind::Map(_) => "a map in braces".to_owned(),
            Kind::Tuple { name: Some(name), .. } | Kind::Fields { name: Some(name), .. } => {
                format!("{}(…)", name.text)
            }
            Kind::Tuple { .. } if !self.written().starts_with('(') => "several values".to_owned(),
            Kind::Tuple { .. } => "values in round brackets".to_owned(),
            Kind::Fields { .. } => "fields in round brackets".to_owned(),
        }
    }

    /// How the value would be written rightly, where that is plain.
    fn mended(self, expected: &str) -> Option<String> {
        let wants_text = expected.contains("quotes");
        match &self.node.kind {
            Kind::Number(text) | Kind::Word(text) if wants_text => {
                Some(format!("write \"{text}\""))
            }
            Kind::Char(c) if wants_text => Some(format!("write \"{c}\"")),
            Kind::Text(text)
                if expected.contains("number") && text.trim().parse::<f64>().is_ok() =>
            {
                Some(format!("write {} without quotes", text.trim()))
            }
            Kind::Text(text) if expected.contains("number") && percent_of(text).is_some() => {
                percent_of(text).map(|number| format!("write {number} without quotes and %"))
            }
            Kind::Text(text) | Kind::Unquoted(text) | Kind::Word(text)
                if expected.contains("number") =>
            {
                number_in(text).map(|number| format!("write {number}"))
            }
            Kind::Text(text)
                if expected.contains("true or false") && (text == "true" || text == "false") =>
            {
                Some(format!("write {text} without quotes"))
            }
            Kind::Text(text) | Kind::Unquoted(text) | Kind::Word(text)
                if expected.contains("true or false") =>
            {
                match text.to_ascii_lowercase().as_str() {
                    "yes" | "y" | "true" | "on" => Some("write true".into()),
                    "no" | "n" | "false" | "off" | "none" => Some("write false".into()),
                    _ => None,
                }
            }
            // A figure in quotes may be meant as a single number as well as a list.
            Kind::Text(text) if expected.contains("list") => {
                text.parse::<f64>().is_err().then(|| format!("write [{}]", self.written()))
            }
            Kind::Word(word) if expected.contains("list") => Some(format!("write [{word}]")),
            Kind::Unquoted(text) if expected.contains("list") => {
                Some(format!("write [\"{text}\"]"))
            }
            Kind::Tuple { .. } if expected.contains("list") => {
                Some("a list stands in square brackets: [ … ]".into())
            }
            Kind::Fields { .. } if expected.contains("map") => {
                Some("a map stands in braces, its names in quotes: { \"name\": … }".into())
            }
            Kind::Map(_) if expected.contains("fields") => {
                Some("fields stand in round brackets, their names without quotes: (name: …)".into())
            }
            Kind::Tuple { name: None, items } if wants_text => {
                let texts = items.iter().map(|item| match &item.kind {
                    Kind::Text(text) | Kind::Unquoted(text) => Some(text.as_str()),
                    _ => None,
                });
                let texts = texts.collect::<Option<Vec<_>>>().filter(|texts| texts.len() == 2)?;
                Some(format!("write \"{}\"", texts.join(" x ")))
            }
            Kind::Tuple { name: Some(_), .. } if wants_text => {
                Some("put all of it in quotes".into())
            }
            _ => None,
        }
    }
}
