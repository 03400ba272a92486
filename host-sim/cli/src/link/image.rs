//! Reading a logger's memory while it is being written on, and signing it out.
//!
//! How it comes out as it stood at one moment: only the slots of the open page, its mirror, and of pages that are begun
//! meanwhile can change. So the end of the log is asked for, everything is read, the end is asked for again; where it has
//! moved, the slots between the two ends are read again, until it has not moved while they were read. Between two readings
//! there is time for that on any line of 9600 bits a second and more.
//! Where a break was so long that the program was ended, the part (`super::part`) is continued when it is of this device
//! and its mark still stands in the memory: pages before the mark have not changed then.
//! Whoever reads gives the logger 16 random bytes; the logger signs over them where its log ends: so the memory that was
//! read is known to be all that the logger itself had then.
//! What it does not do: judge the log; what is damaged in the memory is read as it is.

use super::beyond::Beyond;
use super::part::{Origin, Part};
use super::talk::Talk;
use super::trouble::Trouble;
use holdoff_core::log::{Geometry, Link, PAGE, Page, read::Log as ImageLog};
use holdoff_core::seal::{CHALLENGE, Head as SignedHead, HeadView, PublicKey};
use holdoff_link::message::{Answer, Head, Log, LogState, PIECE, Refusal, Request};
use sha2::{Digest, Sha256};
use std::io;

/// How often the end of the log may move before it is moving too fast for the line.
const MOST_ROUNDS: u32 = 60;

/// A memory that was read out.
#[derive(Debug)]
pub struct ReadOut {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// How the log stood.
    pub log: Log,
    /// Slots that an earlier, broken-off reading had already.
    pub continued: u32,
    /// Whether the memory's own end of the log is the one that the logger names.
    pub whole: bool,
    /// The end of the log as the logger signed it over what this reader drew; `None` where it has no key, or no log.
    pub answer: Option<Vec<u8>>,
}

impl ReadOut {
    /// As it is kept: the memory, and behind it the logger's signed word for its end.
    pub fn file(&self) -> Vec<u8> {
        self.bytes.iter().chain(self.answer.iter().flatten()).copied().collect()
    }
}

/// Where the reading is: slots known, all slots.
pub type Progress<'a> = &'a mut dyn FnMut(u32, u32);

/// Why a memory could not be read out.
#[derive(Debug)]
pub enum ReadTrouble {
    /// The talk.
    Talk(Trouble),
    /// The part's file.
    Part(io::Error),
    /// The memory changes faster than it can be read.
    Restless,
}

impl From<Trouble> for ReadTrouble {
    fn from(trouble: Trouble) -> Self {
        Self::Talk(trouble)
    }
}

impl From<io::Error> for ReadTrouble {
    fn from(error: io::Error) -> Self {
        Self::Part(error)
    }
}

/// Reads the memory.
///
/// # Errors
/// Why not; what was read so far stands in the part.
pub fn read_image(talk: &mut Talk, part: &mut Part, progress: Progress<'_>) -> Result<ReadOut, ReadTrouble> {
    let (device, size) = talk.identity().map(|who| (who.device, who.memory))?;
    if size == 0 || size % PAGE as u32 != 0 || size > holdoff_core::log::GREATEST_SIZE {
        return Err(Trouble::Beyond(Beyond::Memory { bytes: size }).into());
    }
    let mut head = log(talk)?.head;
    let continued = match resume(talk, part, device, size, head)? {
        Some(from) => {
            head = from;
            part.known()
        }
        None => {
            let mark = mark(talk, size, head)?;
            part.begin(Origin { device, size, mark })?;
            0
        }
    };
    let slots = size / PAGE as u32;
    for _ in 0..MOST_ROUNDS {
        for slot in part.unknown() {
            progress(part.known(), slots);
            let bytes = slot_bytes(talk, slot)?;
            part.put(slot, &bytes)?;
        }
        let now = log(talk)?;
        if now.head == head {
            progress(slots, slots);
            let answer = match answer(talk, &now)? {
                Answered::Signed(answer) => Some(answer),
                Answered::Not => None,
                // something was recorded in between, or the logger signs another end than it tells
                Answered::Elsewhere if log(talk)?.head == now.head => {
                    return Err(Trouble::Beyond(Beyond::Unsigned).into());
                }
                Answered::Elsewhere => continue,
            };
            let bytes = part.image();
            let whole = ends_at(&bytes, &now);
            if !whole && continued > 0 {
                // the part was not of this memory after all
                part.begin(Origin { device: [0; 8], size: 0, mark: None })?;
                return read_image(talk, part, progress);
            }
            return Ok(ReadOut { bytes, log: now, continued, whole, answer });
        }
        forget_changed(part, slots, head, now.head);
        head = now.head;
    }
    Err(ReadTrouble::Restless)
}

