//! Every distinct page planned once; a page that is merely too fresh is planned again from when it is ready.

use jiff::{SignedDuration, ZonedDateTime};

use crate::air::RespiratorKind;
use crate::both::both;
use crate::catalog::{Catalog, Sealer};
use crate::finding::Level;
use crate::input::RoomInput;
use crate::page::Sheet;
use crate::plan::{Request, SEED, Worked, work};

/// An evening to be scheduled.
#[derive(Debug, Clone)]
pub struct EveningRequest<'a> {
    /// Distinct pages with their sealers.
    pub sheets: Vec<EveningSheet<'a>>,
    /// The entries of the file in order.
    pub entries: Vec<EveningEntry>,
    /// Sheets the rack holds.
    pub rack: usize,
    /// When it begins.
    pub start: ZonedDateTime,
    /// Nothing is sprayed after this.
    pub stop_by: Option<ZonedDateTime>,
    /// Breaks in order, apart from each other: from, to.
    pub breaks: Vec<(ZonedDateTime, ZonedDateTime)>,
    /// Changing to another can, min, if stated.
    pub can_change_min: Option<f64>,
    /// Handling of a sheet at every coat, min, if stated.
    pub handling_min: Option<f64>,
    /// The room; `None` takes the stated default.
    pub room: Option<&'a RoomInput>,
    /// Whether the room itself was named.
    pub room_named: bool,
    /// The mask the person has, if it is better than the recommended one.
    pub respirator: Option<RespiratorKind>,
    /// The moment of planning.
    pub now: ZonedDateTime,
}

/// An entry of the evening's file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EveningEntry {
    /// Place in `sheets`.
    pub sheet: usize,
    /// The file of the page, as written.
    pub file: String,
    /// Its sealer, as written; absent leaves the choice to the plan.
    pub sealer: Option<String>,
    /// How many sheets alike.
    pub copies: usize,
    /// Where the entry stands, for whoever has to change it: file, line and column.
    pub written_at: Option<String>,
}

/// A distinct page with its sealer.
#[derive(Debug, Clone)]
pub struct EveningSheet<'a> {
    /// The page.
    pub sheet: Sheet<'a>,
    /// The sealer; `None` leaves the choice to the plan.
    pub sealer: Option<Sealer>,
}

/// A planned page.
#[derive(Debug, Clone)]
pub(super) struct Planned {
    pub(super) worked: Worked,
    /// Not before this moment.
    pub(super) release: ZonedDateTime,
    /// Why it cannot be sprayed this evening.
    pub(super) out: Option<LeftOut>,
}

/// Why a page stays out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LeftOut {
    pub(super) reason: String,
    pub(super) cure: String,
    pub(super) would_fit_at: Option<ZonedDateTime>,
}

/// The start on a whole minute: clock times are told in minutes.
pub(super) fn whole_minute(moment: &ZonedDateTime) -> ZonedDateTime {
    let (second, sub) = (i64::from(moment.second()), moment.subsec_nanosecond());
    if second == 0 && sub == 0 {
        return moment.clone();
    }
    let shift = SignedDuration::new(60 - second, 0) - SignedDuration::new(0, sub);
    moment.checked_add(shift).unwrap_or_else(|_| moment.clone())
}

/// Plans every distinct page, half of them at a time.
pub(super) fn plan_all(request: &EveningRequest<'_>, start: &ZonedDateTime, catalog: &Catalog) -> Vec<Planned> {
    let half = |which: usize| -> Vec<Planned> {
        let mine = request.sheets.iter().skip(which).step_by(2);
        mine.map(|sheet| plan_one(request, sheet, start, catalog)).collect()
    };
    let (even, odd) = both(|| half(0), || half(1));
    let mut odd = odd.into_iter();
    even.into_iter().flat_map(|one| std::iter::once(one).chain(odd.next())).collect()
}

fn plan_one(
    request: &EveningRequest<'_>,
    sheet: &EveningSheet<'_>,
    start: &ZonedDateTime,
    catalog: &Catalog,
) -> Planned {
    let from = |start: &ZonedDateTime| {
        let request = Request {
            sheet: &sheet.sheet,
            sealer: sheet.sealer.as_ref(),
            room: request.room,
            room_named: request.room_named,
            respirator: request.respirator,
            start,
            now: &request.now,
            seed: SEED,
            why: false,
        };
        work(&request, catalog)
    };
    let first = from(start);
    let holds = |worked: &Worked| worked.plan.verdict == Level::Hold;
    if !holds(&first) && first.first_at.is_some() {
        return Planned { worked: first, release: start.clone(), out: None };
    }
    let Some(ready) = first.first_at.clone().map(|at| whole_minute(&at)).filter(|at| at > start) else {
        let out = Some(held(&first, None));
        return Planned { worked: first, release: start.clone(), out };
    };
    let later = from(&ready);
    if holds(&later) || later.first_at.is_none() {
        let out = Some(held(&later, None));
        return Planned { worked: later, release: ready, out };
    }
    let out = request.stop_by.as_ref().filter(|stop| ready >= **stop).map(|_| LeftOut {
        reason: "a layer is still too fresh, and it is ready only after the evening has ended".to_owned(),
        cure: "Keep it for another day".to_owned(),
        would_fit_at: Some(ready.clone()),
    });
    Planned { worked: later, release: ready, out }
}

/// The reason is that of the plan.
fn held(worked: &Worked, would_fit_at: Option<ZonedDateTime>) -> LeftOut {
    let holding = worked.plan.findings.iter().find(|finding| finding.level == Level::Hold);
    LeftOut {
        reason: holding.map_or_else(|| worked.plan.answer.clone(), |finding| finding.text.clone()),
        cure: holding
            .and_then(|finding| finding.remedy.clone())
            .unwrap_or_else(|| "See what `coatbell plan` says about it".to_owned()),
        would_fit_at,
    }
}
