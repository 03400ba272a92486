//! The engine, fed with the reference's histories and made to report in the reference's words.

use crate::reference::{
    self, Act, History, RefDemands, RefResin, Report, RowKind, Step, Work, ceil_to_counts, floor_to_counts,
};
use holdoff_core::cure::{Rule, Settings, Uncertainty, WHOLE};
use holdoff_core::fixing::{
    Action, Cartridge, CleaningDone, CleaningKind, CleaningStep, Decision, Declaration, Demands, Fact, FixingSpec,
    InHole, Injection, Needs, SeatingFacts, Stage, Status, TorqueRange,
};
use holdoff_core::group::{Darkness, Event, FixingNumber, Group, Happening, Readings, Verdict};
use holdoff_core::probe::{Refusal, SENSOR_GREATEST, SENSOR_LEAST};
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec};
use num::{BigInt, BigRational};

/// A group with the fixing of the history, and its neighbour where it has one.
pub fn group(history: &History) -> (Group, FixingNumber) {
    let settings = &history.settings;
    let uncertainty = Uncertainty::from_counts(small(ceil_to_counts(&settings.uncertainty))).expect("bounded");
    let gap = Span::from_seconds(small(settings.longest_gap));
    let settle = Span::from_seconds(small(settings.settle));
    let settings = Settings::new(uncertainty, gap, small(settings.clock_ppm)).expect("bounded");
    let settings = settings.with_settle(settle).expect("bounded");
    let rule = match history.rule {
        reference::Rule::Coldest => Rule::Coldest,
        reference::Rule::Accrual => Rule::Accrual,
    };
    let mut group = Group::new(resin(&history.resin), settings, rule).expect("accrual is permitted");
    let torque = history.torque.map(|(least, greatest)| {
        let torque = |hundredths| Torque::from_hundredths(small(hundredths));
        TorqueRange::new(torque(least), torque(greatest)).expect("ordered")
    });
    group.demand(demands(&history.demands));
    let number = group.add(&FixingSpec { hole: hole(history.hole), torque }).expect("the first fits");
    if !history.neighbour.is_empty() {
        group.add(&FixingSpec { hole: hole(history.hole), torque: None }).expect("the second fits");
    }
    (group, number)
}

/// The resin in the engine's form.
pub fn resin(resin: &RefResin) -> Resin {
    let up = |value: &BigRational| Count::new(small(ceil_to_counts(value)));
    let down = |value: &BigRational| Count::new(small(floor_to_counts(value)));
    let span = |seconds: u64| Span::from_seconds(small(seconds));
    let bands: Vec<Band> = resin
        .bands
        .iter()
        .map(|band| Band { from: up(&band.from), working: span(band.working), cure: span(band.cure) })
        .collect();
    let spec = ResinSpec {
        limits: Limits {
            install_least: up(&resin.install_least),
            install_greatest: down(&resin.install_greatest),
            cure_least: up(&resin.cure_least),
            cure_greatest: down(&resin.cure_greatest),
            reject_below: resin.reject_below.as_ref().map(up),
            reject_above: resin.reject_above.as_ref().map(down),
            longest_hold: resin.longest_hold.map(span),
        },
        cartridge_least: up(&resin.cartridge_least),
        cartridge_greatest: down(&resin.cartridge_greatest),
        holes: resin.allowed.iter().fold(Holes::NONE, |holes, one| holes.with(hole(*one))),
        wet_factor: small(resin.wet_factor),
        accrual: Accrual::Permitted,
        bands: &bands,
    };
    Resin::new(&spec).expect("the generator makes valid resins")
}

/// Happenings of the history in the order they are taken.
pub fn happenings(history: &History, fixing: FixingNumber) -> Vec<Happening> {
    reference::order(history)
        .into_iter()
        .map(|step| match step {
            Step::Row(row) => row_of(&history.rows[row]),
            Step::Act(act) => act_of(history, fixing, &history.acts[act]),
            Step::Neighbour(act) => act_of(history, NEIGHBOUR, &history.neighbour[act]),
        })
        .collect()
}

/// Runs the engine over the history. `after` is called after every step.
pub fn run(history: &History, mut after: impl FnMut(&Group, &Happening, Verdict, &[Event])) -> Report {
    let (mut group, fixing) = group(history);
    for what in happenings(history, fixing) {
        let mut events = Vec::new();
        let verdict = group.step(what, &mut |event| events.push(event));
        after(&group, &what, verdict, &events);
    }
    report(history, &group.status(fixing).expect("it was added"), group.readings())
}

fn row_of(row: &RowKind) -> Happening {
    match row {
        RowKind::Restart { length_known, .. } => {
            Happening::PowerUp { dark: if *length_known { Darkness::Known } else { Darkness::Unknown } }
        }
        RowKind::Lost { at } => Happening::Lost { at: Instant::from_seconds(*at) },
        RowKind::Reading(row) => {
            let at = Instant::from_seconds(row.at);
            let Some(temperature) = &row.temperature else { return Happening::Missing { at } };
            let degrees = |count: Count| BigRational::new(BigInt::from(count.raw()), BigInt::from(256));
            // the range is judged before rounding (R2b)
            if *temperature < degrees(SENSOR_LEAST) || *temperature > degrees(SENSOR_GREATEST) {
                return Happening::Unusable { at, cause: Refusal::OutOfRange };
            }
            Happening::Reading { at, count: Count::new(small(floor_to_counts(temperature))) }
        }
    }
}

