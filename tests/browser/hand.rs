//! A person's hand on the page: keys and taps, counted; and nine numbers to type.

use donorack::{PARTS, Plan};
use donorack_tests::browser::{Browser, Screen};
use donorack_tests::engine::Engine;
use serde_json::{Value, json};

/// The nine numbers of a first verdict, in inches as a person types them; a number with two directions says which.
#[derive(Clone, Copy, Debug)]
pub struct Nine {
    pub wheelbase: &'static str,
    pub front_track: &'static str,
    pub rod_end_spacing: &'static str,
    pub arm_fore_aft: (&'static str, &'static str),
    pub arm_inboard: (&'static str, &'static str),
    pub rack: Four,
}

/// The four that a further rack takes.
#[derive(Clone, Copy, Debug)]
pub struct Four {
    pub inner_joint_spacing: &'static str,
    pub travel_two_turns: &'static str,
    pub travel: &'static str,
    pub bar_moves: &'static str,
}

/// Arms behind the axle, bar to the right: turns far enough. All figures of this file are invented.
pub const SUITS: Nine = Nine {
    wheelbase: "104 1/2",
    front_track: "56 1/8",
    rod_end_spacing: "50 3/8",
    arm_fore_aft: ("5 3/16", "behind"),
    arm_inboard: ("11/16", "inboard"),
    rack: Four { inner_joint_spacing: "23 1/4", travel_two_turns: "3 11/16", travel: "5 3/4", bar_moves: "right" },
};
/// A short travel.
pub const FAILS: Nine = Nine {
    wheelbase: "98 3/8",
    front_track: "54 5/8",
    rod_end_spacing: "48 1/4",
    arm_fore_aft: ("5 1/2", "behind"),
    arm_inboard: ("7/8", "inboard"),
    rack: Four { inner_joint_spacing: "24 3/32", travel_two_turns: "3 3/4", travel: "4", bar_moves: "right" },
};
/// Arms ahead of the axle with a rack whose bar goes right for a left turn.
pub const BACKWARDS: Nine = Nine {
    wheelbase: "104.5",
    front_track: "4' 8 1/8\"",
    rod_end_spacing: "50-3/8",
    arm_fore_aft: ("5 3/16", "ahead"),
    arm_inboard: ("11/16", "outboard"),
    rack: Four { inner_joint_spacing: "23 1/4", travel_two_turns: "3 11/16", travel: "6 1/2", bar_moves: "right" },
};
/// [`SUITS`] with so little travel that the lock comes within its ± of what is wanted.
pub const CLOSE: Nine = Nine { rack: Four { travel: "4 1/2", ..SUITS.rack }, ..SUITS };

impl Four {
    /// What a plan's file says of it, each in inches.
    pub fn file(&self) -> Value {
        let inch = |text: &str| format!("{text} in");
        json!({
            "inner_joint_spacing": inch(self.inner_joint_spacing), "travel_two_turns": inch(self.travel_two_turns),
            "travel": inch(self.travel), "bar_moves": self.bar_moves,
        })
    }
}

impl Nine {
    /// The same numbers as a plan's file, written here and not by the page.
    pub fn file(&self) -> Value {
        let inch = |text: &str| if text.contains('"') { text.to_owned() } else { format!("{text} in") };
        let sided = |(text, side): (&str, &str)| format!("{text} in {side}");
        json!({ "donorack": 1, "racks": [self.rack.file()], "car": {
            "wheelbase": inch(self.wheelbase), "front_track": inch(self.front_track), "rod_end_spacing": inch(self.rod_end_spacing),
            "arm_fore_aft": sided(self.arm_fore_aft), "arm_inboard": sided(self.arm_inboard),
        } })
    }
}

/// The plan of a file.
pub fn plan(file: &Value) -> Plan {
    Plan::from_json(&file.to_string()).unwrap_or_else(|e| panic!("{e}: {file}"))
}

/// The plan of an address; which browser's it is, its id, is left out.
pub fn linked(address: &str) -> Plan {
    Plan { id: None, ..Plan::from_link(address).unwrap_or_else(|e| panic!("{e}: {address}")) }
}

/// An address of the page without the part that it opens at: what is the same for everybody who has the plan.
pub fn whole(address: &str) -> String {
    let Some((page, fragment)) = address.split_once('#') else { return address.to_owned() };
    match fragment.rsplit_once('/') {
        Some((_, plan)) => format!("{page}#{plan}"),
        None if PARTS.contains(&fragment) => page.to_owned(),
        None => address.to_owned(),
    }
}

