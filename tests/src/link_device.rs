//! A logger without hardware at the other end of a line: the device's own session over a log in a fake memory.
//!
//! What for: the PC's side is tested against what runs on the device, over lines that break, lose, double and garble.

use crate::log_sample::{DEVICE, beginning, blank, readings, spec};
use crate::memory::FakeMemory;
use holdoff_core::cure::Rule;
use holdoff_core::fixing::{InHole, Injection};
use holdoff_core::group::Happening;
use holdoff_core::log::{
    Bytes, DeviceId, Logger, Memory, MountError, Owner, PAGE, PageKey, VERSION as LOG_VERSION, mount,
};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::seal::{CHALLENGE, MOST_SEALED_HEAD, SecretKey};
use holdoff_firmware::link::{Host, LoadedJob, Session, over_log};
use holdoff_link::frame::{AROUND, Decoder, Frame, MOST_FRAME, Speaker, seal, send};
use holdoff_link::message::{Answer, Asked, Clock, Greeting, Identity, Job, Log, Refusal, Request, Tie, Welcome};
use holdoff_link::status::{ClockState, Fixing, Group, Probe};
use holdoff_link::wire::{whole, write};
use std::str::FromStr;

/// The seed of the device's key: what must never be on the line. Its first byte is the device's own.
pub const SEED: [u8; 32] = *b"\xA7seed-of-the-fake-device's-key\xF3\x1C";

/// The device.
#[derive(Debug)]
pub struct FakeDevice {
    /// Its log.
    pub logger: Logger<FakeMemory>,
    /// Now, on the monotonic clock.
    pub now: i64,
    /// What the wall clock is ahead of it.
    pub ahead: Option<i64>,
    /// Whether its wall clock says what the computer's does, whatever the logger's seconds are.
    pub right: bool,
    offset_minutes: i16,
    labels: Vec<String>,
    /// After so many pieces read, a reading is recorded.
    pub restless: Option<u32>,
    pieces: u32,
    /// How often something was done that changes something.
    pub acts: u32,
    /// Why the memory is none that the device writes on; `None` where it is its own.
    pub refused: Option<MountError>,
    /// What it says of its group beyond the truth.
    pub group_lie: Option<fn(&mut Group)>,
    /// What it says of its fixings beyond the truth.
    pub fixing_lie: Option<fn(&mut Fixing)>,
    /// What it says of its log beyond the truth.
    pub log_lie: Option<fn(&mut Log)>,
    /// What it says of itself beyond the truth.
    pub identity_lie: Option<fn(&mut Identity)>,
    /// Its number.
    pub number: DeviceId,
    /// The seed of its key.
    pub seed: [u8; 32],
}

impl FakeDevice {
    /// Over a log.
    pub fn new(logger: Logger<FakeMemory>, now: i64) -> Self {
        Self {
            logger,
            now,
            ahead: None,
            right: false,
            offset_minutes: 0,
            labels: Vec::new(),
            restless: None,
            pieces: 0,
            acts: 0,
            refused: None,
            group_lie: None,
            fixing_lie: None,
            log_lie: None,
            identity_lie: None,
            number: DEVICE,
            seed: SEED,
        }
    }

    /// Another logger, over a blank memory of its own: a number and a key that end in this digit.
    pub fn another(size: usize, digit: u8) -> Self {
        let (mut number, mut seed) = (DEVICE, SEED);
        number.0[7] = b'0' + digit;
        seed[0] = digit;
        Self { number, seed, ..Self::new(blank(size, number), 1_700_000_000) }
    }

    /// With a blank memory.
    pub fn blank(size: usize) -> Self {
        Self::new(blank(size, DEVICE), 1_700_000_000)
    }

    /// With a log of one fixing, on which nothing runs, and so many readings, one a minute.
    pub fn recorded(size: usize, label: &str, readings: u32, degrees: i16) -> Self {
        Self::blank(size).with_log(label, readings, degrees)
    }

    /// The same with a wall clock that goes as the computer's.
    #[must_use]
    pub fn set_right(mut self) -> Self {
        self.right = true;
        self
    }

    /// The same with a log of one fixing and so many readings.
    #[must_use]
    pub fn with_log(mut self, label: &str, readings: u32, degrees: i16) -> Self {
        self.logger.begin(&beginning()).expect("blank");
        self.logger.add(Bytes::cut(label), spec()).expect("room");
        self.labels = vec![label.to_owned()];
        self.record(readings, degrees);
        self
    }

