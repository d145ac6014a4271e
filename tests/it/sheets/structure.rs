//! What a screen reader follows (PDF/UA-1, ISO 14289-1): the tree of tags and what is drawn belong
//! together, piece by piece.

use std::collections::{BTreeMap, BTreeSet};

use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object, ObjectId};

/// An element of the tree.
#[derive(Debug)]
struct Element {
    kind: String,
    dictionary: Dictionary,
    below: Vec<Self>,
    /// Pages and marks of what it holds itself.
    marks: Vec<(ObjectId, i64)>,
}

impl Element {
    fn each<'a>(&'a self, all: &mut Vec<&'a Self>) {
        all.push(self);
        self.below.iter().for_each(|below| below.each(all));
    }

    fn text(&self, key: &[u8]) -> Option<String> {
        lopdf::decode_text_string(self.dictionary.get(key).ok()?).ok()
    }
}

/// A sequence of marked content on a page.
struct Marked {
    /// Its number in the tree; none for an ornament.
    number: Option<i64>,
    /// Of an ornament, what it is: `Header`, `Footer`.
    ornament: Option<String>,
    draws: bool,
}

fn dictionary<'a>(document: &'a Document, object: &'a Object) -> &'a Dictionary {
    document.dereference(object).unwrap().1.as_dict().unwrap()
}

fn name(dictionary: &Dictionary, key: &[u8]) -> Option<String> {
    let name = dictionary.get(key).ok()?.as_name().ok()?;
    Some(String::from_utf8_lossy(name).into_owned())
}

fn element(document: &Document, dictionary: &Dictionary, page: Option<ObjectId>) -> Element {
    let page = dictionary.get(b"Pg").and_then(Object::as_reference).ok().or(page);
    let (mut below, mut marks) = (Vec::new(), Vec::new());
    let children = match dictionary.get(b"K").map(|k| document.dereference(k).unwrap().1) {
        Ok(Object::Array(children)) => children.clone(),
        Ok(one) => vec![one.clone()],
        Err(_) => Vec::new(),
    };
    for child in &children {
        let child = document.dereference(child).unwrap().1;
        if let Ok(mark) = child.as_i64() {
            marks.push((page.unwrap(), mark));
            continue;
        }
        let child = child.as_dict().unwrap();
        if name(child, b"Type").as_deref() == Some("MCR") {
            let own = child.get(b"Pg").and_then(Object::as_reference).ok().or(page);
            marks.push((own.unwrap(), child.get(b"MCID").unwrap().as_i64().unwrap()));
        } else {
            below.push(element(document, child, page));
        }
    }
    let kind = name(dictionary, b"S").unwrap();
    Element { kind, dictionary: dictionary.clone(), below, marks }
}

/// All that a page draws, in its marks; what is drawn outside of any is refused.
fn marked(document: &Document, page: ObjectId) -> Vec<Marked> {
    let content = Content::decode(&document.get_page_content(page)).unwrap();
    let mut all = Vec::new();
    let mut open: Option<Marked> = None;
    for Operation { operator, operands } in &content.operations {
        match operator.as_str() {
            "BDC" | "BMC" => {
                assert!(open.is_none(), "a mark within a mark");
                let tag = operands[0].as_name().unwrap();
                let about = operands.get(1).and_then(|about| about.as_dict().ok());
                let number = about.and_then(|about| about.get(b"MCID").ok()?.as_i64().ok());
                assert_eq!(number.is_none(), tag == b"Artifact", "marked or an ornament");
                let ornament = about.and_then(|about| name(about, b"Subtype"));
                open = Some(Marked { number, ornament, draws: false });
            }
            "EMC" => all.extend(open.take()),
            "Tj" | "TJ" | "f" | "f*" | "S" | "s" | "B" | "b" | "Do" | "sh" => {
                open.as_mut().expect("drawn outside of any mark").draws = true;
            }
            _ => {}
        }
    }
    all
}

