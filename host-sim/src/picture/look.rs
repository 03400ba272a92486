//! Looking for codes, again and again in other sizes.

use super::grey::Grey;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Pixels that all looks at one picture may have together.
const MOST_PIXELS: usize = 120_000_000;
/// A picture whose longer side is shorter is enlarged.
const SMALL: usize = 1_200;
/// A picture whose longer side is longer is looked at smaller as well: a photo's noise goes, and a large code is found
/// sooner.
const LARGE: usize = 1_600;

/// One way of looking at a picture.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Look {
    /// As it is.
    Plain,
    /// Each pixel as a square.
    Enlarged(usize),
    /// Twice as large and softer.
    Soft,
    /// Squares of pixels as one.
    Reduced(usize),
}

impl Look {
    /// The looks at a picture with this longer side, the most promising first.
    fn at(longer: usize) -> Vec<Self> {
        let mut looks = Vec::new();
        if longer < SMALL {
            let most = (2 * SMALL).checked_div(longer).unwrap_or(1).clamp(2, 8);
            looks.extend([4, 3, 8, 6, 2].into_iter().filter(|&times| times <= most).map(Self::Enlarged));
            looks.push(Self::Soft);
        }
        looks.push(Self::Plain);
        if longer > LARGE {
            looks.extend([2, 3, 4, 6].into_iter().filter(|times| longer / times > SMALL / 3).map(Self::Reduced));
        }
        looks
    }

    fn of(self, picture: &Grey) -> Grey {
        match self {
            Self::Plain => picture.enlarged(1),
            Self::Enlarged(times) => picture.enlarged(times),
            Self::Soft => picture.enlarged_softly(),
            Self::Reduced(times) => picture.reduced(times),
        }
    }

    fn pixels(self, picture: &Grey) -> usize {
        let pixels = picture.width().saturating_mul(picture.height());
        match self {
            Self::Plain => pixels,
            Self::Enlarged(times) => pixels.saturating_mul(times * times),
            Self::Soft => pixels.saturating_mul(4),
            Self::Reduced(times) => pixels / (times * times),
        }
    }
}

/// The contents of all codes that any look finds, each once.
pub(super) fn codes(picture: &Grey) -> Vec<Vec<u8>> {
    let mut found: Vec<Vec<u8>> = Vec::new();
    let mut left = MOST_PIXELS;
    let looks = Look::at(picture.longer());
    // dark on light first: that is what a code is
    for negative in [false, true] {
        for &look in &looks {
            // the first look is always taken; the picture's size has been bounded
            if look.pixels(picture) > left && left < MOST_PIXELS {
                continue;
            }
            left = left.saturating_sub(look.pixels(picture));
            let seen = look.of(picture);
            let seen = if negative { seen.negative() } else { seen };
            let begun = std::time::Instant::now();
            let det = detected(&seen);
            if std::env::var("LOOKDBG").is_ok() {
                eprintln!(
                    "{look:?} neg {negative} {}x{}: {} codes {:?}",
                    seen.width(),
                    seen.height(),
                    det.len(),
                    begun.elapsed()
                );
            }
            for code in det {
                if !found.contains(&code) {
                    found.push(code);
                }
            }
        }
    }
    found
}

/// The contents of the codes that the detector finds and can decode.
fn detected(picture: &Grey) -> Vec<Vec<u8>> {
    // The detector has expectations of its own about what it meets; where a picture breaks one, this look found nothing.
    let looked = catch_unwind(AssertUnwindSafe(|| {
        let mut prepared =
            rqrr::PreparedImage::prepare_from_greyscale(picture.width(), picture.height(), |x, y| picture.at(x, y));
        let grids = prepared.detect_grids();
        let decoded = grids.iter().filter_map(|grid| {
            let mut content = Vec::new();
            grid.decode_to(&mut content).ok().map(|_| content)
        });
        decoded.collect()
    }));
    looked.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::Look;

    #[test]
    fn small_pictures_are_enlarged_and_large_ones_reduced() {
        assert_eq!(Look::at(57)[0], Look::Enlarged(4));
        assert!(Look::at(57).contains(&Look::Enlarged(8)));
        assert!(!Look::at(1_000).contains(&Look::Enlarged(3)));
        assert_eq!(Look::at(1_400), [Look::Plain]);
        assert_eq!(Look::at(4_000)[..2], [Look::Plain, Look::Reduced(2)]);
        assert!(!Look::at(0).is_empty());
    }
}
