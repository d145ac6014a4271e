//! Words to glyphs: shaped with the fonts that the program carries, with figures that stand under
//! one another (`tnum`), and broken into lines.

use std::ops::Range;
use std::rc::Rc;

use harfrust::{
    Direction, Feature, FontRef, ShapeOptions, ShapePlan, ShaperData, Tag, UnicodeBuffer, script,
};

use super::PdfError;
use crate::picture::FONTS;

/// Which cut of the font.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    /// For reading.
    Regular,
    /// For what must be found.
    Strong,
}

/// A glyph of a line, in parts of the font's size.
#[derive(Debug, Clone)]
pub(super) struct Glyph {
    pub(super) id: u32,
    pub(super) advance: f32,
    pub(super) offset: [f32; 2],
    /// The letters that it stands for, bytes of the line's text.
    pub(super) letters: Range<usize>,
}

/// A line of shaped words.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub(super) text: String,
    pub(super) weight: Weight,
    pub(super) glyphs: Vec<Glyph>,
    /// Its width at size 1.
    width: f32,
}

impl Line {
    /// How wide it is at a size, pt.
    pub(super) fn width(&self, size: f32) -> f32 {
        self.width * size
    }
}

struct Face {
    font: FontRef<'static>,
    data: ShaperData,
    plan: ShapePlan,
    features: Vec<Feature>,
}

impl Face {
    fn new(bytes: &'static [u8]) -> Result<Self, PdfError> {
        let font = FontRef::new(bytes).map_err(|_| PdfError::Font)?;
        let data = ShaperData::new(&font);
        // Contextual alternates would turn `2x3` or `->` into other signs than were written.
        let features = vec![
            Feature::new(Tag::new(b"tnum"), 1, ..),
            Feature::new(Tag::new(b"calt"), 0, ..),
            Feature::new(Tag::new(b"liga"), 0, ..),
        ];
        let shaper = data.shaper(&font).build();
        let plan =
            ShapePlan::new(&shaper, Direction::LeftToRight, Some(script::LATIN), None, &features);
        Ok(Self { font, data, plan, features })
    }

    fn shape(&self, text: &str) -> Vec<Glyph> {
        let shaper = self.data.shaper(&self.font).build();
        #[expect(clippy::cast_precision_loss, reason = "units of an em are about a thousand")]
        let per_em = shaper.units_per_em() as f32;
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.set_direction(Direction::LeftToRight);
        buffer.set_script(script::LATIN);
        let options = ShapeOptions::new().features(&self.features).plan(Some(&self.plan));
        let shaped = shaper.shape(buffer, options);
        let infos = shaped.glyph_infos();
        infos
            .iter()
            .zip(shaped.glyph_positions())
            .enumerate()
            .map(|(at, (info, position))| {
                let end = infos[at + 1..]
                    .iter()
                    .find(|next| next.cluster != info.cluster)
                    .map_or(text.len(), |next| next.cluster as usize);
                #[expect(clippy::cast_precision_loss, reason = "a glyph is a few ems at most")]
                let em = |units: i32| units as f32 / per_em;
                Glyph {
                    id: info.glyph_id,
                    advance: em(position.x_advance),
                    offset: [em(position.x_offset), em(position.y_offset)],
                    letters: info.cluster as usize..end,
                }
            })
            .collect()
    }
}

/// How closely lines and rows stand, and how large pictures are. Letters are of one size either way.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spacing {
    /// Lines are this much further apart than their letters are large.
    pub(super) leading: f32,
    /// Above and below the cells of a table's row, pt; more above, where large figures reach up to the rule.
    pub(super) padding: [f32; 2],
    /// The height of a place to write in within a table, pt.
    pub(super) blank: f32,
    /// The height of a place to write in that stands by itself, pt.
    pub(super) entry: f32,
    /// A picture with words beside it is no higher, pt.
    pub(super) picture: f32,
    /// White above a section's heading, pt.
    pub(super) above: f32,
    /// White below a card or a table, pt.
    pub(super) below: f32,
    /// Between a label's words and where it is cut above and below them, pt.
    pub(super) inset: f32,
}

