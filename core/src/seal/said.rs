//! Texts of the seal's errors for whoever builds with the crate: short English, for a terminal or a trace. What users of a
//! tool read is a phrase of the tool's own table.

use super::base45::Base45Error;
use super::code::CodeError;
use super::field::{RecordError, Unrecordable};
use super::head::HeadError;
use super::identity::KeyId;
use super::key::KeyError;
use super::label::LabelError;
use super::qr::SymbolError;
use super::release::NotSealed;
use super::short::ShortError;
use super::signature::SealError;
#[cfg(feature = "verify")]
use super::signature::VerifyError;
use crate::hex::Hex;
use core::error::Error;
use core::fmt::{Display, Formatter, Result};

fn other_key(formatter: &mut Formatter<'_>, named: &KeyId, given: &KeyId) -> Result {
    write!(formatter, "the key {} is named, and {} was given", Hex(&named.0), Hex(&given.0))
}

impl Display for Base45Error {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Character { offset, found } => {
                write!(formatter, "the byte {found:#04x} at offset {offset} is no character of base45")
            }
            Self::Length { found } => write!(formatter, "no bytes are encoded as {found} characters"),
            Self::Value { offset, found } => {
                write!(formatter, "the characters from offset {offset} on stand for {found}, which is too much")
            }
            Self::Room { needed, found } => write!(formatter, "{needed} bytes are needed, and there are {found}"),
        }
    }
}

impl Error for Base45Error {}

impl Display for CodeError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Prefix => formatter.write_str("it does not begin as a release code does"),
            Self::TooLong { found } => write!(formatter, "{found} characters are more than a release code has"),
            Self::Base45(_) => formatter.write_str("it is not base45"),
            Self::Record(_) => formatter.write_str("it holds no valid release record"),
        }
    }
}

impl Error for CodeError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Base45(cause) => Some(cause),
            Self::Record(cause) => Some(cause),
            Self::Prefix | Self::TooLong { .. } => None,
        }
    }
}

impl Display for Unrecordable {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::NoSuchFixing => formatter.write_str("the group has no such fixing"),
            Self::Stage => formatter.write_str("the fixing is neither released nor cured without a torque to come"),
            Self::OutOfBounds { field } => write!(formatter, "{field:?} is out of the bounds of a release record"),
        }
    }
}

impl Error for Unrecordable {}

impl Display for RecordError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::TooShort { needed, found } => write!(formatter, "{found} bytes, of at least {needed}"),
            Self::TooLong { most, found } => write!(formatter, "{found} bytes, of at most {most}"),
            Self::Version { found } => write!(formatter, "the record is of version {found} of the format"),
            Self::Meaningless { offset, found } => {
                write!(formatter, "the byte {found:#04x} at offset {offset} has no meaning")
            }
            Self::LabelText { offset } => write!(formatter, "the label is no plain text (offset {offset})"),
            Self::Number { offset } => {
                write!(formatter, "the number at offset {offset} is not written in the shortest way, or is too large")
            }
            Self::OutOfBounds { field, offset, found } => {
                write!(formatter, "{field:?} is out of its bounds: {found} (offset {offset})")
            }
            Self::Shortfall { required, served } => {
                write!(formatter, "{required} s were required, and {served} s were served")
            }
            Self::Trailing { offset, found } => write!(formatter, "{found} bytes too many from offset {offset} on"),
        }
    }
}

impl Error for RecordError {}

impl Display for HeadError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Length { found } => write!(formatter, "no signed head has {found} bytes"),
            Self::Version { found } => write!(formatter, "the head is of version {found} of the format"),
            Self::Meaningless { offset } => write!(formatter, "the byte at offset {offset} has no meaning"),
        }
    }
}

impl Error for HeadError {}

impl Display for KeyError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        formatter.write_str(match self {
            Self::Zero => "all bytes of the key are zero",
            Self::Erred => "the signature just made does not verify: memory or processor erred",
        })
    }
}

impl Error for KeyError {}

impl Display for SealError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::OtherKey { named, given } => other_key(formatter, named, given),
            Self::Key(_) => formatter.write_str("the key could not sign"),
        }
    }
}

impl Error for SealError {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Key(cause) => Some(cause),
            Self::OtherKey { .. } => None,
        }
    }
}

#[cfg(feature = "verify")]
impl Display for VerifyError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::OtherKey { named, given } => other_key(formatter, named, given),
            Self::Signature => formatter.write_str("the signature is not the key's, or is of something else"),
        }
    }
}

#[cfg(feature = "verify")]
impl Error for VerifyError {}

impl Display for NotSealed {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        formatter.write_str(match self {
            Self::NoSession => "there is no session",
            Self::Record(_) => "no release record can be made",
            Self::Seal(_) => "it could not be signed",
            Self::TooLong => "it is longer than the log takes",
            Self::Log(_) => "it could not be recorded",
        })
    }
}

impl Error for NotSealed {
    fn source(&self) -> Option<&(dyn Error + 'static)> {
        match self {
            Self::Record(cause) => Some(cause),
            Self::Seal(cause) => Some(cause),
            Self::Log(cause) => Some(cause),
            Self::NoSession | Self::TooLong => None,
        }
    }
}

impl Display for LabelError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::TooLong { found } => write!(formatter, "{found} bytes, of at most 16"),
            Self::NotText { offset } => write!(formatter, "the label is no plain text (offset {offset})"),
        }
    }
}

impl Error for LabelError {}

impl Display for ShortError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        match self {
            Self::Character { offset, found } => {
                write!(formatter, "the byte {found:#04x} at offset {offset} is no digit")
            }
            Self::Length { found } => write!(formatter, "{found} digits, and a short form has 24"),
            Self::Check => formatter.write_str("a digit was misread, or two were changed over"),
            Self::Nothing => formatter.write_str("no fixing has this number, or no calendar this day"),
        }
    }
}

impl Error for ShortError {}

impl Display for SymbolError {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        write!(formatter, "{} characters are more than a release code has", self.found)
    }
}

impl Error for SymbolError {}
