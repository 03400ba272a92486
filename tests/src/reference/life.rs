//! The life of one fixing, one step at a time.
//!
//! ```text
//! planned -> refused ----------------------------+ carried out
//!    |                                           v
//!    +-----> working -> curing -> cured --> rejected -> accepted | removed
//!                                   |            ^
//!                                   +-> released-+
//! ```
//! and from working, curing and cured to rejected. `held` is no stage of its own: it is said of a curing fixing whose
//! last accepted reading is outside.
//!
//! **Hole made stricter.** The new factor holds from the seating on. Taken at its word: the whole life is lived again
//! from the first row with the new condition, using only the steps taken so far; what comes out is the state.

use super::count::{Count, Second};
use super::decimal::floor_to_counts;
use super::deed::{AtStart, Site, Whose, both, grounds_of};
use super::grounds::Reason;
use super::limits::Limits;
use super::model::{Act, History, Hole};
use super::order::Step;
use super::readings::{Accepted, News, Since};
use super::window::Injection;

/// Where the fixing stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stage {
    Planned,
    Refused,
    Working,
    Curing,
    Cured,
    Released,
    Rejected,
    Accepted,
    Removed,
}

/// The last row to have arrived, restarts left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LastRow {
    None,
    Accepted,
    NotAccepted,
}

/// Whether a fixing rejected as not seated may still be found to be seated late.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Overrun {
    No,
    /// The working time ran out and no seating has been reported.
    Unseated,
}

/// The fixing and all that is known of it.
#[derive(Clone, Debug)]
pub(super) struct Life<'a> {
    pub(super) history: &'a History,
    pub(super) limits: &'a Limits,
    pub(super) stage: Stage,
    /// Grounds, in order.
    pub(super) reasons: Vec<Reason>,
    /// All accepted readings known.
    pub(super) readings: Vec<Accepted>,
    /// The seating, s, once it counts.
    pub(super) seated_at: Option<i64>,
    /// C3's coldest, counts, from the injection on.
    pub(super) coldest: Option<i64>,
    /// The seconds since seating.
    pub(super) count: Count<'a>,
    /// The first second at which it was cured, s.
    pub(super) cured_at: Option<i64>,
    pub(super) injection: Option<Injection>,
    hole: Hole,
    pub(super) overrun: Overrun,
    last_row: LastRow,
    /// A refusal, a restart or a loss came since the last accepted reading.
    pub(super) broken: bool,
    /// A5: how far outside the installation limits the worst reading lay, and that reading, counts.
    pub(super) outside_at_seating: Option<(i64, i64)>,
    /// What the rejection is dated to, s.
    pub(super) rejected_at: Option<i64>,
    /// The time of the last row to have arrived, s; after one that was not later, that of the last accepted reading.
    latest_row_at: Option<i64>,
    /// The end of the hole's last complete cleaning, s.
    cleaned_at: Option<i64>,
    /// How hole and nozzle stood at the start that was not refused.
    pub(super) at_start: Option<AtStart>,
    /// What is declared of the seating: resin came out all round, the mark was reached.
    pub(super) facts: (Option<bool>, Option<bool>),
}

impl<'a> Life<'a> {
    /// The life after all `steps`. `neighbour` is the other fixing's own history.
    pub(super) fn lived(
        history: &'a History,
        neighbour: &'a History,
        limits: &'a Limits,
        news: &[News],
        steps: &[Step],
    ) -> Self {
        let mut site = Site::default();
        // the step of the injection that was not refused
        let mut injected = 0;
        let mut life = Self::planned(history, limits, history.hole);
        let mut other = Self::planned(neighbour, limits, neighbour.hole);
        for (taken, step) in steps.iter().enumerate() {
            match step {
                Step::Row(row) => {
                    life.row(&news[*row]);
                    other.row(&news[*row]);
                }
                Step::Act(act) => match &history.acts[*act] {
                    Act::Hole { to, at } => {
                        let started = life.at_start;
                        if life.is_wetter_before_start(*to) {
                            life.declare_hole(*to);
                            site.hole_is_another(Whose::Own);
                        } else if life.may_become(*to, *at) {
                            let started = started.expect("a fixing that became wetter after the start was started");
                            let steps = (&steps[..taken], injected);
                            life = Self::relived(history, limits, news, steps, *to, started);
                        }
                    }
                    act => {
                        let planned = life.at_start.is_none();
                        life.act(act, Whose::Own, &mut site);
                        if planned && life.at_start.is_some() {
                            injected = taken;
                        }
                    }
                },
                Step::Neighbour(act) => other.act(&neighbour.acts[*act], Whose::Neighbour, &mut site),
            }
        }
        life
    }

