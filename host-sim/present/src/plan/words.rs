//! A shift plan for a person, to be read aloud.

use crate::words::{PlanPhrase as P, Speech};
use chrono::{DateTime, Datelike, FixedOffset, Weekday};
use holdoff_core::cure::Rule;
use holdoff_core::quantity::Instant;
use holdoff_files::decimal::Decimal;
use holdoff_site::plan::{
    Began, Fate, GroupPlan, Outlook, ShiftPlan, Start, Variant, Window, deadline, shown, windows,
};
use std::fmt::Write;

/// Starts that are told one by one, about.
const MOST_STARTS: usize = 4;
/// Windows that are told one by one.
const MOST_WINDOWS: usize = 6;
/// A window shorter than this (s) is told only in sum.
const SHORT: i64 = 900;

/// What a plan is worth, in English.
pub const FORECAST_CAUTION: &str = P::ForecastCaution.of(Speech::PLAIN.language);

/// Writes the plan.
pub fn text(plan: &ShiftPlan, speech: Speech) -> String {
    let mut text = speech.head(&plan.seen);
    if let Some(wider) = wider_gap(plan, speech) {
        let _ = writeln!(text, "{wider}\n");
    }
    let (from, to) = plan.span;
    let clock = Clock::of(plan, speech);
    let zone = FixedOffset::east_opt(plan.offset_seconds).map_or(String::new(), |offset| offset.to_string());
    let mut line = |words: String| {
        let _ = writeln!(text, "{words}");
    };
    line(speech.fill(P::Head, &[("job", &plan.job), ("site", &plan.site)]));
    let dates = clock.dates(from, to);
    line(speech.fill(P::By, &[("forecast", plan.forecast.as_str()), ("dates", &dates), ("zone", &zone)]));
    line(format!("  {}", speech.read_as(&plan.seen.read_as)));
    line(speech.say(P::ForecastCaution).to_owned());
    if plan.demo {
        line(speech.demo_caution().to_owned());
    }
    line(speech.fill(P::Reckoned, &[("length", &seconds(speech, plan.seat_after))]));
    // every group has the same variants
    for variant in plan.groups.first().map_or(&[][..], |group| &group.variants) {
        if let Some(rounded) = rounded(speech, &variant.colder) {
            line(rounded);
        }
    }
    for group in &plan.groups {
        text.push('\n');
        GroupAccount { plan, group, speech, clock, text: &mut text }.whole();
    }
    let laxer = speech.laxer(plan.laxer);
    if !laxer.is_empty() {
        let gaps = [("which", &*laxer.join(", ")), ("gap", &*speech.length(u64::from(plan.longest_gap_s)))];
        let _ = writeln!(text, "\n{}", speech.fill(P::Laxer, &gaps));
    }
    let _ = writeln!(text, "\n{}", speech.caution());
    text
}

/// That the job's longest gap gave way to the forecast's spacing; `None` where it did not.
pub fn wider_gap(plan: &ShiftPlan, speech: Speech) -> Option<String> {
    let length = |seconds: u32| speech.length(u64::from(seconds));
    let (gap, wider) = (length(plan.shorter_gap_s?), length(plan.longest_gap_s));
    Some(speech.fill(P::WiderGap, &[("gap", &gap), ("wider", &wider)]))
}

fn seconds(speech: Speech, seconds: i64) -> String {
    speech.length(u64::try_from(seconds).unwrap_or(0))
}

/// How much colder a variant is: the option's decimal in °C, or its counts (rounded up) in °F.
pub(crate) fn colder(speech: Speech, celsius: &str) -> String {
    match Decimal::parse(celsius) {
        Ok(decimal) => speech.apart(celsius, decimal.ceil_counts()),
        Err(_) => format!("{} °C", speech.decimal(celsius)),
    }
}

/// That a variant is reckoned a little colder than asked; `None` where it is not.
fn rounded(speech: Speech, celsius: &str) -> Option<String> {
    let counts =
        Decimal::parse(celsius).ok().filter(|exact| exact.floor_counts() != exact.ceil_counts())?.ceil_counts();
    let gaps = [("degrees", &*colder(speech, celsius)), ("counts", &*counts.to_string())];
    Some(speech.fill(P::ColderRounded, &gaps))
}

/// A group as it is told.
struct GroupAccount<'a> {
    plan: &'a ShiftPlan,
    group: &'a GroupPlan,
    speech: Speech,
    clock: Clock,
    text: &'a mut String,
}