fn act_of(history: &History, fixing: FixingNumber, act: &Act) -> Happening {
    let at = Instant::from_seconds(act.at());
    let action = match act {
        Act::Inject { in_hole, cartridge, use_by_end, .. } => Action::Inject(Injection {
            in_hole: in_hole.as_ref().map(|value| InHole { at, count: Count::new(small(floor_to_counts(value))) }),
            cartridge: cartridge.as_ref().map(|value| declared(&history.resin, value)),
            past_from: use_by_end.map(Instant::from_seconds),
        }),
        Act::Seat { .. } => Action::Seat,
        Act::Clean { work, times, .. } => {
            let done = CleaningDone { kind: kind(*work), count: small(*times), took: Span::ZERO };
            Action::Declare(Declaration::Cleaned(done))
        }
        Act::NewNozzle { .. } => Action::Declare(Declaration::NewNozzle),
        Act::Discard { .. } => Action::Declare(Declaration::Discarded),
        Act::Seating { excess, depth, .. } => {
            Action::Declare(Declaration::Seating(SeatingFacts { excess: fact(*excess), depth: fact(*depth) }))
        }
        Act::Hole { to, .. } => Action::Hole(hole(*to)),
        Act::CarriedOut { .. } => Action::CarriedOut,
        Act::Torque { hundredths, .. } => Action::Torque(Torque::from_hundredths(small(*hundredths))),
        Act::TorquedEarly { hundredths, .. } => Action::TorquedEarly(Torque::from_hundredths(small(*hundredths))),
        Act::Decide { accept: true, .. } => Action::Decide(Decision::Accept),
        Act::Decide { accept: false, .. } => Action::Decide(Decision::Remove),
    };
    Happening::Action { at, fixing, action }
}

fn declared(resin: &RefResin, value: &BigRational) -> Cartridge {
    let count = Count::new(small(floor_to_counts(value)));
    let inside = resin.cartridge_least <= *value && *value <= resin.cartridge_greatest;
    let least = Count::new(small(ceil_to_counts(&resin.cartridge_least)));
    let greatest = Count::new(small(floor_to_counts(&resin.cartridge_greatest)));
    let judged = match (inside, count < least, count > greatest) {
        (true, true, _) => least,
        (false, false, false) => Count::new(greatest.raw() + 1),
        _ => count,
    };
    Cartridge { count, judged }
}

/// What a status says, in the reference's words.
pub fn report(history: &History, status: &Status, readings: Readings) -> Report {
    let stage = match status.stage {
        Stage::AcceptedAsIs(_) => "accepted",
        other => other.word(),
    };
    let tally = &status.tally;
    Report {
        stage: stage.to_owned(),
        cured_at: status.cured_at.map(Instant::seconds),
        announced_at: status.announced_at.map(Instant::seconds),
        required: status.required,
        served: status.served,
        elapsed: tally.elapsed(),
        counted: tally.counted(),
        held: tally.held,
        unobserved: tally.unobserved,
        bands: tally.bands.iter().take(history.resin.bands.len()).map(|&seconds| u64::from(seconds)).collect(),
        coldest: status.coldest.map(|coldest| i64::from(coldest.raw())),
        accrued: BigRational::new(BigInt::from(status.accrued), BigInt::from(WHOLE)),
        accepted: readings.accepted,
        refused: readings.refused,
        missing: readings.missing,
        outside_at_seating: status.outside_at_seating.map(|count| i64::from(count.raw())),
        cleaned: status.declared.cleaned,
        even: status.declared.even,
        facts: (told(status.declared.facts.excess), told(status.declared.facts.depth)),
        reasons: status.grounds.iter().map(|ground| ground.word().to_owned()).collect(),
    }
}

/// The neighbour's number.
const NEIGHBOUR: FixingNumber = match FixingNumber::new(1) {
    Some(second) => second,
    None => unreachable!(),
};

/// The demands in the engine's form.
pub fn demands(demands: &RefDemands) -> Demands {
    let steps = demands.cleaning.iter().map(|(work, times)| CleaningStep { kind: kind(*work), count: small(*times) });
    let needs = |required| if required { Needs::Required } else { Needs::Noted };
    let made = Demands::new(steps, needs(demands.cleaning_required), needs(demands.nozzle_required));
    made.and_then(|made| made.with_clean_within(Span::from_seconds(small(demands.clean_within)))).expect("bounded")
}

fn kind(work: Work) -> CleaningKind {
    match work {
        Work::Blow => CleaningKind::Blow,
        Work::Brush => CleaningKind::Brush,
        Work::Rinse => CleaningKind::Rinse,
        Work::ExtractingBit => CleaningKind::ExtractingBit,
    }
}

fn fact(said: Option<bool>) -> Fact {
    match said {
        Some(true) => Fact::Yes,
        Some(false) => Fact::No,
        None => Fact::NotDeclared,
    }
}

fn told(fact: Fact) -> Option<bool> {
    match fact {
        Fact::Yes => Some(true),
        Fact::No => Some(false),
        Fact::NotDeclared => None,
    }
}

fn hole(hole: reference::Hole) -> Hole {
    match hole {
        reference::Hole::Dry => Hole::Dry,
        reference::Hole::Wet => Hole::Wet,
        reference::Hole::Flooded => Hole::Flooded,
    }
}

fn small<A, B>(value: A) -> B
where
    B: TryFrom<A>,
    B::Error: std::fmt::Debug,
{
    B::try_from(value).expect("the generator keeps to the bounds")
}
