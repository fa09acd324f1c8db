//! Everything that the page shows of a plan, read off the page at once, against what the library says of the same plan.

use donorack::{Axle, Plan, axle, evaluate_shown, over_turn};
use donorack_tests::browser::Browser;
use serde_json::{Value, json};

const READ: &str = "
    const all = (css, each, within = document) => [...within.querySelectorAll(css)].map(each);
    const text = (css, within = document) => within.querySelector(css)?.textContent ?? null;
    const figure = (n) => [n.dataset.result, n.textContent];
    return {
        figures: all('#figures [data-result]', figure),
        compare: all('#compare-table [data-result]', figure),
        reasons: all('#compare-table td .why', (n) => n.textContent),
        trio: all('#trio [data-trio] .big', figure),
        strip: all('#strip .value', figure),
        worst: text('#strip .clip'),
        verdict: all('#verdict [data-verdict]', (n) => [n.dataset.verdict, n.dataset.kind, n.textContent]),
        rests: all('#verdict .rest', (n) => n.textContent),
        cards: all('details.card', (n) => [n.dataset.rack, text('.rack-name', n), text('.rack-words', n), n.querySelector('.sign').dataset.kind]),
        heads: all('#compare-table [data-choose]', (n) => [n.dataset.choose, text('.n', n), text('.v', n)]),
        findings: all('#findings [data-finding]', (n) => [n.dataset.finding, n.dataset.kind, ...all('p', (p) => p.textContent, n)]),
        facts: all('#figures [data-fact]', (n) => [n.dataset.fact, text('.label', n), text('.rest', n)]),
        fields: all('.field[data-path]', (n) => ({
            path: n.dataset.path, text: n.querySelector('input')?.value ?? '', unit: text('.unit', n), carried: n.classList.contains('carried'),
            side: text('[aria-pressed=true]', n) ?? '', placeholder: n.querySelector('input')?.placeholder ?? '',
            under: text('.under', n), problem: n.querySelector('.problem').hidden ? '' : text('.problem', n),
        })),
        toe: [text('#toe-summary'), document.querySelector('#toe-some').hidden, all('#toe-table tbody tr', (n) => all('td', (c) => c.textContent, n))],
        axle: [text('#axle-caption'), all('#axle .angle', (n) => n.textContent)],
        bar: text('#bar .lines'),
        parts: all('#parts [data-part-link]', (n) => [n.dataset.partLink, n.querySelector('.sign').dataset.kind, text('.word', n), text(`#jobs [data-part-link=${n.dataset.partLink}] .says`), text(`.next[data-part-link=${n.dataset.partLink}] .sub`)]),
    };";

/// Of each name, what the comparison shows.
const ROWS: [&str; 8] =
    ["bump_peak", "lock_inner", "circle_centre", "reserve_hardware", "transmission_least", "ratio_centre", "turns", "ackermann_angle"];
/// Of each name, what the strip and the verdict's three figures show.
const TRIO: [&str; 3] = ["ratio_centre", "turns", "circle_centre"];

/// Two things that should be the same, and where.
struct Same(Vec<String>, usize);

impl Same {
    fn see(&mut self, place: &str, shown: &Value, wanted: &Value) {
        self.1 += 1;
        if shown != wanted {
            self.0.push(format!("{place}\n     shows {shown}\n    wanted {wanted}"));
        }
    }
}

/// What the page shows now.
pub async fn read(browser: &Browser) -> Value {
    browser.js(READ).await
}

