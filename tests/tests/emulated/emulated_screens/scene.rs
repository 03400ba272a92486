//! A board on which screens are reached: hands at its buttons, and a clock to do it by.

use super::seen::Seen;
use holdoff::link::{Patience, Shipment};
use holdoff_core::cure::Settings;
use holdoff_core::fixing::{FixingSpec, TorqueRange};
use holdoff_core::quantity::{Count, Span, Torque};
use holdoff_core::resin::{Hole, ResinUse};
use holdoff_core::seal::Label;
use holdoff_files::resin_file::ResinFile;
use holdoff_firmware::view::{Alert, Around, Battery, Head, Page, State, View, Wall, Which};
use holdoff_tests::emulator::{
    Button, Image, Kind, Machine, Photo, Probe, Setup, blank_memory, known_seed, load_job, shipment,
};
use std::path::PathBuf;

/// Thursday, 26 November 2026, 07:30 local time of an invented harbour, an hour ahead of UTC.
pub(crate) const START: i64 = 1_795_674_600;
/// Offset of local time in minutes.
const OFFSET: i16 = 60;

fn known() -> Option<[u8; 32]> {
    Some(known_seed())
}

/// What a board is started with.
pub(crate) struct Start {
    pub(crate) clock: i64,
    pub(crate) seed: Option<[u8; 32]>,
    pub(crate) probe: Probe,
    pub(crate) sixteenths: i32,
}

impl Start {
    /// With a key and a probe at 12.4 °C.
    pub(crate) fn at(clock: i64) -> Self {
        Self { clock, seed: known(), probe: Probe::Plugged, sixteenths: 198 }
    }
}

/// A board, and what is known of it without asking it.
pub(crate) struct Scene {
    pub(crate) machine: Machine,
    pub(crate) seen: Seen,
    directory: tempfile::TempDir,
    seed: Option<[u8; 32]>,
    /// What the probe gives, where there is one and a job is loaded.
    sixteenths: Option<i32>,
    /// Whether the clock shows a time of day.
    pub(crate) clock: bool,
    pub(crate) alert: Alert,
    pub(crate) resin: ResinUse,
    pub(crate) label: &'static str,
    /// The fixing that is shown, from 1.
    pub(crate) shown: u8,
    pub(crate) of: u8,
}

impl Scene {
    /// A board with this memory; a blank one where there is none.
    pub(crate) fn start(start: &Start, memory: Option<&[u8]>) -> Self {
        let directory = tempfile::tempdir().expect("a folder");
        let path = directory.path().join("memory.bin");
        match memory {
            Some(bytes) => std::fs::write(&path, bytes).expect("written"),
            None => blank_memory(&path).expect("written"),
        }
        let machine = machine(start, &path);
        Self {
            machine,
            seen: Seen::nothing(),
            directory,
            seed: start.seed,
            sixteenths: (start.probe == Probe::Plugged).then_some(start.sixteenths),
            clock: true,
            alert: Alert::None,
            resin: ResinUse::OnSite,
            label: "bollard stud",
            shown: 1,
            of: 1,
        }
    }

    /// Cuts the power, and gives it back when the clock says this.
    pub(crate) fn cut_until(self, clock: i64) -> Self {
        let Self { machine: old, seen, directory, seed, sixteenths, clock: set, alert, resin, label, of, .. } = self;
        old.cut().expect("it was there");
        let path = directory.path().join("memory.bin");
        let again = Start { seed, sixteenths: sixteenths.unwrap_or(198), ..Start::at(clock) };
        let machine = machine(&again, &path);
        Self { machine, seen, directory, seed, sixteenths, clock: set, alert, resin, label, shown: 1, of }
    }

    /// Where its memory is kept.
    pub(crate) fn memory(&self) -> PathBuf {
        self.directory.path().join("memory.bin")
    }

    /// Lets time go on to the middle of a second.
    pub(crate) fn at(&mut self, second: i64) {
        let now = self.machine.now_ms().expect("a time");
        assert!(now < second * 1000 + 600, "it is {} ms too late", now - second * 1000);
        self.machine.run_to(second * 1000 + 500).expect("it runs");
    }

    /// The second it is.
    pub(crate) fn now(&mut self) -> i64 {
        self.machine.now_ms().expect("a time").div_euclid(1000)
    }

    /// From now on the probe measures this.
    pub(crate) fn probe(&mut self, sixteenths: i32) {
        self.machine.measure(sixteenths).expect("there is a probe");
        self.sixteenths = Some(sixteenths);
    }

    /// From now on the probe gives what lies outside any probe's range.
    pub(crate) fn no_probe(&mut self) {
        self.machine.measure(0x7FF).expect("there is a probe");
    }

    /// The last reading is too old to be shown.
    pub(crate) const fn forget_reading(&mut self) {
        self.sixteenths = None;
    }

