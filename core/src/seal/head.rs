//! The signed head: the logger's word for everything that stands in its log up to one place.
//!
//! What for: a release is signed over the log before it, but what came after the last release rests on nothing but hashes,
//! which anybody can make. So the logger also signs where its log ends: after a job was loaded, a cure, a rejection, a withdrawal,
//! a restart, a read-out, and once a day. And when it is read out, over 16 random bytes of whoever reads: he knows that the logger
//! itself said so, then, and that nothing is left off.
//!
//! Terms: the *place* is a page, how many of its items are bound, and the seal value after them; a *challenge* is the reader's
//! random bytes. Bytes: `docs/log-format.md`.
//! What it proves: that whoever has the key signed this place. A copied key signs as well, and an older memory has its own
//! heads: nothing but a challenge says that there is no later one.

use super::identity::KeyId;
#[cfg(feature = "verify")]
use super::key::PublicKey;
use super::key::{SecretKey, SignatureBytes};
use super::record::WallClock;
use super::release::NotSealed;
#[cfg(feature = "verify")]
use super::signature::VerifyError;
use super::signature::{SealError, joined};
use crate::log::{Bytes, ChainHead, DeviceId, Link, Logger, Memory};
use crate::quantity::Instant;

/// What stands before the head in the signed message.
pub const HEAD_CONTEXT: [u8; 17] = *b"holdoff log head\n";

/// Bytes of a challenge.
pub const CHALLENGE: usize = 16;

const VERSION: u8 = 1;
/// Bytes of a head without a challenge, and with one.
const PLAIN: usize = 50;
const ANSWER: usize = PLAIN + CHALLENGE;
const SIGNATURE: usize = 64;
const TIED: u8 = 1 << 7;

/// Most bytes of a sealed head.
pub const MOST_SEALED_HEAD: usize = ANSWER + SIGNATURE;
/// Bytes that the record of a head can be expected to take: head and signature with their frame.
const MOST_RECORDED: usize = PLAIN + SIGNATURE + 4;
/// Most bytes of a signed message.
pub const MOST_HEAD_MESSAGE: usize = HEAD_CONTEXT.len() + ANSWER;

/// Where a log stood, and when.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Head {
    /// The device.
    pub device: DeviceId,
    /// The key that signs.
    pub key: KeyId,
    /// The page.
    pub page: u32,
    /// How many of its items are bound.
    pub items: u16,
    /// The beginning of the seal value after them.
    pub chain: Link,
    /// Of a head in the log the time of the last item that has one, of an answer the instant it was given.
    pub at: Instant,
    /// The wall clock then.
    pub clock: WallClock,
    /// The reader's challenge; `None` of a head in the log.
    pub challenge: Option<[u8; CHALLENGE]>,
}

/// Why bytes are no head.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum HeadError {
    /// No head has so many bytes.
    Length {
        /// What was found, the signature included.
        found: usize,
    },
    /// Another version of the format.
    Version {
        /// What was found.
        found: u8,
    },
    /// A byte that no logger writes.
    Meaningless {
        /// Its place.
        offset: usize,
    },
}

/// A head with its signature.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct SealedHead {
    bytes: [u8; MOST_SEALED_HEAD],
    used: usize,
}

impl Head {
    fn write(&self, bytes: &mut [u8; ANSWER]) -> usize {
        let (tied, ahead, offset) = match self.clock {
            WallClock::Tied { ahead, offset_minutes } => (TIED, ahead, offset_minutes),
            WallClock::Unknown => (0, 0, 0),
        };
        let parts: [&[u8]; 10] = [
            &[VERSION, tied],
            &self.device.0,
            &self.key.0,
            &self.page.to_le_bytes(),
            &self.items.to_le_bytes(),
            &self.chain.0,
            &self.at.seconds().to_le_bytes(),
            &ahead.to_le_bytes(),
            &offset.to_le_bytes(),
            self.challenge.as_ref().map_or(&[], |challenge| challenge),
        ];
        let mut places = bytes.iter_mut();
        for part in parts {
            // the part first: a zip that ends takes one more of what stands first
            for (byte, place) in part.iter().zip(places.by_ref()) {
                *place = *byte;
            }
        }
        if self.challenge.is_some() { ANSWER } else { PLAIN }
    }

    fn read(bytes: &[u8]) -> Result<Self, HeadError> {
        let length = HeadError::Length { found: bytes.len().saturating_add(SIGNATURE) };
        let challenge = match bytes.len() {
            PLAIN => None,
            ANSWER => bytes.last_chunk::<CHALLENGE>().copied(),
            _ => return Err(length),
        };
        let mut rest = bytes;
        let [version, flags] = take(&mut rest).ok_or(length)?;
        if version != VERSION {
            return Err(HeadError::Version { found: version });
        }
        let device = DeviceId(take(&mut rest).ok_or(length)?);
        let key = KeyId(take(&mut rest).ok_or(length)?);
        let page = u32::from_le_bytes(take(&mut rest).ok_or(length)?);
        let items = u16::from_le_bytes(take(&mut rest).ok_or(length)?);
        let chain = Link(take(&mut rest).ok_or(length)?);
        let at = Instant::from_seconds(i64::from_le_bytes(take(&mut rest).ok_or(length)?));
        let ahead = i64::from_le_bytes(take(&mut rest).ok_or(length)?);
        let offset_minutes = i16::from_le_bytes(take(&mut rest).ok_or(length)?);
        let clock = match (flags, ahead, offset_minutes) {
            (TIED, _, _) => WallClock::Tied { ahead, offset_minutes },
            (0, 0, 0) => WallClock::Unknown,
            _ => return Err(HeadError::Meaningless { offset: 1 }),
        };
        Ok(Self { device, key, page, items, chain, at, clock, challenge })
    }
}

