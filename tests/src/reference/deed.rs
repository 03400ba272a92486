//! Section H: what was done to a hole, what went through the nozzle, what is declared of a seating.
//!
//! Everything that happened is kept in a list, and looked through whenever something is asked.

use super::grounds::Reason;
use super::model::{RefDemands, Work};

/// Which of the two fixings of the group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Whose {
    /// The one that is reported on.
    Own,
    /// The other one.
    Neighbour,
}

/// What happened to the nozzle.
#[derive(Clone, Copy, Debug)]
enum Through {
    /// It is a new one, or something unknown went through it.
    Nothing,
    /// Resin, until its colour was even.
    Discard,
    /// An injection, which ended then; `even` says whether its colour was declared to be even.
    Injection { whose: Whose, end: i64, even: bool },
}

/// What is shared by the fixings of a group: the nozzle, and hands that clean one hole at a time.
#[derive(Clone, Debug, Default)]
pub(super) struct Site {
    through: Vec<Through>,
    /// The steps done in a row on one hole.
    cleaning: Vec<(Whose, Work, u64)>,
}

impl Site {
    pub(super) fn nothing_known(&mut self) {
        self.through.push(Through::Nothing);
    }

    pub(super) fn discard(&mut self) {
        self.through.push(Through::Discard);
    }

    pub(super) fn injected(&mut self, whose: Whose, at: i64, even: bool) {
        self.through.push(Through::Injection { whose, end: at, even });
        self.cleaning.retain(|(of, _, _)| *of != whose);
    }

    /// The last injection ends with its seating.
    pub(super) fn seated(&mut self, whose: Whose, at: i64) {
        let last = self.through.iter_mut().rev().find_map(|through| match through {
            Through::Injection { whose, end, .. } => Some((*whose, end)),
            Through::Nothing | Through::Discard => None,
        });
        if let Some((of, end)) = last
            && of == whose
        {
            *end = at;
        }
    }

    /// H4: whether an injection at `at` needs no further declaration. `working` is the working time of the band in force, s.
    pub(super) fn is_even(&self, at: i64, working: u64) -> bool {
        let since_new = self.through.iter().rposition(|through| matches!(through, Through::Nothing));
        let of_this_nozzle = &self.through[since_new.map_or(0, |place| place + 1)..];
        match of_this_nozzle.last() {
            None => false,
            Some(Through::Discard) => true,
            Some(Through::Injection { end, even, .. }) => *even && i128::from(at) - i128::from(*end) <= working.into(),
            Some(Through::Nothing) => unreachable!("they were left out"),
        }
    }

    pub(super) fn hole_is_another(&mut self, whose: Whose) {
        self.cleaning.retain(|(of, _, _)| *of != whose);
    }

    /// H2: a step is done. Whether the cleaning is complete with it.
    pub(super) fn clean(&mut self, demands: &RefDemands, whose: Whose, work: Work, times: u64) -> bool {
        self.cleaning.retain(|(of, _, _)| *of == whose);
        self.cleaning.push((whose, work, times));
        let mut cleaning: Vec<(Work, u64)> = Vec::new();
        for (_, work, times) in &self.cleaning {
            let mut longer = cleaning.clone();
            match longer.last_mut() {
                Some((same, done)) if same == work => *done += times,
                Some(_) | None => longer.push((*work, *times)),
            }
            let alone = vec![(*work, *times)];
            // what is out of the order is the first step of a new cleaning, or of none
            cleaning = [longer, alone].into_iter().find(|steps| begins(demands, steps)).unwrap_or_default();
        }
        cleaning.len() == demands.cleaning.len()
            && cleaning.last().zip(demands.cleaning.last()).is_some_and(|((_, done), (_, asked))| done >= asked)
    }
}

/// Whether these steps are the beginning of what is prescribed, all but the last of them done often enough.
fn begins(demands: &RefDemands, steps: &[(Work, u64)]) -> bool {
    steps.len() <= demands.cleaning.len()
        && steps.iter().zip(&demands.cleaning).enumerate().all(|(place, ((work, done), (asked_work, asked)))| {
            work == asked_work && (place + 1 == steps.len() || done >= asked)
        })
}

/// How the hole and the nozzle stood at a start.
#[derive(Clone, Copy, Debug)]
pub(super) struct AtStart {
    /// The hole had a complete cleaning, young enough.
    pub(super) cleaned: bool,
    /// The colour was declared to be even.
    pub(super) even: bool,
}

/// H5: what is declared stands, and a *no* stands against a *yes*.
pub(super) fn both(before: Option<bool>, now: Option<bool>) -> Option<bool> {
    match (before, now) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), _) | (_, Some(true)) => Some(true),
        (None, None) => None,
    }
}

/// H5: the grounds that a *no* is.
pub(super) fn grounds_of(excess: Option<bool>, depth: Option<bool>) -> Vec<Reason> {
    let mut grounds = Vec::new();
    if excess == Some(false) {
        grounds.push(Reason::Underfilled);
    }
    if depth == Some(false) {
        grounds.push(Reason::NotToDepth);
    }
    grounds
}
