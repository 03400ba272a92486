//! How much resin a hole takes, in whole numbers.
//!
//! V = π/4 (D² - d²) L. For a thread d is that of its stress area, A = π/4 (d - 0.938194 P)² (ISO 898-1): a threaded stud
//! takes more resin than a plain bar of its nominal diameter. A bar and a closed sleeve count with their outer diameter.
//!
//! Invariants: a volume is never below the exact one, and above it by less than a microlitre and a part in 10^11: π is
//! taken a little large, the element a little small, and the result is rounded up.

use super::{Element, Group, Length, Thread, Volume};

/// π times 10^10, rounded down and up.
const PI: (u128, u128) = (31_415_926_535, 31_415_926_536);
const PI_SCALE: u128 = 10_000_000_000;
/// d - 0.938194 P in millionths (ISO 898-1, stress area).
const THREAD: u128 = 938_194;
const MILLION: u128 = 1_000_000;
/// Millionths of a square micrometre times micrometres in a microlitre.
const MICROLITRE: u128 = MILLION * 1_000_000_000;

/// Stress area of a thread in µm² (ISO 898-1), rounded down.
pub fn stress_area(thread: Thread) -> u64 {
    let diameter = stress_diameter(thread);
    let area = diameter * diameter * PI.0 / (4 * MILLION * MILLION * PI_SCALE);
    u64::try_from(area).unwrap_or(u64::MAX)
}

/// Diameter of a thread's stress area in millionths of a micrometre.
fn stress_diameter(thread: Thread) -> u128 {
    // a pitch is far smaller than its diameter
    (u128::from(thread.diameter().micrometres()) * MILLION).saturating_sub(THREAD * u128::from(thread.pitch()))
}

/// Square of a diameter, millionths of a square micrometre.
fn square(diameter: Length) -> u128 {
    u128::from(diameter.micrometres()).pow(2) * MILLION
}

/// Square of the diameter that an element fills, millionths of a square micrometre, rounded down.
fn filled(element: Element) -> u128 {
    match element {
        Element::Stud { size } => stress_diameter(size).pow(2) / MILLION,
        Element::Sleeve { .. } | Element::Bar { .. } => square(element.diameter()),
    }
}

/// π/4 times a squared diameter times a length, times a fraction, rounded up. Up to 10 m each way it fits: 10^20 times
/// 10^7 times 2 times π 10^10 is below 2^128.
fn volume(square: u128, micrometres: u32, (numerator, denominator): (u128, u128)) -> Volume {
    let exact = square * u128::from(micrometres) * PI.1 * numerator;
    let microlitres = exact.div_ceil(4 * MICROLITRE * PI_SCALE * denominator);
    Volume::from_microlitres(u64::try_from(microlitres).unwrap_or(u64::MAX))
}

/// The empty hole.
pub fn bore(diameter: Length, depth: Length) -> Volume {
    volume(square(diameter), depth.micrometres(), (1, 1))
}

/// Around an element over a length; `None` when the hole is no wider than the element.
pub fn annulus(diameter: Length, element: Element, length: Length) -> Option<Volume> {
    if element.diameter() >= diameter {
        return None;
    }
    let ring = square(diameter).saturating_sub(filled(element));
    Some(volume(ring, length.micrometres(), (1, 1)))
}

/// What one hole of a group takes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct HoleVolumes {
    /// Around the element, over the embedment.
    pub annulus: Volume,
    /// Below the element, where the hole is deeper than the embedment.
    pub below: Volume,
    /// The empty hole.
    pub bore: Volume,
    /// What the fill rule injects: two thirds of the empty hole (common practice, no source).
    pub fill: Volume,
}

impl HoleVolumes {
    /// Of a group's holes; `None` when the hole is no wider than the element.
    pub fn of(group: &Group) -> Option<Self> {
        let drilled = group.drilled;
        let below = drilled.depth.micrometres().saturating_sub(group.embedment.micrometres());
        Some(Self {
            annulus: annulus(drilled.diameter, group.element, group.embedment)?,
            below: volume(square(drilled.diameter), below, (1, 1)),
            bore: bore(drilled.diameter, drilled.depth),
            fill: volume(square(drilled.diameter), drilled.depth.micrometres(), (2, 3)),
        })
    }

    /// What has to be filled: around the element and below it.
    pub fn needed(&self) -> Volume {
        self.annulus.and(self.below)
    }

    /// Whether the fill rule covers it.
    pub fn fill_covers(&self) -> bool {
        self.fill >= self.needed()
    }

    /// What is reckoned with: the fill rule, or what is needed where that is more.
    pub fn inject(&self) -> Volume {
        self.fill.max(self.needed())
    }
}

#[cfg(test)]
mod tests {
    use super::{Element, Length, Thread};
    use super::{annulus, bore, square, stress_area, volume};
    use approx::assert_abs_diff_eq;

    fn mm(millimetres: u32) -> Length {
        Length::from_micrometres(millimetres * 1000).unwrap_or(Length::GREATEST)
    }

    fn bar(diameter: u32) -> Element {
        Element::Bar { diameter: mm(diameter) }
    }

