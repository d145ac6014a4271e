//! Pages to bytes: PDF 1.7, tagged (PDF/UA-1), archival (PDF/A-2a) where it has a date.

use std::collections::BTreeMap;
use std::num::NonZeroU16;
use std::rc::Rc;

use krilla::color::{luma, rgb};
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::geom::{PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Paint, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, SpanTag, TableHeaderScope, Tag,
    TagGroup, TagKind, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Data, Document, SerializeSettings};

use super::canvas::{Child, Ink, NodeId, Ornament, Piece, Role, Shape, Tree};
use super::flow::{Flow, MARGIN};
use super::font::Weight;
use super::{Paper, PdfError};
use crate::picture::FONTS;
use crate::report::sheet::Sheets;

struct Writer {
    regular: Font,
    strong: Font,
    /// Pictures already taken in, by where their bytes lie.
    images: BTreeMap<usize, Image>,
}

pub(super) fn write(flow: &Flow<'_>, sheets: &Sheets, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let font = |bytes: &'static [u8]| Font::new(Data::from(bytes), 0).ok_or(PdfError::Font);
    let mut writer =
        Writer { regular: font(FONTS[0])?, strong: font(FONTS[1])?, images: BTreeMap::new() };
    let mut configuration =
        ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1);
    if sheets.head.day.is_some() {
        configuration = configuration.with_archival_validator(Archival::A2_A);
    }
    let configuration =
        configuration.finish().map_err(|why| PdfError::Written(format!("{why:?}")))?;
    let mut document = Document::new_with(SerializeSettings {
        configuration,
        no_device_cs: true,
        xmp_metadata: true,
        enable_tagging: true,
        ..SerializeSettings::default()
    });
    let [width, height] = paper.size();
    let mut written: BTreeMap<(usize, usize), Identifier> = BTreeMap::new();
    for (number, layout) in flow.pages.iter().enumerate() {
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| PdfError::Written("the paper has no size".to_owned()))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        for (at, piece) in layout.pieces.iter().enumerate() {
            if let Some(identifier) = writer.piece(&mut surface, piece)? {
                written.insert((number, at), identifier);
            }
        }
        surface.finish();
        page.finish();
    }
    document.set_tag_tree(tag_tree(&flow.tree, &mut written));
    document.set_outline(outline(flow));
    document.set_metadata(metadata(sheets));
    document.finish().map_err(|why| PdfError::Written(format!("{why:?}")))
}

fn metadata(sheets: &Sheets) -> Metadata {
    let mut metadata = Metadata::new()
        .title(sheets.title.clone())
        .description(format!(
            "Mixing sheet, buying list, labels and approval; recipe {}, plan {}",
            sheets.head.fingerprint, sheets.head.revision
        ))
        .language("en-GB".to_owned())
        .creator("pourbook".to_owned());
    if let Some(day) = sheets.head.day {
        let date = DateTime::new(day.year).month(day.month).day(day.day);
        metadata = metadata.creation_date(
            date.hour(0).minute(0).second(0).utc_offset_hour(0).utc_offset_minute(0),
        );
    }
    metadata
}

fn outline(flow: &Flow<'_>) -> Outline {
    let mut outline = Outline::new();
    for begin in &flow.begins {
        let place =
            krilla::destination::XyzDestination::new(begin.page, Point::from_xy(MARGIN, MARGIN));
        outline.push_child(OutlineNode::new(begin.title.clone(), place));
    }
    outline
}

/// The tree of tags. Built without recursion over the depth of pages: the tree is a few levels deep.
fn tag_tree(tree: &Tree, written: &mut BTreeMap<(usize, usize), Identifier>) -> TagTree {
    let mut root = TagTree::new().with_lang(Some("en-GB".to_owned()));
    for child in &tree.nodes[0].1 {
        if let Child::Node(node) = child {
            root.push(group(tree, *node, written));
        }
    }
    root
}

fn group(
    tree: &Tree,
    node: NodeId,
    written: &mut BTreeMap<(usize, usize), Identifier>,
) -> TagGroup {
    let (role, children) = &tree.nodes[node];
    let mut group = TagGroup::new(tag(role));
    for child in children {
        match *child {
            Child::Node(below) => group.push(self::group(tree, below, written)),
            Child::Piece { page, at } => {
                if let Some(identifier) = written.remove(&(page, at)) {
                    group.push(identifier);
                }
            }
        }
    }
    group
}

