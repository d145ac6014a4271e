//! What an independent reader finds in a PDF.

use std::collections::BTreeMap;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Encoding, Object};

/// A run of text as it is drawn.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub(super) text: String,
    /// Font size, pt.
    pub(super) size: f64,
    /// Left end, from the left edge of the paper, pt.
    pub(super) x: f64,
    /// Right end.
    pub(super) right: f64,
    /// Baseline, from the lower edge of the paper.
    pub(super) y: f64,
}

type Matrix = [f64; 6];

fn times(one: Matrix, two: Matrix) -> Matrix {
    let [a, b, c, d, e, f] = one;
    let [p, q, r, s, t, u] = two;
    [
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    ]
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().unwrap())
}

fn matrix(operands: &[Object]) -> Matrix {
    let all: Vec<f64> = operands.iter().map(number).collect();
    all.try_into().unwrap()
}

/// A font's letters and how wide its glyphs are, in 1/1000 of its size.
struct Face<'a> {
    encoding: Encoding<'a>,
    widths: BTreeMap<u16, f64>,
    usual: f64,
}

fn face<'a>(document: &'a Document, font: &'a Dictionary) -> Face<'a> {
    let encoding = font.get_font_encoding(document).unwrap();
    let below = document.dereference(font.get(b"DescendantFonts").unwrap()).unwrap().1;
    let below = document.dereference(&below.as_array().unwrap()[0]).unwrap().1.as_dict().unwrap();
    let usual = below.get(b"DW").map_or(1000.0, number);
    let mut widths = BTreeMap::new();
    let list = document.dereference(below.get(b"W").unwrap()).unwrap().1.as_array().unwrap();
    let mut list = list.iter();
    while let Some(first) = list.next() {
        let first = u16::try_from(first.as_i64().unwrap()).unwrap();
        match list.next().unwrap() {
            Object::Array(each) => {
                widths.extend((first..).zip(each.iter().map(number)));
            }
            last => {
                let last = u16::try_from(last.as_i64().unwrap()).unwrap();
                let width = number(list.next().unwrap());
                widths.extend((first..=last).map(|glyph| (glyph, width)));
            }
        }
    }
    Face { encoding, widths, usual }
}

/// All text of each page, in the order in which it is drawn.
pub(super) fn runs(bytes: &[u8]) -> Vec<Vec<Run>> {
    let document = Document::load_mem(bytes).unwrap();
    document.get_pages().into_values().map(|page| page_runs(&document, page)).collect()
}

fn page_runs(document: &Document, page: lopdf::ObjectId) -> Vec<Run> {
    let fonts = document.get_page_fonts(page).unwrap();
    let faces: BTreeMap<&[u8], Face<'_>> =
        fonts.iter().map(|(name, font)| (name.as_slice(), face(document, font))).collect();
    let content = Content::decode(&document.get_page_content(page)).unwrap();
    let mut all = Vec::new();
    let mut states = Vec::new();
    let mut page_matrix: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    let mut text_matrix = page_matrix;
    let (mut font, mut size) = (Vec::new(), 0.0);
    for operation in &content.operations {
        let operands = &operation.operands;
        match operation.operator.as_str() {
            "q" => states.push(page_matrix),
            "Q" => page_matrix = states.pop().unwrap(),
            "cm" => page_matrix = times(matrix(operands), page_matrix),
            "BT" => text_matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
            "Tm" => text_matrix = matrix(operands),
            "Tf" => {
                font = operands[0].as_name().unwrap().to_vec();
                size = number(&operands[1]);
            }
            "Tj" | "TJ" => {
                let face = &faces[font.as_slice()];
                let parts = match &operands[0] {
                    Object::Array(parts) => parts.clone(),
                    one => vec![one.clone()],
                };
                let (mut text, mut advance) = (String::new(), 0.0);
                for part in &parts {
                    if let Ok(letters) = part.as_str() {
                        text += &Document::decode_text(&face.encoding, letters).unwrap();
                        for glyph in letters.chunks_exact(2) {
                            let glyph = u16::from_be_bytes([glyph[0], glyph[1]]);
                            advance += face.widths.get(&glyph).copied().unwrap_or(face.usual);
                        }
                    } else {
                        advance -= number(part);
                    }
                }
                let at = times(text_matrix, page_matrix);
                let scale = at[0].hypot(at[1]);
                let width = advance / 1000.0 * size;
                all.push(Run {
                    text,
                    size: size * scale,
                    x: at[4],
                    right: at[4] + width * scale,
                    y: at[5],
                });
                text_matrix = times([1.0, 0.0, 0.0, 1.0, width, 0.0], text_matrix);
            }
            _ => {}
        }
    }
    joined(all)
}

