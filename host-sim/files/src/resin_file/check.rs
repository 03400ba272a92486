//! What makes a schedule unusable once its values can be read: values that contradict each other.
//!
//! The list is that of `docs/interfaces.md` (Resin file); the engine has the same one and has the last word, this one
//! knows the places. A check needs all its values; where one could not be read, its own finding stands already.

use super::Findings;
use super::draft::{At, BandDraft, Draft};
use crate::decimal::Decimal;
use crate::duration::format;
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::{LONGEST_CURE, MOST_BANDS};

type Degrees = Option<At<Decimal>>;

/// Notes every contradiction.
pub(super) fn check(draft: &Draft, findings: &mut Findings) {
    ordered("install_least", &draft.install_least, "install_greatest", &draft.install_greatest, findings);
    ordered("cure_least", &draft.cure_least, "cure_greatest", &draft.cure_greatest, findings);
    ordered("least", &draft.cartridge_least, "greatest", &draft.cartridge_greatest, findings);
    if let Some(first_too_many) = draft.bands.get(MOST_BANDS) {
        let what = format!("there are {} bands, and at most {MOST_BANDS} are counted", draft.bands.len());
        findings.error(first_too_many.span.clone(), what, "leave out bands that are never needed on site");
    }
    for band in &draft.bands {
        times(band, findings);
    }
    for (colder, warmer) in draft.bands.iter().zip(draft.bands.iter().skip(1)) {
        neighbours(colder, warmer, findings);
    }
    rejects(draft, findings);
    if let Some(hold) = draft.longest_hold.as_ref().filter(|hold| hold.value == Span::ZERO) {
        findings.error(
            hold.span.clone(),
            "the longest hold is zero",
            "give the longest hold, or leave it out when the maker names none",
        );
    }
}

/// A least limit as the engine has it: rounded up.
pub(super) fn up(degrees: &Degrees) -> Option<Count> {
    degrees.as_ref().and_then(|at| at.value.ceil_count())
}

/// A greatest limit as the engine has it: rounded down.
pub(super) fn down(degrees: &Degrees) -> Option<Count> {
    degrees.as_ref().and_then(|at| at.value.floor_count())
}

/// The coldest usable edge (rule S2), with the decimal it comes from.
pub(super) fn coldest_usable(draft: &Draft) -> Option<(Count, &Decimal)> {
    let edge = &draft.bands.first()?.from;
    let (first, least) = (up(edge)?, up(&draft.cure_least)?);
    let of = if first > least { edge } else { &draft.cure_least };
    Some((first.max(least), &of.as_ref()?.value))
}

fn ordered(least_name: &str, least: &Degrees, greatest_name: &str, greatest: &Degrees, findings: &mut Findings) {
    let (Some(low), Some(high)) = (up(least), down(greatest)) else { return };
    let (Some(least), Some(greatest)) = (least, greatest) else { return };
    if low <= high {
        return;
    }
    let what = if least.value > greatest.value {
        format!("{least_name} {} is above {greatest_name} {}", least.value, greatest.value)
    } else {
        // the least is rounded up and the greatest down
        format!(
            "{least_name} {} and {greatest_name} {} leave no step of 1/256 °C between them",
            least.value, greatest.value
        )
    };
    findings.error(least.span.clone(), what, "compare both with the maker's instructions");
}

fn times(band: &BandDraft, findings: &mut Findings) {
    if let Some(working) = band.working.as_ref().filter(|working| working.value == Span::ZERO) {
        findings.error(
            working.span.clone(),
            "the working time is zero",
            "give the working time the maker prints for this band",
        );
    }
    let Some(cure) = &band.cure else { return };
    if cure.value == Span::ZERO {
        findings.error(cure.span.clone(), "the cure time is zero", "give the cure time the maker prints for this band");
    } else if cure.value > LONGEST_CURE {
        let what = format!("the cure time {} is longer than {}", format(cure.value), format(LONGEST_CURE));
        findings.error(cure.span.clone(), what, "compare its unit with the maker's instructions");
    }
}

fn neighbours(colder: &BandDraft, warmer: &BandDraft, findings: &mut Findings) {
    let remedy =
        "write the bands from cold to warm; in a warmer band working and cure time are no longer than in a colder one";
    if let (Some(below), Some(above)) = (&colder.from, &warmer.from)
        && below.value.ceil_counts() >= above.value.ceil_counts()
    {
        let what =
            format!("the band from {} °C does not lie above the one from {} °C before it", above.value, below.value);
        findings.error(above.span.clone(), what, remedy);
    }
    for (name, before, after) in
        [("working time", &colder.working, &warmer.working), ("cure time", &colder.cure, &warmer.cure)]
    {
        if let (Some(before), Some(after)) = (before, after)
            && after.value > before.value
        {
            let (after_text, before_text) = (format(after.value), format(before.value));
            let what = format!("the {name} {after_text} is longer than the {before_text} of the colder band before it");
            findings.error(after.span.clone(), what, remedy);
        }
    }
}

fn rejects(draft: &Draft, findings: &mut Findings) {
    if let (Some(reject), Some(below), Some((edge, degrees))) =
        (&draft.reject_below, up(&draft.reject_below), coldest_usable(draft))
        && below > edge
    {
        let what = format!("reject_below {} lies above {degrees} °C, from which on the resin cures", reject.value);
        findings.error(
            reject.span.clone(),
            what,
            "reject_below is a temperature at which curing resin is spoilt: correct it or leave it out",
        );
    }
    if let (Some(reject), Some(above), Some(greatest)) =
        (&draft.reject_above, down(&draft.reject_above), down(&draft.cure_greatest))
        && above < greatest
    {
        let what = format!("reject_above {} lies below cure_greatest, up to which the resin cures", reject.value);
        findings.error(
            reject.span.clone(),
            what,
            "reject_above is a temperature at which curing resin is spoilt: correct it or leave it out",
        );
    }
}
