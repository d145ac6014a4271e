//! Random shops with a colourway and a job that fit together, and stay under every ceiling: made from
//! bare random numbers, so that a failing case shrinks.

use std::collections::BTreeMap;

use pourbook::colour::Srgb8;
use pourbook::model::{
    Accent, Amount, Base, Board, Carrier, Ceilings, Clear, Cling, Colorant, ColorantParts,
    Colourway, ColourwayParts, Counter, CutOut, Dose, Edge, Finish, House, HouseParts, Job,
    JobParts, Kind, Layer, Losses, Lot, MixRatio, Optics, Origin, Package, Pattern, Point, PotLife,
    Pour, Primer, RunOff, Scale, Shape, Shop, Splashback, Standing, Stoichiometry, System,
    SystemParts,
};
use pourbook::optics::Ks;
use pourbook::plan::{Ask, NotPlanned, Plan, plan};
use pourbook::quantity::{
    Currency, Density, Dimensions, Fraction, Length, Mass, Money, Temperature, TimeSpan, Volume,
};
use pourbook::spectrum::Spectrum;
use proptest::prelude::*;

/// A shop, and the colourway and job to plan in it.
#[derive(Debug, Clone)]
pub(crate) struct Case {
    pub(crate) shop: Shop,
    pub(crate) colourway: Colourway,
    pub(crate) job: Job,
}

impl Case {
    pub(crate) fn plan(&self) -> Result<Plan, NotPlanned> {
        plan(&Ask { shop: &self.shop, colourway: &self.colourway, job: &self.job })
    }

    pub(crate) fn system(&self) -> &System {
        &self.shop.systems["resin"]
    }
}

/// A two-part system of stated ratio and densities, everything else plain; the shares of these
/// ceilings are wide, so that only what a test narrows can refuse.
pub(crate) fn system_parts(ratio: MixRatio, density_a: f64, density_b: f64) -> SystemParts {
    SystemParts {
        name: "resin".into(),
        ratio,
        density_a: Density::from_g_per_ml(density_a),
        density_b: Density::from_g_per_ml(density_b),
        clear: Clear {
            refractive_index: 1.55,
            absorption_per_mm: Spectrum::flat(0.001),
            standing: Standing::Estimated,
        },
        film_min: Length::from_mm(0.1),
        film_max: Length::from_mm(20.0),
        pot_life: PotLife {
            time: TimeSpan::from_min(40.0),
            mass: Mass::from_g(150.0),
            temperature: Temperature::from_c(25.0),
        },
        lowest_temperature: None,
        recoat: None,
        ceilings: Ceilings {
            colorant: Fraction::from_percent(60.0),
            solvent: Fraction::from_percent(60.0),
            standing: Standing::Estimated,
        },
        stoichiometry: None,
        packages: vec![
            Package {
                size: Amount::Volume(Volume::from_gal(1.5)),
                price: Money::from_minor(18_900, Currency::USD),
                unit: None,
            },
            Package {
                size: Amount::Mass(Mass::from_kg(1.0)),
                price: Money::from_minor(4_100, Currency::USD),
                unit: None,
            },
        ],
        standing: Standing::Demo,
    }
}

/// A colorant of that name, density, solids and carrier.
pub(crate) fn colorant_parts(
    name: &str,
    density: f64,
    solids: f64,
    carrier: Carrier,
    ceiling: f64,
) -> ColorantParts {
    ColorantParts {
        name: name.into(),
        kind: Kind::Paste,
        finish: Finish::Plain,
        pigments: Vec::new(),
        density: Density::from_g_per_ml(density),
        solids: Fraction::new(solids),
        carrier,
        ceiling: Fraction::new(ceiling),
        ceiling_standing: Standing::Estimated,
        optics: Some(Optics {
            unit: Ks { k: Spectrum::flat(20.0), s: Spectrum::flat(30.0) },
            standing: Standing::Demo,
        }),
        lot: None,
        packages: vec![Package {
            size: Amount::Mass(Mass::from_g(100.0)),
            price: Money::from_minor(950, Currency::USD),
            unit: None,
        }],
        hazards: Vec::new(),
        standing: Standing::Demo,
    }
}

/// A colourway of the system `resin` without bases yet.
pub(crate) fn colourway_parts() -> ColourwayParts {
    ColourwayParts {
        name: "test pour".into(),
        system: "resin".into(),
        film: Length::from_mm(3.0),
        primer: Primer::Colour(Srgb8 { r: 230, g: 228, b: 222 }),
        container: Volume::from_ml(400.0),
        bases: BTreeMap::new(),
        base_order: Vec::new(),
        accents: BTreeMap::new(),
        pours: Vec::new(),
        pattern: Pattern::default(),
        note: None,
    }
}

pub(crate) fn base(name: &str, doses: &[(&str, f64)]) -> (String, Base) {
    let colorants = doses
        .iter()
        .map(|(colorant, loading)| Dose {
            colorant: (*colorant).into(),
            loading: Fraction::new(*loading),
        })
        .collect();
    (name.into(), Base { name: name.into(), share: None, colorants })
}