    #[test]
    fn annulus_and_bore_are_the_computed_ones() {
        // V = π/4 (D² - d²) L in ml, computed with numpy, four decimals: plain bars
        let cases = [
            (10, 8, 80, 22_619, 62_832),
            (12, 10, 90, 31_102, 101_788),
            (14, 12, 110, 44_925, 169_332),
            (18, 16, 125, 66_759, 318_086),
            (24, 20, 170, 234_991, 769_062),
            (28, 24, 210, 343_062, 1_293_080),
        ];
        for (wide, thick, deep, ring, gross) in cases {
            // tenths of a microlitre, here rounded up to whole ones
            let found = annulus(mm(wide), bar(thick), mm(deep)).map(|volume| volume.microlitres());
            assert_eq!(found, Some(u64::div_ceil(ring, 10)), "{wide},{thick},{deep}");
            assert_eq!(bore(mm(wide), mm(deep)).microlitres(), u64::div_ceil(gross, 10), "{wide},{deep}");
            // the share of the annulus is 1 - (d/D)²
            let share = ring as f64 / gross as f64;
            assert_abs_diff_eq!(share, 1.0 - (f64::from(thick) / f64::from(wide)).powi(2), epsilon = 1e-4);
        }
        // filling 14,12,110 by two thirds gives 11.2888 ml (computed), more than the annulus: some comes out
        let fill = volume(square(mm(14)), mm(110).micrometres(), (2, 3));
        assert_eq!(fill.microlitres(), 11_289);
    }

    #[test]
    fn stress_areas_are_those_of_iso_898_1() {
        let area = |nominal| Thread::coarse(nominal).map(stress_area);
        // A = π/4 (d - 0.938194 P)², mm², computed with numpy to three decimals
        for (nominal, thousandths) in
            [(8, 36_609), (10, 57_990), (12, 84_267), (16, 156_668), (20, 244_794), (24, 352_504), (30, 560_587)]
        {
            let found = area(nominal).unwrap_or(0);
            assert!(found.abs_diff(thousandths * 1000) <= 500, "M{nominal}: {found} µm²");
        }
        // the standard's table prints three significant digits: from memory
        let printed = [
            (6, 20.1),
            (8, 36.6),
            (10, 58.0),
            (12, 84.3),
            (14, 115.0),
            (16, 157.0),
            (18, 192.0),
            (20, 245.0),
            (22, 303.0),
            (24, 353.0),
            (27, 459.0),
            (30, 561.0),
            (33, 694.0),
            (36, 817.0),
            (39, 976.0),
        ];
        for (nominal, square_millimetres) in printed {
            let found = area(nominal).unwrap_or(0) as f64 / 1e6;
            let half_a_digit = if square_millimetres < 100.0 { 0.05 } else { 0.5 };
            assert_abs_diff_eq!(found, square_millimetres, epsilon = half_a_digit);
        }
    }

    #[test]
    fn a_stud_takes_more_than_a_plain_bar_and_a_sleeve_as_much() {
        let size = Thread::coarse(16).unwrap_or_else(|| unreachable!());
        let stud = annulus(mm(18), Element::Stud { size }, mm(125));
        let sleeve =
            annulus(mm(18), Element::Sleeve { size: Thread::coarse(10).unwrap_or(size), outer: mm(16) }, mm(125));
        let plain = annulus(mm(18), bar(16), mm(125));
        assert!(stud > plain && sleeve == plain, "{stud:?} {sleeve:?} {plain:?}");
        // (π/4 18² - 156.668) 125 mm³ by hand: (254.469 - 156.668) x 125 = 12225.1 µl
        assert_eq!(stud.map(|volume| volume.microlitres()), Some(12_226));
    }

    #[test]
    fn no_hole_is_narrower_than_its_element() {
        assert_eq!(annulus(mm(16), bar(16), mm(100)), None);
        assert_eq!(annulus(mm(14), bar(16), mm(100)), None);
        assert!(annulus(mm(17), bar(16), mm(100)).is_some());
        // the largest of everything does not overflow: 1 m² π/4 of 10 m by 10 m
        assert_eq!(bore(Length::GREATEST, Length::GREATEST).microlitres() / 1_000_000_000, 785);
    }

    #[test]
    fn volumes_are_never_below_the_exact_ones_and_hardly_above() {
        let mut random = fastrand::Rng::with_seed(7);
        for _ in 0..50_000 {
            let (thick, gap, deep) = (random.u32(1..200_000), random.u32(1..50_000), random.u32(1..3_000_000));
            let lengths = [thick, thick + gap, deep].map(|um| Length::from_micrometres(um).unwrap_or(Length::GREATEST));
            let [thin, wide, deep] = lengths;
            let found = annulus(wide, Element::Bar { diameter: thin }, deep).map_or(0, |volume| volume.microlitres());
            let mm = |length: Length| f64::from(length.micrometres()) / 1000.0;
            let exact = std::f64::consts::FRAC_PI_4 * (mm(wide) - mm(thin)) * (mm(wide) + mm(thin)) * mm(deep);
            let over = found as f64 - exact;
            assert!(over > -1e-9 * exact && over < 1.0 + 1e-9 * exact, "{lengths:?}: {found} for {exact}");
        }
    }
}