/// What came of asking for a signature.
enum Answered {
    Signed(Vec<u8>),
    /// The logger has no key, or no log of its own.
    Not,
    /// The log ends elsewhere by now.
    Elsewhere,
}

/// Has the logger sign where its log ends, over bytes drawn for this one answer.
fn answer(talk: &mut Talk, log: &Log) -> Result<Answered, ReadTrouble> {
    let Some((signed, said)) = challenged(talk)? else { return Ok(Answered::Not) };
    let same = match log.head {
        Some(head) => head == Head { page: said.page, items: said.items, value: said.chain.0 },
        None => (said.page, said.items, said.chain.0) == (0, 0, [0; 12]),
    };
    Ok(if same { Answered::Signed(signed) } else { Answered::Elsewhere })
}

/// Has the logger sign where its log ends, over bytes drawn for this one answer: the sealed head, and what it says. `None` where
/// the logger has no key, or nothing of its own to sign.
///
/// # Errors
/// The talk; and [`Beyond::Unsigned`] where the answer is not signed by the key that the logger names, or not for this challenge.
pub fn challenged(talk: &mut Talk) -> Result<Option<(Vec<u8>, SignedHead)>, Trouble> {
    let mut challenge = [0; CHALLENGE];
    getrandom::fill(&mut challenge).map_err(|error| Trouble::Line(io::Error::other(error.to_string())))?;
    let answer = match talk.ask(&Request::Head { challenge }) {
        Err(Trouble::Refused(Refusal::NoKey | Refusal::NoLog | Refusal::Clock | Refusal::ClockFailed)) => {
            return Ok(None);
        }
        answer => answer?,
    };
    let Answer::Head(signed) = answer else { return Err(Trouble::Unfitting) };
    let (device, key) = talk.identity().map(|who| (who.device, who.key))?;
    let said = HeadView::parse(&signed)
        .ok()
        .zip(key.map(PublicKey::from_bytes))
        .and_then(|(view, key)| view.verify(&key).ok());
    let Some(said) = said.filter(|said| said.device.0 == device && said.challenge == Some(challenge)) else {
        return Err(Trouble::Beyond(Beyond::Unsigned));
    };
    Ok(Some((signed.to_vec(), said)))
}

/// Slots that may have changed while the end of the log moved from one page to another.
fn forget_changed(part: &mut Part, slots: u32, from: Option<Head>, to: Option<Head>) {
    match (from, to) {
        (Some(from), Some(to)) if to.page >= from.page && to.page - from.page < slots => {
            // the home of each page, and the mirror of the last
            (from.page..=to.page.saturating_add(1)).for_each(|page| part.forget(page % slots));
        }
        _ => (0..slots).for_each(|slot| part.forget(slot)),
    }
}

/// The end of the log that the part goes back to, when it can be continued; slots that may have changed are forgotten.
fn resume(
    talk: &mut Talk,
    part: &mut Part,
    device: [u8; 8],
    size: u32,
    head: Option<Head>,
) -> Result<Option<Option<Head>>, ReadTrouble> {
    let Some(origin) = part.origin.filter(|origin| (origin.device, origin.size) == (device, size)) else {
        return Ok(None);
    };
    let slots = size / PAGE as u32;
    match (origin.mark, head) {
        (None, None) => Ok(Some(None)),
        (Some((page, link)), Some(now)) if now.page >= page && now.page - page + 2 < slots => {
            let bytes = slot_bytes(talk, page % slots)?;
            let same =
                Page::find(&bytes).is_ok_and(|found| (found.header().number, found.header().link) == (page, link));
            if !same {
                return Ok(None);
            }
            forget_changed(part, slots, Some(Head { page, ..now }), Some(now));
            Ok(Some(Some(now)))
        }
        _ => Ok(None),
    }
}

