//! A sheet brought to life in a real browser: the button, the bell, the reload, the phone that slept, the clock that jumped.

use std::cell::{Cell, RefCell};
use std::time::{Duration, Instant};

use coatbell::report::plan_html;
use serde_json::json;

use super::driver::Browser;
use crate::cli::harness::Bench;
use crate::cli::sample_plans;

/// Put before the page's own script: a clock that can be moved, and counters of what sounds and shakes. How far the clock
/// is moved is kept here and not in the page: a browser may read its own storage late after a reload.
const FAKES: &str = "
  const real = Date.now.bind(Date);
  Date.now = () => real() + shift;
  window.moveClock = (ms) => { shift += ms; };
  window.tones = 0;
  window.shakes = 0;
  const make = AudioContext.prototype.createOscillator;
  AudioContext.prototype.createOscillator = function () {
    const made = make.call(this);
    const start = made.start.bind(made);
    made.start = (at) => { window.tones += this.state === 'running' ? 1 : 0; return start(at); };
    return made;
  };
  Object.defineProperty(navigator, 'vibrate', { value: () => { window.shakes += 1; return true; } });
  window.alert = () => { throw new Error('an alert'); };
";

/// The first coat of the sample plan, in seconds since 1970: 2026-11-28 18:05 in Paris.
const FIRST_COAT_S: i64 = 1_795_885_500;

struct Bed {
    browser: Browser,
    _bench: Bench,
    /// How far the clock of the page is ahead of this machine's, ms, and the script that moves it there.
    ahead: Cell<i64>,
    script: RefCell<String>,
}

impl Bed {
    /// The sample plan in a browser, half a minute before its first coat.
    fn lay() -> Option<Self> {
        let browser = Browser::start()?;
        let bench = Bench::new();
        let file = bench.path("sheet.html");
        std::fs::write(&file, plan_html(&sample_plans::go(), &sample_plans::look())).expect("a file");
        let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).expect("a clock after 1970");
        let ahead = (FIRST_COAT_S - 30) * 1000 - now.as_millis() as i64;
        let bed = Self { browser, _bench: bench, ahead: Cell::new(ahead), script: RefCell::default() };
        bed.set_clock();
        bed.browser.open(&file);
        Some(bed)
    }

    /// Has the page begin with the clock where it is now.
    fn set_clock(&self) {
        let old = self.script.take();
        if !old.is_empty() {
            self.browser.debug("Page.removeScriptToEvaluateOnNewDocument", &json!({ "identifier": old }));
        }
        let source = format!("(() => {{ let shift = {}; {FAKES} }})();", self.ahead.get());
        let added = self.browser.debug("Page.addScriptToEvaluateOnNewDocument", &json!({ "source": source }));
        self.script.replace(added["identifier"].as_str().expect("a name").to_owned());
    }

    /// Loads the page again, with so many seconds gone by meanwhile.
    fn reload_after(&self, seconds: i64) {
        self.ahead.set(self.ahead.get() + seconds * 1000);
        self.set_clock();
        self.browser.reload();
    }

    /// Waits until an expression is true, for the page looks at the clock four times a second.
    fn wait(&self, condition: &str) {
        let until = Instant::now() + Duration::from_secs(30);
        while self.browser.value(condition) != json!(true) {
            let state = "document.querySelector('[data-live]').innerText";
            assert!(Instant::now() < until, "never: {condition}\n{}", self.browser.value(state));
            std::thread::sleep(Duration::from_millis(50));
        }
    }

    /// Seconds on the countdown.
    fn seconds(&self) -> i64 {
        let shown = self.browser.text("[data-clock]");
        let shown = shown.trim_end_matches(" over");
        let parts: Option<Vec<i64>> = shown.split(':').map(|part| part.parse().ok()).collect();
        parts.unwrap_or_else(|| panic!("`{shown}` is no countdown")).into_iter().fold(0, |all, part| all * 60 + part)
    }

    /// The countdown shows that many seconds, less what a busy machine took to ask.
    fn near(&self, expected: i64) {
        let shown = self.seconds();
        assert!((expected - 20..=expected + 1).contains(&shown), "{shown} s on the countdown, not {expected}");
    }

    fn after(&self, seconds: i64) {
        self.ahead.set(self.ahead.get() + seconds * 1000);
        self.browser.value(&format!("moveClock({}); 0", seconds * 1000));
    }

    fn tick_the_boxes(&self) {
        self.browser.click("[data-check=mask]");
        self.browser.click("[data-check=ignition]");
    }

    fn number(&self, expression: &str) -> i64 {
        let value = self.browser.value(expression);
        value.as_i64().unwrap_or_else(|| panic!("{expression}: {value}"))
    }
}