impl Spacing {
    /// Where there is room.
    const OPEN: Self = Self {
        leading: 1.25,
        padding: [2.2, 0.6],
        blank: 15.8,
        entry: 28.0,
        picture: 250.0,
        above: 3.5,
        below: 4.0,
        inset: 7.0,
    };
    /// Where that saves a page: a gloved hand still writes a time into a blank.
    const CLOSE: Self = Self {
        leading: 1.17,
        padding: [2.6, 1.6],
        blank: 14.2,
        entry: 24.0,
        picture: 190.0,
        above: 1.5,
        below: 2.0,
        inset: 4.5,
    };
    /// Where nothing else does: large figures still stand clear of the rules above and below them.
    const CLOSEST: Self = Self { leading: 1.16, padding: [1.3, 1.3], ..Self::CLOSE };
}

struct Faces {
    regular: Face,
    strong: Face,
}

/// Both cuts, ready to shape, and how closely they are set.
pub(super) struct Fonts {
    faces: Rc<Faces>,
    pub(super) spacing: Spacing,
}

impl Fonts {
    pub(super) fn new() -> Result<Self, PdfError> {
        let faces = Faces { regular: Face::new(FONTS[0])?, strong: Face::new(FONTS[1])? };
        Ok(Self { faces: Rc::new(faces), spacing: Spacing::OPEN })
    }

    /// The same, set closely, and as closely as can be.
    pub(super) fn closer(&self) -> [Self; 2] {
        [Spacing::CLOSE, Spacing::CLOSEST]
            .map(|spacing| Self { faces: Rc::clone(&self.faces), spacing })
    }

    /// From one line of a size to the next, pt.
    pub(super) fn step(&self, size: f32) -> f32 {
        size * self.spacing.leading
    }

    fn face(&self, weight: Weight) -> &Face {
        match weight {
            Weight::Regular => &self.faces.regular,
            Weight::Strong => &self.faces.strong,
        }
    }

    /// One line, however long. What the font has no letter for is written by its numbers (`[U+77F3]`), so that two
    /// such names cannot be taken for one another.
    pub(super) fn line(&self, words: &str, weight: Weight) -> Rc<Line> {
        let face = self.face(weight);
        let mut text: String = words.chars().filter_map(printable).collect();
        let mut glyphs = face.shape(&text);
        if let Some(numbered) = numbered(&text, &glyphs) {
            text = numbered;
            glyphs = face.shape(&text);
        }
        let width = glyphs.iter().map(|glyph| glyph.advance).sum();
        Rc::new(Line { text, weight, glyphs, width })
    }

    /// Whether both cuts have a letter for all of it.
    pub(super) fn has_all(&self, words: &str) -> bool {
        let text: String = words.chars().filter_map(printable).collect();
        [Weight::Regular, Weight::Strong]
            .into_iter()
            .all(|weight| numbered(&text, &self.face(weight).shape(&text)).is_none())
    }

    /// Words in lines no wider than `width` at `size`, the first begun after `indent`; a word that is
    /// wider than a whole line is broken.
    pub(super) fn lines(
        &self,
        words: &str,
        weight: Weight,
        size: f32,
        width: f32,
        indent: f32,
    ) -> Vec<Rc<Line>> {
        let mut lines: Vec<Rc<Line>> = Vec::new();
        let mut current = String::new();
        let room = |lines: &[Rc<Line>]| if lines.is_empty() { width - indent } else { width };
        let fits = |text: &str, room: f32| self.line(text, weight).width(size) <= room + 0.01;
        // What a line cannot hold together is broken between its words.
        let whole = |group: Vec<&str>| match group.join(" ") {
            together if fits(&together, width) => vec![together],
            _ => group.into_iter().map(str::to_owned).collect(),
        };
        for word in groups(words).into_iter().flat_map(whole) {
            let word = word.as_str();
            let longer =
                if current.is_empty() { word.to_owned() } else { format!("{current} {word}") };
            if fits(&longer, room(&lines)) {
                current = longer;
                continue;
            }
            if !current.is_empty() {
                lines.push(self.line(&current, weight));
                current.clear();
            }
            for letter in word.chars() {
                let longer = format!("{current}{letter}");
                // At least one letter a line, so that there is an end.
                if !current.is_empty() && !fits(&longer, room(&lines)) {
                    lines.push(self.line(&current, weight));
                    current = letter.to_string();
                } else {
                    current = longer;
                }
            }
        }
        if !current.is_empty() {
            lines.push(self.line(&current, weight));
        }
        lines
    }

