//! A job in plain words.

use crate::words::{DeedPhrase, JobPhrase as P, Speech, TorqueUnit};
use holdoff_core::cure::Rule;
use holdoff_core::fixing::Needs;
use holdoff_core::quantity::Span;
use holdoff_files::decimal::Decimal;
use holdoff_files::job::sampling::{ProofTests, Sample};
use holdoff_files::job::{
    BlowWith, Cleaning, CleaningAct, Direction, Distance, Element, Group, Job, JobFile, Load, LoggerGroup,
    SubstrateKind, eighth_places, kilonewtons,
};
use holdoff_files::problem::shown_file;
use std::fmt::Write as _;

fn length(speech: Speech, span: Span) -> String {
    speech.length(u64::from(span.seconds()))
}

/// What was understood, with the cautions; each line ends with a line feed.
pub fn account(name: &str, file: &JobFile, speech: Speech) -> String {
    let (job, mut text) = (file.job(), String::new());
    let mut line = |words: String| {
        let _ = writeln!(text, "{words}");
    };
    line(speech.fill(P::Head, &[("job", job.name.as_str()), ("site", &job.site), ("file", &shown_file(name))]));
    line(speech.fill(P::Resin, &[("resin", &shown_file(file.resin().name()))]));
    if file.resin().demo() {
        line(speech.demo_caution().to_owned());
    }
    for batch in &job.batches {
        let (date, number) = (batch.use_by.to_string(), batch.cartridges.map(|number| number.to_string()));
        let gaps = [("batch", &*batch.name), ("date", &*date), ("number", number.as_deref().unwrap_or_default())];
        line(speech.fill(if number.is_some() { P::BatchThere } else { P::Batch }, &gaps));
    }
    let settings = job.settings;
    let counts = settings.uncertainty().counts();
    let uncertainty = speech.apart(&eighth_places(counts), i32::from(counts));
    let (period, gap) = (length(speech, job.period), length(speech, settings.longest_gap()));
    let ppm = settings.clock_ppm().to_string();
    let settle = speech.length(u64::from(settings.settle().seconds()));
    let gaps =
        [("period", &*period), ("uncertainty", &*uncertainty), ("gap", &*gap), ("ppm", &*ppm), ("settle", &*settle)];
    line(speech.fill(P::Settings, &gaps));
    let laxer = speech.laxer(settings.laxer());
    if !laxer.is_empty() {
        line(speech.fill(P::Laxer, &[("which", &laxer.join(", "))]));
    }
    let needs = |needs| match needs {
        Needs::Required => speech.say(DeedPhrase::Required),
        Needs::Noted => speech.say(DeedPhrase::Noted),
    };
    let hands = &job.hands;
    let within = length(speech, hands.clean_within);
    let gaps =
        [("cleaning", needs(hands.cleaning_record)), ("within", &*within), ("nozzle", needs(hands.nozzle_record))];
    line(speech.fill(P::Records, &gaps));
    if !hands.people.is_empty() {
        let names: Vec<&str> = hands.people.iter().filter_map(|name| name.text()).collect();
        line(speech.fill(P::Hands, &[("names", &names.join(", "))]));
    }
    for group in &job.groups {
        let (number, element) = (group.number().to_string(), element(speech, &group.element));
        let gaps = [("group", &*group.name), ("number", &*number), ("element", &*element)];
        line(format!("\n{}", speech.fill(P::Group, &gaps)));
        for words in lines(speech, job, group) {
            line(format!("  {words}"));
        }
    }
    let odd = match file.findings().iter().count() {
        0 => speech.say(P::NothingOdd).to_owned(),
        1 => speech.say(P::OneOdd).to_owned(),
        more => speech.fill(P::ManyOdd, &[("number", &more.to_string())]),
    };
    line(format!("\n{odd} {}\n\n{}", speech.say(P::Compare), speech.caution()));
    text
}

/// What is set into the hole, as a foreman calls it.
pub fn element(speech: Speech, element: &Element) -> String {
    match element {
        Element::Stud { size } => speech.fill(P::Stud, &[("size", &size.to_string())]),
        Element::Sleeve { size, outer } => {
            let gaps = [("size", &*size.to_string()), ("outer", &*speech.decimal(outer))];
            speech.fill(P::Sleeve, &gaps)
        }
        Element::Bar { diameter } => speech.fill(P::Bar, &[("diameter", &speech.decimal(diameter))]),
    }
}

