//! A device on the fake board, with somebody at its buttons.

use super::world::{FakeBoard, World};
use holdoff_core::fixing::{Stage, Status};
use holdoff_core::group::FixingNumber;
use holdoff_core::log::ResetCause;
use holdoff_firmware::board::{Board, Buttons};
use holdoff_firmware::run::{Device, Press};
use holdoff_firmware::view::{Answer, Head, Item, Page, Question, State, View};
use std::cell::RefCell;
use std::rc::Rc;

/// When the world begins: 2026-11-25T06:30:00Z.
pub const START: i64 = 1_795_588_200;
/// The device's key seed.
pub const KEY: [u8; 32] = [0x42; 32];

/// The device and its world.
pub struct Bench<const SIZE: u32 = 65_536, const BATTERY: bool = true> {
    /// The world.
    pub world: Rc<RefCell<World>>,
    board: FakeBoard<SIZE, BATTERY>,
    /// The device.
    pub device: Box<Device<FakeBoard<SIZE, BATTERY>>>,
    pub(super) sequence: u16,
}

impl<const SIZE: u32, const BATTERY: bool> Bench<SIZE, BATTERY> {
    /// A device with a key and a blank memory, just switched on.
    pub fn new() -> Self {
        let mut world = World::new(START, SIZE as usize);
        world.seed = Some(KEY);
        Self::on(world)
    }

    /// A device in this world.
    pub fn on(world: World) -> Self {
        let world = Rc::new(RefCell::new(world));
        let board = FakeBoard(Rc::clone(&world));
        let mut bench = Self { world, board, device: Box::new(Device::new()), sequence: 0 };
        bench.boot(ResetCause::PowerOn);
        bench
    }

    /// Starts the device anew: all it knew is gone.
    pub fn boot(&mut self, cause: ResetCause) {
        self.world.borrow_mut().boot(cause);
        *self.device = Device::new();
        self.device.start(&mut self.board);
        self.device.step(&mut self.board);
    }

    /// One step; returns the uptime that it would sleep until.
    pub fn step(&mut self) -> u32 {
        let until = self.device.step(&mut self.board);
        let uptime = self.board.uptime_ms();
        let sleep = until.wrapping_sub(uptime) as i32; // a step that took long may be past it
        assert!(sleep <= 20_000, "it sleeps for too long: {until} after {uptime}");
        until
    }

    /// Lets true time go on to this second.
    pub fn run_until(&mut self, second: i64) {
        loop {
            let until = self.step();
            let end = (second - self.world.borrow().epoch) as u64 * 1_000_000;
            let mut world = self.world.borrow_mut();
            if world.now >= end {
                return;
            }
            let before = world.now;
            world.sleep_until(until);
            if world.now >= end {
                world.now = end.max(before);
            }
        }
    }

    /// Lets so many seconds go by.
    pub fn run(&mut self, seconds: i64) {
        let second = self.second();
        self.run_until(second + seconds);
    }

    /// The true second.
    pub fn second(&self) -> i64 {
        self.world.borrow().second()
    }

    /// Presses a button for 100 ms, and lets it go for as long.
    pub fn press(&mut self, press: Press) {
        self.hold(press, 100);
    }

    /// Presses a button for some milliseconds.
    pub fn hold(&mut self, press: Press, milliseconds: u64) {
        let mut buttons = Buttons::default();
        match press {
            Press::Up => buttons.up = true,
            Press::Down => buttons.down = true,
            Press::Left => buttons.left = true,
            Press::Right => buttons.right = true,
            Press::Select => buttons.select = true,
        }
        self.levels(buttons, milliseconds);
        self.levels(Buttons::default(), 100);
    }

    /// Sets the buttons' levels for some milliseconds.
    pub fn levels(&mut self, buttons: Buttons, milliseconds: u64) {
        self.world.borrow_mut().buttons = buttons;
        let end = self.world.borrow().now + milliseconds * 1000;
        loop {
            let until = self.step();
            let mut world = self.world.borrow_mut();
            if world.now >= end {
                return;
            }
            world.sleep_until(until);
            world.now = world.now.min(end);
        }
    }

