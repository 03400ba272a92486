//! From what the logger knows to what is to be seen.
//!
//! Why a value first: it is compared with what was shown last, and drawn only when it differs; a test looks at it without a
//! display.
//! Rounding: what is left is never less than it is; what may be used up (the working time) never more.

use super::time::{Now, WallKnown};
use super::ui::{Applied, Keep, Light, Mode, Place};
use super::{Key, VERSION, Works};
use crate::board::Board;
use crate::link::over_log;
use crate::view::{
    Alert, Around, Cartridge, Counting, Declared, Fault, Forecast, Glance, Head, Held, Link, MOST_FIXINGS, Materials,
    May, Overview, Page, Picture, Setting, Start, State, Times, View, Wait, Wall, Which, wall,
};
use holdoff_core::fixing::{Ground, IN_HOLE_SECONDS, Stage, Status};
use holdoff_core::group::{FixingNumber, Group};
use holdoff_core::log::{Bytes, DeviceId, Trust, clock_at};
use holdoff_core::quantity::{Count, Instant, Span};
use holdoff_core::resin::ResinUse;
use holdoff_core::seal::{Label, ReleaseCode, SealedView, ShortForm, Symbol, SymbolBuffers};

impl<B: Board> Works<B> {
    /// Draws what is to be seen, when it differs from what was drawn last.
    #[inline(never)] // its own stack, given back before the next part of a step
    pub(super) fn show(&mut self, board: &mut B, now: Option<Now>, uptime: u32) {
        self.ui.keep_lit(self.keep_lit(), uptime);
        let lit = self.ui.is_lit(uptime);
        if self.ui.was_lit != lit {
            board.light(lit);
            self.ui.was_lit = lit;
            self.ui.drawn = None;
        }
        if !lit {
            return;
        }
        let before = self.ui.drawn;
        let place = self.ui.mode.place();
        if let Some(Drawn::Release(..)) = before
            && before == self.release_page(place, now, uptime)
        {
            return; // making a release code anew takes a second
        }
        let mut drawn = None;
        self.with_view(now, uptime, |view| {
            drawn = Drawn::of(view, place);
            if before.is_none() || before != drawn {
                draw(board, view);
            }
        });
        self.ui.drawn = drawn;
    }

    /// What would be compared if a recorded release is to be seen: it never changes itself.
    fn release_page(&mut self, place: Place, now: Option<Now>, uptime: u32) -> Option<Drawn> {
        if self.plain_view(now, uptime).is_some() {
            return None;
        }
        let fixing = self.shown()?;
        Some(Drawn::Release(self.head(fixing, now, uptime), place))
    }

    /// A fixing in its working time keeps the display lit, and so do a hole that is watched, and a fault while any fixing runs; but
    /// not below empty.
    fn keep_lit(&self) -> Keep {
        let session = self.logger.session();
        let faulty = !session.running().is_empty() && self.faults.alert == Alert::Fault;
        let kept = !session.working().is_empty() || self.in_holes.is_watching() || faulty;
        match self.lights() {
            Light::On if kept && self.has_job() => Keep::Lit,
            Light::On | Light::Off => Keep::No,
        }
    }

    fn alert(&self, uptime: u32) -> Alert {
        if self.list(uptime).iter().any(Option::is_some) { Alert::Fault } else { Alert::None }
    }