fn tag(role: &Role) -> TagKind {
    match role {
        Role::Document | Role::Sheet => Tag::Part.into(),
        Role::Heading(level, title) => {
            Tag::Hn(NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN), Some(title.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::Table => Tag::Table.into(),
        Role::Row => Tag::TR.into(),
        Role::ColumnTitle => Tag::TH(TableHeaderScope::Column).into(),
        Role::Data => Tag::TD.into(),
        Role::Group => Tag::Div.into(),
        Role::List => Tag::L(ListNumbering::None).into(),
        Role::Item => Tag::LI.into(),
        Role::ItemWords => Tag::LBody.into(),
        Role::Figure(alt) => Tag::Figure(Some(alt.clone())).into(),
    }
}

impl Writer {
    fn piece(
        &mut self,
        surface: &mut Surface<'_>,
        piece: &Piece,
    ) -> Result<Option<Identifier>, PdfError> {
        let identifier = if piece.owner.is_some() {
            let span = SpanTag::empty().with_actual_text(piece.spoken.as_deref());
            Some(surface.start_tagged(ContentTag::Span(span)))
        } else {
            let kind = match piece.ornament {
                Ornament::Layout => ArtifactType::Layout,
                Ornament::Header => ArtifactType::Header,
                Ornament::Footer => ArtifactType::Footer,
                Ornament::Repeated => ArtifactType::PaginationOther,
            };
            surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(kind)));
            None
        };
        for shape in &piece.shapes {
            self.shape(surface, shape)?;
        }
        surface.end_tagged();
        Ok(identifier)
    }

    fn shape(&mut self, surface: &mut Surface<'_>, shape: &Shape) -> Result<(), PdfError> {
        match shape {
            Shape::Text { at, size, line, ink } => {
                let glyphs: Vec<KrillaGlyph> = line
                    .glyphs
                    .iter()
                    .map(|glyph| {
                        KrillaGlyph::new(
                            GlyphId::new(glyph.id),
                            glyph.advance,
                            glyph.offset[0],
                            glyph.offset[1],
                            0.0,
                            glyph.letters.clone(),
                            None,
                        )
                    })
                    .collect();
                let font = match line.weight {
                    Weight::Regular => self.regular.clone(),
                    Weight::Strong => self.strong.clone(),
                };
                surface.set_stroke(None);
                surface.set_fill(Some(fill(*ink)));
                surface.draw_glyphs(
                    Point::from_xy(at[0], at[1]),
                    &glyphs,
                    font,
                    &line.text,
                    *size,
                    false,
                );
            }
            Shape::Area { corners, ink } => {
                surface.set_stroke(None);
                surface.set_fill(Some(fill(*ink)));
                draw(surface, corners, true);
            }
            Shape::Stroke { corners, closed, width, dashed, ink } => {
                surface.set_fill(None);
                surface.set_stroke(Some(Stroke {
                    paint: paint(*ink),
                    width: *width,
                    dash: dashed.then(|| StrokeDash { array: vec![4.0, 3.0], offset: 0.0 }),
                    ..Stroke::default()
                }));
                draw(surface, corners, *closed);
            }
            Shape::Picture { at, size, png } => {
                let key = Rc::as_ptr(png).cast::<u8>().addr();
                let image = match self.images.get(&key) {
                    Some(image) => image.clone(),
                    None => {
                        let image = Image::from_png(Data::from(png.as_ref().clone()), false)
                            .map_err(PdfError::Written)?;
                        self.images.insert(key, image.clone());
                        image
                    }
                };
                let size = Size::from_wh(size[0], size[1])
                    .ok_or_else(|| PdfError::Written("a picture has no size".to_owned()))?;
                surface.push_transform(&Transform::from_translate(at[0], at[1]));
                surface.draw_image(image, size);
                surface.pop();
            }
        }
        Ok(())
    }
}

fn draw(surface: &mut Surface<'_>, corners: &[[f32; 2]], closed: bool) {
    let mut path = PathBuilder::new();
    for (at, [x, y]) in corners.iter().enumerate() {
        if at == 0 { path.move_to(*x, *y) } else { path.line_to(*x, *y) }
    }
    if closed {
        path.close();
    }
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
}

fn fill(ink: Ink) -> Fill {
    Fill { paint: paint(ink), ..Fill::default() }
}

fn paint(ink: Ink) -> Paint {
    match ink {
        Ink::Black => luma::Color::black().into(),
        Ink::Grey => luma::Color::new(90).into(),
        Ink::White => luma::Color::white().into(),
        Ink::Colour(colour) => rgb::Color::new(colour.r, colour.g, colour.b).into(),
    }
}