    /// The life as it would have been in this hole condition from the beginning. A torque that was only noted, since it
    /// came after the cure and was too low, may now turn out to have come before it. How hole and nozzle stood at the start is
    /// what it was.
    fn relived(
        history: &'a History,
        limits: &'a Limits,
        news: &[News],
        (steps, injected): (&[Step], usize),
        hole: Hole,
        started: AtStart,
    ) -> Self {
        let mut life = Self::planned(history, limits, hole);
        for (place, step) in steps.iter().enumerate() {
            match step {
                Step::Row(row) => life.row(&news[*row]),
                Step::Act(act) => match &history.acts[*act] {
                    act @ Act::Inject { .. } if place == injected => life.start(act, started),
                    act @ (Act::Seat { .. } | Act::Torque { .. } | Act::TorquedEarly { .. } | Act::Seating { .. }) => {
                        life.act(act, Whose::Own, &mut Site::default());
                    }
                    Act::Inject { .. }
                    | Act::Hole { .. }
                    | Act::CarriedOut { .. }
                    | Act::Decide { .. }
                    | Act::Clean { .. }
                    | Act::NewNozzle { .. }
                    | Act::Discard { .. } => {}
                },
                Step::Neighbour(_) => {}
            }
        }
        life
    }

    fn planned(history: &'a History, limits: &'a Limits, hole: Hole) -> Self {
        Self {
            history,
            limits,
            stage: Stage::Planned,
            reasons: Vec::new(),
            readings: Vec::new(),
            seated_at: None,
            coldest: None,
            count: Count::new(history, limits, hole),
            cured_at: None,
            injection: None,
            hole,
            overrun: Overrun::No,
            last_row: LastRow::None,
            broken: false,
            outside_at_seating: None,
            rejected_at: None,
            latest_row_at: None,
            cleaned_at: None,
            at_start: None,
            facts: (None, None),
        }
    }

    fn act(&mut self, act: &Act, whose: Whose, site: &mut Site) {
        match act {
            Act::Inject { at, in_hole, cartridge, .. } => {
                if matches!(self.stage, Stage::Planned | Stage::Refused) {
                    let cleaned =
                        self.cleaned_at.is_some_and(|cleaned| at - cleaned <= self.history.demands.clean_within);
                    let working = self.working_time_at_start(*at, in_hole.as_ref(), cartridge.as_ref());
                    let even = site.is_even(*at, working);
                    self.start(act, AtStart { cleaned, even });
                    if self.injection.is_some() {
                        site.injected(whose, *at, even);
                    }
                }
            }
            Act::Seat { at } => {
                let seated_before = self.seated_at.is_some();
                self.seat(*at);
                if !seated_before && self.seated_at.is_some() {
                    site.seated(whose, *at);
                }
            }
            Act::Clean { at, work, times } => {
                if matches!(self.stage, Stage::Planned | Stage::Refused)
                    && site.clean(&self.history.demands, whose, *work, *times)
                {
                    self.cleaned_at = Some(*at);
                }
            }
            Act::NewNozzle { .. } => site.nothing_known(),
            Act::Discard { .. } => site.discard(),
            Act::Seating { excess, depth, .. } => self.declare_seating(*excess, *depth),
            Act::Hole { .. } => {}
            Act::CarriedOut { .. } => {
                if self.stage == Stage::Refused {
                    self.stage = Stage::Rejected;
                    site.nothing_known();
                }
            }
            Act::Torque { at, hundredths } => self.torque(*at, *hundredths),
            // R4: it can only reject what is seated and not cured
            Act::TorquedEarly { at, .. } => {
                if self.stage == Stage::Curing {
                    self.reject(*at, vec![Reason::LoadedEarly]);
                }
            }
            Act::Decide { accept, .. } => {
                let undone = self.stage == Stage::Accepted && !*accept;
                if self.stage == Stage::Rejected || undone {
                    self.overrun = Overrun::No;
                    self.stage = if *accept { Stage::Accepted } else { Stage::Removed };
                }
            }
        }
    }

