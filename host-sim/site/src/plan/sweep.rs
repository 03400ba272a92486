//! Every start through the engine, sixteen at a time.

use super::{Began, Fate, Start};
use crate::replay::happening;
use crate::series::Series;
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Action, FixingSpec, Ground, Grounds, Injection};
use holdoff_core::group::{Event, FixingNumber, Group, GroupError, Happening, MOST_FIXINGS};
use holdoff_core::quantity::{Instant, Span};
use holdoff_core::resin::{Accrual, Hole, Resin};
use holdoff_files::trace::Row;

/// What the starts of a group have in common.
#[derive(Clone, Copy, Debug)]
pub struct Setup<'a> {
    /// The resin.
    pub resin: &'a Resin,
    /// Settings of the count; that the probe has settled is not judged.
    pub settings: Settings,
    /// Hole condition.
    pub hole: Hole,
    /// Cartridge and date, as far as they are known.
    pub injection: Injection,
    /// Seconds from the start of an injection to its seating, 0 or more.
    pub seat_after: i64,
}

/// What is done after the injection.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Then {
    /// It is seated so many seconds later.
    Seat(i64),
    /// Nothing, so that the working time ends by itself.
    Nothing,
}

/// What one walk finds of a start.
#[derive(Clone, Copy, Debug)]
enum Found {
    Refused(Grounds),
    Fate(Fate),
}

/// What a walk comes to.
struct Walk {
    found: [Option<Found>; MOST_FIXINGS],
    group: Group,
}

/// A walk's group: the rows before the next start gone through.
struct Walker<'a> {
    setup: Setup<'a>,
    rows: &'a [Row],
    base: Group,
    /// The next row.
    next: usize,
}

impl<'a> Walker<'a> {
    fn new(setup: Setup<'a>, rows: &'a [Row], rule: Rule) -> Result<Self, GroupError> {
        // a forecast is no probe that could have to settle (rule R6)
        let settings = setup.settings.with_settle(Span::ZERO).unwrap_or(setup.settings);
        Ok(Self { setup, rows, base: Group::new(setup.resin.clone(), settings, rule)?, next: 0 })
    }

    /// Goes through the rows that come before an action at `at` (rule P1).
    fn advance(&mut self, at: Instant) {
        while let Some(row) = self.rows.get(self.next).filter(|row| row.seconds <= at.seconds()) {
            let _ = self.base.step(happening(row), &mut |_| {}); // a row that is refused earns nothing, as in a replay
            self.next += 1;
        }
    }

    /// Up to sixteen starts, in order of time, on one walk.
    fn walk(&mut self, starts: &[Instant], then: Then) -> Result<Walk, GroupError> {
        if let Some(first) = starts.first() {
            self.advance(*first);
        }
        let mut group = self.base.clone();
        let mut acts: Vec<(Instant, FixingNumber, Action)> = Vec::with_capacity(2 * starts.len());
        for start in starts {
            let number = group.add(&FixingSpec { hole: self.setup.hole, torque: None })?;
            acts.push((*start, number, Action::Inject(self.setup.injection)));
            if let Then::Seat(after) = then {
                acts.push((start.after(after), number, Action::Seat));
            }
        }
        // injections and seatings of one second are of different fixings; of one fixing they are in order already
        acts.sort_by_key(|(at, _, _)| *at);
        let mut found: [Option<Found>; MOST_FIXINGS] = [None; MOST_FIXINGS];
        let mut due = acts.iter().peekable();
        let rest = self.rows.get(self.next..).unwrap_or_default();
        for row in rest {
            while let Some((at, fixing, action)) = due.next_if(|(at, _, _)| at.seconds() < row.seconds) {
                let act = Happening::Action { at: *at, fixing: *fixing, action: *action };
                let _ = group.step(act, &mut |event| note(&mut found, &event)); // an event decides
            }
            // what is decided stays decided; but a seating that is still to come may give an overrun its name (rule P8)
            if due.peek().is_none() && found.iter().take(starts.len()).all(Option::is_some) {
                break;
            }
            let _ = group.step(happening(row), &mut |event| note(&mut found, &event));
        }
        for (at, fixing, action) in due {
            let act = Happening::Action { at: *at, fixing: *fixing, action: *action };
            let _ = group.step(act, &mut |event| note(&mut found, &event));
        }
        Ok(Walk { found, group })
    }
}

