//! What does not stop the pour but is to be known before it, under the title.

use super::super::heed_rows::heed_rows;
use super::super::page::Page;
use crate::plan::Plan;
use crate::quantity::Units;

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    for words in heed_rows(plan, units) {
        page.hang(0, "HEED: ", &words);
    }
}
