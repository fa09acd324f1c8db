//! Bytes as text that an address can hold: base64url without padding (RFC 4648, section 5).
//!
//! Of our own since a library's brings 1 kB more (`gzip -9`) into the WebAssembly.

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

/// The text of some bytes.
pub fn encode(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len() * 4 / 3 + 4);
    let (mut held, mut bits) = (0_u32, 0);
    let mut put = |held: u32, bits: u32| out.push(char::from(LETTERS[(held << 6 >> bits & 63) as usize]));
    for byte in bytes {
        (held, bits) = (held << 8 | u32::from(*byte), bits + 8);
        while bits >= 6 {
            put(held, bits);
            bits -= 6;
        }
        held &= 63;
    }
    if bits > 0 {
        put(held << (6 - bits), 6);
    }
    out
}

/// The bytes of a text; `None` for a text that [`encode`] never writes.
pub fn decode(text: &str) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(text.len() * 3 / 4);
    let (mut held, mut bits) = (0_u32, 0);
    for letter in text.bytes() {
        let value = LETTERS.iter().position(|l| *l == letter)? as u32;
        (held, bits) = (held << 6 | value, bits + 6);
        if bits >= 8 {
            bits -= 8;
            out.push((held >> bits) as u8);
            held &= (1 << bits) - 1;
        }
    }
    (bits < 6 && held == 0).then_some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10, without their padding, and the two letters in which base64url differs.
    #[test]
    fn the_published_vectors() {
        let vectors =
            [("", ""), ("f", "Zg"), ("fo", "Zm8"), ("foo", "Zm9v"), ("foob", "Zm9vYg"), ("fooba", "Zm9vYmE"), ("foobar", "Zm9vYmFy")];
        for (bytes, text) in vectors {
            assert_eq!(encode(bytes.as_bytes()), text);
            assert_eq!(decode(text).as_deref(), Some(bytes.as_bytes()));
        }
        assert_eq!(encode(&[0xfb, 0xff]), "-_8");
        let all: Vec<u8> = (0..=255).collect();
        assert_eq!(decode(&encode(&all)), Some(all));
        // Other letters, a lone one, bits that are left over.
        for wrong in ["Zg==", "Zm9+", "Z", "Zm9vY", "Zh", "Zm9", "Zm 8", "é"] {
            assert_eq!(decode(wrong), None, "{wrong}");
        }
    }
}
