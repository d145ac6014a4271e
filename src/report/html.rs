//! Sheets as one HTML file: nothing is fetched, pictures are embedded, it prints page by page, and
//! its tables, headings and labels are what a screen reader expects.

mod container;
mod style;

use std::fmt::Write as _;

use super::sheet::{Blank, Block, Card, Cell, Label, Picture, Sheet, Sheets, Side, Swatch, Table};
use style::STYLE;

/// All sheets as one file.
#[must_use]
pub fn html(sheets: &Sheets) -> String {
    let head = &sheets.head;
    let day = head.day.map_or_else(String::new, |day| format!(" · {day}"));
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n<style>\n{STYLE}{}</style>\n</head>\n<body>\n<nav aria-label=\"Sheets\">\n",
        safe(&sheets.title),
        style::paged(sheets)
    );
    for (at, sheet) in sheets.sheets.iter().enumerate() {
        let _ = writeln!(out, "<a href=\"#sheet-{}\">{}</a>", at + 1, safe(&sheet.title));
    }
    out.push_str("</nav>\n<main>\n");
    for (at, sheet) in sheets.sheets.iter().enumerate() {
        let _ = write!(
            out,
            "<section class=\"sheet\" id=\"sheet-{0}\" style=\"page: sheet-{0}\" aria-labelledby=\"title-{0}\">\n<header>\n<h1 id=\"title-{0}\">{1}</h1>\n<p class=\"way\"><strong>{2}</strong> for {3}</p>\n<p>{6}</p>\n<p class=\"marks\">recipe {4} · plan {5}{day}</p>\n<p class=\"heed\">{7}</p>\n</header>\n",
            at + 1,
            safe(&sheet.title),
            safe(&head.colourway),
            safe(&head.job),
            safe(&head.fingerprint),
            safe(&head.revision),
            safe(&head.film),
            safe(&sheets.foot),
        );
        blocks(&mut out, sheet);
        out.push_str("</section>\n");
    }
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// Text made safe to stand in HTML, also between quotes.
fn safe(words: &str) -> String {
    let mut safe = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            control if control.is_control() => safe.push(' '),
            other => safe.push(other),
        }
    }
    safe
}

fn blocks(out: &mut String, sheet: &Sheet) {
    for run in sheet.blocks.chunk_by(|one, other| item(one).is_some() && item(other).is_some()) {
        let items: Vec<&str> = run.iter().filter_map(item).collect();
        if items.is_empty() {
            run.iter().for_each(|one| block(out, one))
        } else {
            list(out, &items)
        }
    }
}

/// A line that is an item of a list, without its mark.
fn item(block: &Block) -> Option<&str> {
    let Block::Line(words) = block else { return None };
    words.strip_prefix("• ")
}

fn list(out: &mut String, items: &[&str]) {
    out.push_str("<ul>\n");
    for words in items {
        let _ = writeln!(out, "<li>{}</li>", safe(words));
    }
    out.push_str("</ul>\n");
}

fn block(out: &mut String, block: &Block) {
    let _ = match block {
        Block::Heading(words) => writeln!(out, "<h2>{}</h2>", safe(words)),
        Block::Line(words) => writeln!(out, "<p>{}</p>", safe(words)),
        Block::Note(words) => writeln!(out, "<p class=\"note\">{}</p>", safe(words)),
        Block::Warning { mark, words, source, stops } => {
            let class = if *stops { "stop" } else { "caution" };
            let source = if source.is_empty() {
                String::new()
            } else {
                format!(" <cite>[{}]</cite>", safe(source))
            };
            writeln!(
                out,
                "<p class=\"{class}\"><strong>{}:</strong> {}{source}</p>",
                safe(mark),
                safe(words)
            )
        }
        Block::Blanks(all) => {
            blanks(out, all);
            Ok(())
        }
        Block::Table(one) => {
            table(out, one);
            Ok(())
        }
        Block::WorkEnds => Ok(()),
        Block::CardsAndTable { cards: all, title, table: one } => {
            cards(out, all);
            let _ = writeln!(out, "<h2>{}</h2>", safe(title));
            table(out, one);
            Ok(())
        }
        Block::Brief(all) => {
            out.push_str("<ul class=\"brief\">\n");
            for heed in all {
                let (mark, words) = (safe(&heed.mark), safe(&heed.words));
                let _ = writeln!(out, "<li><strong>{mark}</strong> {words}</li>");
            }
            writeln!(out, "</ul>")
        }
        Block::Cards(all) => {
            cards(out, all);
            Ok(())
        }
        Block::Labels(kinds) => {
            for all in kinds {
                out.push_str("<ul class=\"labels\">\n");
                all.iter().for_each(|one| label(out, one));
                out.push_str("</ul>\n");
            }
            Ok(())
        }
        Block::Swatches(all) => {
            out.push_str("<div class=\"swatches\">\n");
            all.iter().for_each(|one| swatch(out, one));
            writeln!(out, "</div>")
        }
        Block::Picture(one) => {
            picture(out, one);
            Ok(())
        }
        Block::Signatures { asked, lines } => {
            out.push_str("<div class=\"agreed\">\n");
            blanks(out, asked);
            out.push_str("<div class=\"signatures\">\n");
            for words in lines {
                let _ = writeln!(out, "<p><span class=\"blank wide\"></span>{}</p>", safe(words));
            }
            writeln!(out, "</div>\n</div>")
        }
    };
}