/// The page that is open, and its link.
fn mark(talk: &mut Talk, size: u32, head: Option<Head>) -> Result<Option<(u32, Link)>, ReadTrouble> {
    let Some(head) = head else { return Ok(None) };
    let bytes = slot_bytes(talk, head.page % (size / PAGE as u32))?;
    Ok(Page::find(&bytes)
        .ok()
        .map(|page| *page.header())
        .filter(|header| header.number == head.page)
        .map(|header| (header.number, header.link)))
}

/// Whether the newest page of an image ends where the logger says. Of a memory that is not its own it says nothing.
fn ends_at(image: &[u8], said: &Log) -> bool {
    match said.state {
        LogState::Foreign | LogState::Stranger | LogState::NoLog => return true,
        LogState::Blank | LogState::Trusted | LogState::Untrusted | LogState::NoAnswer => {}
    }
    let log = ImageLog::open(image, &mut |_| {});
    match (log, said.head) {
        (Err(_), None) => true,
        (Ok(log), Some(head)) => match log.page(log.newest()) {
            Some(holdoff_core::log::read::Found::Page(_, page)) => {
                let found = holdoff_core::log::head_of(&page);
                (found.page, found.items) == (head.page, head.items) && found.value.starts_with(&head.value)
            }
            Some(holdoff_core::log::read::Found::Lost { .. }) | None => false,
        },
        (Ok(_), None) | (Err(_), Some(_)) => false,
    }
}

fn log(talk: &mut Talk) -> Result<Log, Trouble> {
    let Answer::Log(log) = talk.ask(&Request::Log)? else { return Err(Trouble::Unfitting) };
    Ok(log)
}

fn slot_bytes(talk: &mut Talk, slot: u32) -> Result<[u8; PAGE], Trouble> {
    let mut made = [0; PAGE];
    for (place, to) in (0u32..).zip(made.chunks_mut(PIECE)) {
        let offset = slot * PAGE as u32 + place * PIECE as u32;
        let request = Request::Read { offset, length: PIECE as u16 };
        let Answer::Piece { offset: found, bytes } = talk.ask(&request)? else { return Err(Trouble::Unfitting) };
        if found != offset || bytes.len() != to.len() {
            return Err(Trouble::Unfitting);
        }
        to.copy_from_slice(&bytes);
    }
    Ok(made)
}

/// Shows the logger page by page that all closed pages are here, then marks them as read out. The number of pages that were
/// marked, and the first that is not.
///
/// # Errors
/// Why not; nothing is marked then.
pub fn sign_out(talk: &mut Talk, read: &ReadOut, progress: Progress<'_>) -> Result<(u32, u32), Trouble> {
    let Some((head, geometry)) = read.log.head.zip(Geometry::of_size(read.bytes.len() as u32)) else {
        return Ok((0, 0));
    };
    let (from, below) = (read.log.unread_from, head.page);
    if from >= below {
        return Ok((0, below));
    }
    if let Some(beyond) = Beyond::of_log(&read.log, geometry.slots()) {
        return Err(Trouble::Beyond(beyond));
    }
    for page in from..below {
        progress(page - from, below - from);
        let start = geometry.offset(geometry.home(page)) as usize;
        let slot = read.bytes.get(start..start + PAGE).unwrap_or_default();
        talk.act(&Request::Confirm { page, digest: Sha256::digest(slot).into() })?;
    }
    progress(below - from, below - from);
    match talk.act(&Request::SignOut { below }) {
        Ok(()) => Ok((below - from, below)),
        Err(trouble) => {
            // it may have acted before the logger started anew
            if trouble.is_restart() && log(talk)?.unread_from >= below {
                Ok((below - from, below))
            } else {
                Err(trouble)
            }
        }
    }
}
