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

use super::chain::{self, ChainHead};
use super::coder::{Encoder, Fits, Interval};
use super::geometry::{Geometry, PAGE};
use super::item::{Habit, Item, State, Tie};
use super::logger::Beginning;
use super::memory::{Memory, MemoryError};
use super::page::{Check, Commits, HEADER, Header, MOST_STREAM, Page, PageError, TRAILER, trailer};
use super::record::{Identity, Record};

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

/// Items that are written together, made one after another where that saves room.
pub(crate) enum Writing<'a> {
    /// One item.
    One(&'a Item),
    /// What a session begins with.
    Session(&'a Identity, &'a Beginning),
    /// Any.
    #[cfg(test)]
    Several(&'a [Item]),
}

impl Writing<'_> {
    /// How many.
    const fn count(&self) -> u16 {
        match self {
            Self::One(_) => 1,
            Self::Session(..) => 3,
            #[cfg(test)]
            Self::Several(items) => items.len() as u16,
        }
    }

    /// Calls with each in order.
    pub(crate) fn each(&self, call: &mut dyn FnMut(&Item)) {
        match self {
            Self::One(item) => call(item),
            Self::Session(identity, beginning) => {
                call(&Item::Record(Record::Identity(**identity)));
                resin_of(beginning, call);
                call(&Item::Record(Record::Job(beginning.job)));
            }
            #[cfg(test)]
            Self::Several(items) => items.iter().for_each(call),
        }
    }
}

/// Apart, so that the record of a resin does not stand on the stack with the others.
#[inline(never)]
fn resin_of(beginning: &Beginning, call: &mut dyn FnMut(&Item)) {
    call(&Item::Record(Record::Resin(beginning.resin.clone())));
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
    /// Over the header and the finished bytes.
    check: Check,
    commits: Commits,
}

/// The open page.
#[derive(Clone, Debug)]
pub(crate) struct Open {
    header: Header,
    image: [u8; PAGE],
    cursor: Cursor,
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

/// Why items did not go into the page.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum OpenError {
    /// There is no room for them; nothing has changed.
    NoRoom,
    /// The memory failed; the page is as before, and what the slots hold is worked out at the next commit.
    Memory(MemoryError),
}

impl Open {
    /// Before a page has begun: every bit is zero.
    pub(crate) const NONE: Self = Self {
        header: Header::NONE,
        image: [0; PAGE],
        cursor: Cursor {
            interval: Interval::NONE,
            used: 0,
            items: 0,
            state: State::NONE,
            habit: Habit::NONE,
            check: Check::NONE,
            commits: Commits::First,
        },
        home: Copy::Same,
        mirror: Copy::Same,
        writable: Writable::Yes,
    };

    /// Begins a page that neither slot holds yet. What stood in the image behind the header may stay: nothing reads it.
    pub(crate) fn begin(&mut self, header: &Header, habit: Habit) {
        self.header = *header;
        let bytes = header.bytes();
        for (place, byte) in self.image.iter_mut().zip(bytes) {
            *place = byte;
        }
        let cursor = &mut self.cursor;
        cursor.check = Check::NONE;
        cursor.check.update(&bytes);
        (cursor.interval, cursor.used, cursor.items) = (Interval::WHOLE, 0, 0);
        cursor.state.begin(header.quantum_bits, header.tie);
        (cursor.habit, cursor.commits) = (habit, Commits::First);
        (self.home, self.mirror, self.writable) = (Copy::Broken, Copy::Broken, Writable::Yes);
    }

    /// The bytes of the page, for a mount to read slots into.
    pub(crate) const fn image_mut(&mut self) -> &mut [u8; PAGE] {
        &mut self.image
    }

