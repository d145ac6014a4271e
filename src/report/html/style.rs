//! How the page looks on a screen and on paper.

use std::fmt::Write as _;

use crate::report::sheet::Sheets;

/// What stands over and under each printed page, where the browser knows margin boxes (CSS Paged Media):
/// which sheet, whose, of which recipe and plan, and which page of how many.
pub(super) fn paged(sheets: &Sheets) -> String {
    let head = &sheets.head;
    let whose = quoted(&format!("{} for {}", head.colourway, head.job));
    let marks = quoted(&format!("recipe {} · plan {}", head.fingerprint, head.revision));
    let mut style = format!(
        "@page {{ @top-right {{ content: {whose}; }} @bottom-left {{ content: {marks}; }} @bottom-right {{ content: \"page \" counter(page) \" of \" counter(pages); font-weight: 600; }} }}\n"
    );
    for (sheet, at) in sheets.sheets.iter().zip(1..) {
        let title = quoted(&sheet.title);
        let _ = writeln!(style, "@page sheet-{at} {{ @top-left {{ content: {title}; }} }}");
    }
    style
}

/// Words as a string of CSS, which nothing in them can end.
fn quoted(words: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in words.chars() {
        if letter.is_ascii_alphanumeric() || letter == ' ' {
            quoted.push(letter);
        } else if letter.is_control() {
            quoted.push(' ');
        } else {
            let _ = write!(quoted, "\\{:x} ", u32::from(letter));
        }
    }
    quoted.push('"');
    quoted
}

