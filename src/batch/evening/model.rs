//! The evening as data: every renderer says the same thing because all of them read this.

use serde::Serialize;

use super::bench::EveningBench;
use super::naming::EntryNames;
use crate::finding::{Finding, Level};
use crate::plan::{CoatKind, Plan};

/// What was scheduled.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EveningEcho {
    /// Files of the pages with their sealers and copies, as written.
    pub pages: Vec<EveningSheetEcho>,
    /// Sheets the rack holds.
    pub rack: usize,
    /// When it begins.
    pub start: String,
    /// Nothing is sprayed after this.
    pub stop_by: Option<String>,
    /// Breaks: from, to.
    pub breaks: Vec<[String; 2]>,
    /// Changing to another can, min.
    pub can_change_min: f64,
    /// Handling of a sheet at every coat, min.
    pub handling_min: f64,
    /// The room, as its file or name says; absent if none was named.
    pub room: Option<String>,
    /// Whether the room was named. If not, a small closed one is counted on.
    pub room_named: bool,
}

/// A page of the file as written.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EveningSheetEcho {
    /// Its file.
    pub file: String,
    /// Its sealer, as written; absent if the plan chose.
    pub sealer: Option<String>,
    /// How many sheets alike.
    pub copies: usize,
    /// Where the entry stands: file, line and column.
    pub written_at: Option<String>,
}

/// One coat of the evening.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EveningStep {
    /// Page, from 1 in the order of the file.
    pub page: usize,
    /// Copy of it, from 1.
    pub copy: usize,
    /// Title.
    pub title: String,
    /// Coat of the sheet, from 1.
    pub coat: usize,
    /// Coats of the sheet.
    pub of: usize,
    /// Mist or build.
    pub kind: CoatKind,
    /// Id of the sealer.
    pub sealer: String,
    /// Name of the sealer.
    pub sealer_name: String,
    /// Whether the can is changed before, in the minutes that end at `starts_at`.
    pub change_can: bool,
    /// Clock time: take the sheet and the can.
    pub starts_at: String,
    /// The same from the start of the evening, min.
    pub start_min: i64,
    /// Sprayed and back on the rack, min from the start of the evening.
    pub end_min: i64,
    /// Until the sheet's next coat, or until it may be handled, min.
    pub wait_min: i64,
    /// The least of that wait, min.
    pub least_wait_min: i64,
    /// Latest start of the sheet's next coat by the can's label; absent if it sets none.
    pub next_by: Option<String>,
    /// From when the next coat may follow again once that is missed; absent if never, or if there is no `next_by`.
    pub next_again_from: Option<String>,
    /// Spraying, s.
    pub spray_s: f64,
    /// Out of the can, g.
    pub sealer_g: f64,
}

/// One sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EveningPage {
    /// Page, from 1 in the order of the file.
    pub page: usize,
    /// Copy of it, from 1.
    pub copy: usize,
    /// Title.
    pub title: String,
    /// Whether it is sprayed this evening.
    pub fits: bool,
    /// Why not.
    pub reason: Option<String>,
    /// When it could be: the moment it is ready, or when it would be done if nothing ended the evening. Absent if
    /// waiting does not help.
    pub would_fit_at: Option<String>,
    /// Its first coat.
    pub starts_at: Option<String>,
    /// When it may be handled and leaves the rack.
    pub handle_at: Option<String>,
    /// Its plan, as a place in `plans` from 0.
    pub plan: usize,
}

/// A can, or several alike.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EveningCan {
    /// Id of the sealer.
    pub sealer: String,
    /// Its name.
    pub name: String,
    /// Mass needed, g.
    pub grams: f64,
    /// Full cans needed; absent where it is not known what a can holds.
    pub cans: Option<usize>,
    /// Coats sprayed from it.
    pub coats: usize,
}