    /// Looks at the view.
    pub fn view<R>(&mut self, see: impl FnOnce(&View<'_>) -> R) -> R {
        self.device.view(&mut self.board, see)
    }

    /// What `see` makes of the page of a fixing; `None` where none is to be seen.
    pub fn page<R>(&mut self, see: impl FnOnce(&Head, &Page<'_>) -> Option<R>) -> Option<R> {
        self.view(|view| match view {
            View::Fixing(head, page) => see(head, page),
            View::Dark | View::Start(_) | View::NoJob(_) | View::Overview(_) | View::Fault(_) | View::Link(_) => None,
        })
    }

    /// What the menu of a fixing offers.
    pub fn offered(&mut self, place: u8) -> Vec<Item> {
        self.look_at(place);
        self.press(Press::Select);
        let items =
            self.page(|_, page| if let Page::Menu { items, .. } = page { Some(items.iter().collect()) } else { None });
        self.press(Press::Left);
        items.unwrap_or_default()
    }

    /// What is to be seen, in words for messages.
    pub fn seen(&mut self) -> String {
        self.view(|view| format!("{view:?}"))
    }

    /// The state that the status page shows.
    pub fn state(&mut self) -> State {
        let seen = self.seen();
        self.page(|_, page| if let Page::Status(state) = page { Some(*state) } else { None })
            .unwrap_or_else(|| panic!("no status page but {seen}"))
    }

    /// A fixing's status by the engine.
    pub fn status(&self, place: u8) -> Status {
        let group = self.device.logger().group().expect("a group");
        group.status(FixingNumber::new(place).expect("a place")).expect("a fixing")
    }

    /// A fixing's stage by the engine.
    pub fn stage(&self, place: u8) -> Stage {
        self.status(place).stage
    }

    /// Lights the display and goes to the status page of a fixing of so many.
    pub fn look_at(&mut self, place: u8) {
        for _ in 0..200 {
            let next = self.view(|view| match view {
                View::Fixing(head, Page::Status(_)) if head.which.number == place + 1 => None,
                View::Fixing(_, Page::Status(_)) => Some(Ok(Press::Right)),
                View::Fixing(_, Page::Menu { .. }) => Some(Ok(Press::Left)),
                // whatever is being asked is given up by itself
                View::Fixing(_, Page::Question { .. } | Page::EnterTorque { .. } | Page::EnterCartridge { .. }) => {
                    Some(Err(21))
                }
                // a fault, an overview, the dark or the start: down leads to the status, or lights the display
                View::Dark | View::Start(_) | View::NoJob(_) | View::Overview(_) | View::Fault(_) | View::Link(_) => {
                    Some(Ok(Press::Down))
                }
                // another page of the fixing: so does up
                View::Fixing(..) => Some(Ok(Press::Up)),
            });
            match next {
                None => return,
                Some(Ok(press)) => self.press(press),
                Some(Err(seconds)) => self.run(seconds),
            }
        }
        panic!("the fixing is not to be seen: {}", self.seen());
    }

    /// Opens the menu of the fixing that is shown and takes an item.
    pub fn take(&mut self, item: Item) {
        self.press(Press::Select);
        for _ in 0..Item::ALL.len() {
            let chosen = self.page(|_, page| if let Page::Menu { chosen, .. } = page { Some(*chosen) } else { None });
            match chosen {
                Some(chosen) if chosen == item => {
                    self.press(Press::Select);
                    return;
                }
                Some(_) => self.press(Press::Down),
                None => panic!("no menu: {}", self.seen()),
            }
        }
        panic!("{item:?} is not offered: {}", self.seen());
    }

    /// Answers a question with yes. It must begin with no.
    pub fn yes(&mut self) -> Question {
        let seen = self.seen();
        let question =
            self.page(
                |_, page| {
                    if let Page::Question { question, answer: Answer::No } = page { Some(*question) } else { None }
                },
            );
        let question = question.unwrap_or_else(|| panic!("no question at NO but {seen}"));
        self.press(Press::Right);
        self.press(Press::Select);
        question
    }

    /// Injects a fixing, cartridge undeclared.
    pub fn inject(&mut self, place: u8) {
        self.look_at(place);
        self.take(Item::Inject);
        self.press(Press::Select);
        self.yes();
    }

    /// Seats it.
    pub fn seat(&mut self, place: u8) {
        self.look_at(place);
        self.take(Item::Seat);
        self.yes();
    }

    /// Torques it with what the entry begins with.
    pub fn torque(&mut self, place: u8) {
        self.look_at(place);
        self.take(Item::Torqued);
        self.press(Press::Select);
        self.yes();
    }

    /// The memory's bytes.
    pub fn image(&self) -> Vec<u8> {
        self.world.borrow().memory.bytes.clone()
    }
}

impl<const SIZE: u32, const BATTERY: bool> Default for Bench<SIZE, BATTERY> {
    fn default() -> Self {
        Self::new()
    }
}