/// Everything that must hold of a tagged document.
pub(super) fn check(bytes: &[u8]) {
    let document = Document::load_mem(bytes).unwrap();
    let catalog = document.catalog().unwrap();
    let tree = dictionary(&document, catalog.get(b"StructTreeRoot").unwrap());
    let top = match document.dereference(tree.get(b"K").unwrap()).unwrap().1 {
        Object::Array(all) => dictionary(&document, &all[0]),
        other => other.as_dict().unwrap(),
    };
    let top = element(&document, top, None);
    let mut all = Vec::new();
    top.each(&mut all);
    check_marks(&document, &all);
    check_headings(&all);
    check_tables(&all);
    for figure in all.iter().filter(|one| one.kind == "Figure") {
        let alt = figure.text(b"Alt").unwrap_or_default();
        assert!(alt.len() > 5, "a figure in words: {alt:?}");
    }
    for list in all.iter().filter(|one| one.kind == "L") {
        assert!(list.below.iter().all(|item| item.kind == "LI"), "{list:?}");
    }
    let shown = dictionary(&document, catalog.get(b"ViewerPreferences").unwrap());
    assert!(shown.get(b"DisplayDocTitle").unwrap().as_bool().unwrap(), "the title is shown");
    check_fonts(&document);
}

/// Each mark of the pages is in the tree once, and the tree has no others.
fn check_marks(document: &Document, all: &[&Element]) {
    let mut of_tree = BTreeMap::new();
    for element in all {
        for mark in &element.marks {
            assert_eq!(of_tree.insert(*mark, &element.kind), None, "{mark:?} is read twice");
        }
    }
    let mut of_pages = BTreeSet::new();
    for page in document.get_pages().into_values() {
        let marks = marked(document, page);
        of_pages.extend(marks.iter().filter_map(|mark| Some((page, mark.number?))));
        let footers = marks.iter().filter(|mark| mark.ornament.as_deref() == Some("Footer"));
        assert!(footers.filter(|mark| mark.draws).count() >= 2, "a page's numbers are its foot");
        let order = name(document.get_dictionary(page).unwrap(), b"Tabs");
        assert_eq!(order.as_deref(), Some("S"), "the keyboard follows the tree");
    }
    assert_eq!(of_tree.into_keys().collect::<BTreeSet<_>>(), of_pages);
}

/// No level of heading is left out.
fn check_headings(all: &[&Element]) {
    let mut last = 0;
    for heading in all {
        let Some(level) =
            heading.kind.strip_prefix('H').and_then(|level| level.parse::<u32>().ok())
        else {
            continue;
        };
        assert!(level <= last + 1, "level {level} after {last}: {:?}", heading.text(b"T"));
        assert!(!heading.text(b"T").unwrap().is_empty());
        last = level;
    }
    assert!(last > 0, "there are headings");
}

/// A table is rows of as many cells, the first of titles that say what they are over.
fn check_tables(all: &[&Element]) {
    for table in all.iter().filter(|one| one.kind == "Table") {
        assert!(table.below.iter().all(|row| row.kind == "TR"), "{table:?}");
        let titles = &table.below[0].below;
        for title in titles {
            assert_eq!(title.kind, "TH");
            let about = format!("{:?}", title.dictionary.get(b"A").unwrap());
            assert!(about.contains("Scope") && about.contains("Column"), "{about}");
        }
        for row in &table.below[1..] {
            assert_eq!(row.below.len(), titles.len(), "a row has a cell for each title");
            assert!(row.below.iter().all(|cell| ["TD", "TH"].contains(&cell.kind.as_str())));
        }
    }
}

/// Fonts lie in the document, and their letters can be read out.
fn check_fonts(document: &Document) {
    let mut found = 0;
    for object in document.objects.values() {
        let Ok(font) = object.as_dict() else { continue };
        match name(font, b"Type").as_deref() {
            Some("FontDescriptor") => {
                found += 1;
                let held = [&b"FontFile"[..], b"FontFile2", b"FontFile3"];
                assert!(held.iter().any(|key| font.has(key)), "a font is embedded");
            }
            Some("Font") if name(font, b"Subtype").as_deref() == Some("Type0") => {
                assert!(font.has(b"ToUnicode"), "a font's letters are known");
            }
            _ => {}
        }
    }
    assert!(found >= 2, "both cuts");
}
