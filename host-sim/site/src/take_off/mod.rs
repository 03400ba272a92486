//! The take-off: what a job needs brought to the site.
//!
//! What for: `holdoff job take-off`. For each group and in all: resin by the hole's volume and the fill rule, cartridges
//! with what purging and nozzle changes waste, nozzles, brushes, extension tubes, air, centring pieces; and whether a hole
//! can be filled within its working time at the expected temperature.
//!
//! Terms: *needed* is the annulus around the element and what is below it; the *fill rule* injects two thirds of the hole;
//! *spare* is a percentage put on the number of holes.
//!
//! Rounding is always up, and named: volumes to a microlitre, holes with spare, cartridges and brushes to whole ones,
//! seconds of filling to whole ones. Each group begins a new cartridge. So more fixings or more spare never need less.
//!
//! What it does not do: choose anything; the job file says it, or the rule of the trade in [`holdoff_files::job`] that stands beside it.

mod filling;

pub use filling::{Filling, filling};

use holdoff_files::job::{
    BlowWith, Element, Group, HoleVolumes, JobFile, Length, Supplies, Volume, blow_with, brush, extension_tube,
    needs_air, needs_centring,
};
use std::collections::BTreeMap;

/// A percentage put on the number of holes, in hundredths of a percent; 0 to 1000 %.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Debug)]
pub struct Spare(u32);

impl Spare {
    /// From hundredths of a percent; `None` over 1000 %.
    pub const fn from_hundredths(hundredths: u32) -> Option<Self> {
        if hundredths > 100_000 { None } else { Some(Self(hundredths)) }
    }

    /// Hundredths of a percent.
    pub const fn hundredths(self) -> u32 {
        self.0
    }

    /// So many with spare, rounded up.
    pub fn on(self, number: u32) -> u64 {
        (u64::from(number) * (10_000 + u64::from(self.0))).div_ceil(10_000)
    }
}

/// Cartridges and nozzles of a group.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Cartridges {
    /// Cartridges, rounded up.
    pub cartridges: u64,
    /// Nozzles: one a cartridge, one more for each pause.
    pub nozzles: u64,
    /// Cartridges that a single hole takes, rounded up; more than one means changing in the middle of a hole.
    pub a_hole: u64,
}

/// Something to be looked at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Note {
    /// The fill rule does not cover what is needed; more is reckoned with.
    FillTooSmall,
    /// Filling alone takes as long as the working time, or longer.
    FillTooSlow,
    /// Filling takes more than half of the working time (ASSUMED as little time left for seating).
    LittleTimeLeft,
    /// A hole takes more than a cartridge: it has to be changed while the working time runs.
    CartridgeChange,
    /// The job prescribes a hand pump where compressed air is the rule.
    HandPump,
    /// The job file gives no expected temperature, so the working time isn't known.
    NoTemperature,
    /// The job file gives no pumping rate, so the time to fill isn't known.
    NoPumpingRate,
}

/// What one group needs.
#[derive(Clone, Debug)]
pub struct GroupNeeds<'j> {
    /// The group.
    pub group: &'j Group,
    /// Holes with spare, rounded up.
    pub holes: u64,
    /// A hole's volumes.
    pub volumes: HoleVolumes,
    /// Resin for all holes with spare, without waste.
    pub resin: Volume,
    /// Cartridges and nozzles, where the job file gives supplies.
    pub cartridges: Option<Cartridges>,
    /// Brushes and their diameter.
    pub brushes: Option<(Length, u64)>,
    /// Extension tubes, one a nozzle (one where nozzles aren't known), and their least length.
    pub tubes: Option<(Length, u64)>,
    /// What holes are blown out with.
    pub blow_with: Option<BlowWith>,
    /// Centring pieces.
    pub centring_pieces: u64,
    /// Time to fill a hole against the working time.
    pub filling: Filling,
    /// What is to be looked at.
    pub notes: Vec<Note>,
}

/// What a job needs.
#[derive(Clone, Debug)]
pub struct TakeOff<'j> {
    /// The job.
    pub file: &'j JobFile,
    /// Spare.
    pub spare: Spare,
    /// Group by group.
    pub groups: Vec<GroupNeeds<'j>>,
    /// In all.
    pub total: Total,
    /// Batches of which the job file says that there are fewer cartridges than the groups set with them need: name, there
    /// are, needed.
    pub short: Vec<(String, u64, u64)>,
}

/// In all.
#[derive(Clone, Default, Debug)]
pub struct Total {
    /// Holes with spare.
    pub holes: u64,
    /// Elements with spare, by their English names, which order and name them for a script too.
    pub elements: BTreeMap<String, (Element, u64)>,
    /// Resin without waste.
    pub resin: Volume,
    /// Cartridges; `None` where the job file gives no supplies.
    pub cartridges: Option<u64>,
    /// Nozzles; likewise.
    pub nozzles: Option<u64>,
    /// Brushes by diameter.
    pub brushes: BTreeMap<Length, u64>,
    /// Extension tubes by least length.
    pub tubes: BTreeMap<Length, u64>,
    /// Hand pumps: one where any group is blown out with one.
    pub hand_pump: bool,
    /// Compressed air: whether any group is blown out with it.
    pub compressed_air: bool,
    /// Centring pieces.
    pub centring_pieces: u64,
}

/// The take-off of a job.
pub fn take_off(file: &JobFile, spare: Spare) -> TakeOff<'_> {
    let groups: Vec<GroupNeeds<'_>> = file.job().groups.iter().filter_map(|group| needs(file, group, spare)).collect();
    let total = total(&groups, file.job().supplies.as_ref());
    let short = short(file, &groups);
    TakeOff { file, spare, groups, total, short }
}

