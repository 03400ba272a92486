//! What a session begins with: the logger's identity, the resin, the job, and its fixings.

use super::body::{BodyReader, BodyWriter, Wrong};
use super::text::Bytes;
use crate::cure::{Rule, Settings, Uncertainty};
use crate::fixing::{FixingSpec, TorqueRange};
use crate::group::FixingNumber;
use crate::log::geometry::Geometry;
use crate::probe::SensorKind;
use crate::quantity::{Count, Instant, Span, Torque};
use crate::resin::{Accrual, Band, Hole, Holes, Limits, MOST_BANDS, Resin, ResinSpec, ResinUse};

/// The device's own number, 8 bytes.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct DeviceId(pub [u8; 8]);

impl DeviceId {
    /// Bytes of a device's number.
    pub const BYTES: usize = 8;
}

/// The SHA-256 of a file.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct FileHash(pub [u8; 32]);

/// Where readings come from.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Source {
    /// A sensor of this kind.
    Sensor(SensorKind),
    /// A recorded trace.
    Trace,
}

impl Source {
    /// The number of low bits of a count that are the same in all readings: 4 for 1/16 °C, 1 for 1/128 °C, 0 for a
    /// trace. Only a matter of compactness: any count can be logged.
    pub const fn quantum_bits(self) -> u8 {
        match self {
            Self::Sensor(SensorKind::TwelveBit | SensorKind::ThirteenBit | SensorKind::OneWire) => 4,
            Self::Sensor(SensorKind::SixteenBit) => 1,
            Self::Trace => 0,
        }
    }

    const fn code(self) -> u8 {
        match self {
            Self::Sensor(SensorKind::TwelveBit) => 0,
            Self::Sensor(SensorKind::ThirteenBit) => 1,
            Self::Sensor(SensorKind::SixteenBit) => 2,
            Self::Sensor(SensorKind::OneWire) => 3,
            Self::Trace => 4,
        }
    }

    const ALL: [Self; 5] = [
        Self::Sensor(SensorKind::TwelveBit),
        Self::Sensor(SensorKind::ThirteenBit),
        Self::Sensor(SensorKind::SixteenBit),
        Self::Sensor(SensorKind::OneWire),
        Self::Trace,
    ];
}

/// Who writes the log, and into what.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Identity {
    /// The device.
    pub device: DeviceId,
    /// Version of what runs on it: major, minor, patch.
    pub firmware: [u8; 3],
    /// Where readings come from.
    pub source: Source,
    /// The memory.
    pub geometry: Geometry,
    /// Pages with a lower number may be overwritten: they were read out or freed before this session.
    pub free_below: u32,
}

/// The resin as loaded.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ResinRecord {
    /// The schedule.
    pub resin: Resin,
    /// Whether it may be used on site.
    pub resin_use: ResinUse,
    /// The SHA-256 of the resin file.
    pub file: FileHash,
    /// Its name.
    pub name: Bytes<32>,
}

/// The job as loaded.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Job {
    /// The SHA-256 of the job file; of nothing where there is none.
    pub file: FileHash,
    /// Settings of the count; which are laxer than their default follows from them and is recorded with them.
    pub settings: Settings,
    /// The rule.
    pub rule: Rule,
    /// Seconds between readings, at least 1.
    pub period: Span,
}

/// A fixing as it was declared before anything was done.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct FixingRecord {
    /// Its number in the group.
    pub number: FixingNumber,
    /// What it is called on site.
    pub label: Bytes<16>,
    /// Hole condition and torque.
    pub spec: FixingSpec,
}

/// The resin batch that a fixing is set with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Batch {
    /// For which fixing.
    pub fixing: FixingNumber,
    /// What is printed on the cartridge.
    pub text: Bytes<24>,
    /// The first second past the date, by the wall clock (seconds since 1970-01-01T00:00:00Z); `None` where undeclared.
    pub use_by: Option<i64>,
}

impl Identity {
    pub(super) fn write(&self, body: &mut BodyWriter) {
        body.all(&self.device.0);
        body.all(&self.firmware);
        body.byte(self.source.code());
        body.byte(self.geometry.exponent());
        body.number(self.free_below);
    }

