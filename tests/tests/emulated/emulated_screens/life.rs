//! Sixteen fixings on the emulated board through everything that can become of them.

use super::lists::LIFE;
use super::parts::{CURE, SETTLE, TORQUE, ask, batch, curing, items, newton_metres, not, only, resin};
use super::scene::{Fixings, START, Scene, Start, range, wall};
use holdoff_core::cure::{Laxer, Rule, Settings};
use holdoff_core::fixing::Ground;
use holdoff_core::log::{Bytes, Item as LogItem, Record};
use holdoff_core::quantity::{Count, Fine, Span};
use holdoff_core::resin::Hole;
use holdoff_core::seal::{ReleaseCode, SealedView, ShortForm, Symbol, SymbolBuffers};
use holdoff_firmware::view::{
    Alert, Answer, Around, Battery, Cartridge, Counting, Declared, Fault, Glance, Held, Item, Lacks, Materials, May,
    Overview, Page, Picture, Question, Setting, Start as StartView, State, Times, View, Wait, Wall, Which,
};
use holdoff_tests::emulator::Button::{Down, Left, Right, Select, Up};
use holdoff_tests::emulator::{Held as Memory, known_seed};
use holdoff_tests::log_sample::device_of;

/// Sixteen fixings through everything that can become of them, from half past seven to nine.
#[test]
fn a_day_with_sixteen_fixings_shows_every_state_of_a_fixing() {
    let mut scene = Scene::start(&Start::at(START - SETTLE - 8), None);
    on_the_way_up(&mut scene);
    let mut fixings: Fixings = vec![(TORQUE, None); 16];
    (fixings[0].1, fixings[1].1, fixings[11].1) = (batch(200), batch(0), batch(0));
    (fixings[3].0, fixings[4].0) = (None, Some((2_000, 2_000)));
    scene.load(START - SETTLE, &resin(), Settings::DEFAULT, fixings, 60);
    let injected = first_fixing(&mut scene);
    the_first_ten(&mut scene);
    let torqued = cured(&mut scene, injected);
    release(&mut scene, injected, torqued);
    others_that_are_cured(&mut scene);
    cold(&mut scene);
    warm_and_hot(&mut scene);
    without_readings(&mut scene);
    scene.seen.are(LIFE);
}

fn on_the_way_up(scene: &mut Scene) {
    let device = device_of(known_seed());
    scene.at(START - SETTLE - 6);
    scene.see_view("start", &View::Start(StartView { version: holdoff_firmware::run::VERSION, device }));
    scene.at(START - SETTLE - 2);
    // local time comes with the job
    let now = Some(Wall::new(START - SETTLE - 2, 0));
    let around = Around { temperature: None, now, battery: Battery::Good, alert: Alert::None };
    scene.see_view("no-job", &View::NoJob(around));
}

/// From the question whether it may be injected to the seating; returns both seconds.
fn first_fixing(scene: &mut Scene) -> (i64, i64) {
    let (injected, seated) = (START + 25, START + 55);
    scene.at(START - 172);
    scene.see_state("settling", State::Settling { still: Span::from_seconds(172) });
    scene.press(&[Select, Down]);
    scene.at(START - 168);
    scene.press(&[Select]);
    scene.at(START - 158);
    let reading = Count::new(198 * 16);
    scene.see("hole-settling", Page::HoleSettling { reading: Some(reading), still: Span::from_seconds(170) });
    scene.at(START + 12);
    scene.see("in-the-hole", Page::InHole { reading, counts_for: Span::from_seconds(900) });
    scene.press(&[Select]);
    scene.see_state("may-inject", State::NotInjected(May::YES));
    scene.fixing(2);
    scene.see_state("do-not-inject-past-date", not(only(Ground::PastDate)));
    scene.fixing(1);
    scene.press(&[Select]);
    let before = items(&[Item::Inject, Item::MeasureInHole, Item::HoleWet, Item::HoleFlooded]);
    scene.see("menu", Page::Menu { items: before, chosen: Item::Inject });
    scene.press(&[Select]);
    let range_of_it = (Count::from_degrees(5), Count::from_degrees(35));
    scene.see("enter-cartridge-none", Page::EnterCartridge { degrees: None, range: range_of_it });
    scene.press(&[Up]);
    scene.press(&[Down; 8]);
    scene.see("enter-cartridge", Page::EnterCartridge { degrees: Some(12), range: range_of_it });
    scene.press(&[Select]);
    scene.see("question-inject", ask(Question::Inject));
    scene.yes(Some(injected));
    scene.at(injected + 18);
    scene.press(&[Right, Left]);
    let seat_now = State::SeatNow { left: Span::from_seconds(720 - 18), by: Some(wall(injected + 720)) };
    scene.see_state("seat-now", seat_now);
    scene.press(&[Select]);
    scene.press(&[Down, Select]);
    scene.see("not-yet-not-seated", Page::NotYet(Wait::NotSeated));
    scene.press(&[Down]);
    scene.menu(0);
    scene.see("question-seat", ask(Question::Seat));
    scene.press(&[Right]);
    scene.see("question-yes", Page::Question { question: Question::Seat, answer: Answer::Yes });
    scene.at(seated);
    scene.press(&[Select]);
    scene.at(START + 65);
    scene.press(&[Right, Left]);
    scene.see_state("leave-alone", State::Wait(curing(START + 65, seated + CURE)));
    scene.menu(0);
    scene.see("not-yet", Page::NotYet(curing(START + 65, seated + CURE)));
    scene.press(&[Down]);
    scene.menu(2);
    scene.see("question-wet", ask(Question::Hole(Hole::Wet)));
    scene.press(&[Select]);
    (injected, seated)
}