/// What a group needs; `None` only for a hole no wider than its element, which a [`JobFile`] doesn't have.
fn needs<'j>(file: &'j JobFile, group: &'j Group, spare: Spare) -> Option<GroupNeeds<'j>> {
    let (holes, volumes) = (spare.on(group.number()), HoleVolumes::of(group)?);
    let resin = volumes.inject().times(holes);
    let supplies = file.job().supplies.as_ref();
    let cartridges = supplies.map(|supplies| cartridges(group, &volumes, resin, supplies));
    let per_brush = supplies.and_then(|supplies| supplies.holes_per_brush);
    let brushes = brush(group).map(|diameter| (diameter, worn(holes, per_brush)));
    let nozzles = cartridges.map_or(1, |found| found.nozzles);
    let filling = filling(file, group, &volumes);
    let mut needs = GroupNeeds {
        group,
        holes,
        volumes,
        resin,
        cartridges,
        brushes,
        tubes: extension_tube(group).map(|length| (length, nozzles)),
        blow_with: blow_with(group),
        centring_pieces: if needs_centring(group) { holes } else { 0 },
        filling,
        notes: Vec::new(),
    };
    needs.notes = notes(&needs);
    Some(needs)
}

/// Brushes for so many holes, rounded up; one where the job file doesn't say how fast they wear.
fn worn(holes: u64, per_brush: Option<u32>) -> u64 {
    per_brush.map_or(1, |per_brush| holes.div_ceil(u64::from(per_brush.max(1))))
}

fn cartridges(group: &Group, volumes: &HoleVolumes, resin: Volume, supplies: &Supplies) -> Cartridges {
    let waste = supplies.discard.and(supplies.left).microlitres();
    // reading the file made sure that something is left
    let usable = supplies.cartridge.microlitres().saturating_sub(waste).max(1);
    let pauses = u64::from(group.pauses);
    let all = resin.and(supplies.discard.times(pauses)).microlitres();
    let cartridges = all.div_ceil(usable);
    Cartridges {
        cartridges,
        nozzles: cartridges.saturating_add(pauses),
        a_hole: volumes.inject().microlitres().div_ceil(usable),
    }
}

fn notes(needs: &GroupNeeds<'_>) -> Vec<Note> {
    let mut notes = Vec::new();
    if !needs.volumes.fill_covers() {
        notes.push(Note::FillTooSmall);
    }
    match (needs.filling.seconds, needs.filling.working) {
        (Some(seconds), Some(working)) if seconds >= u64::from(working.seconds()) => notes.push(Note::FillTooSlow),
        (Some(seconds), Some(working)) if seconds.saturating_mul(2) > u64::from(working.seconds()) => {
            notes.push(Note::LittleTimeLeft);
        }
        (Some(_) | None, Some(_) | None) => {}
    }
    if needs.filling.working.is_none() {
        notes.push(Note::NoTemperature);
    }
    if needs.filling.seconds.is_none() {
        notes.push(Note::NoPumpingRate);
    }
    if needs.cartridges.is_some_and(|cartridges| cartridges.a_hole > 1) {
        notes.push(Note::CartridgeChange);
    }
    if needs.blow_with == Some(BlowWith::HandPump) && needs_air(needs.group).is_some() {
        notes.push(Note::HandPump);
    }
    notes
}

fn total(groups: &[GroupNeeds<'_>], supplies: Option<&Supplies>) -> Total {
    let mut total = Total::default();
    let mut brushed: BTreeMap<Length, u64> = BTreeMap::new();
    for needs in groups {
        total.holes = total.holes.saturating_add(needs.holes);
        let element = needs.group.element;
        total.elements.entry(element.to_string()).or_insert((element, 0)).1 += needs.holes;
        total.resin = total.resin.and(needs.resin);
        if let Some((diameter, _)) = needs.brushes {
            *brushed.entry(diameter).or_default() += needs.holes;
        }
        if let Some((length, number)) = needs.tubes {
            *total.tubes.entry(length).or_default() += number;
        }
        match needs.blow_with {
            Some(BlowWith::HandPump) => total.hand_pump = true,
            Some(BlowWith::CompressedAir) => total.compressed_air = true,
            None => {}
        }
        total.centring_pieces = total.centring_pieces.saturating_add(needs.centring_pieces);
    }
    let per_brush = supplies.and_then(|supplies| supplies.holes_per_brush);
    total.brushes = brushed.into_iter().map(|(diameter, holes)| (diameter, worn(holes, per_brush))).collect();
    let sum = |of: fn(&Cartridges) -> u64| groups.iter().map(|needs| needs.cartridges.as_ref().map(of)).sum();
    (total.cartridges, total.nozzles) = (sum(|found| found.cartridges), sum(|found| found.nozzles));
    total
}

fn short(file: &JobFile, groups: &[GroupNeeds<'_>]) -> Vec<(String, u64, u64)> {
    let mut short = Vec::new();
    for batch in &file.job().batches {
        let Some(there) = batch.cartridges.map(u64::from) else { continue };
        let of_batch = groups.iter().filter(|needs| needs.group.batch.as_ref() == Some(&batch.name));
        let needed: u64 = of_batch.filter_map(|needs| needs.cartridges).map(|found| found.cartridges).sum();
        if needed > there {
            short.push((batch.name.clone(), there, needed));
        }
    }
    short
}

impl Note {
    /// For a script.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::FillTooSmall => "fill-too-small",
            Self::FillTooSlow => "fill-too-slow",
            Self::LittleTimeLeft => "little-time-left",
            Self::CartridgeChange => "cartridge-change",
            Self::HandPump => "hand-pump",
            Self::NoTemperature => "no-temperature",
            Self::NoPumpingRate => "no-pumping-rate",
        }
    }
}