    /// Makes the view. What is drawn into buffers of its own lives only as long as `see` looks at it.
    pub(super) fn with_view<R>(&mut self, now: Option<Now>, uptime: u32, see: impl FnOnce(&View<'_>) -> R) -> R {
        if !self.ui.is_lit(uptime) {
            return see(&View::Dark);
        }
        if let Some(view) = self.plain_view(now, uptime) {
            return see(&view);
        }
        // what is left is a release code
        let Some(fixing) = self.shown() else { return see(&View::Dark) };
        let head = self.head(fixing, now, uptime);
        let page = |page| View::Fixing(head, page);
        let signed = match self.release(fixing) {
            Ok(Some(signed)) => signed,
            Ok(None) => return see(&page(Page::NoKey)),
            Err(_) => return see(&View::Fault(Fault::MemorySilent)),
        };
        let short = self.ui.mode.place() == Place::Short;
        let code = if short { None } else { ReleaseCode::of(signed.bytes()).ok() };
        let mut buffers = SymbolBuffers::new();
        if let Some(Ok(symbol)) = code.map(|code| Symbol::of(&code, &mut buffers)) {
            return see(&page(Page::Code(Picture(&symbol))));
        }
        match SealedView::parse(signed.bytes()) {
            Ok(sealed) => see(&page(Page::Short(ShortForm::of(sealed.unverified())))),
            Err(_) => see(&page(Page::NoKey)),
        }
    }

    /// The view, unless it is a recorded release's.
    fn plain_view(&mut self, now: Option<Now>, uptime: u32) -> Option<View<'static>> {
        match self.ui.mode {
            Mode::Start => {
                let device = self.device();
                return Some(View::Start(Start { version: VERSION, device }));
            }
            Mode::Browse(Place::Fault(at)) => {
                if let Some(fault) = self.list(uptime).get(usize::from(at)).copied().flatten() {
                    return Some(View::Fault(fault));
                }
            }
            Mode::Browse(_)
            | Mode::Menu(_)
            | Mode::Cartridge(_)
            | Mode::Torque(..)
            | Mode::Question { .. }
            | Mode::NotYet
            | Mode::HoleSettling
            | Mode::InHole(_)
            | Mode::Notice(_) => {}
        }
        let Some(fixing) = self.shown() else {
            // without a job, what is wrong is all there is to see
            let grave = self.list(uptime).first().copied().flatten().filter(|_| !self.is_ready());
            return Some(match (grave, self.talking(uptime)) {
                (Some(fault), _) => View::Fault(fault),
                (None, Some(link)) => View::Link(link),
                (None, None) => View::NoJob(self.around(now, uptime)),
            });
        };
        // what the PC does with the memory is shown where nobody is being asked anything, no fixing runs, and no rejected one
        // waits for the engineer's decision
        let idle = || self.logger.session().running().is_empty() && over_log::undecided(&self.logger) == 0;
        match (self.ui.mode, self.talking(uptime)) {
            (Mode::Browse(_), Some(link @ (Link::Loading | Link::ReadingOut { .. }))) if idle() => {
                return Some(View::Link(link));
            }
            (_, Some(Link::Connected | Link::Loading | Link::ReadingOut { .. }) | None) => {}
        }
        let place = self.ui.mode.place();
        if place == Place::Overview {
            return Some(View::Overview(self.overview(fixing)));
        }
        let page = self.page(fixing, place, now)?;
        Some(View::Fixing(self.head(fixing, now, uptime), page))
    }

