//! Why a talk with a logger cannot go on, and what that leaves open.
//!
//! Why it says so much: a job that may or may not be loaded must be told otherwise than one that surely is not.

use super::beyond::Beyond;
use holdoff_link::message::{Identity, Refusal, Request};
use std::io;

/// Why a talk cannot go on.
#[derive(Debug)]
pub enum Trouble {
    /// The line cannot be opened, or broke and did not come back.
    Line(io::Error),
    /// Nobody answers.
    Silent,
    /// The logger speaks no version of the messages that is spoken here.
    Stranger {
        /// The least and the greatest version it speaks.
        versions: (u8, u8),
        /// Its firmware and board, where it said so.
        firmware: Option<([u8; 3], String)>,
    },
    /// It answered something that is no answer to the request.
    Unfitting,
    /// It started anew while a request that changes something was under way.
    Restarted,
    /// It refuses.
    Refused(Refusal),
    /// Another logger answers than the one that the talk was begun with.
    Other {
        /// The one that the talk was begun with.
        begun: Box<Identity>,
        /// The one that answers.
        found: Box<Identity>,
    },
    /// The person wants it to end.
    Stopped,
    /// It says of itself what no logger can be.
    Beyond(Beyond),
    /// The talk broke off before all of a job was there: nothing of it has taken effect.
    Unloaded(Box<Self>),
    /// The talk broke off behind a request that takes effect: whether it did is not known.
    Unknown {
        /// What was asked for.
        what: Effect,
        /// Why it broke off.
        why: Box<Self>,
    },
}

/// What a single request brings about.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Effect {
    /// The job that was loaded takes the place of the one before.
    Load,
    /// The clock is set.
    Clock,
    /// Pages are marked as read out.
    SignOut,
}

impl Effect {
    /// What a request brings about; `None` of one that asks, or that only lays ready what a later one brings about.
    pub(super) const fn of(request: &Request) -> Option<Self> {
        match request {
            Request::Commit => Some(Self::Load),
            Request::SetClock { .. } => Some(Self::Clock),
            Request::SignOut { .. } => Some(Self::SignOut),
            Request::Identity
            | Request::Clock
            | Request::Log
            | Request::Group
            | Request::Fixing { .. }
            | Request::Read { .. }
            | Request::Ties
            | Request::Head { .. }
            | Request::Begin(_)
            | Request::Resin(_)
            | Request::Batch(_)
            | Request::Fix(_)
            | Request::Confirm { .. } => None,
        }
    }
}

impl Trouble {
    /// Whether the logger started anew, perhaps after it had done what was asked for.
    pub(super) fn is_restart(&self) -> bool {
        match self {
            Self::Unknown { why, .. } => why.is_restart(),
            other => matches!(other, Self::Restarted),
        }
    }

    /// Whether it says already what became of what was asked for.
    const fn is_final(&self) -> bool {
        matches!(self, Self::Refused(_) | Self::Unloaded(_) | Self::Unknown { .. })
    }

    /// The same, where it leaves open whether what was asked for was done; a refusal does not.
    #[must_use]
    pub fn leaves_open(self, what: Effect) -> Self {
        if self.is_final() { self } else { Self::Unknown { what, why: Box::new(self) } }
    }

    /// The same of what broke off behind the job's last message.
    pub(super) fn behind_commit(self) -> Self {
        match self {
            // the logger has taken it: what can't be looked at now stays open
            Self::Refused(_) => Self::Unknown { what: Effect::Load, why: Box::new(self) },
            other => other.leaves_open(Effect::Load),
        }
    }

    /// The same of what broke off before the job's last message.
    pub(super) fn before_commit(self) -> Self {
        if self.is_final() { self } else { Self::Unloaded(Box::new(self)) }
    }
}
