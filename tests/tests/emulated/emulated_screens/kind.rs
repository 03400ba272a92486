//! What kind of screen a view is: everything but its numbers. A new variant of a view must be given a kind here, and then
//! be reached.

use holdoff_core::fixing::{Ground, Grounds};
use holdoff_core::log::ResetCause;
use holdoff_core::resin::Hole;
use holdoff_firmware::view::{
    Answer, Cartridge, ClockFailure, Declared, Fault, Forecast, Goes, Head, Held, Item, Items, Lack, Link, May, Notice,
    Page, Question, State, View, Wait,
};

pub(super) fn kind(view: &View<'_>) -> String {
    match view {
        View::Dark => "dark".into(),
        View::Start(_) => "start".into(),
        View::NoJob(_) => "no job".into(),
        View::Fixing(head, page) => of_page(head, page),
        View::Overview(of) if of.chosen.of > 8 => "overview of more than it holds".into(),
        View::Overview(_) => "overview".into(),
        View::Fault(fault) => format!("fault: {}", of_fault(*fault)),
        View::Link(Link::Connected) => "link: connected".into(),
        View::Link(Link::Loading) => "link: loading".into(),
        View::Link(Link::ReadingOut { .. }) => "link: reading out".into(),
    }
}

fn of_page(head: &Head, page: &Page<'_>) -> String {
    match page {
        Page::Status(state) => of_state(head, *state),
        Page::NotYet(Wait::NotSeated) => "not yet: not seated".into(),
        Page::NotYet(Wait::Curing(_)) => "not yet: curing".into(),
        // the words differ, the layout does not
        Page::NotYet(Wait::Held(Held::TooCold | Held::TooWarm | Held::NoReadings)) => "not yet: held".into(),
        Page::Reasons(_) => "reasons".into(),
        Page::Materials(_) => "materials".into(),
        Page::Cartridge(Cartridge { temperature: Declared::Not, .. }) => "cartridge: undeclared".into(),
        Page::Cartridge(Cartridge { temperature: Declared::NotYet | Declared::Degrees(_), .. }) => "cartridge".into(),
        Page::Times(_) => "times".into(),
        Page::Counting(_) => "counting".into(),
        Page::Setting(of) if of.laxer.uncertainty || of.laxer.longest_gap || of.laxer.clock_ppm || of.laxer.settle => {
            "setting: laxer".into()
        }
        Page::Setting(_) => "setting".into(),
        Page::Code(_) => "code".into(),
        Page::Short(_) => "short form".into(),
        Page::NoKey => "no key".into(),
        Page::Menu { items, .. } => of_menu(*items),
        Page::Question { answer: Answer::Yes, .. } => "question at yes".into(),
        Page::Question { question, answer: Answer::No } => format!("question: {}", of_question(*question)),
        Page::EnterTorque { .. } => "enter torque".into(),
        Page::EnterCartridge { degrees: Some(_), .. } => "enter cartridge".into(),
        Page::EnterCartridge { degrees: None, .. } => "enter cartridge: none".into(),
        Page::InHole { .. } => "in the hole".into(),
        Page::HoleSettling { .. } => "hole settling".into(),
        Page::Notice(notice) => of_notice(*notice).into(),
    }
}

fn of_state(head: &Head, state: State) -> String {
    match state {
        State::NotInjected(may) => of_may(may),
        State::Settling { .. } => "settling".into(),
        State::Refused { grounds, .. } if grounds.has(Ground::Cartridge) => "refused: cartridge".into(),
        State::Refused { now, .. } if now.is_yes() => "refused: again".into(),
        State::Refused { .. } => "refused".into(),
        State::SeatNow { left, .. } if left.seconds() >= 100 * 60 => "seat now: long".into(),
        State::SeatNow { .. } => "seat now".into(),
        State::TooLate => "too late".into(),
        State::Wait(Wait::NotSeated) => "leave alone: not seated".into(),
        State::Wait(Wait::Curing(forecast)) => format!("leave alone: {}", of_forecast(head, forecast)),
        State::Wait(Wait::Held(Held::TooCold)) => "held: too cold".into(),
        State::Wait(Wait::Held(Held::TooWarm)) => "held: too warm".into(),
        State::Wait(Wait::Held(Held::NoReadings)) => "held: no readings".into(),
        State::TorqueNow { too_low: Some(_), .. } => "torque now: too low".into(),
        State::TorqueNow { range, .. } if range.least() == range.greatest() => "torque now: one".into(),
        State::TorqueNow { .. } => "torque now".into(),
        State::Cured { .. } => "cured".into(),
        State::MayBeLoaded { .. } => "may be loaded".into(),
        State::DoNotLoad { grounds, .. } => format!("do not load: {}", of_grounds(grounds)),
        State::AcceptedAsIs { .. } => "accepted".into(),
        State::Removed { .. } => "removed".into(),
    }
}

