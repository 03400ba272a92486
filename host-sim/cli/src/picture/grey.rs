//! A picture in grey, and the same larger, smaller or negative.

use image::DynamicImage;

/// A grey picture, a byte a pixel, 0 dark to 255 light.
pub(super) struct Grey {
    width: usize,
    height: usize,
    pixels: Vec<u8>,
}

impl Grey {
    /// The lightness of a picture; what is transparent shows a white ground.
    pub(super) fn of(picture: &DynamicImage) -> Self {
        let (width, height) = (picture.width() as usize, picture.height() as usize);
        let pixels = if picture.color().has_alpha() {
            let seen = picture.to_luma_alpha8();
            seen.pixels().map(|pixel| over_white(pixel.0[0], pixel.0[1])).collect()
        } else {
            picture.to_luma8().into_raw()
        };
        Self { width, height, pixels }
    }

    pub(super) fn width(&self) -> usize {
        self.width
    }

    pub(super) fn height(&self) -> usize {
        self.height
    }

    /// The longer side.
    pub(super) fn longer(&self) -> usize {
        self.width.max(self.height)
    }

    pub(super) fn at(&self, x: usize, y: usize) -> u8 {
        self.pixels[y * self.width + x]
    }

    /// Every pixel as a square of `times` by `times`.
    pub(super) fn enlarged(&self, times: usize) -> Self {
        self.made(self.width * times, self.height * times, |x, y| self.at(x / times, y / times))
    }

    /// Twice as large, each pixel mixed from its four neighbours: softens the noise of a small photo.
    pub(super) fn enlarged_softly(&self) -> Self {
        self.made(self.width * 2, self.height * 2, |x, y| {
            let near = |place: usize, length: usize| {
                let other = if place.is_multiple_of(2) {
                    (place / 2).saturating_sub(1)
                } else {
                    (place / 2 + 1).min(length - 1)
                };
                (place / 2, other)
            };
            let ((x0, x1), (y0, y1)) = (near(x, self.width), near(y, self.height));
            let [one, two, three, four] =
                [(x0, y0), (x1, y0), (x0, y1), (x1, y1)].map(|(x, y)| u32::from(self.at(x, y)));
            ((9 * one + 3 * two + 3 * three + four) / 16) as u8
        })
    }

    /// Squares of `times` by `times` pixels as one, their mean; what is over at the right and below is left away.
    pub(super) fn reduced(&self, times: usize) -> Self {
        self.made(self.width / times, self.height / times, |x, y| {
            let rows = (y * times..(y + 1) * times).map(|y| &self.pixels[y * self.width + x * times..][..times]);
            let sum: usize = rows.flatten().map(|&pixel| usize::from(pixel)).sum();
            (sum / (times * times)) as u8
        })
    }

    /// Light for dark.
    pub(super) fn negative(&self) -> Self {
        Self { pixels: self.pixels.iter().map(|pixel| 255 - pixel).collect(), ..*self }
    }

    /// Makes a quadrangle light, given by its corners around it, turned either way, and convex.
    pub(super) fn paint_over(&mut self, corners: &[(i64, i64); 4]) {
        let bounds = |places: [i64; 4], end: usize| {
            let (least, most) = (places.into_iter().min().unwrap_or(0), places.into_iter().max().unwrap_or(0));
            let clamp = |place: i64| usize::try_from(place).unwrap_or(0).min(end);
            clamp(least)..clamp(most.saturating_add(1))
        };
        let columns = bounds(corners.map(|(x, _)| x), self.width);
        for y in bounds(corners.map(|(_, y)| y), self.height) {
            for x in columns.clone() {
                // on the same side of all four edges
                let sides = [0, 1, 2, 3].map(|corner: usize| {
                    let ((x0, y0), (x1, y1)) = (corners[corner], corners[(corner + 1) % 4]);
                    ((x1 - x0) * (y as i64 - y0) - (y1 - y0) * (x as i64 - x0)).signum()
                });
                if !(sides.contains(&1) && sides.contains(&-1)) {
                    self.pixels[y * self.width + x] = 255;
                }
            }
        }
    }

    fn made(&self, width: usize, height: usize, pixel: impl Fn(usize, usize) -> u8) -> Self {
        let places = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        Self { width, height, pixels: places.map(|(x, y)| pixel(x, y)).collect() }
    }
}

fn over_white(light: u8, opaque: u8) -> u8 {
    let (light, opaque) = (u32::from(light), u32::from(opaque));
    ((light * opaque + 255 * (255 - opaque)) / 255) as u8
}

#[cfg(test)]
mod tests {
    use super::{Grey, over_white};

    #[test]
    fn larger_smaller_and_negative_are_what_they_say() {
        let small = Grey { width: 2, height: 1, pixels: vec![0, 255] };
        assert_eq!(small.enlarged(2).pixels, [0, 0, 255, 255, 0, 0, 255, 255]);
        assert_eq!(small.enlarged_softly().pixels, [0, 63, 191, 255, 0, 63, 191, 255]);
        assert_eq!(small.enlarged(3).reduced(3).pixels, small.pixels);
        assert_eq!(small.negative().pixels, [255, 0]);
        let mut square = Grey { width: 4, height: 4, pixels: vec![0; 16] };
        square.paint_over(&[(1, 1), (2, 1), (2, 2), (1, 2)]);
        assert_eq!(square.pixels, [0, 0, 0, 0, 0, 255, 255, 0, 0, 255, 255, 0, 0, 0, 0, 0]);
        square.paint_over(&[(-9, -9), (-9, 99), (99, 99), (99, -9)]);
        assert_eq!(square.pixels, [255; 16]);
        assert_eq!([over_white(0, 0), over_white(0, 255), over_white(7, 255)], [255, 0, 7]);
    }
}
