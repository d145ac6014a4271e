//! Jobs: measured counters and boards, and what the plan must know about the day.

use std::collections::BTreeMap;
use std::ops::Deref;

use super::colorant::Hazard;
use super::fault::{Faults, at};
use super::job_edges::check_edges;
use super::shape::{Point, Shape};
use super::unusual_temperature::{self, MEANT_C};
use crate::quantity::{Area, Dimensions, Fraction, Length, Temperature, Units, Volume};

use super::house::House;

/// A hole in a counter.
#[derive(Debug, Clone, PartialEq)]
pub struct CutOut {
    /// Its shape.
    pub shape: Shape,
    /// Where the shape's origin lies in the counter.
    pub at: Point,
}

/// Exposed edge over which resin runs, and whose face is coated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Its length.
    pub length: Length,
    /// The height of its face.
    pub face: Length,
}

/// An upright strip behind the counter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Splashback {
    /// Its length.
    pub length: Length,
    /// Its height.
    pub height: Length,
}

/// One counter.
#[derive(Debug, Clone, PartialEq)]
pub struct Counter {
    /// Seen from above.
    pub shape: Shape,
    /// Holes by name.
    pub cutouts: BTreeMap<String, CutOut>,
    /// Exposed edges.
    pub edges: Vec<Edge>,
    /// Whether the job states its edges, be it that there are none: of one that does not it is not known whether any is
    /// exposed.
    pub states_edges: bool,
    /// Splashbacks.
    pub splashbacks: Vec<Splashback>,
}

/// Sample boards of one size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Board {
    /// Length and width.
    pub size: Dimensions,
    /// How many.
    pub count: u32,
}

/// What runs over the edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RunOff {
    /// A share of what is poured.
    Share(Fraction),
    /// A volume per length of exposed edge (and of a board's rim).
    PerEdge {
        /// This much …
        volume: Volume,
        /// … on this length.
        per: Length,
    },
}

impl RunOff {
    /// Over the edges of a counter: brings a kitchen near the 10–20 % of what is poured that are
    /// usual (common practice, no source).
    pub const USUAL: Self =
        Self::PerEdge { volume: Volume::from_ml(150.0), per: Length::from_mm(1000.0) };

    /// Over the rim of a sample board, where less of the work lies behind each length of edge: brings
    /// a board of 600 mm near the same share.
    pub const USUAL_OF_BOARDS: Self =
        Self::PerEdge { volume: Volume::from_ml(80.0), per: Length::from_mm(1000.0) };
}

/// What stays in the vessels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cling {
    /// A share of what is mixed.
    Share(Fraction),
    /// A film on every wetted wall.
    Film(Length),
}

/// Who says what is lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// The job's file.
    Job,
    /// Nobody: what is usual is taken.
    Usual,
}

/// What is mixed and does not end on the counter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Over the edges.
    pub run_off: RunOff,
    /// Who says so.
    pub run_off_from: Origin,
    /// In the vessels.
    pub cling: Cling,
    /// Mixed for safety beyond what is expected to be used, as a fraction of that.
    pub allowance: Fraction,
    /// Who says so.
    pub allowance_from: Origin,
}

/// Another way to do the job, priced beside it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choice {
    /// Another colourway.
    pub colourway: Option<String>,
    /// Another film.
    pub film: Option<Length>,
    /// Another number of coats.
    pub coats: Option<u32>,
}

/// A ceiling that a person raises, and why: printed on every sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Override {
    /// Which ceiling.
    pub ceiling: Raised,
    /// To what.
    pub to: Fraction,
    /// Why.
    pub reason: String,
}

impl Override {
    /// What a person reads: which ceiling, to what, and why.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}: {}", self.brief(None), self.reason)
    }

    /// Which ceiling is raised, `from` what where that is known, to what and by whom.
    #[must_use]
    pub fn brief(&self, from: Option<Fraction>) -> String {
        let what = match &self.ceiling {
            Raised::Colorant(name) => format!("ceiling of \"{name}\""),
            Raised::AllColorants => "ceiling of all colorants".to_owned(),
            Raised::Solvent => "ceiling of solvent".to_owned(),
        };
        let from =
            from.map_or_else(String::new, |from| format!("from {} ", from.show(Units::Metric)));
        format!("{what} raised {from}to {} by the job", self.to.show(Units::Metric))
    }
}

