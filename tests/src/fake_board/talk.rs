//! What a PC says to the device, as short as it goes: for tests that are about something else.

use super::bench::Bench;
use holdoff_core::cure::Rule;
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::{Accrual, Band, Hole, Limits, ResinUse};
use holdoff_link::frame::{self, AROUND, Decoder, Frame, MOST_FRAME, Speaker};
use holdoff_link::message::{Answer, Asked, Batch, Greeting, Job, Request, Resin};
use holdoff_link::{VERSION, message};

/// The number of every talk here.
const TALK: u32 = 7;

/// A job to be loaded.
#[derive(Clone, Debug)]
pub struct JobPlan {
    /// SHA-256 of the job file.
    pub file: [u8; 32],
    /// The resin.
    pub resin: Resin,
    /// Seconds between readings.
    pub period: u32,
    /// Seconds that its probe takes to settle; 0 where it need not.
    pub settle: u32,
    /// Offset of local time.
    pub offset_minutes: i16,
    /// The batch of all fixings, with the first second past its date.
    pub batch: Option<(String, Option<i64>)>,
    /// The fixings.
    pub fixings: Vec<Planned>,
    /// Fixings of the job before that may stay undecided, one bit each.
    pub undecided: u16,
}

/// A fixing of a plan.
#[derive(Clone, Debug)]
pub struct Planned {
    /// What it is called.
    pub label: String,
    /// Its hole.
    pub hole: Hole,
    /// Least and greatest torque in 1/100 N·m.
    pub torque: Option<(u32, u32)>,
}

/// A job of so many fixings under an invented resin: 5 to 40 °C, from 5 °C on 20 min to work and 2 h to cure, from 10 °C on
/// 10 min and 1 h, from 20 °C on 5 min and 30 min; held for 6 h at most; rejected under -10 °C.
pub fn plan(fixings: usize) -> JobPlan {
    let (count, minutes) = (Count::from_degrees, |minutes: u32| Span::from_seconds(60 * minutes));
    let band = |from, working, cure| Band { from: count(from), working: minutes(working), cure: minutes(cure) };
    JobPlan {
        file: super::again::sha256(""),
        resin: Resin {
            name: text("Quay grey, invented"),
            file: [0x51; 32],
            resin_use: ResinUse::Demo,
            limits: Limits {
                install_least: count(5),
                install_greatest: count(40),
                cure_least: count(5),
                cure_greatest: count(40),
                reject_below: Some(count(-10)),
                reject_above: Some(count(60)),
                longest_hold: Some(minutes(6 * 60)),
            },
            cartridge: (count(5), count(35)),
            holes: 0b111,
            wet_factor: 2,
            accrual: Accrual::Forbidden,
            bands: [band(5, 20, 120), band(10, 10, 60), band(20, 5, 30)].into_iter().collect(),
        },
        period: 60,
        settle: 180,
        offset_minutes: 60,
        batch: None,
        fixings: (1..=fixings)
            .map(|number| Planned {
                label: format!("quay stud {number}"),
                hole: Hole::Dry,
                torque: Some((3_800, 4_200)),
            })
            .collect(),
        undecided: 0,
    }
}

fn text<T: std::str::FromStr>(text: &str) -> T {
    text.parse().unwrap_or_else(|_| panic!("{text:?} is too long"))
}

impl<const SIZE: u32, const BATTERY: bool> Bench<SIZE, BATTERY> {
    /// Asks the device something and waits for its answer.
    ///
    /// # Panics
    /// When none comes.
    pub fn ask(&mut self, request: &Request) -> Answer {
        self.try_ask(request).unwrap_or_else(|| panic!("no answer to {request:?}"))
    }

    /// Asks the device something; `None` when no answer comes.
    pub fn try_ask(&mut self, request: &Request) -> Option<Answer> {
        self.world.borrow_mut().sent.clear();
        // a device that has started anew was not greeted since
        self.send(0, &Greeting::Hello { least: VERSION, greatest: VERSION, talk: TALK });
        self.send(VERSION, &Asked::of(TALK, request));
        for _ in 0..40 {
            self.step();
            let sent = self.world.borrow().sent.clone();
            let mut decoder = Decoder::<MOST_FRAME>::new();
            for byte in sent {
                let Some(bytes) = decoder.push(byte) else { continue };
                let Some(answer) = Frame::of(bytes).filter(|frame| frame.sequence == self.sequence) else { continue };
                return Some(postcard::from_bytes(answer.message).expect("an answer"));
            }
        }
        None
    }

    /// Puts a message on the line under a new number.
    fn send(&mut self, version: u8, message: &impl serde::Serialize) {
        self.sequence = self.sequence.wrapping_add(1);
        let mut bytes = [0u8; MOST_FRAME];
        let used = postcard::to_slice(message, &mut bytes[3..]).expect("it fits").len();
        assert!(used + AROUND <= MOST_FRAME);
        let frame = frame::seal(&mut bytes, Speaker::Pc, version, self.sequence, used).expect("there is room");
        frame::send(frame, &mut |bytes| self.world.borrow_mut().received.extend(bytes));
    }

    /// Loads a job; every request must be taken.
    pub fn load(&mut self, plan: &JobPlan) {
        assert_eq!(self.try_load(plan), Answer::Done);
    }

    /// Loads a job; the answer to the first request that was refused, or to the last one.
    pub fn try_load(&mut self, plan: &JobPlan) -> Answer {
        let mut answer = Answer::Done;
        for request in requests(plan) {
            answer = self.ask(&request);
            if answer != Answer::Done {
                break;
            }
        }
        answer
    }

    /// Loads a job while the power goes; whether it was acknowledged.
    pub fn try_load_cut(&mut self, plan: &JobPlan) -> bool {
        requests(plan).iter().all(|request| self.try_ask(request) == Some(Answer::Done))
    }
}

/// What a PC asks for to load a job.
fn requests(plan: &JobPlan) -> Vec<Request> {
    {
        let job = Job {
            file: plan.file,
            uncertainty: 256,
            longest_gap: 300,
            clock_ppm: 100,
            settle: plan.settle,
            rule: Rule::Coldest,
            period: plan.period,
            offset_minutes: plan.offset_minutes,
            batches: plan.batch.iter().len() as u8,
            fixings: plan.fixings.len() as u8,
            undecided: plan.undecided,
        };
        let mut requests = vec![Request::Begin(job), Request::Resin(plan.resin.clone())];
        if let Some((name, use_by)) = &plan.batch {
            requests.push(Request::Batch(Batch { number: 0, text: text(name), use_by: *use_by }));
        }
        for (number, fixing) in (0u8..).zip(&plan.fixings) {
            requests.push(Request::Fix(message::Planned {
                number,
                label: text(&fixing.label),
                hole: fixing.hole,
                torque: fixing.torque,
                batch: plan.batch.as_ref().map(|_| 0),
            }));
        }
        requests.push(Request::Commit);
        requests
    }
}