#[test]
fn the_mask_and_the_flames_are_asked_before_the_first_coat() {
    let Some(bed) = Bed::lay() else { return };
    bed.near(30);
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-said]').textContent.startsWith('First tick the mask')");
    assert_eq!(
        bed.browser.value("document.querySelector('[data-log]').hidden"),
        json!(true),
        "nothing is written down"
    );
    bed.tick_the_boxes();
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-now]').textContent.startsWith('Coat 2, build: at')");
    bed.near(15 * 60);
    // A second touch at once is a slip of the finger, not a coat.
    bed.browser.click("[data-sprayed]");
    assert_eq!(bed.number("document.querySelectorAll('[data-log] li').length"), 1);
    assert!(bed.browser.log("browser").is_empty(), "the console is quiet");
}

#[test]
fn a_page_opened_again_before_its_first_coat_asks_for_the_mask_anew() {
    let Some(bed) = Bed::lay() else { return };
    bed.tick_the_boxes();
    bed.browser.click("[data-check=air]");
    bed.reload_after(0);
    let checked = |id: &str| bed.browser.value(&format!("document.querySelector('[data-check={id}]').checked"));
    assert_eq!([checked("mask"), checked("ignition"), checked("air")], [json!(false), json!(false), json!(true)]);
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-said]').textContent.startsWith('First tick the mask')");
}

#[test]
fn the_countdown_rings_and_is_silenced() {
    let Some(bed) = Bed::lay() else { return };
    bed.tick_the_boxes();
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-sound]').textContent.startsWith('Sound is on')");
    assert_eq!(bed.number("tones"), 0);
    // Half a second at a time, as a page that is awake sees it.
    bed.after(15 * 60 - 2);
    bed.wait("document.querySelector('[data-live]').dataset.stage === 'due'");
    bed.wait("tones >= 6 && shakes >= 1");
    assert_eq!(bed.browser.text("[data-said]").split(" It was").next(), Some("Coat 2, build is due."));
    assert_eq!(bed.browser.value("document.querySelector('[data-silence]').hidden"), json!(false));
    // It rings again until somebody hears it.
    bed.after(16);
    bed.wait("tones >= 12");
    bed.browser.click("[data-silence]");
    let rung = bed.number("tones");
    bed.after(40);
    std::thread::sleep(Duration::from_millis(700));
    assert_eq!(bed.number("tones"), rung, "silenced is silent");
    assert!(bed.browser.text("[data-clock]").ends_with(" over"), "and what is late is counted on");
}

#[test]
fn a_reload_and_a_sleep_lose_nothing() {
    let Some(bed) = Bed::lay() else { return };
    bed.tick_the_boxes();
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-now]').textContent.startsWith('Coat 2')");
    bed.after(100);
    bed.reload_after(0);
    bed.wait("document.querySelector('[data-now]').textContent.startsWith('Coat 2')");
    bed.near(800);
    assert_eq!(bed.browser.value("document.querySelector('[data-check=mask]').checked"), json!(true), "boxes are kept");
    assert_eq!(bed.browser.value("document.querySelector('[data-check=air]').checked"), json!(false));
    assert!(bed.browser.text("[data-said]").contains("Touch it once"), "it says that it cannot sound yet");
    bed.browser.click("h1");
    bed.wait("document.querySelector('[data-sound]').textContent.startsWith('Sound is on')");
    // The phone sleeps past the time: it rings when it wakes and says how late.
    bed.after(800 + 5 * 60);
    bed.wait("tones > 0");
    assert!(bed.browser.text("[data-said]").contains("Coat 2, build is due. It was due 5 min ago."));
    assert!(bed.browser.text("[data-warn]").contains("passed at once"));
    // What has rung does not ring again for a reload alone.
    bed.browser.click("[data-silence]");
    bed.reload_after(0);
    bed.browser.click("h1");
    std::thread::sleep(Duration::from_millis(700));
    assert_eq!(bed.number("tones"), 0);
}