pub(crate) fn accent(name: &str, colorant: &str) -> (String, Accent) {
    (name.into(), Accent { name: name.into(), colorant: colorant.into() })
}

pub(crate) fn base_layer(base: &str, parts: f64) -> Layer {
    Layer::Base { base: base.into(), parts }
}

pub(crate) fn accent_layer(accent: &str, dose: f64) -> Layer {
    Layer::Accent { accent: accent.into(), dose: Fraction::new(dose) }
}

/// A scale that steps so finely that rounding is out of sight, and bears anything.
pub(crate) fn fine_house() -> HouseParts {
    HouseParts {
        scales: vec![Scale {
            name: "fine".into(),
            readability: Mass::from_g(1e-4),
            capacity: Mass::from_g(1e6),
        }],
        ..HouseParts::default()
    }
}

/// Bare random figures of a colorant, each 0–1.
type Pigment = (u8, f64, f64, f64, f64);

fn colorant(number: usize, (carrier, density, solids, ceiling, strength): Pigment) -> Colorant {
    let solids = 0.05 + 0.9 * solids;
    let (carrier, solids) = match carrier {
        0 => (Carrier::None, 1.0),
        1 => (Carrier::NonReactive, solids),
        2 => (Carrier::Solvent, solids),
        _ => (Carrier::Epoxy { eew_g_per_eq: 180.0 + 40.0 * density }, solids),
    };
    let name = format!("colorant {number}");
    let parts = colorant_parts(&name, 0.8 + 4.0 * density, solids, carrier, 0.005 + 0.08 * ceiling);
    let lot = Lot { name: "L".into(), strength: Fraction::new(0.8 + 0.45 * strength) };
    Colorant::new(ColorantParts { lot: Some(lot), ..parts }).unwrap()
}

prop_compose! {
    fn shelf()(
        pigments in prop::collection::vec((0_u8..5, 0.0..1.0, 0.0..1.0, 0.0..1.0, 0.0..1.0), 1..5),
    ) -> Vec<Colorant> {
        pigments.into_iter().enumerate().map(|(at, one)| colorant(at, one)).collect()
    }
}

prop_compose! {
    fn resin()(
        by_volume in any::<bool>(), b in 0.2..2.0_f64,
        density_a in 1.0..1.3_f64, density_b in 0.85..1.1_f64,
        weights in prop::option::of(Just(Stoichiometry { eew_g_per_eq: 190.0, ahew_g_per_eq: 95.0 })),
    ) -> System {
        let ratio = if by_volume { MixRatio::Volume { a: 2.0, b } } else { MixRatio::Mass { a: 2.0, b } };
        let parts = system_parts(ratio, density_a, density_b);
        // A ratio twice or half of what these ask for is refused; each is up to 1.7 times off.
        let fits = 1.9 * System::new(parts.clone()).unwrap().phr();
        let weights = weights.map(|own: Stoichiometry| Stoichiometry {
            ahew_g_per_eq: own.ahew_g_per_eq.clamp(fits / 1.7, fits * 1.7),
            ..own
        });
        // 40 % paste in EEW-180 carrier stays within a wide off-ratio limit of the house.
        System::new(SystemParts { stoichiometry: weights, ..parts }).unwrap()
    }
}

prop_compose! {
    fn house()(
        small in any::<bool>(), pocket in any::<bool>(), fill in 0.6..1.0_f64,
        largest in 1.0..10.0_f64, tolerance in 0.01..0.05_f64,
        vessels in prop::sample::subsequence(vec![500.0, 1000.0, 2500.0, 5000.0, 10_000.0], 1..5),
    ) -> House {
        let scale = |name: &str, step: f64, most: f64| Scale {
            name: name.into(),
            readability: Mass::from_g(step),
            capacity: Mass::from_g(most),
        };
        let mut scales = vec![scale("bench", 1.0, 15_000.0)];
        if small { scales.push(scale("small", 0.1, 2000.0)); }
        if pocket { scales.push(scale("pocket", 0.01, 200.0)); }
        House::new(HouseParts {
            scales,
            fill: Fraction::new(fill),
            largest_mix: Mass::from_kg(largest),
            weighing_tolerance: Fraction::new(tolerance),
            vessels: vessels.into_iter().map(Volume::from_ml).collect(),
            off_ratio_limit: Fraction::from_percent(60.0),
            ..HouseParts::default()
        }).unwrap()
    }
}