    pub(super) fn read(body: &mut BodyReader<'_>) -> Result<Self, Wrong> {
        let (device, firmware) = (DeviceId(body.array()?), body.array()?);
        let code = body.byte()?;
        let source = *Source::ALL.iter().find(|source| source.code() == code).ok_or(Wrong)?;
        let geometry = Geometry::from_exponent(body.byte()?).ok_or(Wrong)?;
        Ok(Self { device, firmware, source, geometry, free_below: body.number()? })
    }
}

impl ResinRecord {
    pub(super) fn write(&self, body: &mut BodyWriter) {
        let (resin, limits) = (&self.resin, self.resin.limits());
        let mut flags = 0u8;
        for (bit, hole) in Hole::ALL.iter().enumerate() {
            flags |= u8::from(resin.holes().allows(*hole)) << bit;
        }
        flags |= u8::from(resin.accrual() == Accrual::Permitted) << 3;
        flags |= u8::from(limits.reject_below.is_some()) << 4;
        flags |= u8::from(limits.reject_above.is_some()) << 5;
        flags |= u8::from(limits.longest_hold.is_some()) << 6;
        flags |= u8::from(self.resin_use == ResinUse::Demo) << 7;
        body.byte(flags);
        body.byte(resin.wet_factor());
        let temperatures = [
            limits.install_least,
            limits.install_greatest,
            limits.cure_least,
            limits.cure_greatest,
            resin.cartridge_least(),
            resin.cartridge_greatest(),
        ];
        for count in &temperatures {
            body.count(*count);
        }
        if let Some(count) = limits.reject_below {
            body.count(count);
        }
        if let Some(count) = limits.reject_above {
            body.count(count);
        }
        if let Some(hold) = limits.longest_hold {
            body.number(hold.seconds());
        }
        body.byte(resin.bands().len() as u8); // at most 16
        for band in resin.bands().iter() {
            body.count(band.from);
            body.number(band.working.seconds());
            body.number(band.cure.seconds());
        }
        body.all(&self.file.0);
        body.string(self.name.bytes());
    }

    pub(super) fn read(body: &mut BodyReader<'_>) -> Result<Self, Wrong> {
        let flags = body.byte()?;
        let given = |bit: u32| flags >> bit & 1 == 1;
        let wet_factor = body.byte()?;
        let mut limits = Limits {
            install_least: body.count()?,
            install_greatest: body.count()?,
            cure_least: body.count()?,
            cure_greatest: body.count()?,
            reject_below: None,
            reject_above: None,
            longest_hold: None,
        };
        let (cartridge_least, cartridge_greatest) = (body.count()?, body.count()?);
        if given(4) {
            limits.reject_below = Some(body.count()?);
        }
        if given(5) {
            limits.reject_above = Some(body.count()?);
        }
        if given(6) {
            limits.longest_hold = Some(Span::from_seconds(body.number()?));
        }
        let mut bands = [Band { from: Count::new(0), working: Span::ZERO, cure: Span::ZERO }; MOST_BANDS];
        let used = usize::from(body.byte()?);
        let places = bands.get_mut(..used).ok_or(Wrong)?;
        for band in places.iter_mut() {
            *band = Band {
                from: body.count()?,
                working: Span::from_seconds(body.number()?),
                cure: Span::from_seconds(body.number()?),
            };
        }
        let mut holes = Holes::NONE;
        for (hole, bit) in Hole::ALL.iter().zip(0u32..) {
            if given(bit) {
                holes = holes.with(*hole);
            }
        }
        let accrual = if given(3) { Accrual::Permitted } else { Accrual::Forbidden };
        let spec = ResinSpec { limits, cartridge_least, cartridge_greatest, holes, wet_factor, accrual, bands: places };
        let resin = Resin::new(&spec).map_err(|_| Wrong)?;
        let resin_use = if given(7) { ResinUse::Demo } else { ResinUse::OnSite };
        let file = FileHash(body.array()?);
        Ok(Self { resin, resin_use, file, name: text(body)? })
    }
}

impl Job {
    /// Bits of the settings that are laxer than their default: 0 uncertainty, 1 longest gap, 2 clock allowance, 3 time to settle.
    fn laxer(&self) -> u8 {
        let laxer = self.settings.laxer();
        u8::from(laxer.uncertainty)
            | u8::from(laxer.longest_gap) << 1
            | u8::from(laxer.clock_ppm) << 2
            | u8::from(laxer.settle) << 3
    }

