//! A job's file: measured counters and boards, and the day.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::colorant::hazard;
use super::figure::{ceiling, lengths};
use super::held;
use super::noun::{self, Gaps, note, version};
use super::place::Placed;
use super::tree::{Kind, Value};
use crate::diagnostic::{Diagnostic, Diagnostics, Source};
use crate::model::{
    Board, Choice, Cling, Counter, CutOut, Edge, House, Job, JobParts, LEAST_ROOM, Losses, Origin,
    Override, Point, Raised, RunOff, Shape, Splashback, TopCoat,
};
use crate::quantity::{Fraction, Length, Volume};

/// Reads a job; where it does not state how much clings to vessels, the house's film is meant.
///
/// # Errors
/// Everything wrong with the text, its values, or the job they make, in the order of the file.
pub fn read(source: &Arc<Source>, house: &House) -> Result<Placed<Job>, Diagnostics> {
    noun::read(source, |at, gaps| parts(at, gaps, house), Job::new)
}

fn parts(at: Value<'_>, gaps: &Gaps, house: &House) -> Option<JobParts> {
    let fields = held::fields(at, "job", held::JOB)?;
    version(fields, gaps);
    note(fields, gaps);
    let name = gaps.fill(fields.need("name", Value::name), "unnamed".to_owned());
    let usual = JobParts::bare(name, house);
    let colourway = gaps.fill(fields.may("colourway", Value::name), None);
    // A counter that cannot be read is left out, so that the others are checked all the same.
    let counters = fields.or("counters", Vec::new(), |at| {
        at.map(|at| Some(gaps.fill(counter(at, gaps).map(Some), None)))
    });
    let counters = gaps.fill(counters, Vec::new());
    let counter_order = counters.iter().map(|(name, _)| name.value.clone()).collect();
    let counters: BTreeMap<_, _> = by_name(counters)
        .into_iter()
        .filter_map(|(name, counter)| Some((name, counter?)))
        .collect();
    let boards = fields.or("boards", Vec::new(), |at| at.list(|at| board(at, gaps)));
    let area = gaps.fill(fields.may("area", Value::parse), None);
    let coats = gaps.fill(fields.or("coats", 1, Value::whole), 1);
    let face_film = fields.or("face_film", usual.face_film, Value::parse);
    let face_film = gaps.fill(face_film, usual.face_film);
    let losses = fields.or("losses", usual.losses, |at| losses(at, gaps, usual.losses));
    let mut losses = gaps.fill(losses, usual.losses);
    let boards = gaps.fill(boards, Vec::new());
    if losses.run_off_from == Origin::Usual && counters.is_empty() && !boards.is_empty() {
        losses.run_off = RunOff::USUAL_OF_BOARDS;
    }
    let crew = gaps.fill(fields.or("crew", 1, Value::whole), 1);
    let temperature = fields.or("temperature", usual.temperature, Value::parse);
    let temperature = gaps.fill(temperature, usual.temperature);
    let surface = gaps.fill(fields.may("surface", Value::parse), None);
    let both_parts = gaps.fill(fields.may("parts", Value::parse), None);
    let humidity = fields.or("humidity", usual.humidity, Value::parse);
    let humidity = gaps.fill(humidity, usual.humidity);
    let room = gaps.fill(fields.may("room", room), None);
    let flame = gaps.fill(fields.or("flame", false, Value::flag), false);
    let top_coat = gaps.fill(fields.may("top_coat", |at| top_coat(at, gaps)), None);
    let options = fields.or("options", Vec::new(), |at| at.map(|at| choice(at, gaps)));
    let options = by_name(gaps.fill(options, Vec::new()));
    let overrides = fields.or("overrides", Vec::new(), |at| at.list(|at| raised(at, gaps)));
    let overrides = gaps.fill(overrides, Vec::new());
    Some(JobParts {
        name: usual.name,
        area,
        colourway,
        counters,
        counter_order,
        boards,
        coats,
        face_film,
        losses,
        filed: true,
        crew,
        temperature,
        surface,
        parts: both_parts,
        humidity,
        room,
        flame,
        top_coat,
        options,
        overrides,
    })
}

/// No side of a room is shorter: 5 ft.
const LEAST_SIDE: Length = Length::from_mm(1524.0);