    /// H4: the working time of the band that a start begins with, s.
    fn working_time_at_start(
        &self,
        at: i64,
        in_hole: Option<&num::BigRational>,
        cartridge: Option<&num::BigRational>,
    ) -> u64 {
        let bands = &self.history.resin.bands;
        let shortest = bands.last().expect("a resin has a band").working;
        let longest_gap = i128::from(self.history.settings.longest_gap);
        let latest = match (self.last_row, self.readings.last()) {
            (LastRow::Accepted, Some(latest)) if i128::from(at) - i128::from(latest.at) <= longest_gap => latest,
            (LastRow::None | LastRow::Accepted | LastRow::NotAccepted, _) => return shortest,
        };
        let others = [in_hole, cartridge].into_iter().flatten().map(|value| self.limits.high(floor_to_counts(value)));
        let warmest = others.fold(latest.high, i64::max);
        self.limits.band_or_first(bands, warmest).working
    }

    /// An injection with how hole and nozzle stand at it.
    fn start(&mut self, act: &Act, deed: AtStart) {
        let Act::Inject { at, in_hole, cartridge, use_by_end } = act else { return };
        let in_hole = in_hole.as_ref().map(floor_to_counts);
        let cartridge_count = cartridge.as_ref().map(floor_to_counts);
        let cartridge_good = cartridge.as_ref().is_none_or(|declared| {
            let resin = &self.history.resin;
            resin.cartridge_least <= *declared && *declared <= resin.cartridge_greatest
        });
        let past_date = use_by_end.is_some_and(|end| *at >= end);
        self.inject(*at, in_hole, cartridge_count, cartridge_good, past_date, deed);
    }

    /// A1, H3, H4, and C5 at the start of injection.
    fn inject(
        &mut self,
        at: i64,
        in_hole: Option<i64>,
        cartridge: Option<i64>,
        cartridge_good: bool,
        past_date: bool,
        deed: AtStart,
    ) {
        let longest_gap = self.history.settings.longest_gap;
        let mut grounds = Vec::new();
        if past_date {
            grounds.push(Reason::PastDate);
        }
        let in_hole_low = in_hole.map(|count| self.limits.low(count));
        let in_hole_high = in_hole.map(|count| self.limits.high(count));
        let mut temperatures = None;
        match (self.last_row, self.readings.last()) {
            (LastRow::Accepted, Some(latest)) if i128::from(at) - i128::from(latest.at) <= i128::from(longest_gap) => {
                let low = latest.low.min(in_hole_low.unwrap_or(latest.low));
                let high = latest.high.max(in_hole_high.unwrap_or(latest.high));
                temperatures = Some((low, high));
                if low < self.limits.install_least {
                    grounds.push(Reason::TooCold);
                }
                if high > self.limits.install_greatest {
                    grounds.push(Reason::TooWarm);
                }
            }
            (LastRow::None | LastRow::Accepted | LastRow::NotAccepted, _) => {
                grounds.push(Reason::NoReading);
            }
        }
        if !cartridge_good {
            grounds.push(Reason::Cartridge);
        }
        if !self.history.resin.allowed.contains(&self.hole) {
            grounds.push(Reason::HoleExcluded);
        }
        if temperatures.is_some() && in_hole.is_none() && !self.is_settled() {
            grounds.push(Reason::ProbeNotSettled);
        }
        if self.history.demands.cleaning_required && !deed.cleaned {
            grounds.push(Reason::NotCleaned);
        }
        if self.history.demands.nozzle_required && !deed.even {
            grounds.push(Reason::Nozzle);
        }
        if !grounds.is_empty() {
            self.stage = Stage::Refused;
            self.reasons = grounds;
            return;
        }
        let (low, high) = temperatures.expect("an injection without ground of refusal has a reading");
        self.stage = Stage::Working;
        self.reasons = Vec::new();
        self.at_start = Some(deed);
        self.injection = Some(Injection {
            at,
            latest: self.readings.len() - 1,
            in_hole_low,
            in_hole_high,
            cartridge_high: cartridge.map(|count| self.limits.high(count)),
        });
        self.coldest = Some(low);
        let grounds = self.beyond_reject_limits(low, high);
        if !grounds.is_empty() {
            self.reject(at, grounds);
        }
    }