/// A ceiling that can be raised.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Raised {
    /// One colorant's.
    Colorant(String),
    /// The system's for all colorants together.
    AllColorants,
    /// The system's for solvent and other non-reactive carrier.
    Solvent,
}

/// What goes over the cured pour to protect it; nothing is reckoned of it but what can hurt someone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TopCoat {
    /// Its name.
    pub name: String,
    /// What about it can hurt someone.
    pub hazards: Vec<Hazard>,
}

/// What a job is made of, before it has been checked.
#[derive(Debug, Clone, PartialEq)]
pub struct JobParts {
    /// Its name.
    pub name: String,
    /// Its colourway, unless the person planning names another.
    pub colourway: Option<String>,
    /// Counters by name.
    pub counters: BTreeMap<String, Counter>,
    /// The counters' names as the person wrote them, one after another: so they are told and poured. A counter that
    /// is not named here comes after those that are, by its name.
    pub counter_order: Vec<String>,
    /// Sample boards.
    pub boards: Vec<Board>,
    /// Flat area of which nothing else is known.
    pub area: Option<Area>,
    /// How many coats of the colourway's film.
    pub coats: u32,
    /// Film that stays on upright faces.
    pub face_film: Length,
    /// Losses.
    pub losses: Losses,
    /// Hands at the bench.
    pub crew: u32,
    /// Whether a job file states it; of any other, options of the command change what is stated here.
    pub filed: bool,
    /// Room temperature.
    pub temperature: Temperature,
    /// Temperature of the surface to be coated; the room's where none is stated.
    pub surface: Option<Temperature>,
    /// Temperature of parts A and B; the room's where none is stated.
    pub parts: Option<Temperature>,
    /// Relative humidity.
    pub humidity: Fraction,
    /// Air in the room.
    pub room: Option<Volume>,
    /// Whether a torch or heat gun is used on bubbles.
    pub flame: bool,
    /// What goes over the cured pour.
    pub top_coat: Option<TopCoat>,
    /// Other ways, priced beside it.
    pub options: BTreeMap<String, Choice>,
    /// Ceilings raised, with reasons.
    pub overrides: Vec<Override>,
}

impl JobParts {
    /// A job with nothing to coat yet, everything else as is usual in a house: [`RunOff::USUAL`], the
    /// house's film on vessel walls, 5 % allowance, 0.5 mm on faces, one pair of hands at 22 °C and
    /// 50 % relative humidity (estimated).
    #[must_use]
    pub fn bare(name: String, house: &House) -> Self {
        Self {
            name,
            colourway: None,
            counters: BTreeMap::new(),
            counter_order: Vec::new(),
            boards: Vec::new(),
            area: None,
            coats: 1,
            face_film: House::USUAL_FACE_FILM,
            losses: Losses {
                run_off: RunOff::USUAL,
                run_off_from: Origin::Usual,
                cling: Cling::Film(house.cling_film),
                allowance: Fraction::from_percent(5.0),
                allowance_from: Origin::Usual,
            },
            filed: false,
            crew: house.crew,
            temperature: house.temperature,
            surface: None,
            parts: None,
            humidity: Fraction::from_percent(50.0),
            room: None,
            flame: false,
            top_coat: None,
            options: BTreeMap::new(),
            overrides: Vec::new(),
        }
    }
}

/// A job whose measures are sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Job(JobParts);

impl Deref for Job {
    type Target = JobParts;
    fn deref(&self) -> &JobParts {
        &self.0
    }
}