/// The style sheet. Weights are large, figures stand under one another, nothing needs colour.
pub(super) const STYLE: &str = "\
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #111; font: 16px/1.4 Inter, system-ui, sans-serif; font-variant-numeric: tabular-nums; }
nav { padding: 0.5rem 1rem; border-bottom: 1px solid #999; }
nav a { display: inline-block; padding: 0.5rem 1rem 0.5rem 0; color: #0b3d66; }
.sheet { max-width: 60rem; margin: 0 auto; padding: 1rem; }
.sheet + .sheet { border-top: 4px solid #111; }
h1 { font-size: 1.1rem; margin: 0; }
h2 { font-size: 1.15rem; margin: 1.4rem 0 0.3rem; }
h3 { font-size: 1.1rem; margin: 0.6rem 0 0; }
p { margin: 0.2rem 0; }
ul { margin: 0.2rem 0; padding-left: 1.2rem; }
.way { font-size: 1.4rem; }
.marks, .note, cite, small, .heed { font-size: 0.85rem; color: #333; font-style: normal; }
header { border-bottom: 2px solid #111; padding-bottom: 0.4rem; }
.stop { border: 3px solid #111; padding: 0.5rem; font-weight: 600; font-size: 1.1rem; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; margin: 0.3rem 0; }
th { text-align: left; font-weight: 400; font-size: 0.85rem; border-bottom: 2px solid #111; padding: 0.15rem 0.5rem 0.15rem 0; }
td { border-bottom: 1px solid #999; padding: 0.3rem 0.5rem 0.3rem 0; vertical-align: baseline; }
td small, td .flag { display: block; white-space: normal; }
.short { white-space: nowrap; }
thead td { border-bottom: 2px solid #111; }
label { white-space: nowrap; }
.figure { text-align: right; white-space: nowrap; padding-left: 0.5rem; }
.weight { font-size: 1.5rem; }
.chip { display: inline-block; width: 1.6rem; height: 1rem; border: 1px solid #111; vertical-align: -0.1rem; }
input[type=text] { width: 7rem; min-height: 2.2rem; font: inherit; border: 0; border-bottom: 1px solid #111; background: transparent; }
input[type=checkbox] { width: 1.5rem; height: 1.5rem; vertical-align: middle; }
.figure + td, .figure + th { padding-left: 1rem; }
.blanks { list-style: none; margin: 0.5rem 0; padding: 0; display: grid; grid-template-columns: repeat(auto-fit, minmax(9rem, 1fr)); gap: 0.4rem; }
.blanks li { border: 1px solid #111; padding: 0.3rem 0.5rem 0; }
.blanks label { white-space: normal; }
.blanks small { display: block; min-height: 1.2rem; }
.blanks input[type=text] { width: 100%; border: 0; }
.brief { margin: 0.5rem 0; padding: 0; list-style: none; columns: 24rem; column-gap: 1.5rem; }
.brief li { break-inside: avoid; margin: 0 0 0.2rem; }
.cards.two { display: grid; grid-template-columns: repeat(auto-fill, minmax(24rem, 1fr)); gap: 0.6rem 1rem; }
.beside { display: flex; gap: 1rem; align-items: flex-start; }
.beside .scroll { flex: 1; }
.labels { list-style: none; margin: 1rem 0; padding: 0; display: grid; grid-template-columns: repeat(3, 1fr); }
.labels li { border: 1px dashed #111; margin: 0 -1px -1px 0; padding: 0.6rem; break-inside: avoid; }
.labels strong { font-size: 1.2rem; overflow-wrap: anywhere; }
.labels span, .labels small { display: block; }
.labels dl { margin: 0.3rem 0; }
.labels dl div { display: flex; justify-content: space-between; gap: 0.5rem; align-items: baseline; }
.labels dt { overflow-wrap: anywhere; }
.labels dd { margin: 0; font-size: 1.25rem; font-weight: 600; white-space: nowrap; }
.swatches { display: grid; grid-template-columns: repeat(auto-fill, minmax(15rem, 1fr)); gap: 1rem; }
.swatch small { display: block; }
.field { display: block; height: 6rem; border: 1px solid #111; }
.field.unknown { border-style: dashed; padding: 1rem; }
.grounds { display: grid; grid-template-columns: repeat(3, 1fr); gap: 0.3rem; margin: 0.3rem 0; }
.grounds span { height: 1.6rem; border: 1px solid #111; }
.shown { display: flex; flex-wrap: wrap; gap: 1rem; align-items: flex-start; }
.shown > div { flex: 1 1 16rem; min-width: 0; }
.board { flex: none; max-width: 100%; width: auto; height: auto; max-height: 26rem; }
.signatures { display: grid; grid-template-columns: 1fr 1fr; gap: 2rem; }
.blank.wide { display: block; height: 3rem; border-bottom: 1px solid #111; }
@media (max-width: 40rem) { .labels { grid-template-columns: 1fr; } .cards.two { grid-template-columns: 1fr; } td input[type=text] { width: 4rem; } .figure + td, .figure + th { padding-left: 0.5rem; } }
@media (max-width: 32rem) { .sheet { padding: 0.6rem; } .figure { white-space: normal; } .weight { white-space: nowrap; } th, td, .figure { padding-left: 0.2rem; padding-right: 0.2rem; } .figure + td, .figure + th { padding-left: 0.3rem; } .weight { font-size: 1.05rem; } td.ticks label { display: block; } td small { overflow-wrap: anywhere; } td input[type=text] { width: 3.2rem; } .beside { flex-wrap: wrap; } }
@media print {
  nav { display: none; }
  @page { margin: 15mm 11mm 14mm; @top-left { font: 600 8.5pt Inter, system-ui, sans-serif; } @top-right { font: 8.5pt Inter, system-ui, sans-serif; text-align: right; width: 75%; } @bottom-left { font: 8.5pt Inter, system-ui, sans-serif; } @bottom-right { font: 8.5pt Inter, system-ui, sans-serif; } }
  html { font-size: 10pt; }
  body { font-size: 10pt; line-height: 1.25; }
  h2 { margin-top: 0.7rem; }
  td { padding: 0.12rem 0.4rem 0.12rem 0; }
  input[type=text] { min-height: 1.5rem; }
  input[type=checkbox] { width: 4mm; height: 4mm; margin: 0.3mm; }
  td.ticks { font-size: 6.5pt; padding-right: 0; line-height: 1; }
  td input[type=text] { width: 5rem; }
  .brief { columns: 2; }
  .cards { display: grid; grid-template-columns: 1fr 1fr; gap: 0.2rem 1.2rem; }
  .cards.two { grid-template-columns: 1fr 1fr; }
  .beside { gap: 0.4rem; }
  .figure { padding-left: 0.2rem; }
  .blanks { grid-template-columns: repeat(auto-fit, minmax(7rem, 1fr)); }
  .swatches { grid-template-columns: repeat(auto-fit, minmax(38mm, 1fr)); gap: 0.5rem 1rem; }
  .field { height: 3.2rem; }
  .board { max-height: 62mm; }
  .blank.wide { height: 2.2rem; }
  .agreed, .blanks li { break-inside: avoid; }
  .sheet { max-width: none; padding: 0; break-before: page; }
  .sheet:first-of-type { break-before: auto; }
  .sheet + .sheet { border-top: 0; }
  .whole, .card, tr, .swatch, .caution, .stop { break-inside: avoid; }
  h2, h3, h3 + p, h2 + .note, thead { break-after: avoid; }
  p, li { orphans: 3; widows: 3; }
  .brief { margin: 0.3rem 0; }
  .note, small, cite, .heed, .marks { font-size: 8.5pt; }
  .weight { font-size: 15pt; }
  .labels dd { font-size: 14pt; }
  .chip, .field, .grounds span, svg, img { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_end_a_string_of_style() {
        assert_eq!(quoted("a\"}</style>\n"), "\"a\\22 \\7d \\3c \\2f style\\3e  \"");
        assert_eq!(quoted("café"), "\"caf\\e9 \"");
    }
}
