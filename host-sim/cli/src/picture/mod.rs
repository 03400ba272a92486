//! QR codes in a picture: a photo, a scan, a screenshot.
//!
//! What for: `holdoff prove PICTURE`. A release code comes as a photo of the logger's display more often than as text.
//! Why this way: the detector needs three pixels a module or more, and dark modules on a light ground. So the picture is
//! looked at in several sizes, small ones enlarged first, and light on dark as well; what any look finds is kept.
//! Invariants: a picture is data of a stranger. Its size is bounded before it is unpacked, a detector that fails over it fails
//! alone, and one that finds no end is left alone.
//! What it does not do: believe what a code says, or repair it.

mod draw;
mod grey;
mod look;

pub use draw::png;
use image::{DynamicImage, ImageFormat, ImageReader, Limits};
use std::fmt;
use std::io::Cursor;
use std::time::Duration;

/// Most pixels: a photo of 9248 by 6936 has fewer.
const MOST_PIXELS: u64 = 64 * 1024 * 1024;
/// How long a picture is looked at. A photo with a code takes a second or two.
const PATIENCE: Duration = Duration::from_secs(30);
/// Most bytes of an unpacked picture: four a pixel.
const MOST_BYTES: u64 = 4 * MOST_PIXELS;

/// Why a picture can't be used.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum PictureError {
    /// Neither PNG nor JPEG.
    Format,
    /// More pixels than are looked at.
    TooLarge {
        /// Pixels along the sides.
        width: u32,
        /// As above.
        height: u32,
    },
    /// More than 256 MiB unpacked.
    TooDeep,
    /// Damaged, or of a kind that is not read; with the decoder's words.
    Damaged(String),
}

impl fmt::Display for PictureError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Format => formatter.write_str("this is neither a PNG nor a JPEG picture"),
            Self::TooLarge { width, height } => write!(
                formatter,
                "the picture has {width} x {height} pixels, and at most {} million are looked at: cut the code out of it, or make it smaller",
                MOST_PIXELS / 1_000_000
            ),
            Self::TooDeep => formatter.write_str("the picture takes too much memory: save it with 8 bits a colour"),
            Self::Damaged(why) => write!(formatter, "the picture is damaged: {why}"),
        }
    }
}

impl std::error::Error for PictureError {}

/// Whether the bytes begin as a PNG or a JPEG picture does.
pub fn is_picture(bytes: &[u8]) -> bool {
    format_of(bytes).is_some()
}

/// The contents of all QR codes in a PNG or JPEG picture, each once, in no particular order. Not only release codes.
///
/// # Errors
/// [`PictureError`] when the bytes are no picture that can be read. A picture without a code gives none, which is no error.
/// After half a minute, what was found until then is given.
pub fn codes(bytes: &[u8]) -> Result<Vec<Vec<u8>>, PictureError> {
    Ok(look::codes(grey::Grey::of(&unpack(bytes)?), PATIENCE))
}

fn format_of(bytes: &[u8]) -> Option<ImageFormat> {
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some(ImageFormat::Png)
    } else if bytes.starts_with(b"\xff\xd8\xff") {
        Some(ImageFormat::Jpeg)
    } else {
        None
    }
}

fn unpack(bytes: &[u8]) -> Result<DynamicImage, PictureError> {
    let format = format_of(bytes).ok_or(PictureError::Format)?;
    let damaged = |error: image::ImageError| match error {
        image::ImageError::Limits(_) => PictureError::TooDeep,
        other => PictureError::Damaged(other.to_string()),
    };
    // what it says of itself, before anything is unpacked
    let sized = ImageReader::with_format(Cursor::new(bytes), format);
    let (width, height) = sized.into_dimensions().map_err(damaged)?;
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(PictureError::TooLarge { width, height });
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    reader.limits(limits);
    reader.decode().map_err(damaged)
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{PictureError, codes, is_picture};

    #[test]
    fn what_is_no_picture_is_refused() {
        assert_eq!(codes(b""), Err(PictureError::Format));
        assert_eq!(codes(b"GIF89a"), Err(PictureError::Format));
        assert!(!is_picture(b"HOR:"));
        let broken = b"\x89PNG\r\n\x1a\n and then nothing";
        assert!(is_picture(broken));
        assert!(matches!(codes(broken), Err(PictureError::Damaged(_))));
        let broken = b"\xff\xd8\xff\xe0 and then nothing";
        assert!(matches!(codes(broken), Err(PictureError::Damaged(_))));
    }

    #[test]
    fn a_picture_that_claims_to_be_huge_is_refused_before_it_is_unpacked() {
        for (width, height) in [(1_000_000u32, 1_000_000u32), (20_000, 20_000), (8_193, 8_192)] {
            let error = codes(&claiming(width, height)).expect_err("too large");
            assert_eq!(error, PictureError::TooLarge { width, height });
            assert!(error.to_string().contains("make it smaller"), "{error}");
        }
        assert!(matches!(codes(&claiming(8_192, 8_192)), Err(PictureError::Damaged(_))));
    }

    /// The beginning of a picture of this size.
    fn claiming(width: u32, height: u32) -> Vec<u8> {
        let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
        png.extend(width.to_be_bytes());
        png.extend(height.to_be_bytes());
        png.extend([8, 0, 0, 0, 0]);
        png.extend(crc32(&png[12..]).to_be_bytes());
        png.extend(b"\0\0\0\0IDAT");
        png.extend(crc32(b"IDAT").to_be_bytes());
        png
    }

    /// CRC-32/ISO-HDLC, bit by bit.
    fn crc32(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(!0u32, |crc, &byte| {
            (0..8).fold(crc ^ u32::from(byte), |crc, _| (crc >> 1) ^ (0xEDB8_8320 & (crc & 1).wrapping_neg()))
        })
    }
}