    /// Over the log of the sample: nothing runs but what runs in it.
    pub fn sample() -> Self {
        let logger = crate::log_sample::sample(3, DEVICE);
        let at = logger.session().last_at().expect("readings");
        Self::new(logger, at.seconds() + 60)
    }

    /// Over a memory that holds its log; it came up again.
    pub fn of_memory(bytes: Vec<u8>) -> Self {
        let memory = FakeMemory::of(bytes, 64);
        let (logger, _) = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("its log");
        let (at, _) = logger.group().and_then(|group| group.last_reading()).expect("readings");
        Self::new(logger, at.seconds())
    }

    /// Over the memory of another logger, whose number and key these are.
    pub fn of_other(bytes: Vec<u8>, number: DeviceId, seed: Option<[u8; 32]>) -> Self {
        let key = seed.map_or(PageKey::KNOWN, |seed| PageKey::of_seed(&seed));
        let memory = FakeMemory::of(bytes, 64);
        let (logger, _) = mount(memory, Owner { device: number, key }, &mut |_| {}, &mut |_| {}).expect("its log");
        Self { number, seed: seed.unwrap_or(SEED), ..Self::new(logger, 0) }
    }

    /// What its memory holds.
    pub fn memory(&self) -> &[u8] {
        self.logger.memory().bytes()
    }

    /// Records readings, one a minute.
    pub fn record(&mut self, count: u32, degrees: i16) {
        self.now = readings(&mut self.logger, self.now as u64, self.now + 60, count, degrees) - 60;
    }

    fn clock_state(&self) -> ClockState {
        self.ahead.map_or(ClockState::Unset, |_| ClockState::Set)
    }

    fn tick(&mut self) {
        self.pieces += 1;
        if self.restless.is_some_and(|every| self.pieces % every == 0) {
            self.now += 60;
            let what = Happening::Reading { at: Instant::from_seconds(self.now), count: Count::from_degrees(7) };
            let _ = self.logger.happen(what, &mut |_| {}).expect("room");
        }
    }
}

/// What is said instead of the truth, where there is a lie.
fn tell<T>(lie: Option<fn(&mut T)>, truth: &mut T) {
    if let Some(lie) = lie {
        lie(truth);
    }
}

impl Host for FakeDevice {
    fn identity(&mut self) -> Identity {
        let mut said = Identity {
            device: self.number.0,
            key: Some(*SecretKey::from_seed(self.seed).expect("a key").public().bytes()),
            firmware: [0, 1, 0],
            board: heapless::String::from_str("test bench").expect("short"),
            log_version: LOG_VERSION,
            memory: self.logger.memory().size(),
            page: PAGE as u16,
        };
        tell(self.identity_lie, &mut said);
        said
    }

    fn runs(&mut self) -> ([u8; 3], heapless::String<24>) {
        ([0, 1, 0], heapless::String::from_str("test bench").expect("short"))
    }

    fn memory_size(&mut self) -> u32 {
        self.logger.memory().size()
    }

