//! Random views: any value that the engine, the clock, the job or a hand can bring about.

use super::range;
use fastrand::Rng;
use holdoff_core::cure::{Laxer, Rule};
use holdoff_core::fixing::{Grounds, NotApplicable};
use holdoff_core::log::{Bytes, DeviceId, ResetCause};
use holdoff_core::quantity::{Count, Fine, Span, Torque};
use holdoff_core::resin::{Hole, ResinUse};
use holdoff_core::seal::{Label, ShortForm, Symbol};
use holdoff_firmware::view::{
    Alert, Answer, Around, Battery, Cartridge, ClockFailure, Counting, Declared, Fault, Forecast, Glance, Goes, Head,
    Held, Item, Items, Lack, Lacks, Link, Materials, May, Notice, Overview, Page, Picture, Question, Setting, Start,
    State, Times, View, Wait, Wall, Which,
};

/// How far values reach.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reach {
    /// Whatever a site can bring about: everything must fit.
    Site,
    /// Whatever the types hold: nothing may panic.
    Types,
}

/// Makes random views.
pub(crate) struct Maker<'a> {
    pub(crate) rng: Rng,
    pub(crate) reach: Reach,
    pub(crate) symbol: &'a Symbol<'a>,
    pub(crate) short: ShortForm,
}