/// The air of the evening, with everything that all coats release.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EveningAirPart {
    /// Greatest fullness of the room at any moment: the most demanding of what a mask holds over its protection
    /// factor, what it does not hold, and the share of the explosive limit at which a room is left.
    pub fullness_peak: f64,
    /// The most it may be: one, or what the most demanding page reaches by itself.
    pub ceiling: f64,
    /// Whether the air made coats wait or pages stay out.
    pub decides: bool,
    /// Greatest sum of concentration over limit in the room.
    pub room_index_peak: f64,
    /// The same at the face as a mean over 15 minutes.
    pub index_15min: f64,
    /// The same in the room as a mean over 8 hours.
    pub index_8h: f64,
    /// The same as `index_15min`, of what a mask does not hold.
    pub index_unmasked_only: f64,
    /// Greatest share of the explosive limit in the room, per cent.
    pub lel_room_pct: f64,
    /// Greatest share of the explosive limit at the face, per cent.
    pub lel_near_pct: f64,
    /// After the last coat, until someone with a mask may return, min.
    pub return_masked_min: Option<u32>,
    /// After the last coat, until the bench is safe without a mask, min.
    pub clear_unmasked_min: Option<u32>,
    /// After the last coat, until the room is safe for others, min.
    pub clear_others_min: Option<u32>,
    /// Sum of concentration over limit, over the evening.
    pub series: Vec<EveningPoint>,
    /// The worst that the air says.
    pub verdict: Level,
}

/// A moment of the air's curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EveningPoint {
    /// Minutes from the start of the evening.
    pub t_min: f64,
    /// Sum of concentration over limit in the room.
    pub room_index: f64,
    /// The same at the face.
    pub near_index: f64,
}

/// The plan of one or more sheets that are alike.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EveningPlan {
    /// The pages it is of, from 1 in the order of the file.
    pub pages: Vec<usize>,
    /// The plan, as if the page were sprayed by itself at the start, or from when it is ready.
    pub plan: Plan,
}

/// A whole evening.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Evening {
    /// `coatbell.batch/1`.
    pub schema: &'static str,
    /// Version of the program.
    pub version: &'static str,
    /// What was scheduled.
    pub inputs: EveningEcho,
    /// `go`, `care`, or `hold` if something does not fit or the air is too much.
    pub verdict: Level,
    /// The answer in one line.
    pub answer: String,
    /// What was noticed, most severe first.
    pub findings: Vec<Finding>,
    /// The short cautions.
    pub cautions: Vec<String>,
    /// When the first coat begins; absent if nothing fits.
    pub starts_at: Option<String>,
    /// When the last coat is sprayed.
    pub last_coat_at: Option<String>,
    /// When the last sheet may be handled.
    pub done_at: Option<String>,
    /// From the start until then, min.
    pub makespan_min: i64,
    /// No schedule of the sheets sprayed ends before, min.
    pub lower_bound_min: i64,
    /// How far the schedule may at most be from the best, per cent.
    pub gap_pct: f64,
    /// Whether it is proved that nothing ends earlier.
    pub proved: bool,
    /// Whether the search was stopped before it was through.
    pub stopped: bool,
    /// Work spent.
    pub effort: &'static str,
    /// The same sheets one after another, each with all its coats before the next begins, min.
    pub one_by_one_min: i64,
    /// Coats in the order they are sprayed.
    pub steps: Vec<EveningStep>,
    /// Sheets in the order of the file.
    pub pages: Vec<EveningPage>,
    /// Most sheets on the rack at once.
    pub rack_peak: usize,
    /// Cans used.
    pub cans: Vec<EveningCan>,
    /// Changes of can.
    pub can_changes: usize,
    /// Minutes that begun sheets wait beyond their least waits.
    pub wet_wait_min: i64,
    /// The air; absent if nothing is sprayed.
    pub air: Option<EveningAirPart>,
    /// The plans behind the coats.
    pub plans: Vec<EveningPlan>,
    /// How the sheets of each entry are called.
    #[serde(skip)]
    pub(super) names: Vec<EntryNames>,
    /// The bench itself, on which the rest can be scheduled anew.
    #[serde(skip)]
    pub bench: EveningBench,
}

impl Evening {
    /// What a sheet is called: the title of its page, with a number if there are several of that title.
    pub fn name_of(&self, page: usize, copy: usize, title: &str) -> String {
        self.names.get(page - 1).map_or_else(|| title.to_owned(), |names| names.name(title, copy))
    }
}