/// The air of a room; where its three sides are written, what they make is told.
fn room(at: Value<'_>) -> Option<Volume> {
    let Some(sides) = at.in_one_text::<3>() else {
        return at.parse_like("\"1400 ft3\" or \"40 m3\"");
    };
    let us = sides.iter().any(|side| side.contains("ft") || side.contains("in"));
    let mm = sides.iter().map(|side| side.parse::<Length>().map(Length::mm));
    let told = Diagnostic::error("'room' is the volume of its air, in one figure");
    let Ok(mm) = mm.collect::<Result<Vec<f64>, _>>() else {
        return at.report(told.hint("write it like \"1400 ft3\" or \"40 m3\""));
    };
    // A cubic foot is 304.8³ mm³, exactly.
    let (side, unit) = if us { (304.8, "ft3") } else { (1000.0, "m3") };
    let volume = |sides: &[f64]| sides.iter().map(|mm| mm / side).product::<f64>();
    // A side of some inches was meant in feet where nobody could stand in what it makes.
    let is_narrow = |text: &str, mm: f64| text.trim_end().ends_with("in") && mm < LEAST_SIDE.mm();
    let in_feet: Vec<f64> = sides
        .iter()
        .zip(&mm)
        .map(|(text, mm)| if is_narrow(text, *mm) { mm * 12.0 } else { *mm })
        .collect();
    let air = |sides: &[f64]| Volume::from_ml(sides.iter().product::<f64>() / 1000.0);
    if air(&mm) < LEAST_ROOM && air(&in_feet) >= LEAST_ROOM {
        let words =
            format!("did you mean feet for inches? Then write \"{:.0} {unit}\"", volume(&in_feet));
        return at.report(told.hint(words));
    }
    at.report(told.hint(format!("write \"{:.0} {unit}\"", volume(&mm))))
}

fn by_name<T>(entries: Vec<(super::tree::Located<String>, T)>) -> BTreeMap<String, T> {
    entries.into_iter().map(|(name, entry)| (name.value, entry)).collect()
}

fn counter(at: Value<'_>, gaps: &Gaps) -> Option<Counter> {
    let fields = at.fields("counter", &["shape", "cutouts", "edges", "splashbacks", "note"])?;
    note(fields, gaps);
    let shape = fields.need("shape", shape);
    let cutouts = fields.or("cutouts", Vec::new(), |at| at.map(|at| cut_out(at, gaps)));
    let states_edges = fields.get("edges").is_some();
    let edges = fields.or("edges", Vec::new(), |at| at.list(|at| edge(at, gaps)));
    let splashbacks = fields.or("splashbacks", Vec::new(), |at| at.list(|at| splashback(at, gaps)));
    Some(Counter {
        shape: shape?,
        cutouts: by_name(cutouts?),
        edges: edges?,
        states_edges,
        splashbacks: splashbacks?,
    })
}

fn shape(at: Value<'_>) -> Option<Shape> {
    if let Some([length, depth]) = at.in_one_text() {
        return at.report(
            Diagnostic::error(
                "'shape' must say what shape it is: Rectangle, L, U, Circle or Polygon",
            )
            .hint(format!("write Rectangle(\"{length}\", \"{depth}\")")),
        );
    }
    let (kind, at) = at.variant(&["Rectangle", "L", "U", "Circle", "Polygon"])?;
    match kind {
        "Rectangle" => {
            let (length, depth) = lengths(at, ["length", "depth"])?;
            Some(Shape::Rectangle { length, depth })
        }
        "L" => {
            let fields = at.fields("shape L", &["a", "b", "depth"])?;
            let [a, b, depth] = ["a", "b", "depth"].map(|name| fields.need(name, Value::parse));
            Some(Shape::L { a: a?, b: b?, depth: depth? })
        }
        "U" => {
            let fields = at.fields("shape U", &["left", "back", "right", "depth"])?;
            let [left, back, right, depth] =
                ["left", "back", "right", "depth"].map(|name| fields.need(name, Value::parse));
            Some(Shape::U { left: left?, back: back?, right: right?, depth: depth? })
        }
        "Circle" => {
            let [diameter] = at.items(["diameter"])?;
            Some(Shape::Circle { diameter: diameter.parse()? })
        }
        _ => {
            let [corners] = at.items(["[corners]"])?;
            Some(Shape::Polygon(corners.list(point)?))
        }
    }
}

fn point(at: Value<'_>) -> Option<Point> {
    let (x, y) = lengths(at, ["x", "y"])?;
    Some(Point { x, y })
}

fn cut_out(at: Value<'_>, gaps: &Gaps) -> Option<CutOut> {
    let fields = at.fields("cut-out", &["shape", "at", "note"])?;
    note(fields, gaps);
    let shape = fields.need("shape", shape);
    let at = fields.need("at", point);
    Some(CutOut { shape: shape?, at: at? })
}

