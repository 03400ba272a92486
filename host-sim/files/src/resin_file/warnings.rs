//! What merely looks odd: the file is used, and the person who copied it is asked to look again.
//!
//! Each warning has a meaning on site, which its text says. The figures that call something odd have no source
//! (`ASSUMED`): they are wide enough that a usual schedule passes in silence.

use super::Findings;
use super::check::{coldest_usable, down, up};
use super::draft::{At, BandDraft, Draft};
use crate::decimal::Decimal;
use crate::duration::format;
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::Hole;
use std::cmp::Ordering;

/// ASSUMED: substrate limits above it smell of degrees Fahrenheit, °C.
const WARMEST_USUAL: i64 = 60;
/// ASSUMED: a least installation temperature above it smells of degrees Fahrenheit, °C.
const WARMEST_USUAL_LEAST: i64 = 25;
/// ASSUMED: a usual range of cartridge temperatures lies within these, °C.
const USUAL_CARTRIDGE: (i64, i64) = (-10, 45);
/// ASSUMED: how far limits usually reach beyond the warmest edge, in counts (40 K).
const USUAL_REACH: i32 = 40 * Count::PER_DEGREE;
/// A range narrower than the guard bands of a reading with the default uncertainty of 1.0 °C: 2 °C and a count.
const GUARD_BANDS: i32 = 2 * Count::PER_DEGREE + 1;
/// A hold shorter than this is used up by a single missed reading: twice the default longest gap of 5 min.
const SHORTEST_USUAL_HOLD: Span = Span::from_seconds(600);

const COMPARE: &str = "compare it with the maker's instructions";

/// Notes everything odd.
pub(super) fn look(draft: &Draft, findings: &mut Findings) {
    name(draft, findings);
    bands(draft, findings);
    limits_and_bands(draft, findings);
    installing_and_curing(draft, findings);
    spoiling(draft, findings);
    ranges(draft, findings);
    holes(draft, findings);
}

fn name(draft: &Draft, findings: &mut Findings) {
    let Some(name) = &draft.name else { return };
    if name.value.trim().is_empty() {
        findings.warn(name.span.clone(), "the name is empty", "give the resin's name: every record carries it");
    } else if name.value.chars().any(crate::problem::is_invisible) {
        let what = "the name has characters that can't be seen";
        findings.warn(name.span.clone(), what, "write it in plain letters: every record carries it");
    }
}

fn bands(draft: &Draft, findings: &mut Findings) {
    for band in &draft.bands {
        if let (Some(working), Some(cure)) = (&band.working, &band.cure)
            && working.value >= cure.value
            && working.value > Span::ZERO
        {
            let what = format!(
                "the working time {} is not shorter than the cure time {}",
                format(working.value),
                format(cure.value)
            );
            findings.warn(working.span.clone(), what, "look whether the two were swapped, or a unit is wrong");
        }
    }
    for (colder, warmer) in draft.bands.iter().zip(draft.bands.iter().skip(1)) {
        let same = |left: &Option<At<Span>>, right: &Option<At<Span>>| {
            left.as_ref().zip(right.as_ref()).is_some_and(|(left, right)| left.value == right.value)
        };
        if same(&colder.working, &warmer.working) && same(&colder.cure, &warmer.cure) {
            let what = "the band has the same times as the colder one before it";
            findings.warn(warmer.span.clone(), what, "look whether a row was copied twice");
        }
    }
}

