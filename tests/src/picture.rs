//! A picture as numbers.

use std::collections::HashMap;

/// Eight-bit red, green, blue, alpha, row by row from the top left.
pub struct Picture {
    /// Width in pixels.
    pub width: usize,
    /// Height in pixels.
    pub height: usize,
    /// Four bytes a pixel.
    pub rgba: Vec<u8>,
}

impl Picture {
    /// Decodes a PNG, as a screenshot is.
    pub fn from_png(png: &[u8]) -> Picture {
        let mut decoder = png::Decoder::new(std::io::Cursor::new(png));
        decoder.set_transformations(png::Transformations::EXPAND | png::Transformations::ALPHA | png::Transformations::STRIP_16);
        let mut reader = decoder.read_info().expect("a PNG");
        let mut rgba = vec![0; reader.output_buffer_size().expect("a picture that fits in memory")];
        let frame = reader.next_frame(&mut rgba).expect("a whole PNG");
        assert_eq!(frame.color_type, png::ColorType::Rgba, "a screenshot is in colour");
        rgba.truncate(frame.buffer_size());
        Picture { width: frame.width as usize, height: frame.height as usize, rgba }
    }

    /// Red, green, blue, alpha at a pixel, x to the right and y down.
    pub fn at(&self, x: usize, y: usize) -> [u8; 4] {
        assert!(x < self.width && y < self.height, "({x}, {y}) lies outside {} × {}", self.width, self.height);
        let start = (y * self.width + x) * 4;
        [0, 1, 2, 3].map(|channel| self.rgba[start + channel])
    }

    /// Smaller by a whole factor: each pixel the mean of a square of them. What is left at the right and below is cut off.
    pub fn reduced(&self, by: usize) -> Picture {
        let (width, height) = (self.width / by, self.height / by);
        let mut rgba = Vec::with_capacity(width * height * 4);
        for y in 0..height {
            for x in 0..width {
                let mut sum = [0; 4];
                for row in 0..by {
                    let start = ((y * by + row) * self.width + x * by) * 4;
                    for pixel in self.rgba[start..start + by * 4].chunks_exact(4) {
                        sum = std::array::from_fn(|channel| sum[channel] + usize::from(pixel[channel]));
                    }
                }
                rgba.extend(sum.map(|sum| u8::try_from((sum + by * by / 2) / (by * by)).unwrap_or(u8::MAX)));
            }
        }
        Picture { width, height, rgba }
    }

    /// Pictures of one height beside each other, with nothing, of a width, between them.
    pub fn beside(pictures: &[Picture], gap: usize) -> Picture {
        let height = pictures[0].height;
        let width = pictures.iter().map(|picture| picture.width + gap).sum::<usize>() - gap;
        let mut rgba = Vec::with_capacity(width * height * 4);
        for y in 0..height {
            for (n, picture) in pictures.iter().enumerate() {
                assert_eq!(picture.height, height, "pictures of one height");
                rgba.extend(std::iter::repeat_n(0, if n == 0 { 0 } else { gap * 4 }));
                rgba.extend(&picture.rgba[y * picture.width * 4..(y + 1) * picture.width * 4]);
            }
        }
        Picture { width, height, rgba }
    }

    /// How far two pictures of one size are apart when seen from afar: of each square of `cell` pixels the mean colour, of those the
    /// channel that differs most. Answers with the mean over all squares, 0 to 255, and the share of them that differ by more than 25.
    pub fn apart(&self, other: &Picture, cell: usize) -> (f64, f64) {
        assert_eq!((self.width, self.height), (other.width, other.height), "pictures of one size");
        let (one, two) = (self.reduced(cell), other.reduced(cell));
        let most = |(a, b): (&[u8], &[u8])| a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0);
        let all: Vec<u8> = one.rgba.chunks_exact(4).zip(two.rgba.chunks_exact(4)).map(most).collect();
        let count = all.len() as f64;
        (all.iter().map(|&d| f64::from(d)).sum::<f64>() / count, all.iter().filter(|&&d| d > 25).count() as f64 / count)
    }

    /// As a small PNG: the 256 commonest colours, every other as the nearest of them.
    pub fn small_png(&self) -> Vec<u8> {
        let mut counts: HashMap<&[u8], usize> = HashMap::new();
        for pixel in self.rgba.chunks_exact(4) {
            *counts.entry(pixel).or_default() += 1;
        }
        let mut colours: Vec<(&[u8], usize)> = counts.into_iter().collect();
        // By count, and alike ones by colour: the same picture is the same file.
        colours.sort_by_key(|&(colour, count)| (std::cmp::Reverse(count), colour));
        let palette: Vec<&[u8]> = colours.iter().take(256).map(|&(colour, _)| colour).collect();
        let far = |a: &[u8], b: &[u8]| a.iter().zip(b).map(|(a, b)| usize::from(a.abs_diff(*b)).pow(2)).sum::<usize>();
        let nearest = |colour: &[u8]| (0..palette.len()).min_by_key(|&n| far(palette[n], colour)).unwrap_or(0);
        let places: HashMap<&[u8], u8> = colours.iter().map(|&(colour, _)| (colour, u8::try_from(nearest(colour)).unwrap_or(0))).collect();
        let indices: Vec<u8> = self.rgba.chunks_exact(4).map(|pixel| places[pixel]).collect();
        let mut png = Vec::new();
        let side = |length: usize| u32::try_from(length).expect("a picture of a sensible size");
        let mut encoder = png::Encoder::new(&mut png, side(self.width), side(self.height));
        encoder.set_color(png::ColorType::Indexed);
        encoder.set_palette(palette.iter().flat_map(|colour| &colour[..3]).copied().collect::<Vec<u8>>());
        encoder.set_trns(palette.iter().map(|colour| colour[3]).collect::<Vec<u8>>());
        encoder.set_compression(png::Compression::High);
        // Colours by number have no neighbours worth foretelling.
        encoder.set_filter(png::Filter::NoFilter);
        let mut writer = encoder.write_header().expect("memory");
        writer.write_image_data(&indices).expect("memory");
        writer.finish().expect("memory");
        png
    }
}
