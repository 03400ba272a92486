//! The open page: the one that is still written on.
//!
//! What for: it takes items in, and brings each version of itself into two slots, its home and its mirror.
//! Why two: what was acknowledged must be there after a power cut inside the next write, and must be noticed or healed
//! when a bit flips at rest. A commit is acknowledged when both copies hold it, and never writes the second before the
//! first is whole. So at any instant one slot holds the version acknowledged last or a newer one; and no single damaged
//! slot takes an acknowledged item away. A log that kept only one copy of its newest record could not tell that record's
//! damage from a write that was cut.
//! Invariants: items only ever join, so of two whole copies the one with more items is the newer.
//! What it does not do: choose pages, close them, or count room (`super::store`).

use super::chain::{self, Blocks, ChainHead};
use super::coder::{Encoder, Fits, Interval};
use super::geometry::{Geometry, PAGE};
use super::item::{Habit, Item, State, Tie};
use super::memory::{Memory, MemoryError};
use super::page::{Commits, HEADER, Header, MOST_STREAM, Page, Seals, TRAILER};
use super::record::StageSeen;
use super::tag::PageKey;
use crate::group::FixingNumber;

/// How a slot stands to the image in RAM.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Copy {
    /// It holds the image.
    Same,
    /// It holds another whole version of the page.
    Other,
    /// It does not hold the page.
    Broken,
}

impl Copy {
    const fn worse_than(self, other: Self) -> bool {
        self as u8 > other as u8
    }
}

/// Where writing stands within the page; taken back when a commit fails.
#[derive(Clone, Debug)]
struct Cursor {
    interval: Interval,
    /// Finished bytes of the stream.
    used: usize,
    items: u16,
    state: State,
    habit: Habit,
    commits: Commits,
}

/// The open page.
#[derive(Clone, Debug)]
pub(crate) struct Open {
    header: Header,
    image: [u8; PAGE],
    cursor: Cursor,
    /// Of the header and the finished bytes that were brought into both slots, as the hash is.
    seals: Seals,
    hashed: Blocks,
    home: Copy,
    mirror: Copy,
    writable: Writable,
}

/// Whether items can still join.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Writable {
    Yes,
    /// Its items could not be read back, so nobody knows where the coder stands.
    No,
}

/// What is written as an item.
#[derive(Clone, Copy)]
pub(crate) enum Written<'a> {
    Item(&'a Item),
    /// Evidence of a stage.
    Stage(FixingNumber, StageSeen),
}