    fn clock(&mut self) -> Result<Clock, Refusal> {
        let here =
            std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).map_or(0, |since| since.as_secs());
        let utc = if self.right { Some(here as i64) } else { self.ahead.map(|ahead| self.now + ahead) };
        Ok(Clock { utc, offset_minutes: self.offset_minutes, at: self.now, state: self.clock_state() })
    }

    fn is_clock_failed(&mut self) -> bool {
        false
    }

    fn set_clock(&mut self, utc: i64, offset_minutes: i16) -> Result<(), Refusal> {
        self.acts += 1;
        over_log::tie(Instant::from_seconds(self.now), utc, offset_minutes, &mut self.logger)?;
        (self.ahead, self.offset_minutes) = (Some(utc - self.now), offset_minutes);
        Ok(())
    }

    fn running(&mut self) -> Option<u8> {
        over_log::running(&self.logger)
    }

    fn load(&mut self, job: &LoadedJob<'_>) -> Result<(), Refusal> {
        if self.refused.is_some() {
            return Err(Refusal::NoLog);
        }
        self.acts += 1;
        let source = beginning().source;
        over_log::begin(job, [0, 1, 0], source, &mut self.logger)?;
        self.offset_minutes = job.offset_minutes;
        self.labels = job.fixings().map(|fixing| fixing.label.text().expect("text").to_owned()).collect();
        Ok(())
    }

    fn log(&mut self) -> Log {
        let mut said = match self.refused {
            Some(error) => over_log::unmounted(&error, self.logger.memory().size()),
            None => over_log::log(&self.logger),
        };
        tell(self.log_lie, &mut said);
        said
    }

    fn group(&mut self) -> Group {
        let reading = over_log::reading(&self.logger);
        let mut said = Group {
            loaded: over_log::loaded(&self.logger),
            now: Some(self.now),
            ahead: self.ahead,
            offset_minutes: self.offset_minutes,
            reading,
            clock: self.clock_state(),
            probe: reading.map_or(Probe::Unasked, |_| Probe::Answers),
            trust: over_log::trust(&self.logger),
            readings: over_log::readings(&self.logger),
            battery_mv: Some(2987),
        };
        tell(self.group_lie, &mut said);
        said
    }

    fn ties(&mut self) -> heapless::Vec<Tie, { holdoff_core::log::MOST_HOLDS }> {
        over_log::ties(&self.logger)
    }

    fn fixing(&mut self, number: u8) -> Result<Fixing, Refusal> {
        let label = self.labels.get(usize::from(number)).map(String::as_str);
        let mut said = over_log::fixing(number, label, &self.logger)?;
        tell(self.fixing_lie, &mut said);
        Ok(said)
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), Refusal> {
        self.tick();
        self.logger.memory_mut().read(offset, into).map_err(|_| Refusal::Memory)
    }

    fn head(&mut self, challenge: [u8; CHALLENGE]) -> Result<heapless::Vec<u8, MOST_SEALED_HEAD>, Refusal> {
        if self.refused.is_some() {
            return Err(Refusal::NoLog);
        }
        let key = SecretKey::from_seed(self.seed).expect("a key");
        over_log::head(Instant::from_seconds(self.now), challenge, &key, &self.logger)
    }

    fn read_out(&mut self, below: u32) -> Result<(), Refusal> {
        self.acts += 1;
        self.logger.read_out(below).map_err(over_log::refusal)
    }
}

/// The bytes of a request's frame in a talk.
pub fn request(talk: u32, sequence: u16, request: &Request) -> Vec<u8> {
    frame(1, sequence, &Asked::of(talk, request))
}

/// The bytes of a frame on the line.
pub fn frame(version: u8, sequence: u16, message: &impl serde::Serialize) -> Vec<u8> {
    let mut bytes = [0; MOST_FRAME];
    let length = write(message, &mut bytes[3..MOST_FRAME - (AROUND - 3)]).expect("it fits");
    let frame = seal(&mut bytes, Speaker::Pc, version, sequence, length).expect("it fits");
    let mut coded = Vec::new();
    send(frame, &mut |piece| coded.extend_from_slice(piece));
    coded
}

/// Everything that is answered to these bytes: version, number, message.
pub fn answers(session: &mut Session, device: &mut FakeDevice, bytes: &[u8]) -> Vec<(u8, u16, Vec<u8>)> {
    let mut sent = Vec::new();
    session.take(bytes, device, &mut |piece| sent.extend_from_slice(piece));
    let mut decoder = Decoder::<MOST_FRAME>::new();
    let mut heard = Vec::new();
    for byte in sent {
        if let Some(bytes) = decoder.push(byte) {
            let frame = Frame::of(bytes).expect("what is sent is whole");
            assert_eq!(frame.speaker, Speaker::Logger);
            heard.push((frame.version, frame.sequence, frame.message.to_vec()));
        }
    }
    heard
}

/// Asks one thing in the session's talk; where nobody has greeted yet, greets first.
pub fn ask(session: &mut Session, device: &mut FakeDevice, sequence: u16, asked: &Request) -> Answer {
    let talk = session.talk().unwrap_or_else(|| {
        greet(session, device, 1_000);
        1_000
    });
    let heard = answers(session, device, &request(talk, sequence, asked));
    let [(1, found, message)] = &heard[..] else { panic!("{asked:?}: {heard:?}") };
    assert_eq!(*found, sequence);
    whole(message).expect("an answer")
}

/// A start with a reading in the hole: the readings of a fake device go up and down too much for its probe to have settled.
pub fn measured_in_the_hole(at: i64, degrees: i8) -> Injection {
    let in_hole = InHole { at: Instant::from_seconds(at), count: Count::from_degrees(degrees) };
    Injection { in_hole: Some(in_hole), ..Injection::default() }
}

/// Greets.
pub fn greet(session: &mut Session, device: &mut FakeDevice, talk: u32) -> Welcome {
    let hello = Greeting::Hello { least: 1, greatest: 1, talk };
    let heard = answers(session, device, &frame(0, 9, &hello));
    let [(0, 9, message)] = &heard[..] else { panic!("{heard:?}") };
    whole(message).expect("a welcome")
}

