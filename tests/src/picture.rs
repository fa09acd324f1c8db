//! A picture as numbers.

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
        decoder.set_transformations(png::Transformations::ALPHA | png::Transformations::STRIP_16);
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
}
