//! A record as bytes, and back.

use super::counted::CountedSeconds;
use super::field::{Field, RecordError, unzigzag, zigzag};
use super::label::{Label, LabelError};
use super::layout::{self, Head, LONGEST, MOST_RECORD};
use super::record::{End, Particulars, ReleaseRecord, WallClock};
use super::wire::{Reader, Writer};
use crate::cure::{Rule, Settings, Uncertainty};
use crate::fixing::TorqueRange;
use crate::group::FixingNumber;
use crate::quantity::{Count, Fine, Instant, Span, Torque};
use crate::resin::{Hole, ResinUse};

impl ReleaseRecord {
    /// The record's bytes, at most [`MOST_RECORD`]; gives the part of the buffer that was filled.
    pub fn emit<'a>(&self, buffer: &'a mut [u8; MOST_RECORD]) -> &'a [u8] {
        let written = self.write();
        // a record is never longer, see `ReleaseRecord::of` and `parse`
        let bytes = written.bytes().get(..MOST_RECORD).unwrap_or(written.bytes());
        for (to, from) in buffer.iter_mut().zip(bytes) {
            *to = *from;
        }
        buffer.get(..bytes.len()).unwrap_or_default()
    }

    /// Bytes of the record.
    pub fn length(&self) -> usize {
        self.write().bytes().len()
    }

    fn write(&self) -> Writer<LONGEST> {
        let mut writer = Writer::new();
        let particulars = &self.particulars;
        writer.byte(layout::VERSION);
        writer.byte(self.flags());
        // both are in bounds since the record was made
        writer.byte(layout::place(self.fixing.place(), self.counted.bands()).unwrap_or_default());
        writer.byte(particulars.label.bytes().len() as u8); // at most 16
        writer.all(&particulars.device.0);
        writer.all(&particulars.key.0);
        writer.all(&particulars.job.0);
        writer.all(&particulars.resin.0);
        writer.all(&particulars.batch.0);
        writer.all(&particulars.chain.0);
        writer.all(particulars.label.bytes());
        writer.signed(self.seated.seconds());
        writer.number(u64::from(self.working));
        writer.number(u64::from(self.since));
        match particulars.clock {
            WallClock::Unknown => writer.number(0),
            WallClock::Tied { ahead, offset_minutes } => {
                writer.number(zigzag(i64::from(offset_minutes)).saturating_add(1));
                writer.signed(ahead);
            }
        }
        writer.number(u64::from(self.required));
        self.counted.write(&mut writer);
        writer.number(u64::from(self.held));
        writer.number(u64::from(self.unobserved));
        writer.signed(i64::from(self.coldest.raw()));
        writer.number(self.outside_at_seating.map_or(0, |count| zigzag(i64::from(count.raw())).saturating_add(1)));
        if self.settings != Settings::DEFAULT {
            writer.number(u64::from(self.settings.uncertainty().counts()));
            writer.number(u64::from(self.settings.longest_gap().seconds()));
            writer.number(u64::from(self.settings.clock_ppm()));
            writer.number(u64::from(self.settings.settle().seconds()));
        }
        match self.end {
            End::NoTorque => {}
            End::Torqued { applied, range } => {
                let (least, greatest) = (range.least().hundredths(), range.greatest().hundredths());
                let applied = applied.hundredths();
                writer.number(u64::from(least));
                writer.number(u64::from(applied.saturating_sub(least)));
                writer.number(u64::from(greatest.saturating_sub(applied)));
            }
        }
        writer
    }

    fn flags(&self) -> u8 {
        let end = match self.end {
            End::NoTorque => layout::NO_TORQUE,
            End::Torqued { .. } => 0,
        };
        let rule = match self.rule {
            Rule::Coldest => 0,
            Rule::Accrual => layout::ACCRUAL,
        };
        let hole = match self.hole {
            Hole::Dry => 0,
            Hole::Wet => 1,
            Hole::Flooded => 2,
        } << layout::HOLE_SHIFT;
        let demo = match self.particulars.resin_use {
            ResinUse::OnSite => 0,
            ResinUse::Demo => layout::DEMO,
        };
        let settings = if self.settings == Settings::DEFAULT { 0 } else { layout::SETTINGS };
        let total = if self.counted.is_total() { layout::TOTAL } else { 0 };
        let label = if self.label_left_out { layout::LABEL_LEFT_OUT } else { 0 };
        end | rule | hole | demo | settings | total | label
    }

    /// A record from its bytes, all of them.
    ///
    /// # Errors
    /// [`RecordError`], with the offset, for bytes that no valid record is written as.
    pub fn parse(bytes: &[u8]) -> Result<Self, RecordError> {
        let (head, mut reader) = Head::read(bytes)?;
        let label = Label::new(head.label).map_err(|error| match error {
            LabelError::TooLong { found } => RecordError::Meaningless { offset: 3, found: found as u8 },
            LabelError::NotText { offset } => RecordError::LabelText { offset: layout::LABEL.saturating_add(offset) },
        })?;
        let fixing = FixingNumber::new(head.fixing);
        let fixing = fixing.ok_or(RecordError::Meaningless { offset: 2, found: head.fixing })?;
        let hole = match head.flags & layout::HOLE {
            0 => Hole::Dry,
            bits if bits >> layout::HOLE_SHIFT == 1 => Hole::Wet,
            _ => Hole::Flooded,
        };
        let seated = Instant::from_seconds(reader.signed(Field::Seated)?);
        let working = reader.small(Field::Working)?;
        let since = reader.small(Field::Since)?;
        let clock = read_clock(&mut reader)?;
        let required = reader.small(Field::Required)?;
        let counted = if head.has(layout::TOTAL) {
            CountedSeconds::read_total(&mut reader, head.bands)?
        } else {
            CountedSeconds::read_by_band(&mut reader, head.bands)?
        };
        let record = Self {
            particulars: Particulars {
                device: head.device(),
                key: head.key(),
                job: head.job(),
                resin: head.resin(),
                batch: head.batch(),
                chain: head.chain(),
                label,
                resin_use: if head.has(layout::DEMO) { ResinUse::Demo } else { ResinUse::OnSite },
                clock,
            },
            label_left_out: head.has(layout::LABEL_LEFT_OUT),
            fixing,
            rule: if head.has(layout::ACCRUAL) { Rule::Accrual } else { Rule::Coldest },
            hole,
            seated,
            working,
            since,
            required,
            counted,
            held: reader.small(Field::Held)?,
            unobserved: reader.small(Field::Unobserved)?,
            coldest: read_coldest(&mut reader)?,
            outside_at_seating: read_outside(&mut reader)?,
            settings: if head.has(layout::SETTINGS) { read_settings(&mut reader)? } else { Settings::DEFAULT },
            end: if head.has(layout::NO_TORQUE) { End::NoTorque } else { read_torque(&mut reader)? },
        };
        reader.end()?;
        match record.shortfall() {
            Some((required, served)) => Err(RecordError::Shortfall { required, served }),
            None => Ok(record),
        }
    }
}