impl GroupAccount<'_> {
    fn whole(&mut self) {
        let (group, speech, number) = (self.group, self.speech, self.group.number.to_string());
        let gaps = [
            ("group", group.name.as_str()),
            ("number", &number),
            ("hole", speech.hole(group.hole)),
            ("resin", &self.plan.resin),
            ("rule", speech.rule_word(group.rule)),
        ];
        let head = if group.number == 1 { P::OneFixing } else { P::Fixings };
        let _ = writeln!(self.text, "{}", speech.fill(head, &gaps));
        let Some((forecast, colder)) = group.variants.split_first() else { return };
        if forecast.starts.is_empty() {
            self.line(speech.say(P::NoStarts));
            return;
        }
        self.windows(forecast);
        for variant in colder {
            self.colder_windows(variant);
        }
        for by in &self.plan.torque_by {
            self.deadlines(*by);
        }
        self.starts();
    }

    fn line(&mut self, words: &str) {
        let _ = writeln!(self.text, "  {words}");
    }

    /// A line with a word before it, or room for one.
    fn under(&mut self, word: Option<P>, words: &str) {
        let width = [P::Inject, P::DoNot, P::Torque].map(|word| self.speech.say(word).chars().count());
        let width = width.into_iter().max().unwrap_or(0);
        let word = word.map_or("", |word| self.speech.say(word));
        let _ = writeln!(self.text, "  {word:width$}  {words}");
    }

    fn windows(&mut self, variant: &Variant) {
        let speech = self.speech;
        let (mut left_out, mut told, mut any) = (0, 0, false);
        for window in windows(&variant.starts, self.group.rule, self.plan.every) {
            let short = window.to.since(window.from) < SHORT;
            any |= window.standing.is_good();
            if short || told == MOST_WINDOWS {
                left_out += 1;
                continue;
            }
            told += 1;
            let span = self.clock.span(window.from, window.to);
            let (word, words) = match window.standing {
                Outlook::Cures => (P::Inject, self.working(&span, &variant.starts, &window)),
                Outlook::Open => {
                    let window = self.working(&span, &variant.starts, &window);
                    (P::Inject, speech.fill(P::CuredBeyond, &[("window", &window)]))
                }
                Outlook::Refused(grounds) => {
                    let gaps = [("span", &*span), ("reasons", &*speech.grounds(grounds))];
                    (P::DoNot, speech.fill(P::Because, &gaps))
                }
                Outlook::RejectedLater(grounds) => {
                    let gaps = [("span", &*span), ("reasons", &*speech.grounds(grounds))];
                    (P::DoNot, speech.fill(P::RejectedLater, &gaps))
                }
            };
            self.under(Some(word), &words);
        }
        if !any {
            self.line(speech.say(P::NoTime));
        }
        if left_out > 0 {
            self.under(None, &speech.fill(P::LeftOut, &[("number", &left_out.to_string())]));
        }
    }

    /// A window with its shortest working time, and the longest where it is another.
    fn working(&self, span: &str, starts: &[Start], window: &Window) -> String {
        let inside = starts.iter().filter(|start| window.from <= start.at && start.at <= window.to);
        let times = inside.filter_map(|start| match start.began {
            Began::Injected { seat_by, .. } => seat_by.map(|by| by.since(start.at)),
            Began::Refused(_) => None,
        });
        let range = times.fold(None, |range: Option<(i64, i64)>, time| match range {
            None => Some((time, time)),
            Some((least, most)) => Some((least.min(time), most.max(time))),
        });
        let Some((least, most)) = range else { return span.to_owned() };
        let phrase = if least == most { P::WorkingTime } else { P::WorkingTimes };
        let (least, most) = (seconds(self.speech, least), seconds(self.speech, most));
        self.speech.fill(phrase, &[("span", span), ("least", &least), ("most", &most)])
    }

    fn colder_windows(&mut self, variant: &Variant) {
        let speech = self.speech;
        let windows = windows(&variant.starts, self.group.rule, self.plan.every);
        let good = windows.iter().filter(|window| window.standing.is_good() && window.to.since(window.from) >= SHORT);
        let joined = joined(good, self.plan.every);
        let mut spans: Vec<String> = joined.iter().map(|(from, to)| self.clock.span(*from, *to)).collect();
        if spans.len() > 3 {
            let more = (spans.len() - 3).to_string();
            spans.truncate(3);
            spans.push(speech.fill(P::MoreSpans, &[("number", &more)]));
        }
        let what = if spans.is_empty() {
            speech.say(P::ColderNone).to_owned()
        } else {
            speech.fill(P::ColderInject, &[("spans", &speech.listed(&spans))])
        };
        let degrees = colder(speech, &variant.colder);
        self.under(None, &speech.fill(P::Colder, &[("degrees", &degrees), ("what", &what)]));
    }

    fn deadlines(&mut self, by: Instant) {
        let (group, speech, clock) = (self.group, self.speech, self.clock);
        let first = group.variants.first().and_then(|variant| variant.starts.first());
        if first.is_none_or(|first| first.at >= by) {
            return;
        }
        let found: Vec<_> =
            group.variants.iter().map(|variant| deadline(&variant.starts, group.rule, self.plan.every, by)).collect();
        let mut parts = Vec::new();
        for (place, (variant, found)) in group.variants.iter().zip(&found).enumerate() {
            let mut what = match (found.latest, found.windows.last()) {
                (Some(latest), Some(window)) => {
                    let span = clock.span(window.from, latest);
                    let seated = clock.by(latest.after(self.plan.seat_after));
                    speech.fill(P::StartSpan, &[("span", &span), ("by", &seated)])
                }
                (_, _) => speech.say(P::NotPossible).to_owned(),
            };
            if found.windows.len() > 1 {
                let number = (found.windows.len() - 1).to_string();
                what = speech.fill(P::OrEarlier, &[("what", &what), ("number", &number)]);
            }
            if place > 0 {
                let degrees = colder(speech, &variant.colder);
                what = speech.fill(P::Colder, &[("degrees", &degrees), ("what", &what)]);
            }
            parts.push(what);
        }
        let none = found.iter().all(|found| found.latest.is_none());
        let what = if none { speech.say(P::NotFromAny).to_owned() } else { speech.listed(&parts) };
        self.under(Some(P::Torque), &speech.fill(P::ByTime, &[("time", &clock.by(by)), ("what", &what)]));
    }

    fn starts(&mut self) {
        let (group, speech, clock) = (self.group, self.speech, self.clock);
        let Some((forecast, variants)) = group.variants.split_first() else { return };
        let mut beyond = Vec::new();
        for place in shown(&forecast.starts, group.rule, self.plan.every, self.plan.offset_seconds, MOST_STARTS) {
            let start = &forecast.starts[place];
            let Began::Injected { coldest, accrual, .. } = start.began else { continue };
            let (fate, other) = match (group.rule, accrual) {
                (Rule::Coldest, None) => (coldest, None),
                (Rule::Coldest, Some(accrual)) => {
                    let rule = speech.fill(P::NotAllowedHere, &[("rule", speech.rule_word(Rule::Accrual))]);
                    (coldest, Some((rule, accrual)))
                }
                (Rule::Accrual, None) => (coldest, None),
                (Rule::Accrual, Some(accrual)) => {
                    (accrual, Some((speech.rule_word(Rule::Coldest).to_owned(), coldest)))
                }
            };
            let by_rule = |start: &Start| start.fate(group.rule).or(start.fate(Rule::Coldest));
            let fates: Vec<Option<Fate>> =
                variants.iter().map(|variant| variant.starts.get(place).and_then(by_rule)).collect();
            let all_open = fate == Fate::Open && fates.iter().all(|fate| *fate == Some(Fate::Open));
            if all_open && other.as_ref().is_none_or(|(_, fate)| *fate == Fate::Open) {
                beyond.push(clock.at(start.at));
                continue;
            }
            let mut what = self.torque_from(fate);
            if all_open && !variants.is_empty() {
                what = speech.fill(P::ColderToo, &[("what", &what)]);
            } else {
                for (variant, fate) in variants.iter().zip(&fates) {
                    let then = fate.map_or_else(|| speech.say(P::NoStart).to_owned(), |fate| self.torque_from(fate));
                    let degrees = colder(speech, &variant.colder);
                    what =
                        speech.listed(&[what, speech.fill(P::ColderThen, &[("degrees", &degrees), ("what", &then)])]);
                }
            }
            if let Some((rule, fate)) = other {
                let gaps = [("rule", rule.as_str()), ("what", &self.torque_from(fate))];
                what = speech.listed(&[what, speech.fill(P::OtherRule, &gaps)]);
            }
            self.line(&speech.fill(P::Started, &[("time", &clock.at(start.at)), ("what", &what)]));
        }
        if !beyond.is_empty() {
            self.line(&speech.fill(P::StartedBeyond, &[("times", &beyond.join(", "))]));
        }
    }

    fn torque_from(&self, fate: Fate) -> String {
        let (speech, clock) = (self.speech, self.clock);
        match fate {
            Fate::Cured { known, .. } => speech.fill(P::From, &[("time", &clock.at(known))]),
            Fate::Rejected { at, grounds } => {
                speech.fill(P::Never, &[("time", &clock.at(at)), ("reasons", &speech.grounds(grounds))])
            }
            Fate::Open => speech.say(P::Beyond).to_owned(),
        }
    }
}

