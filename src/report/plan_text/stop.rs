//! What speaks against pouring as planned, under the title.

use super::super::page::Page;
use super::super::stop_rows::stop_rows;
use crate::plan::Plan;
use crate::quantity::Units;

pub(super) fn write(page: &mut Page, plan: &Plan, units: Units) {
    for row in stop_rows(plan, units) {
        page.hang(0, "STOP: ", &row.words);
        page.hang(6, "mend: ", &row.remedy);
    }
}
