//! A message bus of a test's own, with a notification service of its own.

use std::collections::HashMap;
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};

use zbus::OwnedVariant;

/// Everybody may say everything; no service is started by itself.
const RIGHTS: &str = "<policy context=\"default\"><allow send_destination=\"*\" eavesdrop=\"true\"/><allow eavesdrop=\"true\"/>\
    <allow own=\"*\"/></policy>";

/// A bus.
pub(crate) struct Bus {
    daemon: Child,
    pub(crate) address: String,
    _folder: tempfile::TempDir,
}

impl Bus {
    /// A bus of its own; `None` if there is no `dbus-daemon`, which is said.
    pub(crate) fn start() -> Option<Self> {
        if !crate::support::there(&["dbus-daemon"]) {
            return None;
        }
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("bus.conf");
        // Its socket lies in the folder too, and goes with it.
        let listen = format!("<listen>unix:dir={}</listen>", folder.path().display());
        let configuration = format!("<busconfig><type>session</type>{listen}{RIGHTS}</busconfig>");
        std::fs::write(&file, configuration).expect("a file");
        let mut daemon = Command::new("dbus-daemon")
            .arg(format!("--config-file={}", file.display()))
            .args(["--nofork", "--print-address"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("dbus-daemon runs");
        let mut address = String::new();
        BufReader::new(daemon.stdout.take().expect("a pipe")).read_line(&mut address).expect("the address");
        Some(Self { daemon, address: address.trim().to_owned(), _folder: folder })
    }
}

impl Drop for Bus {
    fn drop(&mut self) {
        let _ = self.daemon.kill();
        let _ = self.daemon.wait();
    }
}

/// What a service was asked to show.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Asked {
    pub(crate) replaces: u32,
    pub(crate) summary: String,
    pub(crate) body: String,
}

/// A notification service.
pub(crate) struct Service {
    pub(crate) asked: Arc<Mutex<Vec<Asked>>>,
    /// It takes every call and never answers.
    pub(crate) silent: bool,
}

#[zbus::interface(name = "org.freedesktop.Notifications")]
impl Service {
    #[expect(clippy::too_many_arguments, reason = "the call has as many")]
    async fn notify(
        &self,
        app_name: String,
        replaces_id: u32,
        app_icon: String,
        summary: String,
        body: String,
        actions: Vec<String>,
        hints: HashMap<String, OwnedVariant>,
        expire_timeout: i32,
    ) -> u32 {
        let _ = (app_name, app_icon, actions, hints, expire_timeout);
        self.asked.lock().expect("no panic").push(Asked { replaces: replaces_id, summary, body });
        self.wait().await;
        41
    }

    async fn get_capabilities(&self) -> Vec<String> {
        self.wait().await;
        vec!["body".to_owned(), "body-markup".to_owned()]
    }

    async fn get_server_information(&self) -> (String, String, String, String) {
        self.wait().await;
        ("test".to_owned(), "test".to_owned(), "1".to_owned(), "1.2".to_owned())
    }
}

impl Service {
    async fn wait(&self) {
        if self.silent {
            std::future::pending::<()>().await;
        }
    }
}

/// Puts a service on the bus; it lasts as long as what is handed back.
pub(crate) fn serve(bus: &Bus, service: Service) -> zbus::Connection {
    zbus::block_on(async {
        zbus::connection::Builder::address(bus.address.as_str())
            .name("org.freedesktop.Notifications")
            .serve_at("/org/freedesktop/Notifications", service)
            .build()
            .await
            .expect("the bus takes it")
    })
}