/// One browser, and how often it was tapped and typed into.
pub struct Hand {
    pub browser: Browser,
    pub taps: usize,
    pub keys: usize,
}

impl Hand {
    /// On a fresh page: nothing stored, nothing typed.
    pub async fn on(screen: Screen) -> Hand {
        Hand::on_a(Engine::Chromium, screen).await
    }

    /// The same in a browser of any kind.
    pub async fn on_a(engine: Engine, screen: Screen) -> Hand {
        let hand = Hand { browser: Browser::open_in(engine, screen).await, taps: 0, keys: 0 };
        hand.goto("").await;
        hand
    }

    /// Opens an address as [`Browser::goto`], and waits for the page.
    pub async fn goto(&self, address: &str) {
        self.browser.goto(address).await;
        self.ready().await;
    }

    /// Opens a link as a browser does that was elsewhere before.
    pub async fn arrive(&self, address: &str) {
        self.browser.client.goto("about:blank").await.unwrap();
        self.goto(address).await;
    }

    pub async fn reload(&self) {
        self.browser.reload().await;
        self.ready().await;
    }

    async fn ready(&self) {
        self.browser.until("document.documentElement.dataset.ready === 'yes'").await;
    }

    /// Taps something, scrolled to where a thumb and an eye reach it, once the page stands still.
    pub async fn tap(&mut self, css: &str) {
        self.browser.find(css).await;
        self.taps += self.browser.turn_to(css).await;
        let still = "const frame = () => new Promise(requestAnimationFrame);
            return (async ([css]) => {
                await frame();
                await frame();
                document.querySelector(css).scrollIntoView({ block: 'center', behavior: 'instant' });
                await frame();
                await frame();
            })(arguments);";
        self.browser.js_with(still, vec![json!(css)]).await;
        self.browser.tap(css).await;
        self.taps += 1;
    }

    /// Types into whatever has the focus.
    pub async fn type_on(&mut self, text: &str) {
        let field = self.browser.client.active_element().await.expect("something has the focus");
        field.send_keys(text).await.unwrap_or_else(|e| panic!("{text}: {e}"));
        self.keys += text.chars().count();
    }

    /// The key that moves on: U+E007, Enter (WebDriver, section 17.4.2).
    pub async fn enter(&mut self) {
        self.type_on("\u{e007}").await;
    }

    /// One backspace, U+E003.
    pub async fn backspace(&mut self) {
        self.type_on("\u{e003}").await;
    }

    /// Brings the focus into a field, by a tap unless it is there already.
    pub async fn enter_field(&mut self, path: &str) {
        if self.focus().await != path {
            self.tap(&field(path)).await;
            let held = self.browser.js("return document.activeElement.outerHTML.slice(0, 200)").await;
            assert_eq!(self.focus().await, path, "a tap into a field gives it the focus, not {held}");
        }
    }

    /// Which input has the focus; empty for none.
    pub async fn focus(&self) -> String {
        let path = self.browser.js("return document.activeElement?.dataset.field ?? ''").await;
        path.as_str().unwrap().to_owned()
    }

    /// Types a measurement key by key.
    pub async fn write(&mut self, path: &str, text: &str) {
        self.enter_field(path).await;
        self.type_on(text).await;
    }

    /// Types a measurement as on a phone, whose decimal keyboard has no fractions: the page's own keys give them.
    pub async fn press(&mut self, path: &str, text: &str) {
        self.enter_field(path).await;
        let (whole, fraction) = text.rsplit_once(' ').unwrap_or(if text.contains('/') { ("", text) } else { (text, "") });
        if !whole.is_empty() {
            self.type_on(whole).await;
        }
        let key = format!(".keys [data-key=\"{fraction}\"]");
        if !fraction.is_empty()
            && self.browser.js_with("return document.querySelector(arguments[0]) !== null", vec![json!(key)]).await == json!(true)
        {
            self.tap(&key).await;
        } else if !fraction.is_empty() {
            // Thirty-seconds are no keys of the page; a keyboard with letters has them.
            self.type_on(&text[whole.len()..]).await;
        }
    }

    /// Chooses a direction, or one of a choice's two words.
    pub async fn side(&mut self, path: &str, side: &str) {
        self.tap(&format!("[data-side=\"{path}:{side}\"]")).await;
    }