    /// Goes on with the page that stands in the image. When its items cannot be read, nothing more joins it.
    ///
    /// # Errors
    /// There is no page in the image.
    pub(crate) fn found(&mut self, habit: Habit, home: Copy, mirror: Copy) -> Result<(), PageError> {
        let page = Page::find(&self.image)?;
        let mut writable = Writable::Yes;
        let mut read = page.read();
        for item in read.by_ref() {
            if item.is_err() {
                writable = Writable::No;
            }
        }
        let (interval, used, state) = read.standing();
        let used = match writable {
            Writable::Yes => used,
            Writable::No => page.sealed().len().saturating_sub(HEADER + 1),
        };
        let cursor = &mut self.cursor;
        cursor.check = Check::NONE;
        cursor.check.update(page.bytes().get(..HEADER + used).unwrap_or(&[]));
        (cursor.interval, cursor.used, cursor.items) = (interval, used, page.items());
        cursor.state.clone_from(state);
        (cursor.habit, cursor.commits) = (habit, Commits::Later);
        (self.header, self.home, self.mirror, self.writable) = (*page.header(), home, mirror, writable);
        Ok(())
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

    /// The seal value after all items so far.
    pub(crate) fn head(&self) -> ChainHead {
        let sealed = self.image.get(..=HEADER + self.cursor.used).unwrap_or(&[]);
        chain::head(self.header.number, sealed, self.cursor.items)
    }

    /// Takes the items in and brings them into both slots: acknowledged when it returns.
    pub(crate) fn commit(
        &mut self,
        memory: &mut impl Memory,
        geometry: Geometry,
        items: &Writing<'_>,
    ) -> Result<(), OpenError> {
        if self.writable == Writable::No {
            return Err(OpenError::NoRoom);
        }
        let before = self.cursor.clone();
        if self.take(items) == Fits::NotAll {
            self.cursor = before;
            self.finish();
            return Err(OpenError::NoRoom);
        }
        let from = HEADER + before.used;
        match self.bring(memory, geometry, from) {
            Ok(()) => {
                self.cursor.commits = Commits::Later;
                Ok(())
            }
            Err(error) => {
                self.cursor = before;
                self.finish();
                Err(OpenError::Memory(error))
            }
        }
    }

    /// Encodes the items behind the finished bytes.
    fn take(&mut self, items: &Writing<'_>) -> Fits {
        let cursor = &mut self.cursor;
        let Some(total) = cursor.items.checked_add(items.count()) else {
            return Fits::NotAll;
        };
        let stream = self.image.get_mut(HEADER..HEADER + MOST_STREAM - 1).unwrap_or(&mut []);
        let mut encoder = Encoder::resume(cursor.interval, stream, cursor.used);
        items.each(&mut |item| cursor.state.write(&mut encoder, &mut cursor.habit, item));
        let (interval, used, fits) = encoder.state();
        if fits == Fits::NotAll {
            return fits;
        }
        if let Some(finished) = self.image.get(HEADER + cursor.used..HEADER + used) {
            cursor.check.update(finished);
        }
        (cursor.interval, cursor.used, cursor.items) = (interval, used, total);
        self.finish();
        Fits::All
    }

    /// Writes the ending byte and the trailer into the image.
    fn finish(&mut self) {
        let cursor = &self.cursor;
        let ending = cursor.interval.ending();
        let mut check = cursor.check;
        check.update(&[ending]);
        let trailer = trailer(check, cursor.items, cursor.used + 1, cursor.commits);
        let places = self.image.iter_mut().skip(HEADER + cursor.used);
        for (place, byte) in places.zip([ending].into_iter().chain(trailer)) {
            *place = byte;
        }
    }

    /// Brings the image into both slots, first into the one that is worse off, so that a whole copy stands by. Bytes
    /// before `from` stand already in a slot that is the same.
    fn bring(&mut self, memory: &mut impl Memory, geometry: Geometry, from: usize) -> Result<(), MemoryError> {
        let end = HEADER + self.cursor.used + 1 + TRAILER;
        let number = self.header.number;
        let (home, mirror) = (geometry.home(number), geometry.mirror(number));
        if self.mirror.worse_than(self.home) {
            write(&self.image, memory, geometry.offset(mirror), &mut self.mirror, from, end)?;
            return write(&self.image, memory, geometry.offset(home), &mut self.home, from, end).inspect_err(|_| {
                self.mirror = Copy::Other; // a version ahead of what goes on in RAM
            });
        }
        write(&self.image, memory, geometry.offset(home), &mut self.home, from, end)?;
        write(&self.image, memory, geometry.offset(mirror), &mut self.mirror, from, end).inspect_err(|_| {
            self.home = Copy::Other;
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
    use super::{Habit, Open, Writing};
    use crate::fixing::Action;
    use crate::group::FixingNumber;
    use crate::log::chain::first_link;
    use crate::log::item::Tie;
    use crate::log::memory::RamMemory;
    use crate::log::{ClockTie, DeviceId, Geometry, Header, Item, LEAST_SIZE, MissingCause, Record};
    use crate::quantity::{Count, Instant};

    /// The worked example of `docs/log-format.md`.
    const EXAMPLE: &str = "\
        48 01 00 00 00 00 43 00 00 7e 4b dd ae d4 bd 3e 3f e0 1b d8 ad 00 1e fe e0 e9 4c 05 5e 6b f8 f0 \
        e1 81 a0 7e 22 a1 5a af 56 8d 6f 6a 68 e5 94 bd 7a 25 b1 31 0a 00 1f 00 f8 af 71 b0";

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
        let mut open = Open::NONE;
        open.begin(&header, habit);
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
        let done = open.commit(&mut RamMemory(&mut memory), geometry, &Writing::Several(&items));
        assert_eq!(done, Ok(()));
        let written = memory.split(|byte| *byte == 0xFF).next().unwrap_or(&[]);
        let mut expected = EXAMPLE.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).ok());
        assert!(written.iter().all(|byte| expected.next() == Some(Some(*byte))), "{written:02x?}");
        assert_eq!(expected.next(), None);
    }
}