/// Checks that the page shows of `plan` what the library says, in "mm" or "inch"; the number of texts compared.
pub async fn check(browser: &Browser, plan: &Plan, units: &str) -> usize {
    browser.settled().await;
    let shown = read(browser).await;
    let view = serde_json::to_value(evaluate_shown(plan)).unwrap();
    let mut same = Same(Vec::new(), 0);
    let all = view["racks"].as_array().unwrap();
    let (at, rack) = (plan.chosen, &all[plan.chosen]);
    figures(&mut same, &shown, at, rack, units);
    compared(&mut same, &shown, all, units);
    short(&mut same, &shown, at, rack, units);
    said(&mut same, &shown, at, rack, units);
    fields(&mut same, &shown, &view, units);
    drawn(&mut same, &shown, plan, rack, units);
    // One that is only there when it is asked for was not asked for here.
    let states = view["parts"].as_array().unwrap().iter().filter(|p| p["there"] == json!(true));
    let says = |p: &Value| json!([p["part"], p["kind"].as_str().unwrap_or_default(), p["word"][units], p["says"][units], p["says"][units]]);
    same.see("how the parts stand", &shown["parts"], &states.map(says).collect());
    assert!(same.0.is_empty(), "{} of {} differ, {units}:\n{}", same.0.len(), same.1, same.0.join("\n"));
    same.1
}

fn hook(rack: usize, result: &Value) -> String {
    let parts = [rack.to_string(), result["name"].as_str().unwrap().to_owned(), result["side"].as_str().unwrap().to_owned()];
    parts.iter().filter(|p| !p.is_empty()).map(String::as_str).collect::<Vec<_>>().join(".")
}

fn results(rack: &Value) -> &Vec<Value> {
    rack["results"].as_array().unwrap()
}

/// Every result of the chosen rack stands in the list of all figures, once, with its name, formula and what weighs most.
fn figures(same: &mut Same, shown: &Value, at: usize, rack: &Value, units: &str) {
    let key = |pair: &Value| pair[0].as_str().unwrap().to_owned();
    let mut listed: Vec<Value> = shown["figures"].as_array().unwrap().clone();
    let mut wanted: Vec<Value> = results(rack).iter().map(|r| json!([hook(at, r), r["text"][units]])).collect();
    listed.sort_by_key(key);
    wanted.sort_by_key(key);
    same.see("number of figures", &json!(listed.len()), &json!(wanted.len()));
    for (listed, wanted) in listed.iter().zip(&wanted) {
        same.see("every figure", listed, wanted);
    }
    let table = donorack::result_rows();
    for fact in shown["facts"].as_array().unwrap() {
        let row = table.iter().find(|row| fact[0] == row.name).expect("a result of the table");
        same.see("label", &fact[1], &json!(row.label));
        let rest = fact[2].as_str().unwrap();
        let has = |same: &mut Same, part: &str| {
            same.see(&format!("{}: {rest:?} has {part:?}", row.name), &json!(rest.contains(part)), &json!(true))
        };
        has(same, row.explain);
        for r in results(rack).iter().filter(|r| r["name"] == row.name && r["status"] == "ok") {
            if let Some(most) = r["most"].as_str().filter(|most| !most.is_empty()) {
                has(same, &format!("{most}, {} %", r["most_share"].as_f64().unwrap()));
            }
            for note in r["notes"].as_array().unwrap() {
                has(same, note.as_str().unwrap());
            }
        }
    }
}