/// Fixings 4 to 10: what becomes of those that are not cured.
fn the_first_ten(scene: &mut Scene) {
    for number in 4..=9 {
        scene.inject(number, None);
    }
    let ninth = scene.now();
    scene.inject(10, None);
    for number in [4, 5, 6, 7, 10] {
        scene.seat(number, None);
    }
    scene.fixing(7);
    scene.menu(1);
    scene.press(&[Right; 5]);
    let range = range(3_800, 4_200).expect("a range");
    scene.see("enter-torque", Page::EnterTorque { torque: newton_metres(4_050), range });
    scene.press(&[Select]);
    scene.see("question-early", ask(Question::TorquedEarly(newton_metres(4_050))));
    scene.yes(None);
    scene.see_state("do-not-load-loaded-early", State::DoNotLoad { grounds: only(Ground::LoadedEarly), at: None });
    scene.fixing(10);
    scene.menu(3);
    scene.see("question-flooded", ask(Question::Hole(Hole::Flooded)));
    scene.yes(None);
    scene.see_state("do-not-load-hole", State::DoNotLoad { grounds: only(Ground::HoleExcluded), at: None });
    scene.menu(1);
    scene.see("question-remove", ask(Question::Remove));
    scene.yes(None);
    scene.see_state("removed", State::Removed { grounds: only(Ground::HoleExcluded) });
    scene.fixing(7);
    scene.press(&[Select]);
    scene.see("menu-engineer", Page::Menu { items: items(&[Item::Accept, Item::Remove]), chosen: Item::Accept });
    scene.press(&[Select]);
    scene.see("question-accept", ask(Question::Accept));
    scene.yes(None);
    scene.see_state("accepted-as-is", State::AcceptedAsIs { grounds: only(Ground::LoadedEarly) });

    // 8 and 9 wait for longer than the twelve minutes they have; the next reading is half a minute away
    scene.at(ninth + 725);
    scene.fixing(9);
    scene.see_state("too-late", State::TooLate);
    scene.menu(0);
    scene.see("question-seated-late", ask(Question::SeatedLate));
    scene.press(&[Select]);
    scene.at(START + 910);
    scene.fixing(9);
    scene.see_state("do-not-load-not-seated", State::DoNotLoad { grounds: only(Ground::NotSeated), at: None });
    scene.seat(8, None);
    scene.see_state("do-not-load-seated-late", State::DoNotLoad { grounds: only(Ground::SeatedLate), at: None });
}

/// The first fixing, from under an hour left to its torque; returns the second of that.
fn cured(scene: &mut Scene, (_, seated): (i64, i64)) -> i64 {
    scene.at(START + 930);
    scene.fixing(1);
    scene.see_state("leave-alone-minutes", State::Wait(curing(START + 930, seated + CURE)));
    scene.at(START + 995);
    scene.see_view("dark", &View::Dark);
    scene.at(START + 3_725);
    scene.fixing(1);
    let range = range(3_800, 4_200).expect("a range");
    scene.see_state("torque-now", State::TorqueNow { range, too_low: None });
    scene.menu(1);
    scene.press(&[Select]);
    scene.see("question-torqued", ask(Question::Torqued(newton_metres(4_000))));
    let torqued = START + 3_730;
    scene.yes(Some(torqued));
    torqued
}

