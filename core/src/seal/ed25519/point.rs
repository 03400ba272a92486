//! Points of the curve -x^2 + y^2 = 1 + d x^2 y^2 (RFC 8032, section 5.1), and multiples of them.
//!
//! A point is kept as X, Y, Z, T with x = X/Z, y = Y/Z, x y = T/Z. The formulas of RFC 8032, section 5.1.4, add and double
//! it; they hold for every two points, so nothing depends on which they are. Both end in four products of E, F, G and H;
//! these four are kept instead ([`Made`]), since doubling needs no T.

use super::field::Element;
use super::scalar::Scalar;
use core::hint::black_box;

/// A point.
#[derive(Clone, Copy)]
pub(super) struct Point {
    x: Element,
    y: Element,
    z: Element,
    t: Element,
}

/// Twice d, where d is -121665/121666.
const TWICE_D: Element = Element::from_limbs([
    -21827239, -5839606, -30745221, 13898782, 229458, 15978800, -12551817, -6495438, 29715968, 9444199,
]);

/// B, the base point: its y is 4/5.
const BASE: Point = Point {
    x: Element::from_limbs([
        -14297830, -7645148, 16144683, -16471763, 27570974, -2696100, -26142465, 8378389, 20764389, 8758491,
    ]),
    y: Element::from_limbs([
        -26843541, -6710886, 13421773, -13421773, 26843546, 6710886, -13421773, 13421773, -26843546, -6710886,
    ]),
    z: Element::ONE,
    t: Element::from_limbs([
        28827062, -6116119, -27349572, 244363, 8635006, 11264893, 19351346, 13413597, 16611511, -6414980,
    ]),
};

/// 2^128 times B.
const UPPER_BASE: Point = Point {
    x: Element::from_limbs([
        12052535, 1174424, 8175504, 5117753, -27026921, -11654751, -23281039, 6656678, -801697, -13590848,
    ]),
    y: Element::from_limbs([
        -678274, 11486291, 9685879, 15895846, -29146376, 12753979, 9394963, -15748418, -26925347, -8605080,
    ]),
    z: Element::ONE,
    t: Element::from_limbs([
        -17747062, -3378606, 28654909, 1258269, 5366162, -7189654, 11206660, 391836, -3096762, 1475988,
    ]),
};

/// What is added: a point by what the sum needs of it.
#[derive(Clone, Copy)]
struct Addend {
    /// Y + X.
    sum: Element,
    /// Y - X.
    difference: Element,
    /// 2 Z.
    twice_z: Element,
    /// 2 d T.
    twice_dt: Element,
}

/// What a sum or a doubling comes to: X = E F, Y = G H, Z = F G, T = E H.
struct Made {
    e: Element,
    f: Element,
    g: Element,
    h: Element,
}

impl Made {
    const NEUTRAL: Self = Self { e: Element::ZERO, f: Element::ONE, g: Element::ONE, h: Element::ONE };

    fn point(&self) -> Point {
        let (x, y, z) = self.without_t();
        Point { x, y, z, t: self.e.times(&self.h) }
    }

    fn without_t(&self) -> (Element, Element, Element) {
        (self.e.times(&self.f), self.g.times(&self.h), self.f.times(&self.g))
    }

    #[inline(never)]
    fn doubled(&self) -> Self {
        let (x, y, z) = self.without_t();
        let (a, b, c) = (x.squared(), y.squared(), z.squared());
        let (g, h) = (a.minus(b), a.plus(b));
        Self { e: h.minus(x.plus(y).squared()), f: c.plus(c).plus(g), g, h }
    }
}

impl Point {
    #[inline(never)]
    fn plus(&self, other: &Addend) -> Made {
        let a = self.y.minus(self.x).times(&other.difference);
        let b = self.y.plus(self.x).times(&other.sum);
        let c = self.t.times(&other.twice_dt);
        let d = self.z.times(&other.twice_z);
        Made { e: b.minus(a), f: d.minus(c), g: d.plus(c), h: b.plus(a) }
    }

    fn addend(&self) -> Addend {
        Addend {
            sum: self.y.plus(self.x),
            difference: self.y.minus(self.x),
            twice_z: self.z.plus(self.z),
            twice_dt: self.t.times(&TWICE_D),
        }
    }

    /// The point on the other side of 0.
    pub(super) fn negated(&self) -> Self {
        Self { x: Element::ZERO.minus(self.x), t: Element::ZERO.minus(self.t), ..*self }
    }