/// Items that are written together, in their order.
pub(crate) trait Items {
    /// Gives each of them, every time the same.
    fn each(&self, write: &mut dyn FnMut(Written<'_>));
}

impl<const N: usize> Items for [Item; N] {
    fn each(&self, write: &mut dyn FnMut(Written<'_>)) {
        self.iter().map(Written::Item).for_each(write);
    }
}

impl Items for Item {
    fn each(&self, write: &mut dyn FnMut(Written<'_>)) {
        write(Written::Item(self));
    }
}

/// Why items did not go into the page.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum OpenError {
    /// There is no room for them; nothing has changed.
    NoRoom,
    /// The memory failed; the page is as before, and what the slots hold is worked out at the next commit.
    Memory(MemoryError),
}

impl Open {
    /// A page that neither slot holds yet.
    pub(crate) fn new(header: Header, habit: Habit, key: &PageKey) -> Self {
        let mut image = [0; PAGE];
        let bytes = header.bytes();
        for (place, byte) in image.iter_mut().zip(bytes) {
            *place = byte;
        }
        let mut seals = Seals::new(key);
        seals.update(&bytes);
        let cursor = Cursor {
            interval: Interval::WHOLE,
            used: 0,
            items: 0,
            state: State::new(header.quantum_bits, header.tie),
            habit,
            commits: Commits::First,
        };
        let (home, mirror, writable) = (Copy::Broken, Copy::Broken, Writable::Yes);
        Self { header, image, cursor, seals, hashed: Blocks::NONE, home, mirror, writable }
    }

    /// A page as it was found. When its items cannot be read, nothing more joins it.
    pub(crate) fn found(page: &Page<'_>, habit: Habit, key: &PageKey, home: Copy, mirror: Copy) -> Self {
        let mut made = Self::new(*page.header(), habit, key);
        for (place, byte) in made.image.iter_mut().zip(page.bytes()) {
            *place = *byte;
        }
        let mut read = page.read();
        for item in &mut read {
            if item.is_err() {
                made.writable = Writable::No;
            }
        }
        let (interval, used, state) = read.standing();
        let used = match made.writable {
            Writable::Yes => used,
            Writable::No => page.sealed().len().saturating_sub(HEADER + 1),
        };
        let cursor = &mut made.cursor;
        (cursor.interval, cursor.used, cursor.items) = (interval, used, page.items());
        (cursor.state, cursor.commits) = (*state, Commits::Later);
        (made.home, made.mirror) = (home, mirror);
        made.keep(0);
        made
    }

    pub(crate) const fn header(&self) -> &Header {
        &self.header
    }

    pub(crate) const fn tie(&self) -> Tie {
        self.cursor.state.tie()
    }

    pub(crate) const fn habit(&self) -> Habit {
        self.cursor.habit
    }

    pub(crate) fn habit_mut(&mut self) -> &mut Habit {
        &mut self.cursor.habit
    }

    /// Bytes of the stream that are left.
    pub(crate) const fn room(&self) -> usize {
        MOST_STREAM.saturating_sub(1 + self.cursor.used)
    }

    /// The seal value after all items so far.
    pub(crate) fn head(&self) -> ChainHead {
        let sealed = self.image.get(..=HEADER + self.cursor.used).unwrap_or(&[]);
        chain::head(self.header.number, self.hashed, sealed, self.cursor.items)
    }

    /// Takes the finished bytes behind the first `from` into what seals the page.
    fn keep(&mut self, from: usize) {
        let used = HEADER + self.cursor.used;
        self.seals.update(self.image.get(HEADER + from..used).unwrap_or(&[]));
        // one block at a time: what a large commit leaves is made up for by the readings after it
        let _ = self.hashed.take_one(self.image.get(..used).unwrap_or(&[]));
    }

    /// Takes the items in and brings them into both slots: acknowledged when it returns.
    pub(crate) fn commit(
        &mut self,
        memory: &mut impl Memory,
        geometry: Geometry,
        items: &dyn Items,
    ) -> Result<(), OpenError> {
        if self.writable == Writable::No {
            return Err(OpenError::NoRoom);
        }
        let before = self.cursor.clone();
        let done = match self.take(items) {
            Fits::NotAll => Err(OpenError::NoRoom),
            Fits::All => self.bring(memory, geometry, HEADER + before.used).map_err(OpenError::Memory),
        };
        match done {
            Ok(()) => {
                self.cursor.commits = Commits::Later;
                self.keep(before.used);
            }
            Err(_) => {
                self.cursor = before;
                self.finish(self.cursor.used);
            }
        }
        done
    }

    /// Encodes the items behind the finished bytes.
    fn take(&mut self, items: &dyn Items) -> Fits {
        let cursor = &mut self.cursor;
        let mut total = Some(cursor.items);
        let stream = self.image.get_mut(HEADER..HEADER + MOST_STREAM - 1).unwrap_or(&mut []);
        let mut encoder = Encoder::resume(cursor.interval, stream, cursor.used);
        items.each(&mut |item| {
            match item {
                Written::Item(item) => cursor.state.write(&mut encoder, &mut cursor.habit, item),
                Written::Stage(fixing, seen) => cursor.state.write_stage(&mut encoder, fixing, &seen),
            }
            total = total.and_then(|total| total.checked_add(1));
        });
        let (interval, used, fits) = encoder.state();
        let (Some(total), Fits::All) = (total, fits) else { return Fits::NotAll };
        let before = cursor.used;
        (cursor.interval, cursor.used, cursor.items) = (interval, used, total);
        self.finish(before);
        Fits::All
    }

    /// Writes the ending byte and the trailer into the image; `before` finished bytes were kept by an earlier commit.
    fn finish(&mut self, before: usize) {
        let cursor = &self.cursor;
        let ending = cursor.interval.ending();
        let mut seals = self.seals.clone();
        seals.update(self.image.get(HEADER + before..HEADER + cursor.used).unwrap_or(&[]));
        seals.update(&[ending]);
        let trailer = seals.trailer(cursor.items, cursor.used + 1, cursor.commits);
        let places = self.image.get_mut(HEADER + cursor.used..).unwrap_or_default();
        if let Some((place, places)) = places.split_first_mut() {
            *place = ending;
            for (place, byte) in places.iter_mut().zip(&trailer) {
                *place = *byte;
            }
        }
    }

    /// Brings the image into both slots, first into the one that is worse off, so that a whole copy stands by. Bytes
    /// before `from` stand already in a slot that is the same.
    fn bring(&mut self, memory: &mut impl Memory, geometry: Geometry, from: usize) -> Result<(), MemoryError> {
        let end = HEADER + self.cursor.used + 1 + TRAILER;
        let number = self.header.number;
        let home = (geometry.offset(geometry.home(number)), &mut self.home);
        let mirror = (geometry.offset(geometry.mirror(number)), &mut self.mirror);
        let (first, then) = if mirror.1.worse_than(*home.1) { (mirror, home) } else { (home, mirror) };
        write(&self.image, memory, first.0, first.1, from, end)?;
        write(&self.image, memory, then.0, then.1, from, end).inspect_err(|_| {
            *first.1 = Copy::Other; // a version ahead of what goes on in RAM
        })
    }

    /// Makes sure that the home slot holds the page, before its mirror is given up.
    pub(crate) fn settle(&mut self, memory: &mut impl Memory, geometry: Geometry) -> Result<(), MemoryError> {
        let end = HEADER + self.cursor.used + 1 + TRAILER;
        let number = self.header.number;
        let (home, mirror) = (geometry.offset(geometry.home(number)), geometry.offset(geometry.mirror(number)));
        match self.home {
            Copy::Same => return Ok(()),
            Copy::Other if self.mirror == Copy::Broken => {
                write(&self.image, memory, mirror, &mut self.mirror, 0, end)?;
            }
            Copy::Other | Copy::Broken => {}
        }
        write(&self.image, memory, home, &mut self.home, 0, end)
    }

    /// The mirror's slot goes to the next page.
    pub(crate) fn give_up_mirror(&mut self) {
        self.mirror = Copy::Broken;
    }
}

/// Writes the image, or what is new of it, into a slot.
fn write(
    image: &[u8; PAGE],
    memory: &mut impl Memory,
    offset: u32,
    copy: &mut Copy,
    from: usize,
    end: usize,
) -> Result<(), MemoryError> {
    let from = match copy {
        Copy::Same => from,
        Copy::Other | Copy::Broken => 0,
    };
    let bytes = image.get(from..end).unwrap_or(&[]);
    let place = offset.saturating_add(from as u32); // below 512
    let done = memory.write(place, bytes);
    *copy = if done.is_ok() { Copy::Same } else { Copy::Broken };
    done
}

#[cfg(test)]
mod tests {
    use super::{Habit, Open};
    use crate::fixing::Action;
    use crate::group::FixingNumber;
    use crate::log::chain::first_link;
    use crate::log::item::Tie;
    use crate::log::memory::RamMemory;
    use crate::log::tag::PageKey;
    use crate::log::{ClockTie, DeviceId, Geometry, Header, Item, LEAST_SIZE, MissingCause, Record};
    use crate::quantity::{Count, Instant};

    /// The worked example of `docs/log-format.md`.
    const EXAMPLE: &str = "\
        48 01 00 00 00 00 43 00 00 7e 4b dd ae d4 bd 3e 3f e0 1b d8 ad 00 1e fe e0 e9 4c 05 5e 6b f8 f0 \
        e1 81 a0 7e 22 a1 5a af 56 8d 6f 6a 68 e5 94 bd 7a 25 b1 31 32 5e b0 ed 61 dd e4 3b 0a 00 1f 00 00 \
        d8 a7 ac";

    fn at(seconds: i64) -> Instant {
        Instant::from_seconds(1_700_000_000 + seconds)
    }

    fn reading(seconds: i64, raw: i16) -> Item {
        Item::Reading { at: at(seconds), count: Count::new(raw) }
    }

    #[test]
    fn the_worked_example_is_what_the_writer_writes() {
        let Some(geometry) = Geometry::of_size(LEAST_SIZE) else { return };
        let Some(fixing) = FixingNumber::new(2) else { return };
        let link = first_link(DeviceId(*b"sample-1"));
        let header = Header { number: 0, session: 0, geometry, quantum_bits: 4, tie: Tie::Loose, link };
        let mut memory = [0xFF; LEAST_SIZE as usize];
        let mut habit = Habit::NONE;
        habit.beat = 60;
        let mut open = Open::new(header, habit, &PageKey::KNOWN);
        let items = [
            Item::Record(Record::ClockTie(ClockTie { at: at(-900), utc: 1_700_002_700, offset_minutes: 60 })),
            reading(0, 3072),
            reading(60, 3088),
            reading(120, 3088),
            reading(180, 3072),
            Item::Missing { at: at(240), cause: MissingCause::NotTaken },
            reading(300, 3056),
            reading(320, 3056),
            Item::Record(Record::Action { at: at(330), fixing, action: Action::Seat }),
            reading(380, 3008),
        ];
        let done = open.commit(&mut RamMemory(&mut memory), geometry, &items);
        assert_eq!(done, Ok(()));
        let written = memory.split(|byte| *byte == 0xFF).next().unwrap_or(&[]);
        let mut expected = EXAMPLE.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).ok());
        assert!(written.iter().all(|byte| expected.next() == Some(Some(*byte))), "{written:02x?}");
        assert_eq!(expected.next(), None);
    }
}