/// What is to be seen of a released fixing.
fn release(scene: &mut Scene, (injected, seated): (i64, i64), torqued: i64) {
    let loaded = State::MayBeLoaded { torque: newton_metres(4_000), at: Some(wall(torqued)) };
    scene.see_state("may-be-loaded", loaded);
    let held = Memory::read(&scene.memory()).expect("a memory").expect("a log");
    let signed = held.items.iter().find_map(|item| match item {
        LogItem::Record(Record::Release { fixing, signed }) if fixing.place() == 0 => Some(*signed),
        LogItem::Record(_)
        | LogItem::Reading { .. }
        | LogItem::Refused { .. }
        | LogItem::Unusable { .. }
        | LogItem::Missing { .. } => None,
    });
    let signed = signed.expect("it is signed");
    let (code, mut buffers) = (ReleaseCode::of(signed.bytes()).expect("a code"), SymbolBuffers::new());
    let symbol = Symbol::of(&code, &mut buffers).expect("a symbol");
    scene.press(&[Down]);
    scene.see("code", Page::Code(Picture(&symbol)));
    scene.press(&[Down]);
    let sealed = SealedView::parse(signed.bytes()).expect("a release");
    scene.see("short", Page::Short(ShortForm::of(sealed.unverified())));
    scene.press(&[Down]);
    let resin = Bytes::cut("Quay slow (invented)");
    scene.see("materials", Page::Materials(Materials { resin, hole: Hole::Dry }));
    scene.press(&[Down]);
    let temperature = Declared::Degrees(Count::from_degrees(12));
    let use_by = Some(wall(START + 199 * 86_400));
    scene.see("cartridge", Page::Cartridge(Cartridge { temperature, batch: Bytes::cut("L-2231 B"), use_by }));
    scene.press(&[Down]);
    let times = Times {
        injected: Some(wall(injected)),
        seated: Some(wall(seated)),
        cured: Some(wall(seated + CURE)),
        torque: Some(newton_metres(4_000)),
    };
    scene.see("times", Page::Times(times));
    scene.press(&[Down]);
    let coldest = Some(Fine::new(198 * 16 - 256));
    let counting = Counting { required: 3_600, served: 3_600, held: 0, unobserved: 0, coldest };
    scene.see("counting", Page::Counting(counting));
    scene.press(&[Down]);
    let setting = Setting {
        rule: Rule::Coldest,
        uncertainty: 256,
        longest_gap: Span::from_seconds(300),
        clock_ppm: 100,
        settle: Span::from_seconds(180),
        laxer: Laxer::default(),
    };
    scene.see("setting", Page::Setting(setting));
}

fn others_that_are_cured(scene: &mut Scene) {
    scene.fixing(4);
    scene.see_state("cured", State::Cured { at: None });
    // a cure that nothing is torqued after has its code too
    scene.press(&[Down; 4]);
    let nothing = Cartridge { temperature: Declared::Not, batch: Bytes::EMPTY, use_by: None };
    scene.see("cartridge-undeclared", Page::Cartridge(nothing));
    scene.fixing(5);
    scene.see_state("torque-now-one", State::TorqueNow { range: range(2_000, 2_000).expect("one"), too_low: None });
    scene.fixing(6);
    scene.menu(1);
    scene.press(&[Down, Down, Down, Select]);
    scene.yes(None);
    let range = range(3_800, 4_200).expect("a range");
    scene.see_state("torque-too-low", State::TorqueNow { range, too_low: Some(newton_metres(3_700)) });
    scene.menu(1);
    scene.press(&[Up, Up, Up, Select]);
    scene.yes(None);
    scene.see_state("do-not-load-over-torque", State::DoNotLoad { grounds: only(Ground::OverTorque), at: None });
}