    /// As RFC 8032, section 5.1.2, writes it: y, and the lowest bit of x as the highest.
    pub(super) fn bytes(&self) -> [u8; 32] {
        let inverse = self.z.inverted();
        let [low, ..] = self.x.times(&inverse).bytes();
        let mut bytes = self.y.times(&inverse).bytes();
        let [.., high] = &mut bytes;
        *high |= low << 7;
        bytes
    }

    /// That many times B.
    pub(super) fn base_times(scalar: &Scalar) -> Self {
        let (lower, upper) = scalar.halves();
        sum_of_multiples((&BASE, &lower), (&UPPER_BASE, &upper))
    }

    /// `one` times B, and `other` times this point.
    pub(super) fn times_and_base(&self, one: &Scalar, other: &Scalar) -> Self {
        sum_of_multiples((&BASE, one.words()), (self, other.words()))
    }
}

/// The sum of two points, each so many times as the number says whose words, the lowest first, stand with it.
/// Bit by bit from the highest: doubled, and the point added that the two bits choose, be it the neutral one.
fn sum_of_multiples(one: (&Point, &[u32]), other: (&Point, &[u32])) -> Point {
    let (first, second) = (one.0.addend(), other.0.addend());
    let choice = [Made::NEUTRAL.point().addend(), first, second, one.0.plus(&second).point().addend()];
    let mut sum = Made::NEUTRAL;
    for (one, other) in one.1.iter().rev().zip(other.1.iter().rev()) {
        for bit in (0..u32::BITS).rev() {
            sum = sum.doubled().point().plus(&chosen(&choice, one >> bit & 1 | (other >> bit & 1) << 1));
        }
    }
    sum.point()
}

/// The one with this number; all are looked at, so that which it is does not show.
fn chosen(choice: &[Addend; 4], number: u32) -> Addend {
    let [mut point, ..] = *choice;
    for (at, one) in (0..).zip(choice) {
        let mask = black_box(-i32::from(at == black_box(number)));
        point = Addend {
            sum: point.sum.or(one.sum, mask),
            difference: point.difference.or(one.difference, mask),
            twice_z: point.twice_z.or(one.twice_z, mask),
            twice_dt: point.twice_dt.or(one.twice_dt, mask),
        };
    }
    point
}

#[cfg(test)]
mod tests {
    use super::{BASE, Element, Made, Point, TWICE_D, UPPER_BASE};

    fn small(number: i32) -> Element {
        Element::from_limbs([number, 0, 0, 0, 0, 0, 0, 0, 0, 0])
    }

    fn doubled(point: &Point) -> Point {
        // X : Y : Z is XZ : YZ : ZZ, and that is E F : G H : F G
        let Point { x, y, z, .. } = *point;
        Made { e: x, f: z, g: z, h: y }.doubled().point()
    }

    fn is_sound(point: &Point) -> bool {
        let inverse = point.z.inverted();
        let (x, y) = (point.x.times(&inverse), point.y.times(&inverse));
        let (xx, yy) = (x.squared(), y.squared());
        let d = TWICE_D.times(&small(2).inverted());
        let right = Element::ONE.plus(d.times(&xx).times(&yy));
        yy.minus(xx).bytes() == right.bytes() && point.t.times(&inverse).bytes() == x.times(&y).bytes()
    }

    #[test]
    fn the_constants_are_what_they_are_said_to_be() {
        let double = small(121_666).times(&TWICE_D).bytes();
        assert_eq!(double, small(-2 * 121_665).bytes());
        assert_eq!(BASE.y.times(&small(5)).bytes(), small(4).bytes());
        assert!(is_sound(&BASE) && BASE.x.bytes()[0] & 1 == 0, "of both points with this y that with the even x");
        let upper = (0..128).fold(BASE, |point, _| doubled(&point));
        assert_eq!(upper.bytes(), UPPER_BASE.bytes());
        assert!(is_sound(&UPPER_BASE));
    }

    #[test]
    fn doubling_is_adding_to_itself() {
        let mut point = BASE;
        for _ in 0..50 {
            let (doubled, added) = (doubled(&point), point.plus(&point.addend()).point());
            assert!(is_sound(&doubled) && is_sound(&added));
            assert_eq!(doubled.bytes(), added.bytes());
            let nothing = point.plus(&point.negated().addend()).point();
            assert_eq!(nothing.bytes(), Made::NEUTRAL.point().bytes());
            point = doubled.plus(&BASE.addend()).point();
        }
    }
}