    /// One line cut to a width, with an ellipsis where something is left out.
    pub(super) fn cut(&self, words: &str, weight: Weight, size: f32, width: f32) -> Rc<Line> {
        let whole = self.line(words, weight);
        if whole.width(size) <= width {
            return whole;
        }
        let mut letters: Vec<char> = words.chars().collect();
        loop {
            letters.pop();
            let text: String = letters.iter().collect();
            let line = self.line(&format!("{}…", text.trim_end()), weight);
            if letters.is_empty() || line.width(size) <= width {
                return line;
            }
        }
    }
}

/// Words that stay on one line where it holds them: a figure with its unit, a mix with its number, both sides of a
/// ratio (`1 : 9`).
fn groups(words: &str) -> Vec<Vec<&str>> {
    let ends_in_digit = |word: &str| word.ends_with(|letter: char| letter.is_ascii_digit());
    let begins_with_digit = |word: &str| word.starts_with(|letter: char| letter.is_ascii_digit());
    let bare = |word: &'_ str| -> usize { word.trim_end_matches(['.', ',', ';', ')']).len() };
    let words: Vec<&str> = words.split_whitespace().collect();
    let stays = |at: usize| {
        let [word, next] = [words[at], words[at + 1]];
        let unit = &next[..bare(next)];
        let before = at.checked_sub(1).and_then(|before| words.get(before));
        let after = words.get(at + 2);
        ends_in_digit(word) && UNITS.contains(&unit)
            || NUMBERED.contains(&word) && begins_with_digit(next.trim_start_matches('−'))
            || next == ":"
                && ends_in_digit(word)
                && after.is_some_and(|word| begins_with_digit(word))
            || word == ":"
                && begins_with_digit(next)
                && before.is_some_and(|word| ends_in_digit(word))
            || word == "fl" && unit == "oz"
    };
    let mut groups: Vec<Vec<&str>> = Vec::new();
    for (at, word) in words.iter().enumerate() {
        match groups.last_mut() {
            Some(group) if stays(at - 1) => group.push(word),
            _ => groups.push(vec![word]),
        }
    }
    groups
}

/// What stands behind a figure and is nothing without it.
const UNITS: [&str; 24] = [
    "%", "g", "kg", "lb", "oz", "fl", "mL", "L", "gal", "qt", "mm", "m", "m²", "m³", "mil", "in",
    "ft", "ft²", "ft³", "°C", "°F", "min", "ppm", "USD",
];

/// What is nothing without the number behind it.
const NUMBERED: [&str; 6] = ["mix", "container", "containers", "hand", "shows", "adds"];

/// A text with the letters that have no glyph, or mean something only in one font, by their numbers; none where there
/// are no such.
fn numbered(text: &str, glyphs: &[Glyph]) -> Option<String> {
    let unknown: Vec<&Range<usize>> =
        glyphs.iter().filter(|glyph| glyph.id == 0).map(|glyph| &glyph.letters).collect();
    let is_unknown =
        |at: usize, letter| is_private(letter) || unknown.iter().any(|some| some.contains(&at));
    let mut all = String::new();
    let mut inside = false;
    for (at, letter) in text.char_indices() {
        match (is_unknown(at, letter), inside) {
            (true, false) => all.push_str(&format!("[U+{:04X}", u32::from(letter))),
            (true, true) => all.push_str(&format!(" {:04X}", u32::from(letter))),
            (false, true) => all.extend([']', letter]),
            (false, false) => all.push(letter),
        }
        inside = is_unknown(at, letter);
    }
    if inside {
        all.push(']');
    }
    (all != text).then_some(all)
}