fn blanks(out: &mut String, blanks: &[Blank]) {
    out.push_str("<ul class=\"blanks\">\n");
    for blank in blanks {
        let _ = writeln!(
            out,
            "<li><label><strong>{}</strong> <small>{}</small> <input type=\"text\" autocomplete=\"off\"></label></li>",
            safe(&blank.label),
            safe(&blank.hint)
        );
    }
    out.push_str("</ul>\n");
}

/// Words of no more letters than this are not broken.
const SHORT_WORDS: usize = 8;
/// Boxes that are drawn at most.
const MOST_BOXES: usize = 400;
/// A table of no more rows than this is printed in one piece.
const SHORT: usize = 10;

fn table(out: &mut String, table: &Table) {
    let side = |side: Side| if side == Side::Right { " class=\"figure\"" } else { "" };
    let whole = if table.rows.len() <= SHORT { " whole" } else { "" };
    let _ = writeln!(out, "<div class=\"scroll{whole}\"><table>");
    if table.columns.iter().any(|column| !column.title.is_empty()) {
        out.push_str("<thead><tr>");
        for column in &table.columns {
            // A column whose cells speak for themselves still has its place in the head.
            let (tag, scope) =
                if column.title.is_empty() { ("td", "") } else { ("th", " scope=\"col\"") };
            let (class, title) = (side(column.side), safe(&column.title));
            let _ = write!(out, "<{tag}{scope}{class}>{title}</{tag}>");
        }
        out.push_str("</tr></thead>\n");
    }
    out.push_str("<tbody>\n");
    for row in &table.rows {
        out.push_str("<tr>");
        for (cell, column) in row.iter().zip(&table.columns) {
            let _ = match cell {
                Cell::Words { large, small, flag } => {
                    let short = column.side == Side::Left && large.len() <= SHORT_WORDS;
                    let class = if short { " class=\"short\"" } else { side(column.side) };
                    let _ = write!(out, "<td{class}>{}", safe(large));
                    if !small.is_empty() {
                        let _ = write!(out, " <small>{}</small>", safe(small));
                    }
                    if !flag.is_empty() {
                        let _ = write!(out, " <strong class=\"flag\">{}</strong>", safe(flag));
                    }
                    write!(out, "</td>")
                }
                Cell::Weight { text, strong, added } => {
                    let (open, close) = if *strong { ("<strong>", "</strong>") } else { ("", "") };
                    let added = if added.is_empty() {
                        String::new()
                    } else {
                        format!(" <small>added: {}</small>", safe(added))
                    };
                    write!(
                        out,
                        "<td class=\"figure weight\">{open}{}{close}{added}</td>",
                        safe(text)
                    )
                }
                Cell::Figure(text) => {
                    write!(out, "<td{}>{}</td>", side(column.side), safe(text))
                }
                Cell::Blank { hint } => {
                    out.push_str("<td>");
                    if !hint.is_empty() {
                        let _ = write!(out, "<small>plan {}</small> ", safe(hint));
                    }
                    write!(
                        out,
                        "<input type=\"text\" autocomplete=\"off\" aria-label=\"{}\"></td>",
                        safe(&column.title)
                    )
                }
                Cell::Tick => {
                    out.push_str("<td class=\"ticks\">");
                    tick(out, &column.title);
                    write!(out, "</td>")
                }
                Cell::Ticks(numbers) => {
                    out.push_str("<td class=\"ticks\">");
                    ticks(out, numbers.iter().copied(), &column.title);
                    write!(out, "</td>")
                }
            };
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table></div>\n");
}

fn tick(out: &mut String, what: &str) {
    let _ = write!(out, "<label><input type=\"checkbox\" aria-label=\"{}\"></label> ", safe(what));
}

fn ticks(out: &mut String, numbers: impl Iterator<Item = u32>, what: &str) {
    for number in numbers {
        let _ = write!(
            out,
            "<label><input type=\"checkbox\" aria-label=\"{} {number}\">{number}</label> ",
            safe(what)
        );
    }
}

fn cards(out: &mut String, all: &[Card]) {
    let drawn = all.iter().any(|card| card.container.is_some());
    let _ = writeln!(out, "<div class=\"cards{}\">", if drawn { " two" } else { "" });
    all.iter().for_each(|one| card(out, one));
    out.push_str("</div>\n");
}

fn card(out: &mut String, card: &Card) {
    out.push_str("<article class=\"card\">\n");
    let chip = card.colour.map_or_else(String::new, |colour| {
        format!("<span class=\"chip\" style=\"background:{colour}\"></span> ")
    });
    let _ = writeln!(out, "<h3>{chip}{}</h3>\n<p>{}</p>", safe(&card.title), safe(&card.words));
    if let Some(drawing) = &card.container {
        out.push_str("<div class=\"beside\">\n");
        container::draw(out, drawing);
        table(out, &card.table);
        out.push_str("</div>\n");
    } else {
        table(out, &card.table);
    }
    if let Some(boxes) = &card.ticks {
        let _ = write!(out, "<p class=\"ticks\">{}: ", safe(&boxes.what));
        match boxes.count {
            1 => tick(out, &boxes.what),
            _ => ticks(out, boxes.numbers().take(MOST_BOXES), &boxes.what),
        }
        out.push_str("</p>\n");
    }
    for note in &card.notes {
        let _ = writeln!(out, "<p class=\"note\">{}</p>", safe(note));
    }
    out.push_str("</article>\n");
}

fn label(out: &mut String, label: &Label) {
    let _ = writeln!(
        out,
        "<li><strong>{}</strong> <span>{}</span>",
        safe(&label.title),
        safe(&label.number)
    );
    for words in &label.heed {
        let _ = writeln!(out, "<p><strong>{}</strong></p>", safe(words));
    }
    out.push_str("<dl>\n");
    for (what, weight) in &label.content {
        let _ = writeln!(out, "<div><dt>{}</dt><dd>{}</dd></div>", safe(what), safe(weight));
    }
    out.push_str("</dl>");
    for words in &label.foot {
        let _ = write!(out, "<small>{}</small>", safe(words));
    }
    out.push_str("</li>\n");
}

fn swatch(out: &mut String, swatch: &Swatch) {
    let field = match swatch.colour {
        Some(colour) => format!(
            "<span class=\"field\" role=\"img\" aria-label=\"{}, shown as {colour}\" style=\"background:{colour}\"></span>",
            safe(&swatch.name)
        ),
        None => "<span class=\"field unknown\">not known</span>".to_owned(),
    };
    let _ =
        write!(out, "<div class=\"swatch\">{field}<span class=\"grounds\" aria-hidden=\"true\">");
    for ground in &swatch.grounds {
        let _ = write!(out, "<span style=\"background:{ground}\"></span>");
    }
    let _ = write!(out, "</span><strong>{}</strong>", safe(&swatch.name));
    for line in &swatch.lines {
        let _ = write!(out, "<small>{}</small>", safe(line));
    }
    out.push_str("</div>\n");
}

fn picture(out: &mut String, picture: &Picture) {
    let _ = writeln!(
        out,
        "<div class=\"shown\">\n<img class=\"board\" width=\"{}\" height=\"{}\" alt=\"{}\" src=\"data:image/png;base64,{}\">",
        picture.size[0],
        picture.size[1],
        safe(&picture.alt),
        base64(&picture.png)
    );
    out.push_str("<div>\n");
    for run in
        picture.beside.chunk_by(|one, other| one.starts_with("• ") && other.starts_with("• "))
    {
        let items: Vec<&str> = run.iter().filter_map(|words| words.strip_prefix("• ")).collect();
        if items.is_empty() {
            for words in run {
                let _ = writeln!(out, "<p>{}</p>", safe(words));
            }
        } else {
            list(out, &items);
        }
    }
    out.push_str("</div>\n</div>\n");
}

/// Bytes as letters (RFC 4648, base 64).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |at: usize| u32::from(three.get(at).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * place) & 63) as usize];
            out.push(if place > three.len() { '=' } else { char::from(letter) });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10.
    #[test]
    fn base64_by_its_standard() {
        for (bytes, letters) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(bytes.as_bytes()), letters);
        }
    }

    #[test]
    fn names_cannot_write_markup() {
        assert_eq!(safe("<b onclick='x'>&\"\n"), "&lt;b onclick=&#39;x&#39;&gt;&amp;&quot; ");
    }
}
