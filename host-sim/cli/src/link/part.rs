//! What is known of a memory whose reading was broken off: a file that only ever grows.
//!
//! ```text
//! head:  "holdoff part 1\n" | device 8 | size u32 | marked u8 | page u32 | link 12 | CRC-32
//! then:  slot u16 | its 512 bytes | CRC-32         one for every slot that was read, the later counts
//! ```
//! Numbers have their low byte first; each CRC-32 is over what stands before it up to the CRC before that.
//! Why this way: at whatever moment the program stops, everything in the file is whole except its end, which is left out.
//! Terms: the *mark* is the page that was open when the first slot was read, and its link, which binds every page before
//! it: where the same link stands in the same page again, those pages have not changed.

use holdoff_core::log::read::{Found, Log as ImageLog};
use holdoff_core::log::{Link, PAGE};
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, Write};
use std::path::{Path, PathBuf};

const MAGIC: &[u8; 15] = b"holdoff part 1\n";
const HEAD: usize = 15 + 8 + 4 + 1 + 4 + 12;
const SLOT: usize = 2 + PAGE;

/// Where the part of a file is kept.
pub fn part_file(file: &Path) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(".part");
    PathBuf::from(name)
}

/// Of which memory.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Origin {
    pub(super) device: [u8; 8],
    pub(super) size: u32,
    /// The page that was open first, and its link; `None` where the memory held no log.
    pub(super) mark: Option<(u32, Link)>,
}

/// A part.
#[derive(Debug)]
pub struct Part {
    /// `None` of one that is kept nowhere.
    file: Option<File>,
    pub(super) origin: Option<Origin>,
    slots: Vec<Option<[u8; PAGE]>>,
}

impl Part {
    /// Opens the part of a file, or begins one. What is no part, or of another version, is begun anew.
    ///
    /// # Errors
    /// It cannot be read or written.
    pub fn open(path: &Path) -> io::Result<Self> {
        let mut file = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes)?;
        let mut part = Self { file: None, origin: None, slots: Vec::new() };
        let whole = part.take(&bytes);
        file.set_len(whole as u64)?;
        file.seek(io::SeekFrom::End(0))?;
        part.file = Some(file);
        Ok(part)
    }

    /// What the program itself has read of a device's memory just before, kept nowhere.
    pub fn of_image(device: [u8; 8], image: &[u8]) -> Self {
        let size = u32::try_from(image.len()).unwrap_or(0);
        let slots = image.chunks_exact(PAGE).map(|slot| slot.first_chunk().copied()).collect();
        let log = ImageLog::open(image, &mut |_| {});
        let mark = log.ok().and_then(|log| match log.page(log.newest()) {
            Some(Found::Page(_, newest)) => Some((newest.header().number, newest.header().link)),
            Some(Found::Lost { .. }) | None => None,
        });
        // without a page to go back to, all is read anew
        Self { file: None, origin: mark.map(|mark| Origin { device, size, mark: Some(mark) }), slots }
    }

    /// Takes what is whole of a file's bytes; returns how many those are.
    fn take(&mut self, bytes: &[u8]) -> usize {
        let Some(head) = sealed(bytes, HEAD) else { return 0 };
        let mut fields = Fields(head);
        if fields.take::<15>() != Some(*MAGIC) {
            return 0;
        }
        let origin = (|| {
            let (device, size) = (fields.take()?, u32::from_le_bytes(fields.take()?));
            let [marked] = fields.take::<1>()?;
            let (page, link) = (u32::from_le_bytes(fields.take()?), Link(fields.take()?));
            Some(Origin { device, size, mark: (marked == 1).then_some((page, link)) })
        })();
        let Some(origin) = origin.filter(|origin| origin.size <= holdoff_core::log::GREATEST_SIZE) else { return 0 };
        self.slots = vec![None; origin.size as usize / PAGE];
        self.origin = Some(origin);
        let mut used = HEAD + 4;
        while let Some(record) = bytes.get(used..).and_then(|rest| sealed(rest, SLOT)) {
            let mut fields = Fields(record);
            let (Some(slot), Some(bytes)) = (fields.take::<2>(), fields.take::<PAGE>()) else { break };
            if let Some(place) = self.slots.get_mut(usize::from(u16::from_le_bytes(slot))) {
                *place = Some(bytes);
            }
            used += SLOT + 4;
        }
        used
    }

    /// Begins anew, with nothing known.
    pub(super) fn begin(&mut self, origin: Origin) -> io::Result<()> {
        if let Some(file) = &mut self.file {
            file.set_len(0)?;
            file.rewind()?;
        }
        let mut head = MAGIC.to_vec();
        head.extend(origin.device);
        head.extend(origin.size.to_le_bytes());
        let (page, link) = origin.mark.unwrap_or((0, Link([0; 12])));
        head.push(u8::from(origin.mark.is_some()));
        head.extend(page.to_le_bytes());
        head.extend(link.0);
        self.append(head)?;
        self.slots = vec![None; origin.size as usize / PAGE];
        self.origin = Some(origin);
        Ok(())
    }

    /// A slot was read.
    pub(super) fn put(&mut self, slot: u32, bytes: &[u8; PAGE]) -> io::Result<()> {
        let mut record = (slot as u16).to_le_bytes().to_vec(); // at most 512 slots
        record.extend(bytes);
        self.append(record)?;
        if let Some(place) = self.slots.get_mut(slot as usize) {
            *place = Some(*bytes);
        }
        Ok(())
    }

    /// What is known of a slot is out of date.
    pub(super) fn forget(&mut self, slot: u32) {
        if let Some(place) = self.slots.get_mut(slot as usize) {
            *place = None;
        }
    }

    /// The slots that are not known, in their order.
    pub(super) fn unknown(&self) -> Vec<u32> {
        (0u32..).zip(&self.slots).filter(|(_, known)| known.is_none()).map(|(slot, _)| slot).collect()
    }

    /// How many slots are known.
    pub(super) fn known(&self) -> u32 {
        self.slots.iter().flatten().count() as u32
    }

    /// The memory; slots that are not known are left blank.
    pub(super) fn image(&self) -> Vec<u8> {
        self.slots.iter().flat_map(|slot| slot.unwrap_or([0xFF; PAGE])).collect()
    }

    fn append(&mut self, mut record: Vec<u8>) -> io::Result<()> {
        let Some(file) = &mut self.file else { return Ok(()) };
        let check = crc32(&record);
        record.extend(check.to_le_bytes());
        file.write_all(&record)
    }
}

/// The first `length` bytes, when the CRC behind them agrees.
fn sealed(bytes: &[u8], length: usize) -> Option<&[u8]> {
    let record = bytes.get(..length)?;
    let check = bytes.get(length..)?.first_chunk::<4>()?;
    (crc32(record) == u32::from_le_bytes(*check)).then_some(record)
}

fn crc32(bytes: &[u8]) -> u32 {
    crc::Crc::<u32>::new(&crc::CRC_32_ISO_HDLC).checksum(bytes)
}

/// Bytes, taken from the front.
struct Fields<'a>(&'a [u8]);

impl Fields<'_> {
    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (first, rest) = self.0.split_first_chunk::<N>()?;
        self.0 = rest;
        Some(*first)
    }
}