fn edge(at: Value<'_>, gaps: &Gaps) -> Option<Edge> {
    let fields = at.fields("edge", &["length", "face", "note"])?;
    note(fields, gaps);
    let length = fields.need("length", Value::parse);
    let face = fields.need("face", Value::parse);
    Some(Edge { length: length?, face: face? })
}

fn splashback(at: Value<'_>, gaps: &Gaps) -> Option<Splashback> {
    let fields = at.fields("splashback", &["length", "height", "note"])?;
    note(fields, gaps);
    let length = fields.need("length", Value::parse);
    let height = fields.need("height", Value::parse);
    Some(Splashback { length: length?, height: height? })
}

fn board(at: Value<'_>, gaps: &Gaps) -> Option<Board> {
    let fields = at.fields("board", &["size", "count", "note"])?;
    note(fields, gaps);
    let size = fields.need("size", Value::parse);
    let count = fields.or("count", 1, Value::whole);
    Some(Board { size: size?, count: count? })
}

fn losses(at: Value<'_>, gaps: &Gaps, usual: Losses) -> Option<Losses> {
    let fields = at.fields("group of losses", &["run_off", "cling", "allowance", "note"])?;
    note(fields, gaps);
    let run_off = fields.or("run_off", usual.run_off, run_off);
    let cling = fields.or("cling", usual.cling, cling);
    let allowance = fields.or("allowance", usual.allowance, Value::parse);
    let whose = |field| if fields.get(field).is_some() { Origin::Job } else { Origin::Usual };
    Some(Losses {
        run_off: run_off?,
        run_off_from: whose("run_off"),
        cling: cling?,
        allowance: allowance?,
        allowance_from: whose("allowance"),
    })
}

/// Nothing where a percentage stands alone that should be a share, with a word about that.
fn share_in_words(at: Value<'_>) -> Option<()> {
    let (Kind::Text(text) | Kind::Unquoted(text)) = &at.node().kind else { return Some(()) };
    let share = text.strip_prefix("Share").unwrap_or(text).trim();
    if share.parse::<Fraction>().is_err() {
        return Some(());
    }
    at.instead_of_its_form(
        Diagnostic::error("a percentage stands as a share")
            .hint(format!("write Share(\"{share}\")")),
    )
}

fn run_off(at: Value<'_>) -> Option<RunOff> {
    share_in_words(at)?;
    let (kind, at) = at.variant(&["Share", "PerEdge"])?;
    if kind == "Share" {
        let [share] = at.items(["share"])?;
        return share.parse().map(RunOff::Share);
    }
    let fields = at.fields("run-off", &["volume", "per"])?;
    let volume = fields.need("volume", Value::parse);
    let per = fields.need("per", Value::parse);
    Some(RunOff::PerEdge { volume: volume?, per: per? })
}

fn cling(at: Value<'_>) -> Option<Cling> {
    share_in_words(at)?;
    let (kind, at) = at.variant(&["Share", "Film"])?;
    if kind == "Share" {
        let [share] = at.items(["share"])?;
        return share.parse().map(Cling::Share);
    }
    let [film] = at.items(["film"])?;
    film.parse().map(Cling::Film)
}

fn top_coat(at: Value<'_>, gaps: &Gaps) -> Option<TopCoat> {
    let fields = at.fields("top coat", &["name", "hazards", "note"])?;
    note(fields, gaps);
    let name = fields.need("name", Value::name);
    let hazards = fields.or("hazards", Vec::new(), |at| at.list(hazard));
    Some(TopCoat { name: name?, hazards: hazards? })
}

fn choice(at: Value<'_>, gaps: &Gaps) -> Option<Choice> {
    let fields = at.fields("option", &["colourway", "film", "coats", "note"])?;
    note(fields, gaps);
    let colourway = fields.may("colourway", Value::name);
    let film = fields.may("film", Value::parse);
    let coats = fields.may("coats", Value::whole);
    Some(Choice { colourway: colourway?, film: film?, coats: coats? })
}

fn raised(at: Value<'_>, gaps: &Gaps) -> Option<Override> {
    let fields = at.fields("override", &["ceiling", "to", "reason", "note"])?;
    note(fields, gaps);
    let which = fields.need("ceiling", |at| {
        let (kind, at) = at.variant(&["Colorant", "AllColorants", "Solvent"])?;
        if kind == "Colorant" {
            let [name] = at.items(["name"])?;
            return name.name().map(Raised::Colorant);
        }
        let [] = at.items([])?;
        Some(if kind == "Solvent" { Raised::Solvent } else { Raised::AllColorants })
    });
    let to = fields.need("to", ceiling);
    let reason = fields.need("reason", Value::text);
    Some(Override { ceiling: which?, to: to?, reason: reason? })
}
