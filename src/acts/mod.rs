//! One function an act: what is asked, to what is answered. Doors (terminal, page) call these and
//! compute nothing themselves.

mod characterise;
mod check;
mod correct;
mod correct_beside;
mod correct_plan;
mod correct_refusal;
mod correct_taken;
mod correct_times;
mod correct_ways;
mod find;
mod held;
mod match_colour;
mod match_target;
mod plan;
mod pour;
mod samples;
mod sheets;
mod start;
mod swatch;
mod tolerance;

pub use characterise::{
    CharacteriseAsk, ColorantText, LotFound, characterise, finding_plots, lot, with_found_lot,
    with_found_optics,
};
pub use check::{Checked, check};
pub use correct::{Corrected, CorrectionAsk, correct};
pub use find::find_shop;
pub use match_colour::{MatchAsk, Matched, match_colour, match_pictures};
pub use match_target::lab_of;
pub use plan::{Extent, PlanAsk, job_states, no_extent, plan};
pub use pour::{Part, PourAsk, pour, sample_board};
pub use samples::{FitFrom, Fitted, SampleTable, joint_fit, joint_predict};
pub use sheets::{SheetsFor, sheets};
pub use start::{Started, start};
pub use swatch::{
    Picture, Seen, SwatchAsk, colourway_to_draw, file_stem, job_stem, swatch, swatch_folder,
};
pub use tolerance::plan_with_spreads;