    pub(super) fn write(&self, body: &mut BodyWriter) {
        body.all(&self.file.0);
        body.number(self.settings.uncertainty().counts());
        body.number(self.settings.longest_gap().seconds());
        body.number(self.settings.clock_ppm());
        body.number(self.settings.settle().seconds());
        body.byte(self.laxer() | u8::from(self.rule == Rule::Accrual) << 7);
        body.number(self.period.seconds());
    }

    pub(super) fn read(body: &mut BodyReader<'_>) -> Result<Self, Wrong> {
        let file = FileHash(body.array()?);
        let uncertainty = Uncertainty::from_counts(body.number()?).map_err(|_| Wrong)?;
        let gap = Span::from_seconds(body.number()?);
        let settings = Settings::new(uncertainty, gap, body.number()?).map_err(|_| Wrong)?;
        let settings = settings.with_settle(Span::from_seconds(body.number()?)).map_err(|_| Wrong)?;
        let flags = body.byte()?;
        let rule = if flags & 0x80 == 0 { Rule::Coldest } else { Rule::Accrual };
        let job = Self { file, settings, rule, period: Span::from_seconds(body.number()?) };
        if flags & 0x7F != job.laxer() || job.period == Span::ZERO {
            return Err(Wrong);
        }
        Ok(job)
    }
}

impl FixingRecord {
    pub(super) fn write(&self, body: &mut BodyWriter) {
        body.byte(self.number.place() as u8); // at most 15
        body.byte(hole_code(self.spec.hole) | u8::from(self.spec.torque.is_some()) << 7);
        if let Some(torque) = self.spec.torque {
            body.number(torque.least().hundredths());
            body.number(torque.greatest().hundredths());
        }
        body.string(self.label.bytes());
    }

    pub(super) fn read(body: &mut BodyReader<'_>) -> Result<Self, Wrong> {
        let number = fixing(body)?;
        let flags = body.byte()?;
        let hole = hole_of(flags & 0x7F).ok_or(Wrong)?;
        let mut torque = None;
        if flags & 0x80 != 0 {
            let least = Torque::from_hundredths(body.number()?);
            let range = TorqueRange::new(least, Torque::from_hundredths(body.number()?));
            torque = Some(range.ok_or(Wrong)?);
        }
        Ok(Self { number, label: text(body)?, spec: FixingSpec { hole, torque } })
    }
}

impl Batch {
    pub(super) fn write(&self, body: &mut BodyWriter) {
        body.byte(self.fixing.place() as u8 | u8::from(self.use_by.is_some()) << 7);
        if let Some(use_by) = self.use_by {
            body.signed(use_by);
        }
        body.string(self.text.bytes());
    }

    pub(super) fn read(body: &mut BodyReader<'_>) -> Result<Self, Wrong> {
        let flags = body.byte()?;
        let fixing = FixingNumber::new(flags & 0x7F).ok_or(Wrong)?;
        let use_by = if flags & 0x80 == 0 { None } else { Some(body.signed()?) };
        Ok(Self { fixing, text: text(body)?, use_by })
    }
}

pub(super) const fn hole_code(hole: Hole) -> u8 {
    match hole {
        Hole::Dry => 0,
        Hole::Wet => 1,
        Hole::Flooded => 2,
    }
}

pub(super) fn hole_of(code: u8) -> Option<Hole> {
    Hole::ALL.iter().copied().find(|hole| hole_code(*hole) == code)
}

pub(super) fn fixing(body: &mut BodyReader<'_>) -> Result<FixingNumber, Wrong> {
    FixingNumber::new(body.byte()?).ok_or(Wrong)
}

fn text<const N: usize>(body: &mut BodyReader<'_>) -> Result<Bytes<N>, Wrong> {
    Bytes::new(body.string()?).ok_or(Wrong)
}

/// Whether an instant is where the engine can reach it; used where a record could name any.
pub(super) fn instant_or(body: &mut BodyReader<'_>, given: bool) -> Result<Option<Instant>, Wrong> {
    if given { body.instant().map(Some) } else { Ok(None) }
}
