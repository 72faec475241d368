//! A small WebDriver client (W3C WebDriver, and the browser's own debugging commands through it): starts the driver,
//! speaks HTTP and JSON with it, ends it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};

use crate::support::skip;

/// A headless browser with one page.
pub(super) struct Browser {
    driver: Child,
    port: u16,
    session: String,
    /// What driver and browser keep while they run; it goes with them.
    _folder: tempfile::TempDir,
}

impl Browser {
    /// Starts the browser; `None`, with one line that says why, where it is not installed.
    pub(super) fn start() -> Option<Self> {
        let folder = tempfile::tempdir().expect("a folder");
        let mut command = Command::new("chromedriver");
        command.arg("--port=0").env("TMPDIR", folder.path()).stdout(Stdio::piped()).stderr(Stdio::null());
        let spawned = command.spawn();
        let mut driver = match spawned {
            Ok(driver) => driver,
            Err(error) => {
                skip(&format!("`chromedriver` does not start ({error})"));
                return None;
            }
        };
        let mut said = BufReader::new(driver.stdout.take().expect("the output is piped"));
        let port = port_said(&mut said);
        // The driver must never wait for somebody to read what it says.
        std::thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
        let mut browser = Self { driver, port, session: String::new(), _folder: folder };
        let options = json!({ "args": ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
            "--autoplay-policy=user-gesture-required", "--lang=en-GB"] });
        let wanted = json!({ "capabilities": { "alwaysMatch": {
            "browserName": "chrome",
            "goog:chromeOptions": options,
            "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
        } } });
        let session = browser.call("POST", "/session", &wanted);
        session["sessionId"].as_str().expect("a session").clone_into(&mut browser.session);
        Some(browser)
    }

    /// Opens a file.
    pub(super) fn open(&self, file: &std::path::Path) {
        self.session("POST", "/url", &json!({ "url": format!("file://{}", file.display()) }));
    }

    /// Loads the page again.
    pub(super) fn reload(&self) {
        self.session("POST", "/refresh", &json!({}));
    }

    /// A command of the browser's debugging protocol.
    pub(super) fn debug(&self, command: &str, parameters: &Value) -> Value {
        self.session("POST", "/goog/cdp/execute", &json!({ "cmd": command, "params": parameters }))
    }

    /// The open page as a file for a printer, in Base64. A browser on a busy machine now and then says that printing failed
    /// and does it when asked again.
    pub(super) fn printed(&self, paper: &Value) -> String {
        let command = json!({ "cmd": "Page.printToPDF", "params": paper });
        let path = format!("/session/{}/goog/cdp/execute", self.session);
        for _ in 0..5 {
            match self.try_call("POST", &path, &command) {
                Ok(printed) => return printed["data"].as_str().expect("a file").to_owned(),
                Err(said) => assert!(said.contains("Printing failed"), "{said}"),
            }
            std::thread::sleep(Duration::from_millis(500));
        }
        panic!("the browser does not print");
    }

    /// The value of an expression in the page, waited for; works with the page's own scripts off as well.
    pub(super) fn value(&self, expression: &str) -> Value {
        let wanted = json!({ "expression": expression, "returnByValue": true, "awaitPromise": true });
        let answer = self.debug("Runtime.evaluate", &wanted);
        assert!(answer.get("exceptionDetails").is_none(), "{expression:.80}: {answer}");
        answer["result"]["value"].clone()
    }

    /// The text of the first element a selector finds.
    pub(super) fn text(&self, selector: &str) -> String {
        let value = self.value(&format!("document.querySelector({}).textContent", json!(selector)));
        value.as_str().unwrap_or_else(|| panic!("no `{selector}`")).to_owned()
    }

    /// Clicks as a person does: the browser takes it for a touch of the user.
    pub(super) fn click(&self, selector: &str) {
        let found = self.session("POST", "/element", &json!({ "using": "css selector", "value": selector }));
        let element = found.as_object().and_then(|found| found.values().next()).and_then(Value::as_str);
        let element = element.unwrap_or_else(|| panic!("no `{selector}`"));
        self.session("POST", &format!("/element/{element}/click"), &json!({}));
    }

    /// What was logged since it was last asked for: `browser` is the console, `performance` the network.
    pub(super) fn log(&self, kind: &str) -> Vec<Value> {
        let entries = self.session("POST", "/se/log", &json!({ "type": kind }));
        entries.as_array().expect("a list of entries").clone()
    }

    fn session(&self, method: &str, path: &str, body: &Value) -> Value {
        self.call(method, &format!("/session/{}{path}", self.session), body)
    }

    fn call(&self, method: &str, path: &str, body: &Value) -> Value {
        self.try_call(method, path, body).unwrap_or_else(|said| panic!("{path}: {said}"))
    }

    fn try_call(&self, method: &str, path: &str, body: &Value) -> Result<Value, String> {
        let body = body.to_string();
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("the driver listens");
        stream.set_read_timeout(Some(Duration::from_secs(120))).expect("a timeout can be set");
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\
             Connection: close\r\n\r\n{body}",
            self.port,
            body.len()
        );
        stream.write_all(request.as_bytes()).expect("the driver takes a request");
        let answer = read_body(&mut BufReader::new(stream));
        let mut answer: Value = serde_json::from_str(&answer).unwrap_or_else(|error| panic!("{error}: {answer:.200}"));
        let value = answer["value"].take();
        match value.get("error") {
            Some(error) => Err(format!("{error} {}", value["message"])),
            None => Ok(value),
        }
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            self.call("DELETE", &format!("/session/{}", self.session), &json!({}));
        } else if let Ok(mut stream) = TcpStream::connect(("127.0.0.1", self.port)) {
            // The driver ends its browser when it is asked to shut down.
            let _ = stream.write_all(b"GET /shutdown HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n");
            let _ = stream.read_to_end(&mut Vec::new());
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

fn port_said(said: &mut impl BufRead) -> u16 {
    let mut line = String::new();
    while said.read_line(&mut line).is_ok_and(|read| read > 0) {
        if let Some((_, rest)) = line.split_once("successfully on port ") {
            let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
            return digits.parse().expect("a port");
        }
        line.clear();
    }
    panic!("the driver ended before it listened");
}

fn read_body(stream: &mut impl BufRead) -> String {
    let mut length = None;
    let mut line = String::new();
    loop {
        line.clear();
        stream.read_line(&mut line).expect("the driver answers");
        let header = line.trim().to_ascii_lowercase();
        if header.is_empty() {
            break;
        }
        if let Some(value) = header.strip_prefix("content-length:") {
            length = value.trim().parse::<usize>().ok();
        }
    }
    let mut body = Vec::new();
    match length {
        Some(length) => {
            body.resize(length, 0);
            stream.read_exact(&mut body).expect("the whole answer");
        }
        None => {
            stream.read_to_end(&mut body).expect("the whole answer");
        }
    }
    String::from_utf8(body).expect("UTF-8")
}
