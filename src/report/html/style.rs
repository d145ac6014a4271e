//! How the page looks on a screen and on paper.

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
.way { font-size: 1.4rem; }
.marks, .note, cite, small, .heed { font-size: 0.85rem; color: #333; font-style: normal; }
header { border-bottom: 2px solid #111; padding-bottom: 0.4rem; }
.stop { border: 3px solid #111; padding: 0.5rem; font-weight: 600; font-size: 1.1rem; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; margin: 0.3rem 0; }
th { text-align: left; font-weight: 400; font-size: 0.85rem; border-bottom: 2px solid #111; padding: 0.15rem 0.5rem 0.15rem 0; }
td { border-bottom: 1px solid #999; padding: 0.3rem 0.5rem 0.3rem 0; vertical-align: baseline; }
td small, td .flag { display: block; }
thead td { border-bottom: 2px solid #111; }
label { white-space: nowrap; }
.figure { text-align: right; white-space: nowrap; padding-left: 0.5rem; }
.weight { font-size: 1.5rem; }
.chip { display: inline-block; width: 1.6rem; height: 1rem; border: 1px solid #111; vertical-align: -0.1rem; }
input[type=text] { width: 7rem; min-height: 2.2rem; font: inherit; border: 0; border-bottom: 1px solid #111; background: transparent; }
input[type=checkbox] { width: 1.5rem; height: 1.5rem; vertical-align: middle; }
.figure + td, .figure + th { padding-left: 1rem; }
.blanks { list-style: none; margin: 0.5rem 0; padding: 0; display: grid; grid-template-columns: repeat(auto-fit, minmax(9.5rem, 1fr)); gap: 0.4rem; }
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
@media print {
  nav { display: none; }
  @page { margin: 11mm; }
  html { font-size: 10pt; }
  body { font-size: 10pt; line-height: 1.25; }
  h2 { margin-top: 0.7rem; }
  td { padding: 0.12rem 0.4rem 0.12rem 0; }
  input[type=text] { min-height: 1.5rem; }
  input[type=checkbox] { width: 1.1rem; height: 1.1rem; }
  .brief { columns: 2; }
  .cards.two { grid-template-columns: 1fr 1fr; }
  .blanks { grid-template-columns: repeat(auto-fit, minmax(7rem, 1fr)); }
  .swatches { grid-template-columns: repeat(4, 1fr); }
  .field { height: 3.2rem; }
  .board { max-height: 70mm; }
  .blank.wide { height: 2.2rem; }
  .agreed, .blanks li { break-inside: avoid; }
  .sheet { max-width: none; padding: 0; break-before: page; }
  .sheet:first-of-type { break-before: auto; }
  .sheet + .sheet { border-top: 0; }
  .card, tr, .swatch, .caution, .stop { break-inside: avoid; }
  h2, h3, h2 + .note, thead { break-after: avoid; }
  .weight { font-size: 15pt; }
  .labels dd { font-size: 14pt; }
  .chip, .field, .grounds span, svg, img { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
";