/// A cartridge that is too cold, and then the substrate, down to -12 °C.
fn cold(scene: &mut Scene) {
    scene.at(START + 3_790);
    scene.inject(13, None);
    scene.seat(13, None);
    scene.fixing(14);
    scene.menu(0);
    scene.press(&[Up]);
    scene.press(&[Down; 16]);
    scene.press(&[Select]);
    scene.yes(None);
    let refused = |grounds, now| State::Refused { grounds, now };
    scene.see_state("start-refused-cartridge", refused(only(Ground::Cartridge), May::YES));
    scene.at(START + 3_845);
    scene.probe(-100);
    // two readings until the logger believes it
    scene.at(START + 3_970);
    scene.fixing(13);
    scene.see_state("held-too-cold", State::Wait(Wait::Held(Held::TooCold)));
    scene.menu(0);
    scene.see("not-yet-held", Page::NotYet(Wait::Held(Held::TooCold)));
    scene.press(&[Down]);
    // and three minutes until it has settled
    scene.at(START + 4_090);
    scene.fixing(16);
    scene.see_state("do-not-inject-too-cold", not(only(Ground::TooCold)));
    scene.fixing(2);
    let both = only(Ground::PastDate).with(Ground::TooCold);
    scene.see_state("do-not-inject-many", not(both));
    scene.press(&[Down]);
    scene.see("reasons", Page::Reasons(May { grounds: both, lacks: Lacks::NONE }));
    scene.inject(11, None);
    let still = May { grounds: only(Ground::TooCold), lacks: Lacks::NONE };
    scene.see_state("start-refused", refused(only(Ground::TooCold), still));
    scene.press(&[Select]);
    let long = items(&[Item::Inject, Item::MeasureInHole, Item::CarriedOut, Item::HoleWet, Item::HoleFlooded]);
    scene.see("menu-long", Page::Menu { items: long, chosen: Item::Inject });
    scene.press(&[Down, Down, Select]);
    scene.see("question-carried-out", ask(Question::CarriedOut));
    scene.yes(None);
    scene.see_state("do-not-load-too-cold", State::DoNotLoad { grounds: only(Ground::TooCold), at: None });
    scene.inject(12, None);
    scene.menu(2);
    scene.yes(None);
    scene.see_state("do-not-load-two", State::DoNotLoad { grounds: both, at: None });
    scene.inject(16, None);
    scene.at(START + 4_145);
    scene.probe(-192);
    scene.at(START + 4_210);
    scene.fixing(13);
    scene.see_state("do-not-load-below-reject", State::DoNotLoad { grounds: only(Ground::BelowReject), at: None });
}

/// Back to 12.4 °C, and up to 62 °C.
fn warm_and_hot(scene: &mut Scene) {
    scene.at(START + 4_215);
    scene.probe(198);
    scene.at(START + 4_450);
    scene.fixing(16);
    scene.see_state("start-refused-again", State::Refused { grounds: only(Ground::TooCold), now: May::YES });
    scene.inject(14, None);
    scene.seat(14, None);
    scene.at(START + 4_470);
    scene.probe(658);
    scene.at(START + 4_570);
    scene.fixing(14);
    scene.see_state("held-too-warm", State::Wait(Wait::Held(Held::TooWarm)));
    scene.at(START + 4_690);
    scene.fixing(3);
    scene.see_state("do-not-inject-too-warm", not(only(Ground::TooWarm)));
    scene.at(START + 4_695);
    scene.probe(992);
    scene.at(START + 4_810);
    scene.fixing(14);
    scene.see_state("do-not-load-above-reject", State::DoNotLoad { grounds: only(Ground::AboveReject), at: None });
    scene.at(START + 4_815);
    scene.probe(198);
}

/// A probe that gives nothing usable for longer than the longest hold.
fn without_readings(scene: &mut Scene) {
    scene.at(START + 5_050);
    scene.inject(15, None);
    scene.seat(15, None);
    scene.at(START + 5_070);
    scene.no_probe();
    scene.at(START + 5_105);
    scene.see_view("probe-wrong", &View::Fault(Fault::ProbeWrong));
    scene.press(&[Down]);
    scene.alert = Alert::Fault;
    scene.at(START + 5_410);
    scene.forget_reading();
    scene.fixing(15);
    scene.see_state("held-no-readings", State::Wait(Wait::Held(Held::NoReadings)));
    scene.fixing(3);
    scene.see_state("do-not-inject-no-reading", not(only(Ground::NoReading)));
    scene.at(START + 6_130);
    scene.probe(198);
    scene.at(START + 6_190);
    scene.alert = Alert::None;
    scene.fixing(15);
    scene.see_state("do-not-load-held-too-long", State::DoNotLoad { grounds: only(Ground::HeldTooLong), at: None });
    scene.at(START + 6_370);
    scene.fixing(3);
    scene.menu(3);
    scene.yes(None);
    scene.see_state("do-not-inject-hole", not(only(Ground::HoleExcluded)));
    scene.fixing(12);
    scene.press(&[Up]);
    use Glance::{AsIs, Cured, DoNotLoad, Load, NotInjected, Refused, Removed, Torque};
    let fixings = [
        Load,
        NotInjected,
        NotInjected,
        Cured,
        Torque,
        DoNotLoad,
        AsIs,
        DoNotLoad,
        DoNotLoad,
        Removed,
        DoNotLoad,
        DoNotLoad,
        DoNotLoad,
        DoNotLoad,
        DoNotLoad,
        Refused,
    ];
    let chosen = Which { number: 12, of: 16 };
    let overview = Overview { fixings: fixings.map(Some), chosen, resin: scene.resin };
    scene.see_view("overview-sixteen", &View::Overview(overview));
}
