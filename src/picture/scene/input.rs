//! What is poured, on what, and how: plain values, checked.

/// Linear sRGB (1 = white) of a film over the primer, from the amount of each colour in it, mm of film each.
/// All zero is the bare primer. It must give the same bits on every machine if the picture is to.
pub type FilmColour<'a> = &'a (dyn Fn(&[f64]) -> [f64; 3] + Sync);

/// How a colour takes the light.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Finish {
    /// Pigments that hide or stain; no direction.
    #[default]
    Opaque,
    /// Mica: flakes that lie along the flow and show it.
    Pearl,
    /// Metal flakes: as pearl, stronger.
    Metallic,
}

/// One colour of the pour; its place in [`PourInput::colours`] is its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PourColour {
    /// How it takes the light.
    pub finish: Finish,
}

/// Whether a layer is a base of the pour or an accent dosed into it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Part of the body.
    Base,
    /// A thin dose.
    Accent,
}

/// One layer in a container.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Number of the colour.
    pub colour: usize,
    /// Volume, mL, above 0.
    pub volume_ml: f64,
    /// Base or accent.
    pub role: Role,
}

/// A container, its layers from the bottom to the top.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Container {
    /// Bottom first.
    pub layers: Vec<Layer>,
}

/// A closed outline with holes, corners in mm; the winding does not matter.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    /// The outer corners.
    pub outer: Vec<[f64; 2]>,
    /// Cut-outs.
    pub holes: Vec<Vec<[f64; 2]>>,
}

/// The way the stream goes over the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum RibbonPath {
    /// Long passes side by side, gently bent.
    #[default]
    Sweep,
    /// Long passes to and fro at an angle to one another.
    Drift,
    /// Short broad passes here and there, each its own way.
    Wander,
}

/// How much solvent mist lets the film mix where it lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mist {
    /// None: lines stay crisp.
    #[default]
    None,
    /// Lines under about half a millimetre soften.
    Light,
    /// Veins muddy over some millimetres.
    Heavy,
}

/// A pour on a board.
#[derive(Debug, Clone, PartialEq)]
pub struct PourInput {
    /// The colours, 1 to [`PourInput::MOST_COLOURS`].
    pub colours: Vec<PourColour>,
    /// The small batches in the order they are poured.
    pub containers: Vec<Container>,
    /// The board or counters.
    pub board: Vec<Outline>,
    /// Film thickness, mm.
    pub film_mm: f64,
    /// The way of the stream.
    pub path: RibbonPath,
    /// Mist after the pour.
    pub mist: Mist,
    /// Chooses one of the pours that the recipe allows.
    pub seed: u64,
}

/// Why a pour can't be laid.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SceneError {
    /// No colour, or more than can be carried.
    #[error("a pour has 1 to {most} colours, not {given}", most = PourInput::MOST_COLOURS)]
    Colours {
        /// How many there were.
        given: usize,
    },
    /// A layer names a colour that is not there.
    #[error("colour number {number} is not one of the {count} colours")]
    NoSuchColour {
        /// The number.
        number: usize,
        /// How many there are.
        count: usize,
    },
    /// A number that can't be.
    #[error("{what} must be a finite number {range}, not {value}")]
    Number {
        /// Which number.
        what: &'static str,
        /// What it may be.
        range: &'static str,
        /// What it was.
        value: f64,
    },
    /// The board has no area.
    #[error("the board has no area to pour on")]
    NoBoard,
    /// Too many containers for one picture.
    #[error("a picture holds up to {most} containers, not {given}", most = PourInput::MOST_CONTAINERS)]
    Containers {
        /// How many there were.
        given: usize,
    },
    /// The poured volume is out of proportion to the board.
    #[error("{poured_ml:.0} mL is more than a hundred films of this board")]
    TooMuch {
        /// The volume.
        poured_ml: f64,
    },
}

impl PourInput {
    /// Most colours of one picture.
    pub const MOST_COLOURS: usize = 24;
    /// Most containers of one picture.
    pub const MOST_CONTAINERS: usize = 2000;
    /// Longest side of a board, mm.
    pub const LONGEST_MM: f64 = 50_000.0;

    /// Poured volume, mL.
    #[must_use]
    pub fn poured_ml(&self) -> f64 {
        self.containers.iter().flat_map(|c| &c.layers).map(|layer| layer.volume_ml).sum()
    }

    /// Checks every number.
    ///
    /// # Errors
    /// The first [`SceneError`] found.
    pub fn check(&self) -> Result<(), SceneError> {
        let count = self.colours.len();
        if count == 0 || count > Self::MOST_COLOURS {
            return Err(SceneError::Colours { given: count });
        }
        if self.containers.len() > Self::MOST_CONTAINERS {
            return Err(SceneError::Containers { given: self.containers.len() });
        }
        let layers = || self.containers.iter().flat_map(|c| &c.layers);
        for number in layers().map(|layer| layer.colour) {
            if number >= count {
                return Err(SceneError::NoSuchColour { number, count });
            }
        }
        for value in layers().map(|layer| layer.volume_ml) {
            within("a layer's volume in mL", "above 0 and up to 1000000", value, 1e-9, 1e6)?;
        }
        within("the film in mm", "from 0.05 to 50", self.film_mm, 0.05, 50.0)?;
        let rings = self.board.iter().flat_map(|o| core::iter::once(&o.outer).chain(&o.holes));
        for value in rings.flatten().flatten() {
            let most = Self::LONGEST_MM;
            within("a corner of the board in mm", "within ±50000", *value, -most, most)?;
        }
        Ok(())
    }
}

fn within(
    what: &'static str,
    range: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<(), SceneError> {
    if value.is_finite() && value >= low && value <= high {
        Ok(())
    } else {
        Err(SceneError::Number { what, range, value })
    }
}