/// Windows that may be used, those that touch joined.
fn joined<'a>(windows: impl Iterator<Item = &'a Window>, every: i64) -> Vec<(Instant, Instant)> {
    let mut made: Vec<(Instant, Instant)> = Vec::new();
    for window in windows {
        match made.last_mut() {
            Some((_, to)) if window.from.since(*to) <= every => *to = window.to,
            Some(_) | None => made.push((window.from, window.to)),
        }
    }
    made
}

/// How a day is named.
#[derive(Clone, Copy)]
enum Days {
    /// By its weekday: the plan reaches less than a week.
    Weekdays,
    /// By weekday and date.
    Dates,
}

/// A clock on the wall, as a plan tells its times.
#[derive(Clone, Copy)]
pub(crate) struct Clock {
    /// Seconds ahead of UTC.
    offset: i32,
    days: Days,
    speech: Speech,
}

impl Clock {
    pub(crate) fn of(plan: &ShiftPlan, speech: Speech) -> Self {
        let (from, to) = plan.span;
        let days = if to.since(from) < 6 * 86_400 { Days::Weekdays } else { Days::Dates };
        Self { offset: plan.offset_seconds, days, speech }
    }

    /// Whether a day is named by its date, too.
    pub(crate) const fn dated(self) -> bool {
        matches!(self.days, Days::Dates)
    }

