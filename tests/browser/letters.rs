//! Wide letters and narrow ones: words in drawings stay in their frames, nothing runs over anything or sideways.

use donorack::PARTS;
use donorack_tests::browser::{Browser, Letters, Screen};
use serde_json::json;

const READY: &str = "document.documentElement.dataset.ready === 'yes'";

/// Words of every drawing in sight that lie outside their drawing or over each other; what is wider than the screen; controls whose
/// words are cut off. Marks of a plan's racks may touch each other where the racks are alike.
const WRONG: &str = "
    const wrong = [], slack = 2;
    const shown = (node) => node.getClientRects().length > 0 && node.checkVisibility({ visibilityProperty: true, opacityProperty: true });
    for (const svg of document.querySelectorAll('svg')) {
        if (!shown(svg)) continue;
        const frame = svg.getBoundingClientRect(), name = svg.id || svg.closest('[id]')?.id;
        const words = [...svg.querySelectorAll('text')].filter((text) => text.textContent.trim() && shown(text)).map((text) => [text.textContent, text.getBoundingClientRect(), text.closest('.point')]);
        for (const [word, box] of words) {
            if (box.left < frame.left - slack || box.right > frame.right + slack || box.top < frame.top - 6 || box.bottom > frame.bottom + 6) wrong.push(`${name}: ${word} leaves its drawing`);
        }
        words.forEach(([word, a, mark], i) => { for (const [other, b, its] of words.slice(i + 1)) {
            if (!(mark && its) && a.left + 1 < b.right && b.left + 1 < a.right && a.top + a.height / 4 < b.bottom - b.height / 4 && b.top + b.height / 4 < a.bottom - a.height / 4) wrong.push(`${name}: ${word} over ${other}`);
        } });
    }
    const wide = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth > wide) {
        wrong.push(`${document.documentElement.scrollWidth} wide on ${wide}`);
        for (const node of document.querySelectorAll('main *, header *')) if (node.getBoundingClientRect().right > wide + 1 && !node.closest('.scroll, [hidden]')) wrong.push(`${node.tagName}.${node.className} ${node.textContent.slice(0, 30)}`);
    }
    for (const node of document.querySelectorAll('button, summary, .figs b, .fig small, .trio b, .unit, .label')) {
        if (shown(node) && node.scrollWidth > node.clientWidth + 1 && getComputedStyle(node).display !== 'inline' && node.clientWidth > 1) wrong.push(`${node.className || node.tagName}: ${node.textContent.trim().slice(0, 40)} is ${node.scrollWidth} wide in ${node.clientWidth}`);
    }
    return wrong;";

#[tokio::test]
async fn drawings_and_layout_hold_with_wide_letters_and_with_narrow_ones() {
    let mut wrong = Vec::new();
    for screen in [Screen::Phone, Screen::Narrow, Screen::Desk] {
        let browser = Browser::open(screen).await;
        browser.goto("").await;
        browser.until(READY).await;
        for family in Letters::BOTH {
            browser.letters(family).await;
            for units in ["mm", "inch"] {
                browser.js_with("document.querySelector(`[data-units=${arguments[0]}]`).click()", vec![json!(units)]).await;
                browser.unfold().await;
                // What is worked out in sight alone has to be seen once.
                for part in ["#yard", "#compare", "#turning-title", "#whole", "#toe", "#ratio"] {
                    browser.turn_to(part).await;
                    browser
                        .js_with(
                            "document.querySelector(arguments[0]).scrollIntoView({ block: 'center', behavior: 'instant' })",
                            vec![json!(part)],
                        )
                        .await;
                    browser.settled().await;
                }
                browser.until("document.querySelector('#yard-told .plot')").await;
                for position in ["left", "straight", "right"] {
                    browser
                        .js_with(
                            "document.querySelectorAll('#positions button')[['left', 'straight', 'right'].indexOf(arguments[0])].click()",
                            vec![json!(position)],
                        )
                        .await;
                    browser.settled().await;
                    let found: Vec<String> = serde_json::from_value(browser.js(WRONG).await).unwrap();
                    wrong.extend(found.into_iter().map(|what| format!("{screen:?}, {}, {units}, {position}: {what}", family.name())));
                }
                for part in PARTS {
                    browser.turn_to(&format!(".part[data-part={part}] h2")).await;
                    browser.settled().await;
                    let found: Vec<String> = serde_json::from_value(browser.js(WRONG).await).unwrap();
                    wrong.extend(found.into_iter().map(|what| format!("{screen:?}, {}, {units}, {part}: {what}", family.name())));
                }
            }
            browser.turn_to("#yard").await;
            browser.js("document.querySelector('#yard').scrollIntoView({ block: 'center', behavior: 'instant' })").await;
            browser.screenshot(&format!("letters-{screen:?}-{family:?}").to_lowercase()).await;
        }
        assert_eq!(browser.complaints(), Vec::<String>::new());
    }
    wrong.dedup();
    assert_eq!(wrong, Vec::<String>::new());
}
