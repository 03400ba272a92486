//! One view of every kind, with the name of its picture and the line that tells of it.

pub(crate) mod random;
mod release;

use holdoff_core::cure::{Laxer, Rule};
use holdoff_core::fixing::{Ground, Grounds, TorqueRange};
use holdoff_core::log::{Bytes, DeviceId, ResetCause};
use holdoff_core::quantity::{Count, Fine, Span, Torque};
use holdoff_core::resin::{Hole, ResinUse};
use holdoff_core::seal::{Label, ShortForm, Symbol};
use holdoff_firmware::view::{
    Alert, Answer, Around, Battery, Cartridge, ClockFailure, Counting, Declared, Fault, Forecast, Glance, Goes, Head,
    Held, Item, Items, Lack, Lacks, Link, Materials, May, Notice, Overview, Page, Picture, Question, Setting, Start,
    State, Times, View, Wait, Wall, Which,
};

pub(crate) use release::release;

/// A view with the name of its picture and what it is.
pub(crate) struct Shown<'a> {
    pub(crate) name: &'static str,
    pub(crate) tells: &'static str,
    pub(crate) view: View<'a>,
}

/// Thursday, 26 November 2026, 07:30 local time of an invented harbour.
pub(crate) const NOW: Wall = Wall::new(1_795_674_600, 60);

/// So many seconds later.
pub(crate) fn later(seconds: i64) -> Wall {
    Wall::new(1_795_674_600 + seconds, 60)
}

/// A temperature in hundredths of a degree.
fn degrees(hundredths: i32) -> Count {
    Count::new((hundredths * 256).div_euclid(100) as i16) // within the sensor's range
}

/// A torque range in N·m.
pub(crate) fn range(least: u32, greatest: u32) -> TorqueRange {
    let torque = Torque::from_hundredths;
    TorqueRange::new(torque(least), torque(greatest)).expect("a range")
}

/// What is around the logger at so many hundredths of a degree.
pub(crate) fn around(hundredths: i32) -> Around {
    Around { temperature: Some(degrees(hundredths)), now: Some(NOW), battery: Battery::Good, alert: Alert::None }
}

/// The head of the third fixing of six.
pub(crate) fn head(hundredths: i32) -> Head {
    Head {
        which: Which { number: 3, of: 6 },
        label: Label::new(b"bollard 3 stud 3").expect("a label"),
        resin: ResinUse::OnSite,
        around: around(hundredths),
    }
}

fn demo(hundredths: i32) -> Head {
    Head { resin: ResinUse::Demo, ..head(hundredths) }
}

fn not(ground: Ground) -> May {
    May { grounds: Grounds::only(ground), lacks: Lacks::NONE }
}

fn lacking(lack: Lack) -> May {
    May { grounds: Grounds::NONE, lacks: Lacks::NONE.with(lack) }
}

fn curing(seconds: u32) -> Wait {
    Wait::Curing(Forecast { left: Span::from_seconds(seconds), ends: Some(later(i64::from(seconds))) })
}

fn rejected(grounds: Grounds) -> State {
    State::DoNotLoad { grounds, at: Some(NOW) }
}

