//! What the errors of the log say to who builds with the crate: short English, for a terminal or a trace. What the users of
//! a tool read is a phrase of its own table.

use super::item::ItemError;
use super::logger::LogError;
use super::memory::MemoryError;
use super::mount::MountError;
use super::page::PageError;
use super::record::BodyError;
use super::store::StoreError;
use crate::hex::Hex;
use core::error::Error;
use core::fmt::{Display, Formatter, Result};

impl Display for MemoryError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::NoAnswer => formatter.write_str("the memory did not answer in time"),
            Self::OutOfRange { offset, length } => {
                write!(formatter, "{length} bytes from offset {offset} lie outside the memory")
            }
            Self::ReadOnly => formatter.write_str("the memory can be read only"),
        }
    }
}

impl Error for MemoryError {}

impl Display for StoreError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Memory(_) => {
                formatter.write_str("the memory failed; the item may or may not be in it after a power cut")
            }
            Self::Full { left, reserved } => {
                write!(formatter, "the memory is full: {left} pages left, of which {reserved} are reserved")
            }
            Self::TooLong => formatter.write_str("the items do not fit a page of their own"),
        }
    }
}

impl Error for StoreError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Memory(cause) => Some(cause),
            Self::Full { .. } | Self::TooLong => None,
        }
    }
}

impl Display for LogError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Store(_) => formatter.write_str("the log could not be written"),
            Self::NotMounted => formatter.write_str("the memory is not mounted"),
            Self::NoSession => formatter.write_str("there is no session"),
            Self::PowerUpFirst => formatter.write_str("the power-up of the mounted session must be recorded first"),
            Self::Running { fixing } => {
                write!(formatter, "fixing {} is between injection and its end", fixing.place().saturating_add(1))
            }
            Self::NoRoom { needed, left } => {
                write!(formatter, "the longest cure of another fixing needs {needed} pages, and {left} are left")
            }
            Self::Untrusted => formatter.write_str("the log of the session cannot be trusted"),
            Self::GroupFull => formatter.write_str("the group has sixteen fixings"),
            Self::AccrualNotPermitted => formatter.write_str("the resin does not permit the accrual rule"),
        }
    }
}

impl Error for LogError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Store(cause) => Some(cause),
            Self::NotMounted
            | Self::NoSession
            | Self::PowerUpFirst
            | Self::Running { .. }
            | Self::NoRoom { .. }
            | Self::Untrusted
            | Self::GroupFull
            | Self::AccrualNotPermitted => None,
        }
    }
}

impl Display for MountError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Memory(_) => formatter.write_str("the memory could not be read"),
            Self::Size { found } => {
                write!(formatter, "a memory of {found} bytes: its size must be a power of two from 4 KiB to 256 KiB")
            }
            Self::Version { found, expected } => {
                write!(formatter, "the log is of version {found}; this reads version {expected}")
            }
            Self::Geometry { found, expected } => {
                write!(formatter, "the log was written for a memory of {found} bytes; this one has {expected}")
            }
            Self::Device { found, expected } => {
                write!(formatter, "the log is of device {}, and this is {}", Hex(&found.0), Hex(&expected.0))
            }
            Self::Foreign { number } => write!(formatter, "page {number}, the newest, was not written by this logger"),
            Self::NoLog => formatter.write_str("the memory holds something, but no log"),
        }
    }
}

impl Error for MountError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Memory(cause) => Some(cause),
            Self::Size { .. }
            | Self::Version { .. }
            | Self::Geometry { .. }
            | Self::Device { .. }
            | Self::Foreign { .. }
            | Self::NoLog => None,
        }
    }
}

impl Display for PageError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Blank => formatter.write_str("nothing was ever written in this slot"),
            Self::Damaged => formatter.write_str("the page is damaged, or was cut short while it was written"),
            Self::Version { found } => write!(formatter, "the page is of version {found} of the format"),
            Self::Header => formatter.write_str("no writer writes such a page header"),
        }
    }
}

impl Error for PageError {}

impl Display for ItemError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Short => formatter.write_str("the page ends before its items do"),
            Self::Code { found } => write!(formatter, "no item has the code {found}"),
            Self::Length { found } => write!(formatter, "{found} is too long"),
            Self::Body(_) => formatter.write_str("the body of a record is wrong"),
            Self::Ending => formatter.write_str("the page goes on after its items"),
        }
    }
}

impl Error for ItemError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Body(cause) => Some(cause),
            Self::Short | Self::Code { .. } | Self::Length { .. } | Self::Ending => None,
        }
    }
}

impl Display for BodyError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Tag { found } => write!(formatter, "no record has the tag {found}"),
            Self::Length { offset, found } => {
                write!(formatter, "the record's fields and its {found} bytes do not end together (offset {offset})")
            }
            Self::Field { offset } => write!(formatter, "no record has such a field (it ends at offset {offset})"),
        }
    }
}

impl Error for BodyError {}