    /// Day and time from which something holds, up to the next full minute.
    pub(crate) fn at(self, at: Instant) -> String {
        self.day_and_time(at.after(59))
    }

    /// Day and time until which something holds, down to the full minute.
    fn by(self, at: Instant) -> String {
        self.day_and_time(at)
    }

    fn day_and_time(self, at: Instant) -> String {
        let form = match self.days {
            Days::Weekdays => "%H:%M",
            Days::Dates => "%Y-%m-%d %H:%M",
        };
        match self.local(at) {
            Some(moment) => format!("{} {}", self.speech.say(weekday(moment.weekday())), moment.format(form)),
            None => self.speech.fill(P::AfterEpoch, &[("seconds", &at.seconds().to_string())]),
        }
    }

    /// From and to; the day once where it is the same.
    fn span(self, from: Instant, to: Instant) -> String {
        let day = |at| self.local(at).map(|moment| moment.date_naive());
        let end = match (day(from.after(59)), self.local(to)) {
            (Some(day), Some(end)) if day == end.date_naive() => end.format("%H:%M").to_string(),
            (_, _) => self.by(to),
        };
        self.speech.fill(P::Span, &[("from", &self.at(from)), ("to", &end)])
    }

    /// From and to with their dates.
    fn dates(self, from: Instant, to: Instant) -> String {
        Self { days: Days::Dates, ..self }.span(from, to)
    }

    fn local(self, at: Instant) -> Option<DateTime<FixedOffset>> {
        let offset = FixedOffset::east_opt(self.offset)?;
        DateTime::from_timestamp(at.seconds(), 0).map(|moment| moment.with_timezone(&offset))
    }
}

const fn weekday(day: Weekday) -> P {
    match day {
        Weekday::Mon => P::Monday,
        Weekday::Tue => P::Tuesday,
        Weekday::Wed => P::Wednesday,
        Weekday::Thu => P::Thursday,
        Weekday::Fri => P::Friday,
        Weekday::Sat => P::Saturday,
        Weekday::Sun => P::Sunday,
    }
}

#[cfg(test)]
mod tests {
    use super::{Clock, Days};
    use crate::words::Speech;
    use holdoff_core::quantity::Instant;

    #[test]
    fn what_begins_is_rounded_up_and_what_ends_down() {
        let clock = Clock { offset: -25_200, days: Days::Weekdays, speech: Speech::PLAIN };
        let at = |seconds: i64| Instant::from_seconds(1_641_222_000 + seconds); // 2022-01-03T08:00:00-07:00, a Monday
        assert_eq!((clock.at(at(0)), clock.at(at(1))), ("Mon 08:00".to_owned(), "Mon 08:01".to_owned()));
        assert_eq!((clock.by(at(59)), clock.by(at(60))), ("Mon 08:00".to_owned(), "Mon 08:01".to_owned()));
        assert_eq!(clock.span(at(1), at(119)), "Mon 08:01 to 08:01");
        assert_eq!(clock.dates(at(0), at(86_400)), "Mon 2022-01-03 08:00 to Tue 2022-01-04 08:00");
    }
}