impl Job {
    /// A job from its parts.
    ///
    /// # Errors
    /// Everything that cannot be: nothing to coat, a shape that is none, a cut-out outside its
    /// counter or over another, lengths not above zero, losses of 100 %, an override without reason.
    pub fn new(parts: JobParts) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        if parts.name.trim().is_empty() {
            faults.error(at!["name"], "a job needs a name");
        }
        if parts.counters.is_empty() && parts.boards.is_empty() && parts.area.is_none() {
            faults
                .error(at![], "the job has nothing to coat")
                .hint("add counters: {…} or boards: [(size: \"600x600mm\")]");
        }
        for (name, counter) in &parts.counters {
            check_counter(name, counter, &mut faults);
        }
        for (at, board) in parts.boards.iter().enumerate() {
            let [a, b] = [board.size.width.mm(), board.size.height.mm()];
            faults.positive(at!["boards", at, "size"], "a board's size", a.min(b));
            faults.positive(
                at!["boards", at, "count"],
                "the number of boards",
                f64::from(board.count),
            );
        }
        if let Some(area) = parts.area {
            faults.positive(at!["area"], "the area", area.m2());
            if area.m2() > 10_000.0 {
                let written = [Units::Us, Units::Metric].map(|units| area.show(units));
                faults
                    .error(
                        at!["area"],
                        format!(
                            "the area of {} ({}) is larger than 10,000 m²",
                            written[0], written[1]
                        ),
                    )
                    .hint("look at its unit, and write it like \"42 ft2\" or \"3.9 m2\"");
            }
        }
        if !(1..=20).contains(&parts.coats) {
            faults.error(at!["coats"], "coats must be 1 to 20");
        }
        faults.positive(at!["face_film"], "the film on faces", parts.face_film.mm());
        check_losses(&parts.losses, &mut faults);
        if !(1..=50).contains(&parts.crew) {
            faults.error(at!["crew"], "the crew must be 1 to 50 people");
        }
        let celsius = parts.temperature.c();
        if !(-20.0..=60.0).contains(&celsius) {
            let fault = faults.error(
                at!["temperature"],
                format!("{} is no room to pour in", parts.temperature.show_in_both()),
            );
            fault.hints.extend(unusual_temperature::asked(parts.temperature, &MEANT_C));
            fault.hint("write a room temperature, such as \"72 °F\" or \"22 °C\"");
        }
        let own = [("surface", parts.surface), ("parts", parts.parts)];
        for (field, temperature) in own {
            let temperature = temperature.unwrap_or(Temperature::from_c(20.0));
            if !(-20.0..=60.0).contains(&temperature.c()) {
                let fault = faults.error(
                    at![field],
                    format!("{} is nothing to pour with or on", temperature.show_in_both()),
                );
                fault.hints.extend(unusual_temperature::asked(temperature, &MEANT_C));
                fault.hint("write a temperature, such as \"68 °F\" or \"20 °C\"");
            }
        }
        faults.share(at!["humidity"], "relative humidity", parts.humidity.value(), 1.0);
        if let Some(room) = parts.room {
            faults.positive(at!["room"], "the room's volume", room.ml());
        }
        for (name, choice) in &parts.options {
            if let Some(film) = choice.film {
                faults.positive(at!["options", name, "film"], "the film", film.mm());
            }
            if choice.coats.is_some_and(|coats| !(1..=20).contains(&coats)) {
                faults.error(at!["options", name, "coats"], "coats must be 1 to 20");
            }
        }
        for (at, each) in parts.overrides.iter().enumerate() {
            let to = at!["overrides", at, "to"];
            if let Some(fault) = faults.share(to, "a raised ceiling", each.to.value(), 1.0) {
                fault.hint("leave the override out to keep the ceiling as its file states it");
            }
            if each.reason.trim().chars().count() < 8 {
                faults
                    .error(
                        at!["overrides", at, "reason"],
                        "a raised ceiling needs its reason in words",
                    )
                    .hint("it is printed on every sheet");
            }
        }
        faults.into_result(|| Self(parts))
    }
}

