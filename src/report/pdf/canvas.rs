//! What is on each page before it is written: shapes, and the tree that says what they mean.

use std::rc::Rc;

use super::font::Line;
use crate::colour::Srgb8;

/// A colour to draw with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Ink {
    Black,
    Grey,
    White,
    Colour(Srgb8),
}

/// Something drawn; lengths in pt from the top left corner.
#[derive(Debug, Clone)]
pub(super) enum Shape {
    Text { at: [f32; 2], size: f32, line: Rc<Line>, ink: Ink },
    Area { corners: Vec<[f32; 2]>, ink: Ink },
    Stroke { corners: Vec<[f32; 2]>, closed: bool, width: f32, dashed: bool, ink: Ink },
    Picture { at: [f32; 2], size: [f32; 2], png: Rc<Vec<u8>> },
}

impl Shape {
    pub(super) fn rectangle(at: [f32; 2], size: [f32; 2]) -> Vec<[f32; 2]> {
        let [x, y] = at;
        let [w, h] = size;
        vec![[x, y], [x + w, y], [x + w, y + h], [x, y + h]]
    }

    fn moved(&mut self, by: [f32; 2]) {
        let shift = |point: &mut [f32; 2]| {
            point[0] += by[0];
            point[1] += by[1];
        };
        match self {
            Self::Text { at, .. } | Self::Picture { at, .. } => shift(at),
            Self::Area { corners, .. } | Self::Stroke { corners, .. } => {
                corners.iter_mut().for_each(shift);
            }
        }
    }
}

/// What a node of the tree is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Role {
    Document,
    Sheet,
    Heading(u16, String),
    Paragraph,
    Table,
    Row,
    ColumnTitle,
    Data,
    Group,
    List,
    Item,
    ItemWords,
    Figure(String),
}

pub(super) type NodeId = usize;

/// A child of a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Child {
    Node(NodeId),
    /// A piece on a page.
    Piece {
        page: usize,
        at: usize,
    },
}

/// The tree that a screen reader follows.
#[derive(Debug)]
pub(super) struct Tree {
    pub(super) nodes: Vec<(Role, Vec<Child>)>,
}

impl Tree {
    pub(super) fn new() -> Self {
        Self { nodes: vec![(Role::Document, Vec::new())] }
    }

    /// A new last child of `parent`.
    pub(super) fn node(&mut self, parent: NodeId, role: Role) -> NodeId {
        let id = self.nodes.len();
        self.nodes.push((role, Vec::new()));
        self.nodes[parent].1.push(Child::Node(id));
        id
    }

    /// A further item of a list.
    pub(super) fn item(&mut self, list: NodeId) -> NodeId {
        let item = self.node(list, Role::Item);
        self.node(item, Role::ItemWords)
    }

    /// Where words are read below `parent`: an item of the present list where they begin with a mark of
    /// one, else a paragraph, which ends the list.
    pub(super) fn line(
        &mut self,
        parent: NodeId,
        words: &str,
        list: &mut Option<NodeId>,
    ) -> NodeId {
        if !words.starts_with("• ") {
            *list = None;
            return self.node(parent, Role::Paragraph);
        }
        let list = *list.get_or_insert_with(|| self.node(parent, Role::List));
        self.item(list)
    }
}

/// What a piece is that belongs to no node: a screen reader passes over it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Ornament {
    /// Lines and frames.
    #[default]
    Layout,
    /// What stands over a further page.
    Header,
    /// What stands under a page.
    Footer,
    /// The head of a table that goes on.
    Repeated,
}

/// Shapes that belong to one node, or to none where they are mere ornament.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) owner: Option<NodeId>,
    /// What it is where it has no owner.
    pub(super) ornament: Ornament,
    /// What a screen reader says instead of the shapes.
    pub(super) spoken: Option<String>,
    pub(super) shapes: Vec<Shape>,
}

/// A part of a page that is not broken, with its pieces from its own top left corner.
#[derive(Debug, Clone, Default)]
pub(super) struct Strip {
    pub(super) height: f32,
    pub(super) pieces: Vec<Piece>,
}

impl Strip {
    pub(super) fn gap(height: f32) -> Self {
        Self { height, pieces: Vec::new() }
    }

    pub(super) fn piece(&mut self, owner: Option<NodeId>, shapes: Vec<Shape>) {
        self.pieces.push(Piece { owner, ornament: Ornament::Layout, spoken: None, shapes });
    }

    pub(super) fn spoken(&mut self, owner: NodeId, spoken: String, shapes: Vec<Shape>) {
        let (owner, ornament) = (Some(owner), Ornament::Layout);
        self.pieces.push(Piece { owner, ornament, spoken: Some(spoken), shapes });
    }

    pub(super) fn moved(mut self, by: [f32; 2]) -> Self {
        for shape in self.pieces.iter_mut().flat_map(|piece| &mut piece.shapes) {
            shape.moved(by);
        }
        self
    }

    /// Another strip below.
    pub(super) fn append(&mut self, below: Self) {
        let height = below.height;
        let below = below.moved([0.0, self.height]);
        self.pieces.extend(below.pieces);
        self.height += height;
    }

    /// Another strip beside, from `x` on.
    pub(super) fn beside(&mut self, x: f32, other: Self) {
        self.height = self.height.max(other.height);
        self.pieces.extend(other.moved([x, 0.0]).pieces);
    }

    /// The same as ornament: what is repeated is not read twice.
    pub(super) fn into_ornament(mut self, ornament: Ornament) -> Self {
        for piece in &mut self.pieces {
            (piece.owner, piece.ornament, piece.spoken) = (None, ornament, None);
        }
        self
    }

    pub(super) fn stacked(strips: impl IntoIterator<Item = Self>) -> Self {
        let mut all = Self::default();
        for strip in strips {
            all.append(strip);
        }
        all
    }
}