    pub(crate) fn press(&mut self, buttons: &[Button]) {
        for button in buttons {
            self.machine.press(*button).expect("it runs");
        }
    }

    fn look(&mut self) -> Photo {
        self.machine.look().expect("a picture")
    }

    /// Lights the display where it is dark.
    pub(crate) fn light(&mut self) {
        if self.look().is_dark() {
            self.press(&[Button::Left]);
        }
    }

    /// Leaves whatever page or menu is shown for a fixing's status, from a page that left and right leave.
    pub(crate) fn fixing(&mut self, number: u8) {
        self.light();
        let right = (number + self.of - self.shown) % self.of;
        let (button, count) =
            if right <= self.of / 2 { (Button::Right, right) } else { (Button::Left, self.of - right) };
        if count == 0 {
            self.press(&[Button::Right, Button::Left]);
        }
        for _ in 0..count {
            self.press(&[button]);
        }
        self.shown = number;
    }

    /// Opens the menu, goes down so often, and selects.
    pub(crate) fn menu(&mut self, down: usize) {
        self.press(&[Button::Select]);
        self.press(&vec![Button::Down; down]);
        self.press(&[Button::Select]);
    }

    /// Answers a question with yes; in this second where one is given.
    pub(crate) fn yes(&mut self, second: Option<i64>) {
        self.press(&[Button::Right]);
        if let Some(second) = second {
            self.at(second);
        }
        self.press(&[Button::Select]);
    }

    /// Injects a fixing, the cartridge undeclared.
    pub(crate) fn inject(&mut self, number: u8, second: Option<i64>) {
        self.fixing(number);
        self.menu(0);
        self.press(&[Button::Select]);
        self.yes(second);
    }

    /// Seats it.
    pub(crate) fn seat(&mut self, number: u8, second: Option<i64>) {
        self.fixing(number);
        self.menu(0);
        self.yes(second);
    }

    /// What stands at the head of every screen of the fixing that is shown.
    pub(crate) fn head(&mut self) -> Head {
        let label = format!("{} {}", self.label, self.shown);
        let now = self.now();
        Head {
            which: Which { number: self.shown, of: self.of },
            label: Label::new(label.as_bytes()).expect("a label"),
            resin: self.resin,
            around: Around {
                temperature: self.sixteenths.map(|sixteenths| Count::new((sixteenths * 16) as i16)),
                now: self.clock.then(|| wall(now)),
                battery: Battery::Good,
                alert: self.alert,
            },
        }
    }

    /// The display shows this page of the fixing.
    pub(crate) fn see(&mut self, name: &'static str, page: Page<'_>) {
        let head = self.head();
        self.see_view(name, &View::Fixing(head, page));
    }

    /// The display shows this state of the fixing.
    pub(crate) fn see_state(&mut self, name: &'static str, state: State) {
        self.see(name, Page::Status(state));
    }

    /// The display shows this.
    pub(crate) fn see_view(&mut self, name: &'static str, view: &View<'_>) {
        let display = self.look();
        self.seen.see(name, view, &display);
    }

    /// Loads fixings in this second; a reading is taken in it, and one every `period` seconds.
    pub(crate) fn load(&mut self, second: i64, resin: &ResinFile, settings: Settings, fixings: Fixings, period: u32) {
        self.at(second);
        (self.of, self.shown) = (fixings.len() as u8, 1);
        self.resin = if resin.demo() { ResinUse::Demo } else { ResinUse::OnSite };
        let fixings = fixings.into_iter().zip(1..).map(|((torque, batch), number)| {
            let range = torque.and_then(|(least, greatest)| range(least, greatest));
            (format!("{} {number}", self.label), FixingSpec { hole: Hole::Dry, torque: range }, batch)
        });
        let plain = shipment(resin, Span::from_seconds(period), OFFSET, fixings.collect());
        let shipment = Shipment { settings, ..plain };
        load_job(&mut self.machine, &shipment, Patience::default()).expect("it is loaded");
        assert_eq!(self.now(), second, "it is loaded in its second");
    }
}

/// Torque in 1/100 N·m and batch of fixings.
pub(crate) type Fixings = Vec<(Option<(u32, u32)>, Option<holdoff::link::BatchText>)>;

/// A specified torque, 1/100 N·m.
pub(crate) fn range(least: u32, greatest: u32) -> Option<TorqueRange> {
    TorqueRange::new(Torque::from_hundredths(least), Torque::from_hundredths(greatest))
}

/// A second as local time.
pub(crate) const fn wall(second: i64) -> Wall {
    Wall::new(second, OFFSET)
}

fn machine(start: &Start, memory: &std::path::Path) -> Machine {
    let image = Image::get(Kind::Release).expect("an image");
    let plain = Setup::plain(image, memory, start.clock, start.sixteenths);
    Machine::start(&Setup { seed: start.seed, probe: start.probe, ..plain }).expect("it starts")
}