fn of_may(may: May) -> String {
    match (may.grounds.iter().count() + may.lacks.iter().count(), may.lacks.iter().next()) {
        (0, _) => "may inject".into(),
        (1, None) => format!("do not inject: {}", of_grounds(may.grounds)),
        (1, Some(lack)) => format!("do not inject: {}", of_lack(lack)),
        _ => "do not inject: many".into(),
    }
}

fn of_grounds(grounds: Grounds) -> String {
    let mut all = grounds.iter();
    match (all.next(), all.next()) {
        (Some(one), None) => one.word().into(),
        (Some(_), Some(_)) => "several".into(),
        (None, _) => "none".into(),
    }
}

const fn of_lack(lack: Lack) -> &'static str {
    match lack {
        Lack::MemoryFull => "memory full",
        Lack::MemorySilent => "memory silent",
        Lack::Battery => "battery",
        Lack::Clock => "clock",
        Lack::ClockFailed => "clock failed",
        Lack::ClockSilent => "clock silent",
    }
}

fn of_forecast(head: &Head, forecast: Forecast) -> &'static str {
    match (forecast.ends, head.around.now) {
        (Some(_), _) if forecast.left.seconds() > 86_400 => "days",
        (Some(ends), Some(now)) if ends.day_number() > now.day_number() => "tomorrow",
        (Some(_), _) if forecast.left.seconds() <= 59 * 60 => "minutes",
        (Some(_), _) => "today",
        (None, _) => "no clock",
    }
}

fn of_menu(items: Items) -> String {
    match (items.has(Item::Accept), items.iter().count()) {
        (true, _) => "menu: engineer".into(),
        (false, 5..) => "menu: long".into(),
        (false, _) => "menu".into(),
    }
}

const fn of_question(question: Question) -> &'static str {
    match question {
        Question::Inject => "inject",
        Question::CarriedOut => "carried out",
        Question::Seat => "seat",
        Question::SeatedLate => "seated late",
        Question::Hole(Hole::Dry) => "dry",
        Question::Hole(Hole::Wet) => "wet",
        Question::Hole(Hole::Flooded) => "flooded",
        Question::Torqued(_) => "torqued",
        Question::TorquedEarly(_) => "torqued early",
        Question::Accept => "accept",
        Question::Remove => "remove",
    }
}

/// All are one screen with other words.
const fn of_notice(notice: Notice) -> &'static str {
    match notice {
        Notice::NotApplicable(_)
        | Notice::NotRecorded
        | Notice::MemoryFull
        | Notice::LogUntrusted
        | Notice::NoReading
        | Notice::HoleUnsettled
        | Notice::ClockFailed
        | Notice::ClockSilent => "notice",
    }
}

const fn of_fault(fault: Fault) -> &'static str {
    match fault {
        Fault::ProbeSilent => "probe silent",
        Fault::BusStuck => "bus stuck",
        Fault::ProbeWrong => "probe wrong",
        Fault::ProbeStuck => "probe stuck",
        Fault::SupplyLow => "supply low",
        Fault::SupplyUnknown => "supply unknown",
        Fault::ClockNotSet => "clock not set",
        // that it does not go is another screen, however it failed
        Fault::ClockFailed { goes: Goes::Not, .. } => "clock failed",
        Fault::ClockFailed { how: ClockFailure::Stopped, goes: Goes::Again } => "clock stopped",
        Fault::ClockFailed { how: ClockFailure::Back, goes: Goes::Again } => "clock back",
        Fault::ClockFailed { how: ClockFailure::Fast, goes: Goes::Again } => "clock fast",
        Fault::ClockSilent => "clock silent",
        Fault::MemorySilent => "memory silent",
        Fault::Losing { .. } => "losing",
        Fault::MemoryFull => "memory full",
        Fault::BatteryLow => "battery low",
        Fault::BatteryVeryLow => "battery very low",
        Fault::LogUntrusted => "log untrusted",
        Fault::LogForeign { .. } => "log foreign",
        Fault::LogNotOwn => "log not own",
        Fault::LogVersion { .. } => "log version",
        Fault::MemorySize => "memory size",
        Fault::NoLog => "no log",
        Fault::Restarted { cause: ResetCause::Watchdog, .. } => "restarted: watchdog",
        Fault::Restarted {
            cause:
                ResetCause::Unknown | ResetCause::PowerOn | ResetCause::BrownOut | ResetCause::Software | ResetCause::Pin,
            ..
        } => "restarted",
    }
}