    fn page(&mut self, fixing: FixingNumber, place: Place, now: Option<Now>) -> Option<Page<'static>> {
        let status = self.status(fixing)?;
        let range = self.logger.group().and_then(|group| group.torque_range(fixing));
        Some(match self.ui.mode {
            Mode::Menu(chosen) => Page::Menu { items: self.items(fixing), chosen },
            Mode::Cartridge(degrees) => {
                let resin = self.logger.group()?.resin();
                Page::EnterCartridge { degrees, range: (resin.cartridge_least(), resin.cartridge_greatest()) }
            }
            Mode::Torque(torque, Applied::Cured | Applied::Early) => Page::EnterTorque { torque, range: range? },
            Mode::Question { question, answer, .. } => Page::Question { question, answer },
            Mode::NotYet => {
                self.wait(&status, now).map_or(Page::Status(self.state(fixing, &status, now)), Page::NotYet)
            }
            Mode::HoleSettling => {
                let settings = self.logger.group()?.settings();
                match now.and_then(|now| self.in_holes.watched(now.at, settings)) {
                    Some((reading, still)) => Page::HoleSettling { reading, still },
                    None => Page::Status(self.state(fixing, &status, now)),
                }
            }
            Mode::InHole(in_hole) => {
                let gone = now.map_or(IN_HOLE_SECONDS, |now| now.at.since(in_hole.at));
                Page::InHole { reading: in_hole.count, counts_for: span(IN_HOLE_SECONDS.saturating_sub(gone)) }
            }
            Mode::Notice(notice) => Page::Notice(notice),
            Mode::Start | Mode::Browse(_) => match place {
                Place::Fault(_) | Place::Overview | Place::Status => Page::Status(self.state(fixing, &status, now)),
                Place::Code if self.key == Key::Missing && !self.is_recorded(fixing) => Page::NoKey,
                Place::Code | Place::Short if self.is_recorded(fixing) => return None,
                Place::Code | Place::Short => Page::Status(self.state(fixing, &status, now)),
                Place::Reasons => Page::Reasons(match status.stage {
                    Stage::Planned => self.may(fixing, now),
                    Stage::Refused
                    | Stage::Working
                    | Stage::Curing
                    | Stage::Held
                    | Stage::Cured(_)
                    | Stage::Released(_)
                    | Stage::Rejected(_)
                    | Stage::AcceptedAsIs(_)
                    | Stage::Removed(_) => May { grounds: status.grounds, lacks: self.lacks(fixing) },
                }),
                Place::Materials => self.materials(&status),
                Place::Cartridge => self.cartridge(fixing, &status),
                Place::Times => self.times(&status),
                Place::Counting => Page::Counting(Counting {
                    required: status.required,
                    served: status.served,
                    held: status.tally.held,
                    unobserved: status.tally.unobserved,
                    coldest: status.coldest,
                }),
                Place::Setting => {
                    let group = self.logger.group()?;
                    let settings = group.settings();
                    Page::Setting(Setting {
                        rule: group.rule(),
                        uncertainty: settings.uncertainty().counts(),
                        longest_gap: settings.longest_gap(),
                        clock_ppm: settings.clock_ppm(),
                        settle: settings.settle(),
                        laxer: settings.laxer(),
                    })
                }
            },
        })
    }

    fn is_recorded(&self, fixing: FixingNumber) -> bool {
        self.logger.session().has_release(fixing)
    }

    fn device(&self) -> DeviceId {
        self.logger.device()
    }

    /// An instant of the session by the tie that was in force then; `None` where it has no date.
    fn wall(&self, at: Instant) -> Option<Wall> {
        clock_at(self.logger.session().holds(), at).map(|(ahead, offset_minutes)| wall(at, ahead, offset_minutes))
    }

    /// What the clock on the wall shows now.
    fn wall_now(&self, now: Instant) -> Option<Wall> {
        match self.time.wall() {
            WallKnown::Set => Some(wall(now, self.time.ahead(), self.time.offset_minutes())),
            WallKnown::Unset => None,
        }
    }

    fn around(&self, now: Option<Now>, uptime: u32) -> Around {
        Around {
            temperature: self.fresh(now).map(|(_, count)| count),
            // nothing shows its seconds, and what is drawn anew for nothing wears the battery
            now: now.and_then(|now| self.wall_now(now.at)).map(Wall::floor_minute),
            battery: self.battery(),
            alert: self.alert(uptime),
        }
    }

    /// The last accepted reading, unless it is older than the longest gap.
    fn fresh(&self, now: Option<Now>) -> Option<(Instant, Count)> {
        let group = self.logger.group().filter(|_| self.has_job())?;
        let gap = i64::from(group.settings().longest_gap().seconds());
        group.last_reading().filter(|(at, _)| now.is_some_and(|now| now.at.since(*at) <= gap))
    }

    fn head(&mut self, fixing: FixingNumber, now: Option<Now>, uptime: u32) -> Head {
        let label = self.name(fixing).map_or(Bytes::EMPTY, |named| named.label);
        Head {
            which: self.which(fixing),
            label: Label::new(label.bytes()).unwrap_or(Label::EMPTY),
            resin: self.resin_use(),
            around: self.around(now, uptime),
        }
    }

    fn which(&self, fixing: FixingNumber) -> Which {
        Which { number: (fixing.place() as u8).saturating_add(1), of: self.count() }
    }

    fn resin_use(&self) -> ResinUse {
        self.logger.session().resin().map_or(ResinUse::Demo, |resin| resin.resin_use)
    }

    fn materials(&self, status: &Status) -> Page<'static> {
        Page::Materials(Materials {
            resin: self.logger.session().resin().map_or(Bytes::EMPTY, |resin| resin.name),
            hole: status.hole,
        })
    }

    fn cartridge(&mut self, fixing: FixingNumber, status: &Status) -> Page<'static> {
        let (batch, past_from) = self.name(fixing).map_or((Bytes::EMPTY, None), |named| (named.batch, named.use_by));
        let temperature = match (status.stage, status.cartridge) {
            (Stage::Planned, _) => Declared::NotYet,
            (_, Some(count)) => Declared::Degrees(count),
            (_, None) => Declared::Not,
        };
        // the last second that is not past it, by the job's local time; it is a date, whatever the clock says
        let use_by = past_from.map(|utc| Wall::new(utc.saturating_sub(1), self.time.offset_minutes()));
        Page::Cartridge(Cartridge { temperature, batch, use_by })
    }

    fn times(&self, status: &Status) -> Page<'static> {
        let at = |at: Option<Instant>| at.and_then(|at| self.wall(at));
        Page::Times(Times {
            injected: at(status.injected_at),
            seated: at(status.seated_at),
            cured: at(status.cured_at),
            torque: status.torque,
        })
    }

    fn overview(&self, chosen: FixingNumber) -> Overview {
        let mut fixings = [None; MOST_FIXINGS];
        let group = self.logger.group();
        for fixing in group.into_iter().flat_map(Group::fixings) {
            let glance = self.status(fixing).map(|status| self.glance(fixing, &status));
            if let Some(place) = fixings.get_mut(fixing.place()) {
                *place = glance;
            }
        }
        Overview { fixings, chosen: self.which(chosen), resin: self.resin_use() }
    }

    fn glance(&self, fixing: FixingNumber, status: &Status) -> Glance {
        let torque = self.logger.group().and_then(|group| group.torque_range(fixing));
        let in_hole = self.time.last().and_then(|at| self.in_holes.of(fixing, at));
        match status.stage {
            Stage::Planned if in_hole.is_none() && self.is_settling() => Glance::Settling,
            Stage::Planned => Glance::NotInjected,
            Stage::Refused => Glance::Refused,
            Stage::Working if self.is_too_late(status) => Glance::TooLate,
            Stage::Working => Glance::SeatNow,
            Stage::Curing => Glance::LeaveAlone,
            Stage::Held => Glance::Held,
            Stage::Cured(_) => torque.map_or(Glance::Cured, |_| Glance::Torque),
            Stage::Released(_) => Glance::Load,
            Stage::Rejected(_) => Glance::DoNotLoad,
            Stage::AcceptedAsIs(_) => Glance::AsIs,
            Stage::Removed(_) => Glance::Removed,
        }
    }

    /// Whether an injection may start now, as far as is known.
    pub(super) fn may(&mut self, fixing: FixingNumber, now: Option<Now>) -> May {
        let lacks = self.lacks(fixing);
        let injection = now.and_then(|now| self.injection(now.at, fixing, None)).unwrap_or_default();
        let at = now.map(|now| now.at);
        let group = self.logger.group().zip(at);
        let grounds = group.and_then(|(group, at)| group.start_grounds(fixing, at, &injection)).unwrap_or_default();
        let untrusted = match self.logger.trust() {
            Trust::Trusted => false,
            Trust::Untrusted(_) => true, // nothing may be begun in it
        };
        May { grounds: grounds.with_if(untrusted, Ground::UntrustedLog), lacks }
    }

    fn state(&mut self, fixing: FixingNumber, status: &Status, now: Option<Now>) -> State {
        let (grounds, at) = (status.grounds, |at| self.wall(at));
        match status.stage {
            Stage::Planned => {
                let may = self.may(fixing, now);
                self.not_injected(may, now)
            }
            Stage::Refused => State::Refused { grounds, now: self.may(fixing, now) },
            Stage::Working if self.is_too_late(status) => State::TooLate,
            Stage::Working => {
                let left = status.seat_by.zip(self.time.at_most()).map_or(0, |(by, at)| by.since(at));
                State::SeatNow { left: span(left), by: status.seat_by.and_then(at) }
            }
            Stage::Curing | Stage::Held => State::Wait(self.wait(status, now).unwrap_or(Wait::NotSeated)),
            Stage::Cured(cured) => match self.logger.group().and_then(|group| group.torque_range(fixing)) {
                Some(range) => State::TorqueNow { range, too_low: status.torque },
                None => State::Cured { at: at(cured.at()) },
            },
            Stage::Released(released) => State::MayBeLoaded { torque: released.torque(), at: at(released.at()) },
            Stage::Rejected(rejection) => State::DoNotLoad { grounds, at: at(rejection.at) },
            Stage::AcceptedAsIs(_) => State::AcceptedAsIs { grounds },
            Stage::Removed(_) => State::Removed { grounds },
        }
    }

    /// Why a fixing is left alone; `None` where it is not.
    fn wait(&self, status: &Status, now: Option<Now>) -> Option<Wait> {
        match status.stage {
            // whoever asks is not sent to seat it
            Stage::Working if self.is_too_late(status) => None,
            Stage::Working => Some(Wait::NotSeated),
            Stage::Curing | Stage::Held if self.fresh(now).is_none() => Some(Wait::Held(Held::NoReadings)),
            Stage::Curing => Some(match (status.announced_at, now) {
                (Some(ends), Some(now)) => {
                    // a cure is announced with a reading, so it can't be before the next one
                    let next = self.due.map_or(1, |due| due.since(now.at)).max(1);
                    let left = ends.since(now.at).max(next);
                    // no second of it is shown, and what is drawn anew for nothing wears the battery
                    let minutes = left.saturating_add(59) / 60;
                    let left_at_most = span(minutes.saturating_mul(60));
                    Wait::Curing(Forecast { left: left_at_most, ends: self.wall(now.at.after(left)) })
                }
                (None, _) | (_, None) => Wait::Held(Held::NoReadings),
            }),
            Stage::Held => Some(Wait::Held(self.held())),
            Stage::Planned
            | Stage::Refused
            | Stage::Cured(_)
            | Stage::Released(_)
            | Stage::Rejected(_)
            | Stage::AcceptedAsIs(_)
            | Stage::Removed(_) => None,
        }
    }

    /// Too cold or too warm, by the last accepted reading; where it is neither, the hole itself was too cold.
    fn held(&self) -> Held {
        let Some(group) = self.logger.group() else { return Held::NoReadings };
        let Some((_, count)) = group.last_reading() else { return Held::NoReadings };
        let uncertainty = i32::from(group.settings().uncertainty().counts());
        let resin = group.resin();
        let (low, high) = (count.fine().raw() - uncertainty, count.fine().raw() + uncertainty + 1);
        let too_warm = high > resin.limits().cure_greatest.fine().raw();
        if too_warm && low >= resin.coldest_usable_edge().fine().raw() { Held::TooWarm } else { Held::TooCold }
    }

    /// Whether it is up, so that only a job is missing.
    fn is_ready(&self) -> bool {
        match (self.phase, self.logger.trust()) {
            (super::start::Phase::Up, Trust::Trusted) => true,
            (super::start::Phase::Up, Trust::Untrusted(_))
            | (
                super::start::Phase::Starved { .. }
                | super::start::Phase::NoMemory { .. }
                | super::start::Phase::Refused(_)
                | super::start::Phase::Awaited(_),
                _,
            ) => false,
        }
    }
}