/// What a bad line makes of bytes: loses, doubles, garbles and swaps some, `one_in` so many each.
pub fn spoil(bytes: &[u8], one_in: u64, number: &mut impl FnMut() -> u64) -> Vec<u8> {
    let mut spoilt = Vec::with_capacity(bytes.len());
    for byte in bytes {
        match number() % (4 * one_in) {
            0 => {}
            1 => spoilt.extend([*byte, *byte]),
            2 => spoilt.push(number() as u8),
            3 => {
                let at = spoilt.len().saturating_sub(1);
                spoilt.insert(at, *byte);
            }
            _ => spoilt.push(*byte),
        }
    }
    spoilt
}

/// The first message of a job, default settings and a reading a minute.
pub fn job(batches: u8, fixings: u8) -> Job {
    Job {
        file: [7; 32],
        uncertainty: 256,
        longest_gap: 300,
        clock_ppm: 100,
        settle: 180,
        rule: Rule::Coldest,
        period: 60,
        offset_minutes: 60,
        batches,
        fixings,
        undecided: 0,
    }
}

/// Requests of every kind, with fields that are taken and with fields that are not.
pub fn every_request() -> Vec<Request> {
    use holdoff_core::resin::Hole;
    use holdoff_link::message::{Batch, Planned};
    let text = |text: &str| heapless::String::from_str(text).expect("short");
    let planned = Planned {
        number: 0,
        label: heapless::String::from_str("bollard 3 stud 1").expect("short"),
        hole: Hole::Dry,
        torque: Some((3800, 4200)),
        batch: Some(0),
    };
    let mut all = vec![
        Request::Identity,
        Request::Clock,
        Request::SetClock { utc: 1_800_000_000, offset_minutes: 60 },
        Request::Log,
        Request::Group,
        Request::Fixing { number: 0 },
        Request::Read { offset: 512, length: 256 },
        Request::Begin(job(1, 1)),
        Request::Resin(resin()),
        Request::Batch(Batch { number: 0, text: text("LOT 7"), use_by: Some(1_800_000_000) }),
        Request::Fix(planned),
        Request::Commit,
        Request::Confirm { page: 0, digest: [0; 32] },
        Request::SignOut { below: u32::MAX },
        Request::Ties,
        Request::Head { challenge: [7; 16] },
    ];
    // one more of the same kind with other fields; the match is complete, so a new kind of request must be put in above
    let others: Vec<Request> = all
        .iter()
        .map(|request| match request {
            Request::Identity => Request::Identity,
            Request::Clock => Request::Clock,
            Request::SetClock { .. } => Request::SetClock { utc: i64::MIN, offset_minutes: i16::MIN },
            Request::Log => Request::Log,
            Request::Group => Request::Group,
            Request::Fixing { .. } => Request::Fixing { number: 255 },
            Request::Read { .. } => Request::Read { offset: u32::MAX, length: u16::MAX },
            Request::Begin(_) => Request::Begin(Job { uncertainty: u16::MAX, ..job(1, 1) }),
            Request::Resin(_) => Request::Resin(holdoff_link::message::Resin { wet_factor: 1, ..resin() }),
            Request::Batch(_) => Request::Batch(Batch { number: 9, text: text("\u{7}"), use_by: None }),
            Request::Fix(_) => Request::Fix(Planned {
                number: 99,
                label: heapless::String::new(),
                hole: Hole::Flooded,
                torque: Some((2, 1)),
                batch: Some(99),
            }),
            Request::Commit => Request::Commit,
            Request::Confirm { .. } => Request::Confirm { page: u32::MAX, digest: [0xFF; 32] },
            Request::SignOut { .. } => Request::SignOut { below: 0 },
            Request::Ties => Request::Ties,
            Request::Head { .. } => Request::Head { challenge: [0xFF; 16] },
        })
        .collect();
    all.extend(others);
    all
}

/// The schedule of the sample as a message.
pub fn resin() -> holdoff_link::message::Resin {
    use holdoff_core::resin::Accrual;
    use holdoff_link::message::Resin;
    let core = beginning().resin;
    Resin {
        name: heapless::String::from_str("S1, invented").expect("short"),
        file: [0x5A; 32],
        resin_use: core.resin_use,
        limits: *core.resin.limits(),
        cartridge: (core.resin.cartridge_least(), core.resin.cartridge_greatest()),
        holes: 7,
        wet_factor: core.resin.wet_factor(),
        accrual: Accrual::Permitted,
        bands: core.resin.bands().iter().collect(),
    }
}
