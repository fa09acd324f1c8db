//! The headers that protect a reader of the page, sent with every answer; README.md lists them for other hosts.

/// The page as it stands in the sources. Its `meta` element is the one place where the content policy is written.
const PAGE: &str = include_str!("../page/index.html");
const META: &str = "<meta http-equiv=\"Content-Security-Policy\" content=\"";

/// What goes with every file: no type but the one that is named, no page of another site around this one, no address told to others.
///
/// `SAMEORIGIN`, not `DENY`: a page of one's own may show it in a frame, as the tests do for the narrowest phone.
pub const ALWAYS: [(&str, &str); 3] =
    [("X-Content-Type-Options", "nosniff"), ("X-Frame-Options", "SAMEORIGIN"), ("Referrer-Policy", "no-referrer")];

/// The name of the header that goes with documents alone.
pub const POLICY: &str = "Content-Security-Policy";

/// The content policy of documents: the one of the page itself and, as a `meta` element cannot say it, who may frame it.
pub fn policy() -> String {
    let own = PAGE.split_once(META).and_then(|(_, rest)| rest.split_once('"')).map_or("default-src 'none'", |(own, _)| own);
    format!("{own}; frame-ancestors 'self'")
}

#[cfg(test)]
mod tests {
    use super::{ALWAYS, META, PAGE, POLICY, policy};

    #[test]
    fn the_policy_is_the_pages_own_and_the_readme_has_every_header() {
        assert_eq!(PAGE.matches(META).count(), 1);
        assert!(policy().starts_with("default-src 'none'; script-src 'self'") && policy().ends_with("; frame-ancestors 'self'"));
        let readme = include_str!("../../README.md");
        for (name, value) in ALWAYS.into_iter().chain([(POLICY, policy().as_str())]) {
            let line = format!("{name}: {value}");
            assert!(readme.lines().any(|l| l.trim() == line), "README.md lacks {line}");
        }
    }
}