/// Side by side, each rack with its figures, or why there are none.
fn compared(same: &mut Same, shown: &Value, all: &[Value], units: &str) {
    let figures = shown["compare"].as_array().unwrap();
    let mut count = 0;
    for (i, rack) in all.iter().enumerate() {
        // Of bumps there is a row once they are asked about.
        let of_bumps = all.iter().flat_map(results).any(|r| r["name"] == "bump_peak" && r["status"] == "ok");
        for name in ROWS.into_iter().filter(|name| of_bumps || *name != "bump_peak") {
            let of: Vec<&Value> = results(rack).iter().filter(|r| r["name"] == name).collect();
            let ok: Vec<Value> = of.iter().filter(|r| r["status"] == "ok").map(|r| json!([hook(i, r), r["text"][units]])).collect();
            let alike = ok.iter().all(|pair| pair[1] == ok[0][1]);
            // Two sides that read alike are one figure.
            for pair in ok.iter().take(if alike { 1 } else { 2 }) {
                same.see(&format!("side by side has {pair}"), &json!(figures.contains(pair)), &json!(true));
                count += 1;
            }
            if ok.is_empty() {
                let why = &of[0]["why"];
                same.see(&format!("side by side has {why}"), &json!(shown["reasons"].as_array().unwrap().contains(why)), &json!(true));
            }
        }
    }
    same.see("figures side by side", &json!(figures.len()), &json!(count));
    for (i, rack) in all.iter().enumerate() {
        let name = rack["name"].as_str().filter(|n| !n.is_empty()).map_or(format!("Rack {}", i + 1), str::to_owned);
        let head = &rack["verdict"]["head"][units];
        let wanted = json!([i.to_string(), name, head]);
        same.see("heads", &json!(shown["heads"].as_array().unwrap().contains(&wanted)), &json!(true));
        same.see("card", &shown["cards"][i], &json!([i.to_string(), name, head, rack["verdict"]["kind"]]));
    }
}

/// The three figures beneath the verdict and in the strip: of two sides the worse, which is the larger.
fn short(same: &mut Same, shown: &Value, at: usize, rack: &Value, units: &str) {
    for (n, name) in TRIO.iter().enumerate() {
        let ok = results(rack).iter().filter(|r| r["name"] == *name && r["status"] == "ok");
        let worst = ok.max_by(|a, b| a["value"].as_f64().unwrap().total_cmp(&b["value"].as_f64().unwrap()));
        let wanted = worst.map_or(json!([null, "–"]), |r| json!([hook(at, r), r["text"][units]]));
        for place in ["trio", "strip"] {
            // Of two alike either may stand there.
            let figure = &shown[place][n];
            same.see(place, &figure[1], &wanted[1]);
            let of = figure[0].as_str().is_none_or(|f| f.split('.').nth(1) == Some(name));
            same.see(place, &json!(of), &json!(true));
        }
    }
}

/// The verdict and every finding.
fn said(same: &mut Same, shown: &Value, at: usize, rack: &Value, units: &str) {
    let verdict = &rack["verdict"];
    same.see("verdict", &shown["verdict"], &json!([[at.to_string(), verdict["kind"], verdict["sentence"][units]]]));
    let list = |name: &str| {
        let all: Vec<&str> = verdict[name].as_array().unwrap().iter().map(|x| x.as_str().unwrap()).collect();
        all.join(", ")
    };
    let mut rests: Vec<String> =
        verdict["notices"].as_array().unwrap().iter().map(|n| format!("!{}", n[units].as_str().unwrap())).collect();
    rests.extend(rack["line"]["text"][units].as_str().filter(|line| !line.is_empty()).map(str::to_owned));
    for (what, of) in
        [("Not checked", list("unchecked")), ("Taken for granted", list("assumed")), ("Left out because it cannot be read", list("unread"))]
    {
        if !of.is_empty() {
            rests.push(format!("{what}: {of}."));
        }
    }
    same.see("beside the verdict", &shown["rests"], &json!(rests));
    let findings = rack["findings"].as_array().unwrap();
    let wanted = findings.iter().map(|f| {
        let side = f["side"].as_str().unwrap();
        let name = f["name"].as_str().unwrap();
        let mut parts = vec![json!(if side.is_empty() { name.to_owned() } else { format!("{name}.{side}") }), f["kind"].clone()];
        parts.push(f["title"][units].clone());
        parts.extend(["reason", "remedy"].iter().map(|part| f[part][units].clone()).filter(|text| text != ""));
        if f["origin"] != "" && f["judged"] != false {
            parts.push(json!(format!("Limit: {}", f["origin"].as_str().unwrap())));
        }
        json!(parts)
    });
    let sorted = |mut all: Vec<Value>| {
        all.sort_by_key(Value::to_string);
        json!(all)
    };
    same.see("findings", &sorted(shown["findings"].as_array().unwrap().clone()), &sorted(wanted.collect()));
    let wrong = if verdict["kind"] == "close" { "close" } else { "fail" };
    let because = |kind: Option<&str>| findings.iter().find(|f| f["name"] == verdict["because"] && kind.is_none_or(|k| f["kind"] == k));
    let because = because(Some(wrong)).or(because(None)).map_or(&verdict["head"][units], |f| &f["title"][units]);
    let worst = shown["worst"].as_str().unwrap();
    same.see("the strip's words", &json!(worst.split_once(": ").map(|w| w.1)), because);
}