fn take<const N: usize>(rest: &mut &[u8]) -> Option<[u8; N]> {
    let (first, behind) = rest.split_first_chunk::<N>()?;
    *rest = behind;
    Some(*first)
}

impl SealedHead {
    /// Signs a head with the key that it names.
    ///
    /// # Errors
    /// [`SealError`], as for a release.
    pub fn new(head: &Head, key: &SecretKey) -> Result<Self, SealError> {
        let given = key.public().id();
        if head.key != given {
            return Err(SealError::OtherKey { named: head.key, given });
        }
        let mut bytes = [0; ANSWER];
        let length = head.write(&mut bytes);
        let head = bytes.get(..length).unwrap_or_default();
        let mut message = [0; MOST_HEAD_MESSAGE];
        let signature = key.sign(joined(&HEAD_CONTEXT, head, &mut message)).map_err(SealError::Key)?;
        let mut made = Self { bytes: [0; MOST_SEALED_HEAD], used: 0 };
        made.used = joined(head, &signature, &mut made.bytes).len();
        Ok(made)
    }

    /// The head's bytes, then the signature's.
    pub fn bytes(&self) -> &[u8] {
        self.bytes.get(..self.used).unwrap_or_default()
    }
}

impl core::fmt::Debug for SealedHead {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(formatter, "SealedHead({:02x?})", self.bytes())
    }
}

/// A sealed head taken apart; the signature is not verified yet.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct HeadView<'a> {
    bytes: &'a [u8],
    head: Head,
    signature: SignatureBytes,
}

impl<'a> HeadView<'a> {
    /// Takes sealed bytes apart.
    ///
    /// # Errors
    /// [`HeadError`].
    pub fn parse(sealed: &'a [u8]) -> Result<Self, HeadError> {
        let short = HeadError::Length { found: sealed.len() };
        let (bytes, signature) = sealed.split_last_chunk::<SIGNATURE>().ok_or(short)?;
        Ok(Self { bytes, head: Head::read(bytes)?, signature: *signature })
    }

    /// What the head says, believed by nobody yet.
    pub const fn unverified(&self) -> &Head {
        &self.head
    }

    /// The signature.
    pub const fn signature(&self) -> &SignatureBytes {
        &self.signature
    }

    /// What was signed: the context and the head's bytes. For verifying by other means.
    pub fn message<'b>(&self, buffer: &'b mut [u8; MOST_HEAD_MESSAGE]) -> &'b [u8] {
        joined(&HEAD_CONTEXT, self.bytes, buffer)
    }

    #[cfg(feature = "verify")]
    /// Verifies the signature with a key, and gives what was signed.
    ///
    /// # Errors
    /// [`VerifyError`] when the head names another key, or the key did not sign exactly this.
    pub fn verify(&self, key: &PublicKey) -> Result<Head, VerifyError> {
        let (named, given) = (self.head.key, key.id());
        if named != given {
            return Err(VerifyError::OtherKey { named, given });
        }
        let mut buffer = [0; MOST_HEAD_MESSAGE];
        let signed = key.has_signed(self.message(&mut buffer), &self.signature);
        if signed { Ok(self.head) } else { Err(VerifyError::Signature) }
    }
}

/// Where the log stands; of a blank memory nowhere, with a seal value of zeros.
fn head_of<M: Memory>(logger: &Logger<M>, key: &SecretKey, at: Instant, challenge: Option<[u8; CHALLENGE]>) -> Head {
    let head = logger.head().unwrap_or(ChainHead { page: 0, items: 0, value: [0; 32] });
    let clock = WallClock::at(logger.session().holds(), at);
    let (device, key) = (logger.device(), key.public().id());
    Head { device, key, page: head.page, items: head.items, chain: head.link(), at, clock, challenge }
}

/// Whether a head is to be signed before anything else is recorded: there is reason to
/// ([`Replay::is_head_due`](crate::log::Replay::is_head_due)), and room.
pub fn is_head_due<M: Memory>(logger: &Logger<M>) -> bool {
    logger.session().is_head_due() && logger.has_room_for(MOST_RECORDED)
}

/// Signs where the log stands, and records it, where that is due. To be done before anything else is recorded: the device and
/// a replay then write the same bytes.
///
/// # Errors
/// Why not; the log is as it was.
pub fn seal_due_head<M: Memory>(logger: &mut Logger<M>, key: &SecretKey) -> Result<(), NotSealed> {
    if is_head_due(logger) { seal_head(logger, key) } else { Ok(()) }
}

/// Signs where the log stands, and records it, due or not.
///
/// # Errors
/// Why not; the log is as it was.
pub fn seal_head<M: Memory>(logger: &mut Logger<M>, key: &SecretKey) -> Result<(), NotSealed> {
    // what is still to be written would come between the place that is signed and the head
    logger.ready(&mut |_| {}).map_err(NotSealed::Log)?;
    let at = logger.session().last_at().ok_or(NotSealed::NoSession)?;
    let head = head_of(logger, key, at, None);
    let sealed = SealedHead::new(&head, key).map_err(NotSealed::Seal)?;
    let signed = Bytes::new(sealed.bytes()).ok_or(NotSealed::TooLong)?;
    logger.sign(signed).map_err(NotSealed::Log)
}

/// Signs where the log stands at this instant for whoever gave the challenge. Nothing is recorded. The logger must be mounted.
///
/// # Errors
/// [`SealError`], as for a release.
pub fn answer<M: Memory>(
    logger: &Logger<M>,
    key: &SecretKey,
    at: Instant,
    challenge: [u8; CHALLENGE],
) -> Result<SealedHead, SealError> {
    SealedHead::new(&head_of(logger, key, at, Some(challenge)), key)
}