/// Writes down what decides a start. Only a rejection can follow a rejection: the same overrun under its final name.
fn note(found: &mut [Option<Found>; MOST_FIXINGS], event: &Event) {
    let (fixing, what) = match event {
        Event::StartRefused { fixing, grounds, .. } => (fixing, Found::Refused(*grounds)),
        Event::Cured { fixing, at, announced } => (fixing, Found::Fate(Fate::Cured { at: *at, known: *announced })),
        Event::Rejected { fixing, rejection, .. } => {
            (fixing, Found::Fate(Fate::Rejected { at: rejection.at, grounds: rejection.grounds }))
        }
        Event::Interval { .. }
        | Event::CandidateAccepted { .. }
        | Event::Stuck { .. }
        | Event::Started { .. }
        | Event::Seated { .. }
        | Event::HoleStricter { .. }
        | Event::Withdrawn { .. }
        | Event::CureMoved { .. }
        | Event::TorqueNoted { .. }
        | Event::Released { .. }
        | Event::Decided { .. } => return,
    };
    if let Some(place) = found.get_mut(fixing.place()) {
        *place = Some(what);
    }
}

/// The end of the working time of the start at `place` of a walk without seatings: the overrun's instant, which the
/// engine dates to it; where the forecast ends before, the end by what is known then.
fn seat_by(walk: &Walk, place: usize) -> Option<Instant> {
    match walk.found.get(place).copied().flatten() {
        Some(Found::Fate(Fate::Rejected { at, grounds })) if grounds.has(Ground::NotSeated) => Some(at),
        Some(Found::Refused(_) | Found::Fate(_)) => None,
        None => {
            let number = FixingNumber::new(u8::try_from(place).ok()?)?;
            walk.group.status(number)?.seat_by
        }
    }
}

/// What the engine says to every start, which are given in order of time and not later than the seating leaves room for
/// before the last row.
///
/// # Errors
/// None: the accrual rule is asked only of a resin that permits it, and no walk has more than sixteen fixings.
pub fn sweep(setup: Setup<'_>, series: &Series, starts: &[Instant]) -> Result<Vec<Start>, GroupError> {
    let rows = series.rows();
    let mut by_coldest = Walker::new(setup, rows, Rule::Coldest)?;
    let mut by_accrual = match setup.resin.accrual() {
        Accrual::Permitted => Some(Walker::new(setup, rows, Rule::Accrual)?),
        Accrual::Forbidden => None,
    };
    let mut made = Vec::with_capacity(starts.len());
    for together in starts.chunks(MOST_FIXINGS) {
        let coldest = by_coldest.walk(together, Then::Seat(setup.seat_after))?;
        let unseated = by_coldest.walk(together, Then::Nothing)?;
        let accrual = by_accrual.as_mut().map(|walker| walker.walk(together, Then::Seat(setup.seat_after)));
        let accrual = accrual.transpose()?;
        for (place, at) in together.iter().enumerate() {
            let fate = |walk: &Walk| match walk.found.get(place).copied().flatten() {
                Some(Found::Fate(fate)) => fate,
                Some(Found::Refused(_)) | None => Fate::Open,
            };
            let began = match coldest.found.get(place).copied().flatten() {
                Some(Found::Refused(grounds)) => Began::Refused(grounds),
                Some(Found::Fate(_)) | None => Began::Injected {
                    seat_by: seat_by(&unseated, place),
                    coldest: fate(&coldest),
                    accrual: accrual.as_ref().map(fate),
                },
            };
            made.push(Start { at: *at, began });
        }
    }
    Ok(made)
}