/// Bands that no reading can count in.
fn limits_and_bands(draft: &Draft, findings: &mut Findings) {
    let (least, greatest, reject) = (up(&draft.cure_least), down(&draft.cure_greatest), up(&draft.reject_below));
    for (place, band) in draft.bands.iter().enumerate() {
        let Some(from) = &band.from else { continue };
        let next = draft.bands.get(place + 1).and_then(|next| up(&next.from));
        let above = up(&band.from).zip(greatest).is_some_and(|(edge, greatest)| edge >= greatest);
        let spoilt = next.zip(reject).is_some_and(|(next, reject)| next <= reject);
        let below = next.zip(least).is_some_and(|(next, least)| next <= least);
        if above {
            let what =
                format!("the band from {} °C can never be used: the cure is held above cure_greatest", from.value);
            findings.warn(from.span.clone(), what, COMPARE);
        } else if spoilt {
            let what = format!("the band from {} °C can never be used: all of it lies below reject_below", from.value);
            findings.warn(from.span.clone(), what, COMPARE);
        } else if below {
            let what = format!(
                "the band from {} °C can never be used for counting: all of it lies below cure_least (its cure time is asked for after a dip into it)",
                from.value
            );
            findings.warn(from.span.clone(), what, COMPARE);
        }
    }
    let first = draft.bands.first().and_then(|band| band.from.as_ref());
    let below_first = |limit: &Option<At<Decimal>>| {
        up(limit).zip(first.and_then(|edge| edge.value.ceil_count())).is_some_and(|(limit, edge)| limit < edge)
    };
    if let (Some(limit), Some(first), true) = (&draft.cure_least, first, below_first(&draft.cure_least)) {
        let what = format!(
            "cure_least {} lies below the first band, from {} °C: below that band nothing is counted",
            limit.value, first.value
        );
        findings.warn(limit.span.clone(), what, "add the colder band, or raise cure_least to the first band");
    }
    let last = draft.bands.last().and_then(|band| band.from.as_ref());
    for (name, limit) in [("install_greatest", &draft.install_greatest), ("cure_greatest", &draft.cure_greatest)] {
        let reach = down(limit).zip(last.and_then(|edge| edge.value.ceil_count()));
        if let (Some((greatest, edge)), Some(at), Some(last)) = (reach, limit, last)
            && i32::from(greatest.raw()) - i32::from(edge.raw()) > USUAL_REACH
        {
            let what = format!("{name} {} lies far above the warmest band, from {} °C", at.value, last.value);
            findings.warn(at.span.clone(), what, "look whether a warmer band is missing");
        }
    }
}

/// Starts that are allowed where the cure is held, and starts that never are.
fn installing_and_curing(draft: &Draft, findings: &mut Findings) {
    if let (Some(limit), Some(least), Some((edge, degrees))) =
        (&draft.install_least, up(&draft.install_least), coldest_usable(draft))
        && least < edge
    {
        let what = format!("install_least {} lies below {degrees} °C, under which the cure is held", limit.value);
        findings.warn(limit.span.clone(), what, COMPARE);
    }
    if let (Some(limit), Some(greatest), Some(curing)) =
        (&draft.install_greatest, down(&draft.install_greatest), down(&draft.cure_greatest))
        && greatest > curing
    {
        let what = format!("install_greatest {} lies above cure_greatest, over which the cure is held", limit.value);
        findings.warn(limit.span.clone(), what, COMPARE);
    }
    let pairs = [
        ("install_greatest", &draft.install_least, &draft.install_greatest, "no start is allowed"),
        ("cure_greatest", &draft.cure_least, &draft.cure_greatest, "nothing is counted"),
    ];
    for (name, least, greatest, then) in pairs {
        if let (Some(low), Some(high), Some(at)) = (up(least), down(greatest), greatest)
            && (0..GUARD_BANDS).contains(&(i32::from(high.raw()) - i32::from(low.raw())))
        {
            let what = format!("{name} lies so near its least that with the default uncertainty of 1.0 °C {then}");
            findings.warn(at.span.clone(), what, COMPARE);
        }
    }
}