/// A length of time; nothing is left of what is over.
fn span(seconds: i64) -> Span {
    Span::from_seconds(u32::try_from(seconds.max(0)).unwrap_or(u32::MAX))
}

/// What was drawn last, to be compared.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) enum Drawn {
    /// All of it.
    Plain(View<'static>),
    /// A recorded release: it never changes, and so only what stands around it is compared.
    Release(Head, Place),
}

impl Drawn {
    fn of(view: &View<'_>, place: Place) -> Option<Self> {
        Some(match *view {
            View::Dark => Self::Plain(View::Dark),
            View::Start(start) => Self::Plain(View::Start(start)),
            View::NoJob(around) => Self::Plain(View::NoJob(around)),
            View::Overview(overview) => Self::Plain(View::Overview(overview)),
            View::Fault(fault) => Self::Plain(View::Fault(fault)),
            View::Link(link) => Self::Plain(View::Link(link)),
            View::Fixing(head, page) => match page {
                Page::Code(_) | Page::Short(_) => Self::Release(head, place),
                Page::Status(state) => Self::Plain(View::Fixing(head, Page::Status(state))),
                Page::NotYet(wait) => Self::Plain(View::Fixing(head, Page::NotYet(wait))),
                Page::Reasons(may) => Self::Plain(View::Fixing(head, Page::Reasons(may))),
                Page::Materials(of) => Self::Plain(View::Fixing(head, Page::Materials(of))),
                Page::Cartridge(of) => Self::Plain(View::Fixing(head, Page::Cartridge(of))),
                Page::Times(of) => Self::Plain(View::Fixing(head, Page::Times(of))),
                Page::Counting(of) => Self::Plain(View::Fixing(head, Page::Counting(of))),
                Page::Setting(of) => Self::Plain(View::Fixing(head, Page::Setting(of))),
                Page::NoKey => Self::Plain(View::Fixing(head, Page::NoKey)),
                Page::Menu { items, chosen } => Self::Plain(View::Fixing(head, Page::Menu { items, chosen })),
                Page::Question { question, answer } => {
                    Self::Plain(View::Fixing(head, Page::Question { question, answer }))
                }
                Page::EnterTorque { torque, range } => {
                    Self::Plain(View::Fixing(head, Page::EnterTorque { torque, range }))
                }
                Page::EnterCartridge { degrees, range } => {
                    Self::Plain(View::Fixing(head, Page::EnterCartridge { degrees, range }))
                }
                Page::HoleSettling { reading, still } => {
                    Self::Plain(View::Fixing(head, Page::HoleSettling { reading, still }))
                }
                Page::InHole { reading, counts_for } => {
                    Self::Plain(View::Fixing(head, Page::InHole { reading, counts_for }))
                }
                Page::Notice(notice) => Self::Plain(View::Fixing(head, Page::Notice(notice))),
            },
        })
    }
}

/// Draws a view, eight lines at a time.
fn draw<B: Board>(board: &mut B, view: &View<'_>) {
    for place in 0..crate::screen::STRIPS {
        let mut strip = [0; crate::board::DISPLAY_WIDTH as usize];
        crate::screen::draw_strip(view, place, &mut strip);
        board.show(place, &strip);
    }
}