/// Every corner of what each page draws besides text, from the lower left corner of the paper, pt.
pub(super) fn corners(bytes: &[u8]) -> Vec<Vec<[f64; 2]>> {
    let document = Document::load_mem(bytes).unwrap();
    let pages = document.get_pages();
    pages.into_values().map(|page| page_corners(&document, page)).collect()
}

fn page_corners(document: &Document, page: lopdf::ObjectId) -> Vec<[f64; 2]> {
    let content = Content::decode(&document.get_page_content(page)).unwrap();
    let mut all = Vec::new();
    let mut states = Vec::new();
    let mut current: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    for operation in &content.operations {
        let operands = &operation.operands;
        let mut put = |x: f64, y: f64| {
            let at = times([1.0, 0.0, 0.0, 1.0, x, y], current);
            all.push([at[4], at[5]]);
        };
        match operation.operator.as_str() {
            "q" => states.push(current),
            "Q" => current = states.pop().unwrap(),
            "cm" => current = times(matrix(operands), current),
            "m" | "l" => put(number(&operands[0]), number(&operands[1])),
            "re" => {
                let [x, y, w, h] = [0, 1, 2, 3].map(|at| number(&operands[at]));
                put(x, y);
                put(x + w, y + h);
            }
            // A picture fills the unit square.
            "Do" => {
                put(0.0, 0.0);
                put(1.0, 1.0);
            }
            _ => {}
        }
    }
    all
}

/// Runs that a writer broke in the middle of a line are one again.
fn joined(runs: Vec<Run>) -> Vec<Run> {
    let mut all: Vec<Run> = Vec::new();
    for run in runs {
        match all.last_mut() {
            Some(last)
                if (last.y - run.y).abs() < 0.01
                    && (last.size - run.size).abs() < 0.01
                    && (last.right - run.x).abs() < 0.05 =>
            {
                last.text += &run.text;
                last.right = run.right;
            }
            _ => all.push(run),
        }
    }
    all
}

/// What the document says of itself.
#[derive(Debug)]
pub(super) struct Facts {
    pub(super) marked: bool,
    pub(super) language: Option<String>,
    /// How many elements of each kind the structure has.
    pub(super) structure: BTreeMap<String, usize>,
    /// The colour space of each picture.
    pub(super) images: Vec<String>,
    /// Whether a page draws with a colour that has no profile.
    pub(super) device_colours: bool,
    pub(super) metadata: String,
}

pub(super) fn facts(bytes: &[u8]) -> Facts {
    let document = Document::load_mem(bytes).unwrap();
    let catalog = document.catalog().unwrap();
    let marked = catalog
        .get(b"MarkInfo")
        .and_then(|info| document.dereference(info))
        .and_then(|(_, info)| info.as_dict()?.get(b"Marked")?.as_bool())
        .unwrap_or(false);
    let language = catalog
        .get(b"Lang")
        .and_then(Object::as_str)
        .map(|text| String::from_utf8_lossy(text).into_owned())
        .ok();
    let mut structure = BTreeMap::new();
    let mut images = Vec::new();
    for object in document.objects.values() {
        if let Ok(element) = object.as_dict()
            && let Ok(kind) = element.get(b"S").and_then(Object::as_name)
            && element.has(b"P")
        {
            *structure.entry(String::from_utf8_lossy(kind).into_owned()).or_default() += 1;
        }
        if let Ok(stream) = object.as_stream()
            && stream.dict.get(b"Subtype").and_then(Object::as_name).ok() == Some(b"Image")
        {
            let space = document.dereference(stream.dict.get(b"ColorSpace").unwrap()).unwrap().1;
            let name = match space {
                Object::Array(parts) => parts[0].as_name().unwrap(),
                other => other.as_name().unwrap(),
            };
            images.push(String::from_utf8_lossy(name).into_owned());
        }
    }
    let device_colours = document.get_pages().into_values().any(|page| {
        let content = Content::decode(&document.get_page_content(page)).unwrap();
        content.operations.iter().any(|operation| {
            matches!(operation.operator.as_str(), "g" | "G" | "rg" | "RG" | "k" | "K")
        })
    });
    let metadata = document.dereference(catalog.get(b"Metadata").unwrap()).unwrap().1;
    let metadata = metadata.as_stream().unwrap();
    let text = metadata.decompressed_content().unwrap_or_else(|_| metadata.content.clone());
    Facts {
        marked,
        language,
        structure,
        images,
        device_colours,
        metadata: String::from_utf8_lossy(&text).into_owned(),
    }
}
