//! Take-off: what there is to coat.

use crate::model::{Counter, Job, Shape, UnusualSize};
use crate::quantity::{Area, Length};

/// One counter, measured.
#[derive(Debug, Clone, PartialEq)]
pub struct CounterArea {
    /// Its name.
    pub name: String,
    /// Its shape.
    pub shape: Shape,
    /// The whole shape's area.
    pub gross: Area,
    /// All its cut-outs.
    pub cut_out: Area,
    /// Faces of exposed edges.
    pub faces: Area,
    /// Splashbacks.
    pub splashbacks: Area,
    /// Exposed edges.
    pub edge: Length,
    /// Whether the job states its edges, be it that there are none.
    pub states_edges: bool,
    /// Measures that are so unusual that they may be mistyped.
    pub unusual: Vec<UnusualSize>,
}

impl CounterArea {
    /// The flat area to coat.
    #[must_use]
    pub fn net(&self) -> Area {
        self.gross - self.cut_out
    }
}

/// Sample boards of one size, measured.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardArea {
    /// Length and width.
    pub size: [Length; 2],
    /// How many.
    pub count: u32,
    /// All of them together.
    pub area: Area,
    /// Their rims, over which resin runs.
    pub rim: Length,
}

/// Everything there is to coat.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeOff {
    /// Counters in the order of the job.
    pub counters: Vec<CounterArea>,
    /// Sample boards.
    pub boards: Vec<BoardArea>,
    /// Flat area without a shape, where a person asked for just that.
    pub plain: Option<Area>,
    /// What is so unusual of the whole job that it may be mistyped: the area of all counters together where no measure
    /// of one is, the film on upright faces, the allowance.
    pub unusual: Vec<UnusualSize>,
}

impl TakeOff {
    /// The take-off of a job.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let mut counters: Vec<CounterArea> =
            job.counters.iter().map(|(name, counter)| measure(name, counter)).collect();
        let (of_one, of_all): (Vec<_>, Vec<_>) =
            job.unusual_sizes().into_iter().partition(|size| size.counter.is_some());
        for size in of_one {
            let own = |counter: &&mut CounterArea| Some(&counter.name) == size.counter.as_ref();
            if let Some(counter) = counters.iter_mut().find(own) {
                counter.unusual.push(size);
            }
        }
        let place = |name: &str| job.counter_order.iter().position(|own| own == name);
        counters.sort_by_key(|counter| place(&counter.name).unwrap_or(usize::MAX));
        let boards = job
            .boards
            .iter()
            .map(|board| {
                let (length, width) = (board.size.width, board.size.height);
                let count = f64::from(board.count);
                BoardArea {
                    size: [length, width],
                    count: board.count,
                    area: Area::from_m2(length.m() * width.m() * count),
                    rim: Length::from_mm(2.0 * (length.mm() + width.mm()) * count),
                }
            })
            .collect();
        Self { counters, boards, plain: job.area, unusual: of_all }
    }

    /// Whether sample boards are all there is to coat.
    #[must_use]
    pub fn boards_alone(&self) -> bool {
        self.counters.is_empty() && self.plain.is_none()
    }

    /// What a person calls that: `counter`, or `board`.
    #[must_use]
    pub fn work(&self) -> &'static str {
        if self.boards_alone() { "board" } else { "counter" }
    }

    /// All flat areas.
    #[must_use]
    pub fn flat(&self) -> Area {
        let counters: f64 = self.counters.iter().map(|counter| counter.net().m2()).sum();
        let boards: f64 = self.boards.iter().map(|board| board.area.m2()).sum();
        Area::from_m2(counters + boards + self.plain.map_or(0.0, Area::m2))
    }

    /// All upright areas: faces and splashbacks.
    #[must_use]
    pub fn upright(&self) -> Area {
        self.counters.iter().map(|counter| counter.faces + counter.splashbacks).sum()
    }

    /// All edges that resin runs over. Of a plain area the edge is not known: that of a square of
    /// this area is taken, and the plan says so.
    #[must_use]
    pub fn edge(&self) -> Length {
        let counters: f64 = self.counters.iter().map(|counter| counter.edge.mm()).sum();
        let boards: f64 = self.boards.iter().map(|board| board.rim.mm()).sum();
        let plain = self.plain.map_or(0.0, |area| 4.0 * area.m2().sqrt() * 1000.0);
        Length::from_mm(counters + boards + plain)
    }
}

fn measure(name: &str, counter: &Counter) -> CounterArea {
    CounterArea {
        name: name.to_owned(),
        shape: counter.shape.clone(),
        gross: counter.shape.area(),
        cut_out: counter.cutouts.values().map(|cut| Shape::area(&cut.shape)).sum(),
        faces: counter.edges.iter().map(|edge| edge.length * edge.face).sum(),
        splashbacks: counter.splashbacks.iter().map(|strip| strip.length * strip.height).sum(),
        edge: counter.edges.iter().map(|edge| edge.length).sum(),
        states_edges: counter.states_edges,
        unusual: Vec::new(),
    }
}
