//! Texts as they are written in tests.

use donorack::RackView;

/// The same with plain spaces between numbers and units, as they are written here.
pub fn loose(mut r: RackView) -> RackView {
    let cures = |f: &mut donorack::Finding| {
        let own = [&mut f.head, &mut f.title, &mut f.reason, &mut f.remedy];
        for text in own.into_iter().chain(f.cures.iter_mut().map(|c| &mut c.text)) {
            for words in [&mut text.mm, &mut text.inch] {
                *words = words.replace('\u{a0}', " ");
            }
        }
    };
    r.findings.iter_mut().for_each(cures);
    for text in [&mut r.verdict.head, &mut r.verdict.sentence, &mut r.line.text, &mut r.line.short] {
        for words in [&mut text.mm, &mut text.inch] {
            *words = words.replace('\u{a0}', " ");
        }
    }
    r
}
