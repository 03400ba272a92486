//! Looking for codes, again and again in other sizes.

use super::grey::Grey;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{self, Sender};
use std::time::{Duration, Instant};

/// Pixels that all looks at one picture may have together.
const MOST_PIXELS: usize = 120_000_000;
/// Once a code was found, so many looks one after another that show no other are enough.
const ENOUGH: u32 = 2;
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
            looks.push(Self::Soft);
            looks.extend([4, 6, 8, 3, 2].into_iter().filter(|&times| times <= most).map(Self::Enlarged));
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

/// The contents of all codes that any look finds, each once. Dark on light first, for that is what a code is; light on dark
/// only where that finds nothing.
///
/// Over a picture full of what looks like corners of codes the detector takes many minutes, and it can't be stopped. So it
/// works on a thread of its own that nobody waits for any longer once `patience` is over; what it found until then is the
/// answer.
pub(super) fn codes(picture: Grey, patience: Duration) -> Vec<Vec<u8>> {
    let end = Instant::now() + patience;
    let (send, receive) = mpsc::channel();
    std::thread::spawn(move || {
        if search(&picture, &send) == 0 {
            search(&picture.negative(), &send);
        }
    });
    let next = || receive.recv_timeout(end.saturating_duration_since(Instant::now())).ok();
    std::iter::from_fn(next).collect()
}

/// Sends every code once and says how many there were.
fn search(picture: &Grey, send: &Sender<Vec<u8>>) -> usize {
    let mut found: Vec<Vec<u8>> = Vec::new();
    let mut left = MOST_PIXELS;
    let mut in_vain = 0;
    for look in Look::at(picture.longer()) {
        if !found.is_empty() && in_vain == ENOUGH {
            break;
        }
        // the first look is always taken; the picture's size has been bounded
        let pixels = look.pixels(picture);
        if pixels > left && left < MOST_PIXELS {
            continue;
        }
        left = left.saturating_sub(pixels);
        let mut seen = look.of(picture);
        let known = found.len();
        // What has been read is painted over and the rest looked at again: the corners of codes that stand side by side
        // make more than one square, and the detector settles for some of them.
        loop {
            let here = detected(&seen);
            here.iter().for_each(|code| seen.paint_over(&code.corners));
            let before = found.len();
            for code in here {
                if !found.contains(&code.content) {
                    if send.send(code.content.clone()).is_err() {
                        return found.len(); // nobody waits any longer
                    }
                    found.push(code.content);
                }
            }
            if found.len() == before || pixels > left {
                break;
            }
            left -= pixels;
        }
        in_vain = if found.len() == known { in_vain + 1 } else { 0 };
    }
    found.len()
}

/// A code that the detector could decode, and where it is.
struct Code {
    content: Vec<u8>,
    /// Pixels of the corners, one after another around it.
    corners: [(i64, i64); 4],
}

/// The codes that the detector finds and can decode.
fn detected(picture: &Grey) -> Vec<Code> {
    // The detector has expectations of its own about what it meets; where a picture breaks one, this look found nothing.
    let looked = catch_unwind(AssertUnwindSafe(|| {
        let mut prepared =
            rqrr::PreparedImage::prepare_from_greyscale(picture.width(), picture.height(), |x, y| picture.at(x, y));
        let grids = prepared.detect_grids();
        let decoded = grids.iter().filter_map(|grid| {
            let mut content = Vec::new();
            grid.decode_to(&mut content).ok()?;
            let corners = grid.bounds.map(|point| (i64::from(point.x), i64::from(point.y)));
            Some(Code { content, corners })
        });
        decoded.collect()
    }));
    looked.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::super::grey::Grey;
    use super::{Look, codes};
    use image::{DynamicImage, GrayImage, Luma};
    use std::time::{Duration, Instant};

    #[test]
    fn nobody_waits_longer_than_asked() {
        // noise: all its looks take seconds to minutes
        let mut state = 1u32;
        let noise = GrayImage::from_fn(1_500, 1_500, |_, _| {
            state ^= state << 13;
            state ^= state >> 17;
            state ^= state << 5;
            Luma([state as u8])
        });
        let begun = Instant::now();
        let found = codes(Grey::of(&DynamicImage::ImageLuma8(noise)), Duration::from_millis(50));
        assert_eq!(found, Vec::<Vec<u8>>::new());
        assert!(begun.elapsed() < Duration::from_secs(10));
    }

    #[test]
    fn small_pictures_are_enlarged_and_large_ones_reduced() {
        assert_eq!(Look::at(57)[..2], [Look::Soft, Look::Enlarged(4)]);
        assert!(Look::at(57).contains(&Look::Enlarged(8)));
        assert!(!Look::at(1_000).contains(&Look::Enlarged(3)));
        assert_eq!(Look::at(1_400), [Look::Plain]);
        assert_eq!(Look::at(4_000)[..2], [Look::Plain, Look::Reduced(2)]);
        assert!(!Look::at(0).is_empty());
    }
}