impl<'a> Maker<'a> {
    fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.rng.usize(..all.len())]
    }

    fn maybe<T>(&mut self, value: T) -> Option<T> {
        self.rng.bool().then_some(value)
    }

    fn count(&mut self) -> Count {
        let (least, greatest) = match self.reach {
            Reach::Site => (-55 * 256, 125 * 256),
            Reach::Types => (i16::MIN, i16::MAX),
        };
        let any = self.rng.i16(least..=greatest);
        Count::new(self.of(&[least, greatest, any, any, any]))
    }

    fn wall(&mut self) -> Wall {
        let any = match self.reach {
            Reach::Site => 1_795_674_600 + self.rng.i64(-2_000_000..20_000_000),
            Reach::Types => self.rng.i64(..),
        };
        Wall::new(any, self.rng.i16(-1_440..=1_440))
    }

    fn times(&mut self) -> Option<Wall> {
        let wall = self.wall();
        self.maybe(wall)
    }

    /// Up to the longest cure in a hole with the greatest factor.
    fn seconds(&mut self) -> u32 {
        let most = match self.reach {
            Reach::Site => 140 * 86_400,
            Reach::Types => u32::MAX,
        };
        let bits = self.rng.u32(0..32);
        (self.rng.u32(..) >> bits).min(most)
    }

    fn torque(&mut self) -> Torque {
        let most = match self.reach {
            Reach::Site => 500_000,
            Reach::Types => u32::MAX,
        };
        let any = self.rng.u32(1..=most);
        Torque::from_hundredths(self.of(&[any, any / 100 * 100, any % 10_000, most]))
    }

    fn torque_range(&mut self) -> holdoff_core::fixing::TorqueRange {
        let (one, other) = (self.torque().hundredths(), self.torque().hundredths());
        range(one.min(other), one.max(other).max(1))
    }

    fn text(&mut self, most: usize) -> String {
        let letters: Vec<char> = "WMmgj|Ä ü/0".chars().chain(['\u{2116}', '\u{4e2d}', '\u{1f527}']).collect();
        let mut text = String::new();
        let wanted = self.rng.usize(..=most);
        while text.len() < wanted {
            let letter = self.of(&letters);
            if text.len() + letter.len_utf8() > most {
                break;
            }
            text.push(letter);
        }
        text
    }

    fn may(&mut self) -> May {
        let lacks = (0..4).fold(Lacks::NONE, |lacks, _| lacks.with(self.of(&Lack::ALL)));
        let lacks = self.of(&[lacks, Lacks::NONE]);
        May { grounds: self.grounds(), lacks }
    }

    fn grounds(&mut self) -> Grounds {
        let few = self.rng.u32(..) & self.rng.u32(..) & self.rng.u32(..) & 0x7_ffff;
        Grounds::from_bits(self.of(&[0, few, few, 0x7_ffff])).expect("grounds")
    }

    fn around(&mut self) -> Around {
        let temperature = self.count();
        Around {
            temperature: self.maybe(temperature),
            now: self.times(),
            battery: self.of(&[Battery::Good, Battery::Low, Battery::VeryLow]),
            alert: self.of(&[Alert::None, Alert::Fault]),
        }
    }

    fn which(&mut self) -> Which {
        match self.reach {
            Reach::Site => {
                let of = self.rng.u8(1..=16);
                Which { number: self.rng.u8(1..=of), of }
            }
            Reach::Types => Which { number: self.rng.u8(..), of: self.rng.u8(..) },
        }
    }

    fn head(&mut self) -> Head {
        Head {
            which: self.which(),
            label: Label::new(self.text(16).as_bytes()).expect("a label"),
            resin: self.of(&[ResinUse::OnSite, ResinUse::Demo]),
            around: self.around(),
        }
    }

    fn wait(&mut self) -> Wait {
        let held = self.of(&[Held::TooCold, Held::TooWarm, Held::NoReadings]);
        let left = Span::from_seconds(self.seconds());
        let curing = Wait::Curing(Forecast { left, ends: self.times() });
        self.of(&[Wait::NotSeated, curing, Wait::Held(held)])
    }

    fn state(&mut self) -> State {
        let (grounds, now) = (self.grounds(), self.may());
        match self.rng.u8(..12) {
            0 => State::NotInjected(now),
            1 => State::Refused { grounds, now },
            2 => State::SeatNow { left: Span::from_seconds(self.seconds()), by: self.times() },
            3 => State::Wait(self.wait()),
            4 => {
                let too_low = self.torque();
                State::TorqueNow { range: self.torque_range(), too_low: self.maybe(too_low) }
            }
            5 => State::Cured { at: self.times() },
            6 => State::MayBeLoaded { torque: self.torque(), at: self.times() },
            7 => State::DoNotLoad { grounds, at: self.times() },
            8 => State::AcceptedAsIs { grounds },
            9 => State::TooLate,
            10 => State::Settling { still: Span::from_seconds(self.still()) },
            _ => State::Removed { grounds },
        }
    }

    /// Until a probe has settled.
    fn still(&mut self) -> u32 {
        match self.reach {
            Reach::Site => self.rng.u32(..=2 * 3_600),
            Reach::Types => self.seconds(),
        }
    }

    fn question(&mut self) -> Question {
        let (torque, hole) = (self.torque(), self.of(&Hole::ALL));
        self.of(&[
            Question::Inject,
            Question::CarriedOut,
            Question::Seat,
            Question::SeatedLate,
            Question::Hole(hole),
            Question::Torqued(torque),
            Question::TorquedEarly(torque),
            Question::Accept,
            Question::Remove,
        ])
    }

    fn notice(&mut self) -> Notice {
        let why = self.of(&[
            NotApplicable::NoSuchFixing,
            NotApplicable::Stage,
            NotApplicable::Earlier,
            NotApplicable::NotStricter,
            NotApplicable::InHoleTime,
            NotApplicable::InHoleRange,
            NotApplicable::Cured,
        ]);
        self.of(&[
            Notice::NotApplicable(why),
            Notice::NotApplicable(why),
            Notice::NotApplicable(why),
            Notice::NotRecorded,
            Notice::MemoryFull,
            Notice::LogUntrusted,
            Notice::NoReading,
            Notice::HoleUnsettled,
            Notice::ClockFailed,
            Notice::ClockSilent,
        ])
    }

    fn counting(&mut self) -> Counting {
        let mut seconds = || match self.reach {
            Reach::Site => u64::from(self.rng.u32(..) >> self.rng.u32(0..32)),
            Reach::Types => self.rng.u64(..),
        };
        let [required, served, held, unobserved] = [seconds(), seconds(), seconds(), seconds()];
        let coldest = Fine::new(i32::from(self.count().raw()) - 2_560);
        Counting { required, served, held, unobserved, coldest: self.maybe(coldest) }
    }

    fn setting(&mut self) -> Setting {
        let gap = self.seconds();
        let (gap, uncertainty, clock_ppm) = match self.reach {
            Reach::Site => (gap.clamp(1, 3_600), self.rng.u16(..=2_560), self.rng.u16(..=10_000)),
            Reach::Types => (gap, self.rng.u16(..), self.rng.u16(..)),
        };
        let laxer = Laxer {
            uncertainty: self.rng.bool(),
            longest_gap: self.rng.bool(),
            clock_ppm: self.rng.bool(),
            settle: self.rng.bool(),
        };
        let rule = self.of(&[Rule::Coldest, Rule::Accrual]);
        let (longest_gap, settle) = (Span::from_seconds(gap), Span::from_seconds(self.still()));
        Setting { rule, uncertainty, longest_gap, clock_ppm, settle, laxer }
    }

    fn page(&mut self) -> Page<'a> {
        match self.rng.u8(..21) {
            0..3 => Page::Status(self.state()),
            3 => {
                let (batch, declared) = (self.text(24), self.count());
                Page::Cartridge(Cartridge {
                    temperature: self.of(&[Declared::NotYet, Declared::Not, Declared::Degrees(declared)]),
                    batch: Bytes::cut(&batch),
                    use_by: self.times(),
                })
            }
            4 => Page::NotYet(self.wait()),
            5 => Page::Reasons(self.may()),
            6 => {
                let resin = self.text(32);
                Page::Materials(Materials { resin: Bytes::cut(&resin), hole: self.of(&Hole::ALL) })
            }
            7 => {
                let torque = self.torque();
                Page::Times(Times {
                    injected: self.times(),
                    seated: self.times(),
                    cured: self.times(),
                    torque: self.maybe(torque),
                })
            }
            8 => Page::Counting(self.counting()),
            9 => Page::Setting(self.setting()),
            10 => Page::Code(Picture(self.symbol)),
            11 => Page::Short(self.short),
            12 => Page::NoKey,
            13 => {
                let items = (0..8).fold(Items::NONE, |items, _| items.with(self.of(&Item::ALL)));
                Page::Menu { items, chosen: self.of(&Item::ALL) }
            }
            14 | 15 => Page::Question { question: self.question(), answer: self.of(&[Answer::No, Answer::Yes]) },
            16 => Page::EnterTorque { torque: self.torque(), range: self.torque_range() },
            17 => {
                let degrees = self.rng.i8(..);
                Page::EnterCartridge { degrees: self.maybe(degrees), range: (self.count(), self.count()) }
            }
            18 => {
                let counts_for = match self.reach {
                    Reach::Site => Span::from_seconds(self.rng.u32(..=900)),
                    Reach::Types => Span::from_seconds(self.seconds()),
                };
                Page::InHole { reading: self.count(), counts_for }
            }
            19 => {
                let (reading, still) = (self.count(), Span::from_seconds(self.still()));
                Page::HoleSettling { reading: self.maybe(reading), still }
            }
            _ => Page::Notice(self.notice()),
        }
    }

    fn fault(&mut self) -> Fault {
        let device = DeviceId(self.rng.u64(..).to_be_bytes());
        let cause = self.of(&[
            ResetCause::Unknown,
            ResetCause::PowerOn,
            ResetCause::BrownOut,
            ResetCause::Watchdog,
            ResetCause::Software,
            ResetCause::Pin,
        ]);
        let how = self.of(&[ClockFailure::Stopped, ClockFailure::Back, ClockFailure::Fast]);
        let goes = self.of(&[Goes::Again, Goes::Not]);
        let dark = Span::from_seconds(self.seconds());
        let count = self.seconds();
        let found = self.rng.u8(..);
        let dark = self.maybe(dark);
        self.of(&[
            Fault::ProbeSilent,
            Fault::BusStuck,
            Fault::ProbeWrong,
            Fault::ProbeStuck,
            Fault::SupplyLow,
            Fault::SupplyUnknown,
            Fault::ClockNotSet,
            Fault::ClockFailed { how, goes },
            Fault::ClockFailed { how, goes },
            Fault::ClockSilent,
            Fault::MemorySilent,
            Fault::Losing { count },
            Fault::MemoryFull,
            Fault::BatteryLow,
            Fault::BatteryVeryLow,
            Fault::LogUntrusted,
            Fault::LogForeign { device },
            Fault::LogNotOwn,
            Fault::LogVersion { found },
            Fault::MemorySize,
            Fault::NoLog,
            Fault::Restarted { cause, dark },
            Fault::Restarted { cause, dark },
        ])
    }

    fn overview(&mut self) -> Overview {
        let all = [
            Glance::NotInjected,
            Glance::Settling,
            Glance::Refused,
            Glance::SeatNow,
            Glance::TooLate,
            Glance::LeaveAlone,
            Glance::Held,
            Glance::Torque,
            Glance::Cured,
            Glance::Load,
            Glance::DoNotLoad,
            Glance::AsIs,
            Glance::Removed,
        ];
        let chosen = self.which();
        let mut fixings = [None; 16];
        for place in fixings.iter_mut().take(usize::from(chosen.of)) {
            *place = Some(self.of(&all));
        }
        Overview { fixings, chosen, resin: self.of(&[ResinUse::OnSite, ResinUse::Demo]) }
    }

    /// Any view.
    pub(crate) fn view(&mut self) -> View<'a> {
        match self.rng.u8(..12) {
            0 => View::Overview(self.overview()),
            1 => View::Fault(self.fault()),
            2 => View::NoJob(self.around()),
            3 => {
                let (done, of) = match self.reach {
                    Reach::Site => (self.rng.u32(..=512), self.rng.u32(..=512)),
                    Reach::Types => (self.rng.u32(..), self.rng.u32(..)),
                };
                View::Link(self.of(&[Link::Connected, Link::Loading, Link::ReadingOut { done, of }]))
            }
            4 => {
                let device = DeviceId(self.rng.u64(..).to_be_bytes());
                let version = match self.reach {
                    Reach::Site => [self.rng.u8(..100), self.rng.u8(..100), self.rng.u8(..100)],
                    Reach::Types => [self.rng.u8(..), self.rng.u8(..), self.rng.u8(..)],
                };
                View::Start(Start { version, device })
            }
            _ => View::Fixing(self.head(), self.page()),
        }
    }
}