fn check_counter(name: &str, counter: &Counter, faults: &mut Faults) {
    let here = || at!["counters", name];
    let below = |step: &str| at!["counters", name, step];
    let shape_is_sound = match counter.shape.fault() {
        Some(fault) => {
            let told = faults.error(below("shape"), fault);
            if let Some(meant) = counter.shape.depth_meant() {
                told.hint(meant);
            }
            false
        }
        None => true,
    };
    for (cut_name, cut) in &counter.cutouts {
        let at = at!["counters", name, "cutouts", cut_name];
        if let Some(fault) = cut.shape.fault() {
            faults.error(at, fault);
        } else if shape_is_sound && !counter.shape.contains(&cut.shape, cut.at) {
            let out = counter.shape.overhang_words(&cut.shape, cut.at);
            let fault = faults.error(
                at,
                format!(
                    "the cut-out \"{cut_name}\" does not lie inside the counter \"{name}\"{out}"
                ),
            );
            // A counter that is too small for it is likelier than a cut-out that is put wrong.
            let asked = counter.shape.unusual_asked().into_iter().chain(cut.size_asked());
            for asked in asked.chain(cut.turn_asked(&counter.shape)) {
                fault.hint(asked);
            }
            fault.hint("`at` is where the cut-out's first corner (a circle's centre) lies, from the counter's first corner");
        }
    }
    let cuts: Vec<_> = counter.cutouts.iter().collect();
    for (i, (one_name, one)) in cuts.iter().enumerate() {
        for (other_name, other) in cuts.iter().skip(i + 1) {
            if one.shape.overlaps(one.at, &other.shape, other.at) {
                faults.error(
                    at!["counters", name, "cutouts", *other_name],
                    format!("the cut-outs \"{one_name}\" and \"{other_name}\" overlap or touch"),
                );
            }
        }
    }
    for (at, edge) in counter.edges.iter().enumerate() {
        let least = edge.length.mm().min(edge.face.mm());
        let at = at!["counters", name, "edges", at];
        if edge.face > HIGHEST_FACE {
            faults
                .error(at, format!("an edge's face cannot be {} high", edge.face.show(Units::Metric)))
                .hint("look at its unit: a face is as high as the slab is thick, a waterfall's as the counter stands: 38 mm (1 1/2 in), 0.9 m (36 in)");
        } else {
            faults.positive(at, "an edge's length and face", least);
        }
    }
    if shape_is_sound {
        check_edges(name, counter, faults);
    }
    for (at, strip) in counter.splashbacks.iter().enumerate() {
        let least = strip.length.mm().min(strip.height.mm());
        let at = at!["counters", name, "splashbacks", at];
        faults.positive(at, "a splashback's length and height", least);
    }
    if shape_is_sound && counter.shape.area().m2() > 10_000.0 {
        faults
            .error(here(), format!("the counter \"{name}\" is larger than 10,000 m²"))
            .hint("look at the units of its lengths");
    }
}

/// The highest face of an edge: a waterfall from a bar or a stair's landing to the floor. (Common practice, no
/// source.)
const HIGHEST_FACE: Length = Length::from_mm(3000.0);

/// The most that runs over a metre of edge, mL: far beyond any flood, so that what is reckoned from it stays a figure.
/// (Common practice, no source.)
const MOST_RUN_OFF_ML_A_M: f64 = 1e6;

fn check_losses(losses: &Losses, faults: &mut Faults) {
    let below_all = |faults: &mut Faults, step: &str, share: Fraction| {
        if !(0.0..0.9).contains(&share.value()) {
            faults.error(at!["losses", step], "a loss must be 0 % to below 90 %");
        }
    };
    match losses.run_off {
        RunOff::Share(share) => below_all(faults, "run_off", share),
        RunOff::PerEdge { volume, per } => {
            faults.not_negative(at!["losses", "run_off"], "the run-off", volume.ml());
            faults.positive(at!["losses", "run_off"], "the length of edge", per.mm());
            if per.m() > 0.0 && volume.ml() > MOST_RUN_OFF_ML_A_M * per.m() {
                faults
                    .error(
                        at!["losses", "run_off"],
                        "the run-off cannot be more than 1000 L a m (80 gal a ft) of edge",
                    )
                    .hint("150 mL a m (1 1/2 fl oz a ft) is usual: PerEdge(volume: \"150 mL\", per: \"1 m\")");
            }
        }
    }
    match losses.cling {
        Cling::Share(share) => below_all(faults, "cling", share),
        Cling::Film(film) => {
            faults.not_negative(at!["losses", "cling"], "the clinging film", film.mm());
            if film.mm() > 5.0 {
                faults.error(at!["losses", "cling"], "no more than 5 mm clings to a wall");
            }
        }
    }
    below_all(faults, "allowance", losses.allowance);
}
