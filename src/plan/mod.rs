//! Decisions: what is weighed, in what, in which order, what it costs, what can hurt.
//!
//! ```text
//! job ─► take_off ─► demand ─► containers ─► small_batch ─► bases (mixing, weighing) ─► ledger
//!                                                 │                    │
//! colourway ─► loading (every ceiling) ───────────┴────────────────────┴─► buying ─► cost
//! ```
//!
//! - [`plan`] takes an [`Ask`] and gives a [`Plan`] or says why not.
//! - [`Limits`] is the one place where ceilings are checked.
//! - [`schedule`] shares tasks among hands.

mod account;
mod ask;
mod base;
mod buying;
mod cautions;
mod checks;
mod coat_uprights;
mod cold;
mod company;
mod containers;
mod cost;
mod demand;
mod dew;
mod divisor;
mod extent;
mod figures;
mod fills;
mod have_ready;
mod lay_out;
mod ledger;
mod let_down;
mod loading;
mod long_pour;
mod mist;
mod mist_in_the_room;
pub mod mist_vapour;
mod mixing;
mod not_weighed;
mod paddle;
mod pieces;
mod primer_shows;
mod products;
mod proportion;
mod reckon;
mod refusals;
mod remedies;
pub mod run_sheet;
pub mod schedule;
mod small_batch;
mod stock;
mod take_off;
mod takes;
mod time;
mod too_coarse;
mod upright;
mod vessel;
mod wanted_at_once;
pub mod weather;
mod weighing;
mod whole;

pub use ask::{Ask, NotPlanned};
pub use base::BasePlan;
pub use buying::{Offer, Purchase, cheapest};
pub use cautions::{Caution, Topic, defers, left_over_words, part_a_left_over_words};
pub use checks::{Check, Place, check_ceilings};
pub use coat_uprights::{HeldBack, HeldOfOne, Source, UprightCoats};
pub use cold::least_warm_words;
pub use company::Company;
pub use containers::Containers;
pub use cost::{Cost, Line, OptionCost};
pub use demand::Demand;
pub use dew::{AskedBy, LeastSurface};
pub use extent::{for_area, for_board, for_kit};
pub use figures::{Figures, Rests};
pub use fills::{MixFills, Portion};
pub use have_ready::Ready;
pub use lay_out::{LaidOut, Ware};
pub use ledger::{Content, Ledger, Material};
pub use let_down::{
    LEAST_LET_DOWN, LET_DOWN_RATIOS, LetDown, MOST_LEFT_OVER, let_down, let_down_ratios_made,
};
pub use loading::{
    Dosed, Inequality, Limits, Route, Standing, blended_eew, hardener_to_restore, off_ratio,
    stoichiometric_index,
};
pub use long_pour::LongPour;
pub use mist::MistLiquid;
pub use mixing::{DoseWeighed, Means, Mix};
pub use paddle::Wiped;
pub use pieces::{FromContainer, Over, Piece, Thinned, Wait};
pub use proportion::{Astray, PourCount};
pub use reckon::{option_costs, plan, refuses, timed};
pub use remedies::{Change, Outcome, Remedies, Remedy};
pub use small_batch::{AccentMeans, LayerPlan, SmallBatch, spare_in_a_cup_words};
pub use stock::{Stock, let_down_stock};
pub use take_off::{BoardArea, CounterArea, TakeOff};
pub use time::Conditions;
pub use too_coarse::{Larger, TooCoarse};
pub use upright::{UprightBase, Uprights};
pub use vessel::first_vessel_keeps;
pub use wanted_at_once::WantedAtOnce;
pub use weighing::{
    Fineness, Weighed, fineness, fineness_beside, fineness_with, minimum_weight, scale_for_parts,
};
pub use whole::{Plan, Recoat, Stop};