    /// R6, judged on the last accepted reading.
    fn is_settled(&self) -> bool {
        let settle = i64::try_from(self.history.settings.settle).expect("at most an hour");
        let longest_gap = i64::try_from(self.history.settings.longest_gap).expect("at most an hour");
        if settle == 0 {
            return true;
        }
        let r0 = self.readings.last().expect("a start is judged on a reading");
        // the latest of the readings that are old enough, in the order of time
        let Some(place) = self.readings.iter().rposition(|earlier| r0.at - earlier.at >= settle) else {
            return false;
        };
        let r1 = &self.readings[place];
        let dt = r0.at - r1.at;
        let broken = self.readings[place + 1..].iter().any(|reading| reading.broken);
        dt <= settle + longest_gap && !broken && 600 * (r0.count - r1.count).abs() <= 256 * dt + 19_200
    }

    /// A5: the reading that lies furthest outside, of equals the first.
    fn note_outside(&mut self, reading: Accepted) {
        let under = self.limits.install_least - reading.low;
        let outside = under.max(reading.high - self.limits.install_greatest);
        if outside > self.outside_at_seating.map_or(0, |(worst, _)| worst) {
            self.outside_at_seating = Some((outside, reading.count));
        }
    }

    /// A2 at the seating.
    fn seat(&mut self, at: i64) {
        match self.stage {
            Stage::Working => {
                self.seated_at = Some(at);
                self.stage = Stage::Curing;
                if self.is_overrun(at, Some(self.stretch(at))) {
                    self.reject(at, vec![Reason::SeatedLate]);
                }
            }
            Stage::Rejected if self.overrun == Overrun::Unseated => {
                self.seated_at = Some(at);
                self.overrun = Overrun::No;
                self.reasons = vec![Reason::SeatedLate];
            }
            Stage::Planned
            | Stage::Refused
            | Stage::Curing
            | Stage::Cured
            | Stage::Released
            | Stage::Rejected
            | Stage::Accepted
            | Stage::Removed => {}
        }
    }

    /// H5: a *no* rejects, dated to the seating; beside a rejection of that very instant it is named too.
    fn declare_seating(&mut self, excess: Option<bool>, depth: Option<bool>) {
        let Some(seated_at) = self.seated_at else { return };
        if matches!(self.stage, Stage::Accepted | Stage::Removed) {
            return;
        }
        self.facts = (both(self.facts.0, excess), both(self.facts.1, depth));
        let mut grounds = grounds_of(excess, depth);
        if grounds.is_empty() {
            return;
        }
        if self.stage == Stage::Rejected {
            if self.rejected_at != Some(seated_at) {
                return;
            }
            grounds.append(&mut self.reasons);
        }
        grounds.sort();
        grounds.dedup();
        self.reject(seated_at, grounds);
    }

    /// A4 before anything is injected: a wetter condition is declared; the start itself will be refused where it is excluded.
    fn is_wetter_before_start(&self, to: Hole) -> bool {
        matches!(self.stage, Stage::Planned | Stage::Refused) && to > self.hole
    }

    /// H3: a hole found wet after its cleaning is cleaned again.
    fn declare_hole(&mut self, to: Hole) {
        self.hole = to;
        self.count = Count::new(self.history, self.limits, to);
        self.cleaned_at = None;
    }

    /// The time that is known when no row brings one, s.
    pub(super) fn now(&self) -> i64 {
        self.latest_row_at.max(self.readings.last().map(|last| last.at)).unwrap_or(0)
    }

    /// A4: whether the life goes on in this condition. A milder or equal one is refused, an excluded one rejects.
    fn may_become(&mut self, to: Hole, at: i64) -> bool {
        match self.stage {
            Stage::Working | Stage::Curing | Stage::Cured => {}
            Stage::Planned | Stage::Refused | Stage::Released | Stage::Rejected | Stage::Accepted | Stage::Removed => {
                return false;
            }
        }
        if to <= self.hole {
            return false;
        }
        if !self.history.resin.allowed.contains(&to) {
            self.reject(at, vec![Reason::HoleExcluded]);
            return false;
        }
        true
    }