/// Every screen there is.
pub(crate) fn gallery<'a>(symbol: &'a Symbol<'a>, short: ShortForm) -> Vec<Shown<'a>> {
    let mut all = Vec::new();
    let mut show = |name, tells, view| all.push(Shown { name, tells, view });
    let device = DeviceId([0x01, 0x23, 0x45, 0x67, 0x89, 0xab, 0xcd, 0xef]);

    show("start", "right after the start", View::Start(Start { version: [0, 1, 0], device }));
    show("no-job", "nothing is loaded", View::NoJob(Around { temperature: None, ..around(0) }));

    let status = |hundredths, state| View::Fixing(head(hundredths), Page::Status(state));
    show("may-inject", "within the limits", status(640, State::NotInjected(May::YES)));
    let settling = State::Settling { still: Span::from_seconds(2 * 60 + 40) };
    show("settling", "the probe has not settled", status(640, settling));
    let grounds = [
        ("do-not-inject-too-cold", "the substrate may be too cold", Ground::TooCold, -620),
        ("do-not-inject-too-warm", "the substrate may be too warm", Ground::TooWarm, 4_010),
        ("do-not-inject-past-date", "the resin is past its date", Ground::PastDate, 640),
        ("do-not-inject-hole", "the resin excludes this hole condition", Ground::HoleExcluded, 640),
        ("do-not-inject-log", "the log cannot be trusted", Ground::UntrustedLog, 640),
    ];
    for (name, tells, ground, hundredths) in grounds {
        show(name, tells, status(hundredths, State::NotInjected(not(ground))));
    }
    let blind = Head { around: Around { temperature: None, alert: Alert::Fault, ..around(0) }, ..head(0) };
    let no_reading = Page::Status(State::NotInjected(not(Ground::NoReading)));
    show("do-not-inject-no-reading", "no recent accepted reading", View::Fixing(blind, no_reading));
    let lacks = [
        ("do-not-inject-memory-full", "no room for the longest cure", Lack::MemoryFull),
        ("do-not-inject-memory-silent", "the memory does not answer", Lack::MemorySilent),
        ("do-not-inject-battery", "the battery is very low", Lack::Battery),
        ("do-not-inject-clock", "the clock is not set", Lack::Clock),
        ("do-not-inject-clock-failed", "the clock failed", Lack::ClockFailed),
        ("do-not-inject-clock-silent", "the clock does not answer", Lack::ClockSilent),
    ];
    for (name, tells, lack) in lacks {
        let head = match lack {
            Lack::Battery => Head { around: Around { battery: Battery::VeryLow, ..around(640) }, ..head(640) },
            Lack::Clock | Lack::ClockFailed | Lack::ClockSilent => {
                Head { around: Around { now: None, ..around(640) }, ..head(640) }
            }
            Lack::MemoryFull | Lack::MemorySilent => head(640),
        };
        show(name, tells, View::Fixing(head, Page::Status(State::NotInjected(lacking(lack)))));
    }
    let two = Grounds::only(Ground::PastDate).with(Ground::TooCold);
    let three = May { grounds: two.with(Ground::HoleExcluded), lacks: Lacks::NONE.with(Lack::MemoryFull) };
    show("do-not-inject-many", "several reasons; down shows them all", status(-620, State::NotInjected(three)));
    show("reasons", "all reasons", View::Fixing(head(-620), Page::Reasons(three)));
    let refused = |now| State::Refused { grounds: Grounds::only(Ground::TooCold), now };
    show("start-refused", "refused, and still outside", status(-620, refused(not(Ground::TooCold))));
    show("start-refused-again", "refused, may be tried again by now", status(640, refused(May::YES)));
    let cartridge = State::Refused { grounds: Grounds::only(Ground::Cartridge), now: May::YES };
    show(
        "start-refused-cartridge",
        "the cartridge is outside its range: another one may be tried",
        status(640, cartridge),
    );

    let left = Span::from_seconds(11 * 60 + 42);
    show("seat-now", "time left to seat", status(1_240, State::SeatNow { left, by: Some(later(702)) }));
    let long = State::SeatNow { left: Span::from_seconds(26 * 3600 + 120), by: Some(later(26 * 3600)) };
    show("seat-now-long", "a slow resin", status(120, long));
    show("too-late", "the working time ended before it was seated", status(1_240, State::TooLate));
    show("leave-alone", "the cure ends today", status(1_240, State::Wait(curing(3 * 3600 + 1_234))));
    show("leave-alone-minutes", "under an hour left", status(1_240, State::Wait(curing(2_460))));
    show("leave-alone-tomorrow", "the cure ends tomorrow", status(640, State::Wait(curing(23 * 3600 + 1_234))));
    show("leave-alone-days", "the longest cure in a dry hole", status(-340, State::Wait(curing(14 * 86_400))));
    let unknown = Wait::Curing(Forecast { left: Span::from_seconds(11_234), ends: None });
    let timeless = Head { around: Around { now: None, ..around(1_240) }, ..head(1_240) };
    show(
        "leave-alone-no-clock",
        "the wall clock is not set",
        View::Fixing(timeless, Page::Status(State::Wait(unknown))),
    );
    show("held-too-cold", "too cold to count", status(-620, State::Wait(Wait::Held(Held::TooCold))));
    show("held-too-warm", "too warm to count", status(4_110, State::Wait(Wait::Held(Held::TooWarm))));
    let no_readings = Page::Status(State::Wait(Wait::Held(Held::NoReadings)));
    show("held-no-readings", "the readings have stopped, so there is no forecast", View::Fixing(blind, no_readings));

    let not_yet = |hundredths, wait| View::Fixing(head(hundredths), Page::NotYet(wait));
    show("not-yet", "asked too early", not_yet(1_240, curing(3 * 3600 + 1_234)));
    show("not-yet-held", "asked while it is held", not_yet(-620, Wait::Held(Held::TooCold)));
    show("not-yet-not-seated", "asked before it is seated", not_yet(640, Wait::NotSeated));

    let torque = |too_low| State::TorqueNow { range: range(3_800, 4_200), too_low };
    show("torque-now", "cured", status(1_240, torque(None)));
    show("torque-too-low", "torqued with less: again", status(1_240, torque(Some(Torque::from_hundredths(1_250)))));
    let one = State::TorqueNow { range: range(2_000, 2_000), too_low: None };
    show("torque-now-one", "one torque specified", status(1_240, one));
    show("cured", "cured where no torque is specified", status(1_240, State::Cured { at: Some(NOW) }));
    let loaded = State::MayBeLoaded { torque: Torque::from_hundredths(4_000), at: Some(later(-600)) };
    show("may-be-loaded", "cured, and torqued as specified", status(1_240, loaded));

    let only = |ground| rejected(Grounds::only(ground));
    let rejections = [
        ("do-not-load-loaded-early", "torqued before it was cured", Ground::LoadedEarly),
        ("do-not-load-over-torque", "torqued beyond the tolerance", Ground::OverTorque),
        ("do-not-load-seated-late", "seated after the working time", Ground::SeatedLate),
        ("do-not-load-not-seated", "not seated in the working time", Ground::NotSeated),
        ("do-not-load-below-reject", "below the reject temperature", Ground::BelowReject),
        ("do-not-load-above-reject", "above the upper reject temperature", Ground::AboveReject),
        ("do-not-load-held-too-long", "held or unobserved for too long", Ground::HeldTooLong),
        ("do-not-load-hole", "the hole got too wet for the resin", Ground::HoleExcluded),
        ("do-not-load-log", "the log cannot be trusted", Ground::UntrustedLog),
        ("do-not-load-too-cold", "injected after a refusal", Ground::TooCold),
    ];
    for (name, tells, ground) in rejections {
        show(name, tells, status(640, only(ground)));
    }
    show("do-not-load-two", "two grounds of the same instant", status(-620, rejected(two)));
    let grounds = Grounds::only(Ground::SeatedLate);
    show("accepted-as-is", "rejected, accepted by the engineer", status(640, State::AcceptedAsIs { grounds }));
    show("removed", "rejected, to be removed", status(640, State::Removed { grounds }));

    let on_site = |hundredths, state| View::Fixing(demo(hundredths), Page::Status(state));
    show("demo-may-inject", "with an invented resin", on_site(640, State::NotInjected(May::YES)));
    show("demo-torque-now", "with an invented resin", on_site(1_240, torque(None)));
    show("demo-cured", "with an invented resin", on_site(1_240, State::Cured { at: Some(NOW) }));
    show("demo-may-be-loaded", "with an invented resin", on_site(1_240, loaded));

    let items = Items::NONE.with(Item::Inject).with(Item::MeasureInHole).with(Item::HoleWet).with(Item::HoleFlooded);
    let menu = |items, chosen| View::Fixing(head(640), Page::Menu { items, chosen });
    show("menu", "what can be done before the injection", menu(items, Item::Inject));
    let refused = [Item::Inject, Item::MeasureInHole, Item::CarriedOut, Item::HoleWet, Item::HoleFlooded];
    let long = refused.into_iter().fold(Items::NONE, Items::with);
    show("menu-long", "after a refused start: a long menu; the bar shows where one is", menu(long, Item::HoleFlooded));
    let after = Items::NONE.with(Item::Accept).with(Item::Remove);
    let menu_demo = Page::Menu { items, chosen: Item::Inject };
    show("demo-menu", "with an invented resin", View::Fixing(demo(640), menu_demo));
    show("menu-engineer", "the engineer's decision", menu(after, Item::Accept));
    let ask = |question, answer| View::Fixing(head(640), Page::Question { question, answer });
    let questions = [
        ("question-inject", "before the injection", Question::Inject),
        ("question-seat", "before the seating", Question::Seat),
        ("question-seated-late", "seated after the working time", Question::SeatedLate),
        ("question-carried-out", "a refused injection was carried out", Question::CarriedOut),
        ("question-wet", "the hole got wet", Question::Hole(Hole::Wet)),
        ("question-flooded", "the hole is flooded", Question::Hole(Hole::Flooded)),
        ("question-torqued", "before a torque is recorded", Question::Torqued(Torque::from_hundredths(4_000))),
        ("question-early", "torqued before the cure", Question::TorquedEarly(Torque::from_hundredths(4_050))),
        ("question-accept", "the engineer accepts it", Question::Accept),
        ("question-remove", "the engineer has it removed", Question::Remove),
    ];
    for (name, tells, question) in questions {
        show(name, tells, ask(question, Answer::No));
    }
    show("question-yes", "YES chosen", ask(Question::Seat, Answer::Yes));
    let enter = |page| View::Fixing(head(640), page);
    let entered = Page::EnterTorque { torque: Torque::from_hundredths(4_050), range: range(3_800, 4_200) };
    show("enter-torque", "the torque that was applied", enter(entered));
    let limits = (Count::from_degrees(5), Count::from_degrees(35));
    show(
        "enter-cartridge",
        "the cartridge's temperature",
        enter(Page::EnterCartridge { degrees: Some(12), range: limits }),
    );
    show("enter-cartridge-none", "not declared", enter(Page::EnterCartridge { degrees: None, range: limits }));
    let waits = Page::HoleSettling { reading: Some(degrees(580)), still: Span::from_seconds(60 + 40) };
    show("hole-settling", "the probe has not settled in the hole", enter(waits));
    let in_hole = Page::InHole { reading: degrees(560), counts_for: Span::from_seconds(900) };
    show("in-the-hole", "measured in the hole", enter(in_hole));

    let materials = Materials { resin: Bytes::cut("Harbour slow (invented)"), hole: Hole::Wet };
    show("materials", "what it was set with", View::Fixing(head(640), Page::Materials(materials)));
    let declared = Cartridge {
        temperature: Declared::Degrees(Count::from_degrees(12)),
        batch: Bytes::cut("L-2231 B 2026-11-02 14:3"),
        use_by: Some(later(200 * 86_400)),
    };
    show("cartridge", "the cartridge, as it was declared", View::Fixing(head(640), Page::Cartridge(declared)));
    let undeclared = Cartridge { temperature: Declared::Not, batch: Bytes::EMPTY, use_by: None };
    show("cartridge-undeclared", "nothing was declared of it", View::Fixing(head(640), Page::Cartridge(undeclared)));
    let times = Times {
        injected: Some(later(-90_000)),
        seated: Some(later(-89_400)),
        cured: Some(later(-900)),
        torque: Some(Torque::from_hundredths(4_000)),
    };
    show("times", "when what was done", View::Fixing(head(640), Page::Times(times)));
    let counting = Counting {
        required: 28_800,
        served: 28_800,
        held: 5_405,
        unobserved: 42,
        coldest: Some(Fine::new(5 * 256 + 40)),
    };
    show("counting", "how the cure was counted", View::Fixing(head(640), Page::Counting(counting)));
    let setting = Setting {
        rule: Rule::Coldest,
        uncertainty: 256,
        longest_gap: Span::from_seconds(300),
        clock_ppm: 100,
        settle: Span::from_seconds(180),
        laxer: Laxer::default(),
    };
    show("setting", "the settings it rests on", View::Fixing(head(640), Page::Setting(setting)));
    let laxer = Laxer { uncertainty: true, longest_gap: true, clock_ppm: false, settle: false };
    let lax = Setting { uncertainty: 128, longest_gap: Span::from_seconds(900), laxer, ..setting };
    show("setting-laxer", "settings laxer than their default are named", View::Fixing(head(640), Page::Setting(lax)));

    show("code", "the release code", View::Fixing(demo(1_240), Page::Code(Picture(symbol))));
    show("short", "its short form, to be read out", View::Fixing(demo(1_240), Page::Short(short)));
    show("no-key", "released, but no key was put in", View::Fixing(head(1_240), Page::NoKey));

    let mut fixings = [None; 16];
    let six =
        [Glance::Load, Glance::Torque, Glance::LeaveAlone, Glance::SeatNow, Glance::DoNotLoad, Glance::NotInjected];
    for (place, glance) in fixings.iter_mut().zip(six) {
        *place = Some(glance);
    }
    let overview = Overview { fixings, chosen: Which { number: 3, of: 6 }, resin: ResinUse::OnSite };
    show("overview", "the group at a glance", View::Overview(overview));
    let all_words = [
        Glance::Load,
        Glance::Load,
        Glance::Torque,
        Glance::Torque,
        Glance::Held,
        Glance::LeaveAlone,
        Glance::LeaveAlone,
        Glance::SeatNow,
        Glance::Cured,
        Glance::AsIs,
        Glance::Removed,
        Glance::DoNotLoad,
        Glance::Refused,
        Glance::TooLate,
        Glance::NotInjected,
        Glance::Settling,
    ];
    let sixteen =
        Overview { fixings: all_words.map(Some), chosen: Which { number: 12, of: 16 }, resin: ResinUse::Demo };
    show("overview-sixteen", "the second half of sixteen", View::Overview(sixteen));

    let failed = |how, goes| Fault::ClockFailed { how, goes };
    let faults = [
        ("probe-silent", "the probe does not answer", Fault::ProbeSilent),
        ("bus-stuck", "a part holds the bus down", Fault::BusStuck),
        ("probe-wrong", "a reading that can't be true", Fault::ProbeWrong),
        ("probe-stuck", "the same reading for six hours", Fault::ProbeStuck),
        ("supply-low", "the cells give less than the probe needs", Fault::SupplyLow),
        ("supply-unknown", "the supply of the probe can't be measured", Fault::SupplyUnknown),
        ("clock-not-set", "the wall clock is not set", Fault::ClockNotSet),
        ("clock-stopped", "the clock stopped, and was started again", failed(ClockFailure::Stopped, Goes::Again)),
        ("clock-back", "the clock went backwards", failed(ClockFailure::Back, Goes::Again)),
        ("clock-fast", "the clock ran away from the logger's own time", failed(ClockFailure::Fast, Goes::Again)),
        ("clock-failed", "the clock failed, and does not go", failed(ClockFailure::Stopped, Goes::Not)),
        ("clock-silent", "the clock does not answer", Fault::ClockSilent),
        ("memory-silent", "the memory does not answer", Fault::MemorySilent),
        ("losing", "readings are being lost", Fault::Losing { count: 12 }),
        ("memory-full", "the memory is full", Fault::MemoryFull),
        ("battery-low", "the battery is low", Fault::BatteryLow),
        ("battery-very-low", "the battery is very low", Fault::BatteryVeryLow),
        ("log-untrusted", "the log cannot be trusted", Fault::LogUntrusted),
        ("log-foreign", "the memory of another logger", Fault::LogForeign { device }),
        ("log-not-own", "a log in this logger's name that it has not written", Fault::LogNotOwn),
        ("log-version", "a log of another version", Fault::LogVersion { found: 2 }),
        ("memory-size", "a memory of another size", Fault::MemorySize),
        ("no-log", "something that is no log", Fault::NoLog),
    ];
    for (name, tells, fault) in faults {
        show(name, tells, View::Fault(fault));
    }
    let restarted =
        |cause, dark: Option<u32>| View::Fault(Fault::Restarted { cause, dark: dark.map(Span::from_seconds) });
    show("restarted", "after a power cut", restarted(ResetCause::PowerOn, Some(4_210)));
    show("restarted-watchdog", "after a fault of the logger", restarted(ResetCause::Watchdog, None));

    show("notice", "something was not done", View::Fixing(head(640), Page::Notice(Notice::NotRecorded)));
    show("pc-connected", "a PC is connected", View::Link(Link::Connected));
    show("pc-loading", "a job is being loaded", View::Link(Link::Loading));
    show("pc-reading-out", "the memory is being read out", View::Link(Link::ReadingOut { done: 41, of: 128 }));
    show("dark", "the display is off; any button lights it", View::Dark);
    all
}