prop_compose! {
    /// A colourway of all these colorants, every mix at most at 90 % of the mixture rule.
    fn colourway(shelf: Vec<Colorant>)(
        uses in prop::collection::vec(prop::collection::vec(0.0..1.0_f64, shelf.len()), 1..4),
        pours in prop::collection::vec((1_u32..4, 1_u32..100, 0_usize..8), 0..4),
        accent_use in prop::collection::vec(0.01..1.0_f64, 0..3),
        film in 0.5..6.0_f64, container in 250.0..1000.0_f64,
    ) -> Colourway {
        let mut parts = ColourwayParts {
            film: Length::from_mm(film),
            container: Volume::from_ml(container),
            ..colourway_parts()
        };
        for (at, uses) in uses.iter().enumerate() {
            let all: f64 = uses.iter().sum::<f64>().max(1.0);
            let doses: Vec<(&str, f64)> = shelf
                .iter()
                .zip(uses)
                // Rare figures below this are no dose that anybody writes.
                .filter(|(_, share)| **share > 0.02)
                .map(|(c, share)| {
                    let loading = 0.6 * share / all * c.ceiling.value() * c.lot_strength();
                    (c.name.as_str(), loading)
                })
                .collect();
            parts.bases.extend([base(&format!("base {at}"), &doses)]);
        }
        let bases = parts.bases.len();
        for (at, (count, amount, turn)) in pours.iter().enumerate() {
            let mut layers: Vec<Layer> = (0..bases)
                .map(|which| {
                    let parts = f64::from((amount * (7 + u32::try_from(which).unwrap())) % 100 + 5);
                    base_layer(&format!("base {which}"), parts)
                })
                .collect();
            layers.rotate_left(turn % bases);
            parts.pours.push(Pour { name: format!("pour {at}"), count: *count, layers });
        }
        if parts.pours.is_empty() {
            let share = Fraction::new(1.0 / f64::from(u32::try_from(bases).unwrap()));
            for each in parts.bases.values_mut() {
                each.share = Some(share);
            }
        } else {
            let kinds = parts.pours.len();
            for (at, share) in accent_use.iter().enumerate() {
                let colorant = &shelf[at % shelf.len()];
                let name = format!("accent {at}");
                parts.accents.extend([accent(&name, &colorant.name)]);
                let dose = 0.15 * share * colorant.ceiling.value() * colorant.lot_strength();
                let layers = &mut parts.pours[at % kinds].layers;
                let place = (at * 5) % (layers.len() + 1);
                layers.insert(place, accent_layer(&name, dose));
            }
        }
        Colourway::new(parts).unwrap()
    }
}

prop_compose! {
    fn job(house: House)(
        size in (300.0..2500.0_f64, 300.0..900.0_f64), hole in 0.1..0.5_f64,
        board in prop::option::of((100.0..700.0_f64, 1_u32..4)),
        edge in 0.0..6.0_f64, splash in any::<bool>(), coats in 1_u32..3,
        run_off in (any::<bool>(), 0.0..0.3_f64), cling in (any::<bool>(), 0.0..0.1_f64),
        allowance in 0.0..0.1_f64,
    ) -> Job {
        let mut parts = JobParts::bare("random".into(), &house);
        let (length, depth) = (Length::from_mm(size.0), Length::from_mm(size.1));
        let free = if splash { length + depth * 2.0 } else { (length + depth) * 2.0 };
        let cut = CutOut {
            shape: Shape::Rectangle { length: length * hole, depth: depth * hole },
            at: Point { x: length * 0.2, y: depth * 0.2 },
        };
        let counter = Counter {
            shape: Shape::Rectangle { length, depth },
            cutouts: [("sink".to_owned(), cut)].into(),
            states_edges: true,
            edges: if edge > 0.5 {
                vec![Edge { length: Length::from_m(edge).lesser(free), face: Length::from_mm(38.0) }]
            } else {
                Vec::new()
            },
            splashbacks: if splash {
                vec![Splashback { length, height: Length::from_mm(100.0) }]
            } else {
                Vec::new()
            },
        };
        parts.counters.insert("run".into(), counter);
        if let Some((side, count)) = board {
            let side = Length::from_mm(side);
            parts.boards.push(Board { size: Dimensions::new(side, side), count });
        }
        parts.coats = coats;
        parts.losses = Losses {
            run_off: if run_off.0 {
                RunOff::Share(Fraction::new(run_off.1))
            } else {
                RunOff::PerEdge { volume: Volume::from_ml(1000.0 * run_off.1), per: Length::from_m(1.0) }
            },
            run_off_from: Origin::Job,
            cling: if cling.0 {
                Cling::Share(Fraction::new(cling.1))
            } else {
                Cling::Film(Length::from_mm(8.0 * cling.1))
            },
            allowance: Fraction::new(allowance),
            allowance_from: Origin::Job,
        };
        Job::new(parts).unwrap()
    }
}

/// Random cases; with `fine`, in a house whose scale rounds nothing away.
pub(crate) fn cases(fine: bool) -> impl Strategy<Value = Case> {
    (shelf(), resin(), house())
        .prop_flat_map(move |(shelf, system, random_house)| {
            let house = if fine {
                let parts =
                    HouseParts { off_ratio_limit: Fraction::from_percent(60.0), ..fine_house() };
                House::new(parts).unwrap()
            } else {
                random_house
            };
            (Just(shelf.clone()), Just(system), colourway(shelf), job(house.clone()), Just(house))
        })
        .prop_map(|(shelf, system, colourway, job, house)| {
            let mut shop = Shop { house, ..Shop::default() };
            shop.systems.insert(system.name.clone(), system);
            shop.colorants = shelf.into_iter().map(|c| (c.name.clone(), c)).collect();
            Case { shop, colourway, job }
        })
}