/// A letter that means something only in one font.
const fn is_private(letter: char) -> bool {
    matches!(letter, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{10ffff}')
}

/// A letter that may stand in a document: nothing for what no eye sees.
fn printable(letter: char) -> Option<char> {
    match letter {
        '\u{ad}'
        | '\u{200b}'..='\u{200f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}'
        | '\u{fe00}'..='\u{fe0f}'
        | '\u{feff}'
        | '\u{fff9}'..='\u{ffff}'
        | '\u{e0000}'..='\u{e0fff}' => None,
        '\u{a0}' | '\u{2028}' | '\u{2029}' => Some(' '),
        control if control.is_control() => Some(' '),
        other => Some(other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn figures_stand_under_one_another() {
        let fonts = Fonts::new().unwrap();
        for weight in [Weight::Regular, Weight::Strong] {
            let width = |text: &str| fonts.line(text, weight).width(10.0);
            assert!((width("1111.1") - width("8080.0")).abs() < 1e-4, "{weight:?}");
        }
    }

    #[test]
    fn a_figure_keeps_its_unit_where_a_line_holds_both() {
        let fonts = Fonts::new().unwrap();
        let lines = |width: f32| -> Vec<String> {
            let lines = fonts.lines("paste 0.3 %, hides", Weight::Regular, 10.0, width, 0.0);
            lines.iter().map(|line| line.text.clone()).collect()
        };
        let paste = fonts.line("paste 0.3", Weight::Regular).width(10.0);
        assert_eq!(lines(paste + 1.0), ["paste", "0.3 %,", "hides"]);
        assert_eq!(lines(200.0), ["paste 0.3 %, hides"]);
        let mix = fonts.line("fog, mix", Weight::Regular).width(10.0);
        let numbered = fonts.lines("fog, mix 1", Weight::Regular, 10.0, mix + 2.0, 0.0);
        let texts: Vec<&str> = numbered.iter().map(|line| line.text.as_str()).collect();
        assert_eq!(texts, ["fog,", "mix 1"]);
        let shown = fonts.line("shows −2.37 g", Weight::Regular).width(10.0) + 2.0;
        let below = fonts.lines("scale shows −2.37 g", Weight::Regular, 10.0, shown, 0.0);
        let texts: Vec<&str> = below.iter().map(|line| line.text.as_str()).collect();
        assert_eq!(texts, ["scale", "shows −2.37 g"], "a reading never stands alone");
        let one = fonts.line("let-down 1 :", Weight::Regular).width(10.0);
        let ratio =
            fonts.lines("let-down 1 : 49, goes first", Weight::Regular, 10.0, one + 1.0, 0.0);
        let texts: Vec<&str> = ratio.iter().map(|line| line.text.as_str()).collect();
        assert_eq!(texts, ["let-down", "1 : 49, goes", "first"]);
        assert_eq!(
            groups("see: 2 : 1 resin, 1.55 fl oz a ft"),
            [&["see:"][..], &["2", ":", "1"], &["resin,"], &["1.55", "fl", "oz"], &["a"], &["ft"]]
        );
        let figure = fonts.line("0.3", Weight::Regular).width(10.0);
        assert!(lines(figure + 1.0).contains(&"0.3".to_owned()), "alone where it does not");
    }

    #[test]
    fn what_has_no_letter_in_the_font_stands_by_its_numbers() {
        let fonts = Fonts::new().unwrap();
        let shown = |words| fonts.line(words, Weight::Regular).text.clone();
        assert_eq!(shown("слой λευκό café"), "слой λευκό café");
        assert_eq!(shown("слой 石 \u{e123}\u{200d}x"), "слой [U+77F3] [U+E123]x");
        assert_eq!(shown("石板"), "[U+77F3 677F]");
        assert_ne!(shown("石板"), shown("石灰"), "two names are told apart");
        assert!(fonts.has_all("слой λευκό café") && !fonts.has_all("石板") && !fonts.has_all("🎨"));
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_asked_and_no_letter_is_lost(
            words in "[a-z0-9 ·]{0,200}",
            width in 30.0_f32..300.0,
        ) {
            let fonts = Fonts::new().unwrap();
            let lines = fonts.lines(&words, Weight::Regular, 11.0, width, 7.0);
            prop_assert!(lines.iter().all(|line| line.width(11.0) <= width + 0.1));
            let bare = |text: &str| text.split_whitespace().collect::<String>();
            let joined: String = lines.iter().map(|line| line.text.clone()).collect();
            prop_assert_eq!(bare(&joined), bare(&words));
        }

        #[test]
        fn any_text_can_be_set(words in "\\PC{0,40}") {
            let fonts = Fonts::new().unwrap();
            let line = fonts.line(&words, Weight::Strong);
            prop_assert!(line.glyphs.iter().all(|glyph| glyph.id != 0));
        }
    }
}