fn lines(speech: Speech, job: &Job, group: &Group) -> Vec<String> {
    let mut lines = vec![hole(speech, group), substrate(speech, group)];
    let (edge, spacing) = (distance(speech, group.edge_distance), distance(speech, group.spacing));
    lines.push(speech.fill(P::Distances, &[("edge", &edge), ("spacing", &spacing)]));
    lines.push(torque(speech, group));
    lines.push(cleaning(speech, group));
    lines.push(
        speech
            .say(match group.rule {
                Rule::Coldest => P::ByColdest,
                Rule::Accrual => P::ByAccrual,
            })
            .to_owned(),
    );
    let said = |what: &Option<String>| what.clone().unwrap_or_else(|| speech.say(P::NotSaid).to_owned());
    let planned = said(&group.planned.map(|day| day.to_string()));
    let (expected, batch) = (group.expected.as_ref().map(|celsius| degrees(speech, celsius)), said(&group.batch));
    let gaps = [("day", &*planned), ("degrees", expected.as_deref().unwrap_or_default()), ("batch", &*batch)];
    lines.push(speech.fill(if expected.is_some() { P::PlannedExpected } else { P::Planned }, &gaps));
    if group.certified_installer.is_some() || group.inspector.is_some() || group.needs_certified_people() {
        let (installer, inspector) = (said(&group.certified_installer), said(&group.inspector));
        lines.push(speech.fill(P::People, &[("installer", &installer), ("inspector", &inspector)]));
    }
    if let Some(proof) = &group.proof {
        proof_tests(speech, group, proof, &mut lines);
    }
    lines.push(fixings(speech, job, group));
    lines
}

/// A temperature of the file: its decimal in °C, or its counts (rounded down) in °F.
fn degrees(speech: Speech, celsius: &Decimal) -> String {
    match celsius.floor_count() {
        Some(count) => speech.edge(&celsius.to_string(), count),
        None => format!("{} °C", speech.decimal(celsius)),
    }
}

/// Which way a hole is drilled.
pub fn direction(speech: Speech, direction: Direction) -> &'static str {
    speech.say(match direction {
        Direction::Down => P::Down,
        Direction::Level => P::Level,
        Direction::Up => P::Up,
    })
}

/// What a hole is drilled into.
pub fn substrate_kind(speech: Speech, kind: SubstrateKind) -> &'static str {
    speech.say(match kind {
        SubstrateKind::CrackedConcrete => P::CrackedConcrete,
        SubstrateKind::UncrackedConcrete => P::UncrackedConcrete,
        SubstrateKind::Masonry => P::Masonry,
    })
}

fn hole(speech: Speech, group: &Group) -> String {
    let direction = direction(speech, group.direction);
    let [wide, deep, embedment] =
        [group.drilled.diameter, group.drilled.depth, group.embedment].map(|length| speech.decimal(length));
    let gaps = [("wide", &*wide), ("deep", &*deep), ("embedment", &*embedment), ("direction", direction)];
    let hole = speech.fill(P::Hole, &gaps);
    match group.load {
        Load::SustainedTension => speech.fill(P::Sustained, &[("hole", &hole)]),
        Load::Other => hole,
    }
}

fn substrate(speech: Speech, group: &Group) -> String {
    let substrate = group.substrate;
    let mut text = substrate_kind(speech, substrate.kind).to_owned();
    if let Some(day) = substrate.cast {
        text = speech.fill(P::CastBy, &[("substrate", &text), ("date", &day.to_string())]);
    }
    if let Some(days) = substrate.least_age_days {
        text = speech.fill(P::DaysOld, &[("substrate", &text), ("number", &days.to_string())]);
    }
    speech.fill(P::InHole, &[("substrate", &text), ("hole", speech.hole(group.condition))])
}

