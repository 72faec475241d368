//! What the program asks of the system, seen from outside.

use super::bench;
use crate::support::{skip, there};

#[test]
fn no_command_opens_a_socket() {
    if !there(&["strace"]) {
        return;
    }
    let bench = bench();
    for typed in [
        &["plan", "page.toml"][..],
        &["plan", "page.toml", "--room", "room.toml", "--json"],
        &["print", "page.toml", "-o", "page.html"],
        &["verify", "-q"],
        &["layers", "page.toml"],
        &["safety", "page.toml"],
        &["materials", "list"],
        &["batch", "--help"],
    ] {
        let mut strace = bench.around("strace");
        strace.args(["-f", "-e", "trace=%network", "-o", "calls"]).arg(env!("CARGO_BIN_EXE_coatbell")).args(typed);
        let output = strace.output().expect("strace runs");
        let error = String::from_utf8_lossy(&output.stderr);
        if error.contains("ptrace") || error.contains("PTRACE") {
            return skip("strace may not look into programs here");
        }
        assert!(matches!(output.status.code(), Some(0 | 4)), "{typed:?}: {error}");
        let calls = std::fs::read_to_string(bench.path("calls")).expect("the calls");
        assert!(calls.contains("exited with"), "strace saw nothing: {calls}");
        let network: Vec<&str> =
            calls.lines().filter(|line| line.contains('(')).filter(|line| !harmless(line)).collect();
        assert!(network.is_empty(), "{typed:?}: {network:#?}");
    }
}

/// A pair of sockets within the process is no way out of it: the handler of signals uses one.
fn harmless(call: &str) -> bool {
    call.contains("socketpair(AF_UNIX") || call.contains("SIGCHLD") || call.contains("+++")
}
