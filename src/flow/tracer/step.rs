//! Maps with their coefficients as the nodes of a patch need them.

use super::super::map::Map;
use super::super::ribbon::{Lattice, Ribbon};
use super::super::spline::{integrals, weights};
use super::patch::{NODES, Nodes};
use super::single;

/// A map in `f32`.
#[derive(Debug, Clone)]
pub(super) enum Step {
    Ribbon(Channel),
    Wave { normal: [f32; 2], amplitude: f32, per_mm: f32, phase: f32 },
    Tine { normal: [f32; 2], offset: f32, per_width: f32, amplitude: f32 },
    Vortex { centre: [f32; 2], form: [f32; 3], per_area: f32, half_tangent: f32 },
    Source { centre: [f32; 2], form: [f32; 3], radius2: f32 },
    Rotation { along: [f32; 2] },
}

impl Step {
    pub(super) fn of(map: &Map) -> Self {
        match map {
            Map::Ribbon(r) => Self::Ribbon(Channel::of(r)),
            Map::Wave(w) => Self::Wave {
                normal: w.normal.map(single),
                amplitude: single(w.amplitude),
                per_mm: single(w.per_mm),
                phase: single(w.phase),
            },
            Map::Tine(t) => Self::Tine {
                normal: t.normal.map(single),
                offset: single(t.offset),
                per_width: single(1.0 / t.width),
                amplitude: single(t.amplitude),
            },
            Map::Vortex(v) => Self::Vortex {
                centre: v.centre.map(single),
                form: v.form().map(single),
                per_area: single(1.0 / (v.half[0] * v.half[1])),
                half_tangent: single(v.half_tangent),
            },
            Map::Source(s) => Self::Source {
                centre: s.centre.map(single),
                form: s.form().map(single),
                radius2: single(s.radius2),
            },
            Map::Rotation(r) => Self::Rotation { along: r.along.map(single) },
        }
    }
}

/// A ribbon's coefficients.
#[derive(Debug, Clone)]
pub(super) struct Channel {
    pub(super) lattice: Lattice,
    first: i32,
    /// The last place that four coefficients can be read at.
    last: i32,
    /// Line and width by place.
    table: Box<[[f32; 2]]>,
    /// Share of the area before each place, and what one step of a width adds to it.
    before: Box<[f32]>,
    per_sum: f32,
}

impl Channel {
    fn of(ribbon: &Ribbon) -> Self {
        let table: Box<[[f32; 2]]> = ribbon.table().iter().map(|c| c.map(single)).collect();
        let per_sum = if ribbon.area() > 0.0 { ribbon.lattice().step / ribbon.area() } else { 0.0 };
        Self {
            lattice: ribbon.lattice(),
            first: i32::try_from(ribbon.first()).unwrap_or(i32::MAX),
            last: i32::try_from(table.len() - 3).unwrap_or(i32::MAX),
            before: ribbon.before().iter().map(|b| single(*b)).collect(),
            per_sum: single(per_sum),
            table,
        }
    }

    /// The place of a cell in the table, held to it.
    #[inline(always)]
    fn place(&self, cell: i32) -> usize {
        usize::try_from(cell.saturating_sub(self.first).clamp(1, self.last)).unwrap_or(1)
    }

    /// Line and width at each node.
    #[inline(always)]
    pub(super) fn opened(&self, columns: &Columns) -> (Nodes, Nodes) {
        let (mut line, mut width) = ([0.0; NODES], [0.0; NODES]);
        for i in 0..NODES {
            let at = self.place(columns.cell[i]);
            let Some([a, b, c, d]) = self.table.get(at - 1..at + 3) else { continue };
            let weights = columns.weights[i];
            line[i] = weights[0] * a[0] + weights[1] * b[0] + weights[2] * c[0] + weights[3] * d[0];
            width[i] =
                weights[0] * a[1] + weights[1] * b[1] + weights[2] * c[1] + weights[3] * d[1];
        }
        (line, width)
    }

    /// Share of the area before each node.
    #[inline(always)]
    pub(super) fn parts(&self, columns: &Columns) -> Nodes {
        let mut part = [0.0; NODES];
        for i in 0..NODES {
            let at = self.place(columns.cell[i]);
            let passed = integrals(columns.on[i]);
            let Some([a, b, c, d]) = self.table.get(at - 1..at + 3) else { continue };
            let sum = passed[0] * a[1] + passed[1] * b[1] + passed[2] * c[1] + passed[3] * d[1];
            part[i] = self.before.get(at - 1).copied().unwrap_or(0.0) + sum * self.per_sum;
        }
        part
    }
}

/// Where nodes lie in the lattice of the ribbons: it stays while they only move across.
pub(super) struct Columns {
    pub(super) lattice: Lattice,
    cell: [i32; NODES],
    on: Nodes,
    weights: [[f32; 4]; NODES],
}

impl Columns {
    #[inline(always)]
    pub(super) fn new(x: &Nodes, lattice: Lattice) -> Self {
        let (origin, per_step) = (single(lattice.origin), single(1.0 / lattice.step));
        let (mut cell, mut on, mut all) = ([0; NODES], [0.0; NODES], [[0.0; 4]; NODES]);
        for i in 0..NODES {
            let q = (x[i] - origin) * per_step;
            let whole = q.floor();
            #[expect(clippy::cast_possible_truncation, reason = "saturates, NaN is 0")]
            let number = whole as i32;
            cell[i] = number;
            on[i] = q - whole;
            all[i] = weights(on[i]);
        }
        Self { lattice, cell, on, weights: all }
    }
}