/// Limits at which a fixing is rejected.
fn spoiling(draft: &Draft, findings: &mut Findings) {
    if draft.reject_below.is_none() && draft.longest_hold.is_none() {
        let what = "there is no reject temperature (reject_below) and no longest hold (longest_hold): however cold it gets, and however long, the cure goes on afterwards";
        findings.warn(
            draft.substrate.clone(),
            what,
            "add what the maker's instructions say about frost and interruptions",
        );
    }
    if let (Some(at), Some(reject), Some(least)) =
        (&draft.reject_below, up(&draft.reject_below), up(&draft.install_least))
        && reject > least
    {
        let what = format!(
            "reject_below {} lies above install_least: a fixing may be started where it is rejected at once",
            at.value
        );
        findings.warn(at.span.clone(), what, COMPARE);
    }
    if let (Some(at), Some(reject), Some(greatest)) =
        (&draft.reject_above, down(&draft.reject_above), down(&draft.install_greatest))
        && reject < greatest
    {
        let what = format!(
            "reject_above {} lies below install_greatest: a fixing may be started where it is rejected at once",
            at.value
        );
        findings.warn(at.span.clone(), what, COMPARE);
    }
    if let Some(hold) =
        draft.longest_hold.as_ref().filter(|hold| hold.value > Span::ZERO && hold.value < SHORTEST_USUAL_HOLD)
    {
        let what = format!("the longest hold is {}: one missed reading can reject the fixing", format(hold.value));
        findings.warn(hold.span.clone(), what, "compare its unit with the maker's instructions");
    }
}

/// Ranges that no usual resin has.
fn ranges(draft: &Draft, findings: &mut Findings) {
    let fahrenheit = "look whether the maker's sheet is in °F: limits here are in °C";
    for (name, limit, usual) in [
        ("install_least", &draft.install_least, WARMEST_USUAL_LEAST),
        ("cure_least", &draft.cure_least, WARMEST_USUAL_LEAST),
        ("install_greatest", &draft.install_greatest, WARMEST_USUAL),
        ("cure_greatest", &draft.cure_greatest, WARMEST_USUAL),
    ] {
        if let Some(at) = limit.as_ref().filter(|at| at.value.cmp_whole(usual) == Ordering::Greater) {
            findings.warn(at.span.clone(), format!("{name} {} °C is unusually warm", at.value), fahrenheit);
        }
    }
    if let Some(BandDraft { from: Some(from), .. }) = draft.bands.first()
        && from.value.cmp_whole(WARMEST_USUAL_LEAST) == Ordering::Greater
    {
        findings.warn(from.span.clone(), format!("the coldest band begins at {} °C", from.value), fahrenheit);
    }
    let (least, greatest) = USUAL_CARTRIDGE;
    if let Some(at) = draft.cartridge_least.as_ref().filter(|at| at.value.cmp_whole(least) == Ordering::Less) {
        findings.warn(at.span.clone(), format!("a cartridge at {} °C is unusually cold", at.value), COMPARE);
    }
    if let Some(at) = draft.cartridge_greatest.as_ref().filter(|at| at.value.cmp_whole(greatest) == Ordering::Greater) {
        findings.warn(at.span.clone(), format!("a cartridge at {} °C is unusually warm", at.value), COMPARE);
    }
    if let (Some(low), Some(high), Some(at)) =
        (up(&draft.cartridge_least), down(&draft.cartridge_greatest), &draft.cartridge_greatest)
        && (0..GUARD_BANDS).contains(&(i32::from(high.raw()) - i32::from(low.raw())))
    {
        findings.warn(at.span.clone(), "the cartridge may have hardly more than one temperature", COMPARE);
    }
}

fn holes(draft: &Draft, findings: &mut Findings) {
    let Some(holes) = &draft.holes else { return };
    let (dry, wet) = (holes.value.allows(Hole::Dry), holes.value.allows(Hole::Wet));
    if !dry {
        findings.warn(holes.span.clone(), "dry holes are not allowed", "look whether \"dry\" was forgotten");
    }
    if holes.value.allows(Hole::Flooded) && !wet {
        findings.warn(
            holes.span.clone(),
            "flooded holes are allowed and wet ones are not",
            "look whether \"wet\" was forgotten",
        );
    }
}
