//! Pieces of texts. The library's own search makes ready for long ones, which is some kB.

/// What stands before `piece` and what after, where it first stands.
pub fn cut<'a>(text: &'a str, piece: &str) -> Option<(&'a str, &'a str)> {
    let at = text.as_bytes().windows(piece.len().max(1)).position(|here| here == piece.as_bytes())?;
    Some((text.get(..at)?, text.get(at + piece.len()..)?))
}

/// With `to` in the place of `from`, `most` times at the most.
pub fn replaced(text: &str, from: &str, to: &str, most: usize) -> String {
    let (mut out, mut rest) = (String::with_capacity(text.len()), text);
    for _ in 0..most {
        let Some((before, after)) = cut(rest, from) else { break };
        out.push_str(before);
        out.push_str(to);
        rest = after;
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_cut_and_replaced_as_the_library_does() {
        for text in ["", "a", "a ± b", " ± ", "± ± ±", "+-+/-+-", "''''x'''", "1,5 1,5", "ü±ü", "{}{}", "{{}}"] {
            for piece in ["±", " ± ", "''", "+/-", "+-", "1,5", "{}", "x"] {
                assert_eq!(cut(text, piece), text.split_once(piece), "{text}, {piece}");
                assert_eq!(replaced(text, piece, "<>", usize::MAX), text.replace(piece, "<>"), "{text}, {piece}");
                assert_eq!(replaced(text, piece, "<>", 1), text.replacen(piece, "<>", 1), "{text}, {piece}");
            }
        }
    }
}