/// The offset of local time plus one in zigzag form, then the tie; or a zero for a clock that nobody knows.
fn read_clock(reader: &mut Reader<'_>) -> Result<WallClock, RecordError> {
    let offset = reader.offset();
    let code = reader.number(Field::Offset)?;
    let Some(minutes) = code.checked_sub(1) else {
        return Ok(WallClock::Unknown);
    };
    let wrong = RecordError::OutOfBounds { field: Field::Offset, offset, found: code };
    let offset_minutes = i16::try_from(unzigzag(minutes)).map_err(|_| wrong)?;
    Ok(WallClock::Tied { ahead: reader.signed(Field::Ahead)?, offset_minutes })
}

fn read_coldest(reader: &mut Reader<'_>) -> Result<Fine, RecordError> {
    let offset = reader.offset();
    let raw = reader.signed(Field::Coldest)?;
    let wrong = RecordError::OutOfBounds { field: Field::Coldest, offset, found: zigzag(raw) };
    i32::try_from(raw).map(Fine::new).map_err(|_| wrong)
}

/// Zero, or one more than the count in zigzag form.
fn read_outside(reader: &mut Reader<'_>) -> Result<Option<Count>, RecordError> {
    let offset = reader.offset();
    let code = reader.number(Field::OutsideAtSeating)?;
    let Some(count) = code.checked_sub(1) else { return Ok(None) };
    let wrong = RecordError::OutOfBounds { field: Field::OutsideAtSeating, offset, found: code };
    i16::try_from(unzigzag(count)).map(|raw| Some(Count::new(raw))).map_err(|_| wrong)
}

/// Settings that are given must not be the default ones, which are not.
fn read_settings(reader: &mut Reader<'_>) -> Result<Settings, RecordError> {
    let offset = reader.offset();
    let uncertainty = reader.small(Field::Uncertainty)?;
    let gap = reader.small(Field::LongestGap)?;
    let ppm = reader.small(Field::ClockPpm)?;
    let settle = reader.small(Field::Settle)?;
    let wrong = RecordError::OutOfBounds { field: Field::Uncertainty, offset, found: u64::from(uncertainty) };
    let counts = u16::try_from(uncertainty).map_err(|_| wrong)?;
    let uncertainty = Uncertainty::from_counts(counts).map_err(|_| wrong)?;
    let ppm = u16::try_from(ppm).map_err(|_| wrong)?;
    let settings = Settings::new(uncertainty, Span::from_seconds(gap), ppm).map_err(|_| wrong)?;
    let settings = settings.with_settle(Span::from_seconds(settle)).map_err(|_| wrong)?;
    if settings == Settings::DEFAULT { Err(wrong) } else { Ok(settings) }
}

fn read_torque(reader: &mut Reader<'_>) -> Result<End, RecordError> {
    let least = reader.small(Field::TorqueLeast)?;
    let applied = least.saturating_add(reader.small(Field::TorqueOver)?);
    let offset = reader.offset();
    let spare = reader.small(Field::TorqueSpare)?;
    let greatest = Torque::from_hundredths(applied.saturating_add(spare));
    let wrong = RecordError::OutOfBounds { field: Field::TorqueSpare, offset, found: u64::from(spare) };
    let range = TorqueRange::new(Torque::from_hundredths(least), greatest).ok_or(wrong)?;
    Ok(End::Torqued { applied: Torque::from_hundredths(applied), range })
}