    /// Types the nine numbers into the empty page in the order in which it asks for them.
    pub async fn nine(&mut self, nine: &Nine, with_keys: bool) {
        let numbers = [
            ("car.wheelbase", nine.wheelbase, ""),
            ("car.front_track", nine.front_track, ""),
            ("car.rod_end_spacing", nine.rod_end_spacing, ""),
            ("car.arm_fore_aft", nine.arm_fore_aft.0, nine.arm_fore_aft.1),
            ("car.arm_inboard", nine.arm_inboard.0, nine.arm_inboard.1),
        ];
        for (path, text, side) in numbers {
            if with_keys {
                self.press(path, text).await
            } else {
                self.write(path, text).await
            }
            if side.is_empty() { self.enter().await } else { self.side(path, side).await }
        }
        // The room for a rack may stay empty: Enter walks past it.
        for room in ["car.rack_line_from", "car.rack_line_to"] {
            if self.focus().await == room {
                self.enter().await;
            }
        }
        self.four(0, &nine.rack, with_keys).await;
    }

    /// Types the four of a rack.
    pub async fn four(&mut self, rack: usize, four: &Four, with_keys: bool) {
        let numbers =
            [("inner_joint_spacing", four.inner_joint_spacing), ("travel_two_turns", four.travel_two_turns), ("travel", four.travel)];
        for (name, text) in numbers {
            let path = format!("racks.{rack}.{name}");
            if with_keys {
                self.press(&path, text).await
            } else {
                self.write(&path, text).await
            }
            self.enter().await;
        }
        self.side(&format!("racks.{rack}.bar_moves"), four.bar_moves).await;
    }

    /// Everything that this browser keeps for the page, by name, but for the place on the page, which moves with every look.
    pub async fn stored(&self) -> Value {
        self.browser.js("const { ['donorack.place']: _, ...rest } = localStorage; return rest").await
    }

    /// Nothing was complained of, nothing was asked of another host, and the page does not move sideways.
    pub async fn content(&self) {
        self.fits().await;
        assert_eq!(self.browser.complaints(), Vec::<String>::new());
        let asked = self.browser.requests();
        assert!(asked.iter().any(|address| address.ends_with("/donorack_bg.wasm")), "requests are seen: {asked:?}");
        let own = donorack_tests::browser::url();
        let elsewhere: Vec<_> = asked.iter().filter(|a| !a.starts_with(&own) && !a.starts_with("data:")).collect();
        assert!(elsewhere.is_empty(), "asked of others: {elsewhere:?}");
    }

    /// Brings a part of the page to the front.
    pub async fn part(&self, name: &str) {
        self.browser.turn_to(&format!(".part[data-part={name}] h2")).await;
    }

    /// The page is no wider than the screen, and cannot be pushed sideways.
    pub async fn fits(&self) {
        self.wide().await.unwrap_or_else(|e| panic!("the page is wider than the screen: {e}"));
    }

    /// The same, told.
    pub async fn wide(&self) -> Result<(), Value> {
        let script = "const was = scrollY; scrollTo(999, was); const pushed = [scrollX, visualViewport.offsetLeft]; scrollTo(0, was);
            const screen = { width: frameElement?.clientWidth ?? arguments[0] ?? window.screen.width };
            // With large letters the header's one line moves sideways within itself.
            const head = document.querySelector('.top .in');
            const line = getComputedStyle(head).overflowX === 'auto' && head.getBoundingClientRect().right <= screen.width ? '.top .in > *, ' : '';
            const beyond = (n) => n.getBoundingClientRect().right > screen.width + 0.5 && !n.closest(`${line}.scroll, .sr, #parts-row`) && !n.ownerSVGElement;
            const wide = [...document.querySelectorAll('body *')].filter(beyond).map((n) => n.outerHTML.slice(0, 120));
            return [pushed, [innerWidth, document.scrollingElement.scrollWidth], screen.width, wide.slice(0, 5)];";
        // The screen of a Firefox without one is wider than its window.
        let window = if self.browser.engine == Engine::Firefox { self.browser.js("return outerWidth").await } else { Value::Null };
        let seen = self.browser.js_with(script, vec![window]).await;
        let wide = &seen[2];
        if seen == json!([[0, 0], [wide, wide], wide, []]) { Ok(()) } else { Err(seen) }
    }
}

/// The input of a path.
pub fn field(path: &str) -> String {
    format!("[data-field=\"{path}\"]")
}