#[test]
fn a_clock_set_back_shortens_no_wait() {
    let Some(bed) = Bed::lay() else { return };
    bed.tick_the_boxes();
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-now]').textContent.startsWith('Coat 2')");
    // Less than a minute at once is no leap: the countdown simply goes on.
    bed.after(50);
    bed.wait("!document.querySelector('[data-clock]').textContent.startsWith('15:')");
    bed.near(850);
    bed.after(-3600);
    bed.wait("document.querySelector('[data-warn]').textContent.includes('went back')");
    bed.near(850);
    // And the same where the page was closed meanwhile.
    bed.reload_after(-7200);
    bed.wait("document.querySelector('[data-warn]').textContent.includes('went back')");
    let shown = bed.seconds();
    assert!((840..=860).contains(&shown), "{shown} s");
}

#[test]
fn a_clock_that_leapt_ahead_and_is_put_right_shortens_no_wait() {
    let Some(bed) = Bed::lay() else { return };
    bed.tick_the_boxes();
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-now]').textContent.startsWith('Coat 2')");
    bed.after(3600);
    bed.wait("document.querySelector('[data-live]').dataset.stage === 'due'");
    bed.after(-3600);
    bed.wait("document.querySelector('[data-live]').dataset.stage === 'waiting'");
    bed.near(15 * 60);
}

#[test]
fn undo_takes_the_last_coat_back() {
    let Some(bed) = Bed::lay() else { return };
    bed.tick_the_boxes();
    bed.browser.click("[data-sprayed]");
    bed.after(16 * 60);
    bed.wait("document.querySelector('[data-live]').dataset.stage === 'due'");
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-now]').textContent.startsWith('Coat 3')");
    assert_eq!(bed.browser.text("[data-undo]"), "Undo coat 2");
    bed.browser.click("[data-undo]");
    bed.wait("document.querySelector('[data-now]').textContent === 'Coat 2, build: now'");
    assert_eq!(bed.number("document.querySelectorAll('[data-log] li').length"), 1);
    bed.browser.click("[data-undo]");
    bed.wait("document.querySelector('[data-log]').hidden");
}

#[test]
fn a_whole_run_ends_with_the_page_in_hand_and_its_calendar_moved() {
    let Some(bed) = Bed::lay() else { return };
    let calendar = "atob(document.querySelector('[data-calendar]').href.split('base64,')[1])";
    let planned = bed.browser.value(calendar);
    bed.tick_the_boxes();
    // Twenty minutes late.
    bed.after(30 + 20 * 60);
    for coat in 2..=3 {
        bed.browser.click("[data-sprayed]");
        bed.wait(&format!("document.querySelector('[data-now]').textContent.startsWith('Coat {coat}')"));
        if coat == 2 {
            let moved = bed.browser.value(calendar);
            let moved = moved.as_str().expect("a calendar");
            assert!(planned.as_str().is_some_and(|planned| planned.contains("DTSTART:20261128T172000Z")));
            assert!(moved.contains("DTSTART:20261128T174000Z"), "coat 2 at 18:40 instead of 18:20:\n{moved}");
            assert!(moved.starts_with("BEGIN:VCALENDAR\r\n") && moved.ends_with("END:VCALENDAR\r\n"));
        }
        bed.after(16 * 60);
    }
    bed.browser.click("[data-sprayed]");
    bed.wait("document.querySelector('[data-live]').dataset.stage === 'drying'");
    assert_eq!(bed.browser.value("document.querySelector('[data-sprayed]').hidden"), json!(true));
    assert!(bed.browser.text("[data-back]").contains("others may come in"));
    bed.near(45 * 60);
    bed.after(46 * 60);
    bed.wait("document.querySelector('[data-now]').textContent === 'The page can be handled by the edges'");
    assert_eq!(bed.number("document.querySelectorAll('[data-log] li').length"), 3);
}

#[test]
fn the_beat_sounds_once_a_pass() {
    let Some(bed) = Bed::lay() else { return };
    bed.browser.click("[data-beat]");
    bed.wait("document.querySelector('[data-beat]').textContent === 'Stop the beat'");
    // Three to begin with, six passes, two at the end.
    assert_eq!(bed.number("tones"), 3 + 6 + 2);
    bed.browser.click("[data-beat]");
    bed.wait("document.querySelector('[data-beat]').textContent.startsWith('Beat:')");
    bed.browser.click("[data-beat]");
    let until = Instant::now() + Duration::from_secs(45);
    while !bed.browser.text("[data-said]").starts_with("The beat is over") {
        assert!(Instant::now() < until, "the beat never ends");
        std::thread::sleep(Duration::from_millis(100));
    }
    assert!(bed.number("shakes") >= 6, "a phone in a pocket shakes with it");
}