/// Every field on the page: what was put in and what is made of it.
fn fields(same: &mut Same, shown: &Value, view: &Value, units: &str) {
    for field in shown["fields"].as_array().unwrap() {
        let path = field["path"].as_str().unwrap();
        let parts: Vec<&str> = path.split('.').collect();
        let seen = match parts[..] {
            ["racks", i, name] => &view["racks"][i.parse::<usize>().unwrap()]["fields"][name],
            [section, name] => &view[section][name],
            _ => panic!("{path}"),
        };
        if seen.is_null() {
            same.see(path, &json!([field["text"], field["under"], field["problem"]]), &json!(["", "", ""]));
            continue;
        }
        let carried = ["carried", "default", "found"].iter().any(|status| seen["status"] == *status);
        same.see(path, &field["carried"], &json!(carried));
        same.see(path, &field[if carried { "placeholder" } else { "text" }], &seen["text"]);
        same.see(path, &field["side"], &seen["side"]);
        same.see(path, &field["problem"], &seen["problem"]);
        let parts =
            [seen["other"].as_str().filter(|o| !o.is_empty()).map(|o| format!("= {o}")), seen["pm"][units].as_str().map(str::to_owned)];
        let note = seen["note"].as_str().map(str::to_owned);
        let parts: Vec<String> = parts.into_iter().chain([note]).flatten().filter(|p| !p.is_empty()).collect();
        let beneath = if seen["status"] == "unclear" { String::new() } else { parts.join(" · ") };
        let under = field["under"].as_str().unwrap();
        let fits = if carried { under.ends_with(&beneath) } else { under == beneath };
        same.see(&format!("{path}: {under:?} for {beneath:?}"), &json!(fits), &json!(true));
    }
}

/// The chart's sentence and table, the drawing's sentence and angles at lock left.
fn drawn(same: &mut Same, shown: &Value, plan: &Plan, rack: &Value, units: &str) {
    let curves = &rack["curves"];
    let differ = curves["differ"] == true;
    let table = Axle::new(plan, plan.chosen).map_or(Vec::new(), |axle| over_turn(&axle).toe_table);
    let rows: Vec<Value> = table.iter().map(|row| json!(row[usize::from(!differ)..])).collect();
    let none = curves["toe_out_left"] == json!([]) && curves["toe_out_right"] == json!([]);
    same.see("toe-out shown", &shown["toe"][1], &json!(none));
    same.see("toe-out", &shown["toe"][0], &curves["summary"][units]);
    if !none {
        same.see("toe-out as a table", &shown["toe"][2], &json!(rows));
    }
    match axle(plan, plan.chosen, 1.0) {
        Ok(seen) => {
            let seen = serde_json::to_value(seen).unwrap();
            same.see("drawing", &shown["axle"][0], &seen["caption"][units]);
            let angles: Vec<&Value> = seen["wheels"].as_array().unwrap().iter().map(|w| &w["text"]).collect();
            same.see("angles drawn", &shown["axle"][1], &json!(angles));
        }
        Err(why) => {
            same.see("no drawing", &json!(shown["axle"][0].as_str().unwrap().contains(&why)), &json!(true));
            same.see("no angles", &shown["axle"][1], &json!([]));
        }
    }
}