    /// E1 and E2.
    fn torque(&mut self, at: i64, hundredths: u64) {
        let specified = self.history.torque;
        match self.stage {
            Stage::Working | Stage::Curing => self.reject(at, vec![Reason::LoadedEarly]),
            Stage::Cured | Stage::Released => {
                if let Some((least, greatest)) = specified {
                    if hundredths > greatest {
                        self.reject(at, vec![Reason::OverTorque]);
                    } else if hundredths >= least {
                        self.stage = Stage::Released;
                    }
                }
            }
            Stage::Planned | Stage::Refused | Stage::Rejected | Stage::Accepted | Stage::Removed => {}
        }
    }

    /// What one row brings.
    fn row(&mut self, news: &News) {
        let at = match news {
            News::Accepted(readings) => readings.last().map(|reading| reading.at),
            News::Missing { at } | News::Lost { at } | News::Unusable { at } => Some(*at),
            News::NotLater => self.readings.last().map(|last| last.at),
            News::Restart { .. } => self.latest_row_at,
        };
        self.latest_row_at = at;
        match news {
            News::Accepted(readings) => {
                self.last_row = LastRow::Accepted;
                for reading in readings {
                    self.reading(*reading);
                }
            }
            News::Missing { at } => {
                self.last_row = LastRow::NotAccepted;
                self.judge_unseated(*at);
            }
            News::Lost { at } => {
                self.last_row = LastRow::NotAccepted;
                self.broken = true;
                self.judge_unseated(*at);
            }
            News::NotLater => {
                self.last_row = LastRow::NotAccepted;
                self.broken = true;
            }
            News::Unusable { at } => {
                self.last_row = LastRow::NotAccepted;
                self.broken = true;
                self.judge_unseated(*at);
            }
            News::Restart { length_known } => {
                self.broken = true;
                if !length_known {
                    self.restart_of_unknown_length();
                }
            }
        }
    }

    /// One accepted reading: the coldest, then the grounds, then its interval, then the cure, then the hold.
    fn reading(&mut self, reading: Accepted) {
        self.readings.push(reading);
        self.broken = false;
        match self.stage {
            Stage::Working => {
                self.note_outside(reading);
                self.colder(reading.low);
                let mut grounds = self.dated_reject_limits(reading);
                if let Some(end) = self.overrun_end(reading.at, None) {
                    grounds.push((end, Reason::NotSeated));
                    self.overrun = Overrun::Unseated;
                }
                self.reject_by_earliest(grounds);
            }
            Stage::Curing => {
                self.colder(reading.low);
                let seated_at = self.seated_at.expect("a curing fixing is seated");
                if reading.at <= seated_at {
                    self.note_outside(reading);
                }
                let mut grounds = self.dated_reject_limits(reading);
                if self.is_overrun(seated_at, None) {
                    grounds.push((seated_at, Reason::SeatedLate));
                }
                self.reject_by_earliest(grounds);
                if self.stage == Stage::Curing {
                    self.count_interval(seated_at);
                }
                if self.stage == Stage::Curing {
                    self.judge_hold(reading.at);
                }
            }
            Stage::Rejected => {
                if self.overrun == Overrun::Unseated {
                    self.colder(reading.low);
                }
            }
            Stage::Planned | Stage::Refused | Stage::Cured | Stage::Released | Stage::Accepted | Stage::Removed => {}
        }
    }

    /// C1 to C4 for the interval that the last reading closes.
    fn count_interval(&mut self, seated_at: i64) {
        let [.., before, after] = self.readings[..] else {
            return;
        };
        let coldest = self.coldest.expect("a curing fixing has a coldest");
        let low = self.capped(before.low.min(after.low));
        let high = before.high.max(after.high);
        let class = match after.since {
            Since::Unobserved => Second::Unobserved,
            Since::Observed if self.limits.is_outside(low, high) => Second::Held,
            Since::Observed => Second::Counted(self.limits.band(low).expect("not outside is in a band")),
        };
        // The second `at` is the one that ends at `at`.
        for at in before.at.max(seated_at) + 1..=after.at {
            self.count.add(class);
            if self.count.is_cured(coldest) {
                self.cured_at = Some(at);
                self.stage = Stage::Cured;
                break;
            }
        }
    }

    fn colder(&mut self, low: i64) {
        self.coldest = self.coldest.map(|coldest| coldest.min(low));
    }

    /// A3: no `low` is taken higher than the in-hole `low`, counts.
    pub(super) fn capped(&self, low: i64) -> i64 {
        let cap = self.injection.as_ref().and_then(|injection| injection.in_hole_low);
        low.min(cap.unwrap_or(low))
    }
}