/// An edge distance or a spacing.
pub fn distance(speech: Speech, distance: Distance) -> String {
    let [least, drawn] = [distance.least, distance.drawn].map(|length| length.map(|length| speech.decimal(length)));
    match (least, drawn) {
        (Some(least), Some(drawn)) => speech.fill(P::DrawnAndLeast, &[("drawn", &drawn), ("least", &least)]),
        (Some(least), None) => speech.fill(P::Least, &[("least", &least)]),
        (None, Some(drawn)) => speech.fill(P::Drawn, &[("drawn", &drawn)]),
        (None, None) => speech.say(P::NotStated).to_owned(),
    }
}

/// As it is specified in N·m; in ft·lb as a range that lies within the one specified.
fn torque(speech: Speech, group: &Group) -> String {
    let Some(specified) = group.torque else { return speech.say(P::NotTorqued).to_owned() };
    match (speech.torque, specified.range()) {
        (TorqueUnit::FootPound, Some(range)) => {
            let (least, greatest) = speech.torque_range(range);
            speech.fill(P::TorqueRange, &[("least", &least), ("greatest", &greatest)])
        }
        (TorqueUnit::NewtonMetre, _) | (TorqueUnit::FootPound, None) => {
            let (torque, tolerance) = (speech.torque(specified.torque), speech.torque(specified.tolerance));
            speech.fill(P::Torque, &[("torque", &torque), ("tolerance", &tolerance)])
        }
    }
}

/// How a hole is cleaned.
pub fn cleaning_steps(speech: Speech, cleaning: &Cleaning) -> String {
    match cleaning {
        Cleaning::DustExtractingBit => speech.say(P::DustExtractingBit).to_owned(),
        Cleaning::Steps(steps) => {
            let step = |what: CleaningAct, times: u8| {
                let phrase = match what {
                    CleaningAct::Blow => P::Blow,
                    CleaningAct::Brush => P::Brush,
                    CleaningAct::Rinse => P::Rinse,
                };
                speech.fill(phrase, &[("number", &times.to_string())])
            };
            steps.iter().map(|one| step(one.what, one.times)).collect::<Vec<_>>().join(", ")
        }
    }
}

fn cleaning(speech: Speech, group: &Group) -> String {
    let steps = cleaning_steps(speech, &group.cleaning);
    let cleaning = ("cleaning", steps.as_str());
    match group.blow_with {
        None => speech.fill(P::Cleaning, &[cleaning]),
        Some(with) => {
            let with = speech.say(match with {
                BlowWith::HandPump => P::HandPump,
                BlowWith::CompressedAir => P::CompressedAir,
            });
            speech.fill(P::CleaningWith, &[cleaning, ("with", with)])
        }
    }
}

fn proof_tests(speech: Speech, group: &Group, proof: &ProofTests, lines: &mut Vec<String>) {
    let number = |sample: Sample| sample.of(group.number()).to_string();
    let load = speech.decimal(kilonewtons(proof.load));
    let mut tests = speech.fill(P::ProofTests, &[("number", &number(proof.sample)), ("load", &load)]);
    if let Some(hold) = proof.hold {
        tests = speech.fill(P::HeldFor, &[("tests", &tests), ("length", &length(speech, hold))]);
    }
    if let Some(most) = proof.displacement {
        tests = speech.fill(P::AtMost, &[("tests", &tests), ("displacement", &speech.decimal(most))]);
    }
    lines.push(tests);
    let after = |sample: Option<Sample>| match sample {
        Some(sample) => speech.fill(P::InAll, &[("number", &number(sample))]),
        None => speech.say(P::EngineerDecides).to_owned(),
    };
    let (one, more) = (after(proof.after_one_failure), after(proof.after_more_failures));
    lines.push(format!("  {}", speech.fill(P::AfterFailures, &[("one", &one), ("more", &more)])));
}

fn fixings(speech: Speech, job: &Job, group: &Group) -> String {
    let of_logger = |logger: LoggerGroup<'_>| match logger.fixings() {
        [] => None,
        [only] => Some(only.name.clone()),
        [first, .., last] => Some(speech.fill(P::FromTo, &[("first", &first.name), ("last", &last.name)])),
    };
    let parts: Vec<String> = job.loggers_of(group).filter_map(of_logger).collect();
    let (number, fixings) = (parts.len().to_string(), speech.listed(&parts));
    let phrase = if parts.len() == 1 { P::OneLogger } else { P::Loggers };
    speech.fill(phrase, &[("number", &number), ("fixings", &fixings)])
}
