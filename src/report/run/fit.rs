//! Fitting a screen into a window: what is only pleasant gives way; what has to be read is shown in parts, never cut.

use super::sheet::{Block, Rank};

/// A screen as it fits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fitted {
    /// The lines of each part, none longer than the room there is.
    pub(super) parts: Vec<Vec<String>>,
}

/// Lets blocks give way, the last of the lowest worth first, until the rest fits into `room` lines, or only those are
/// left that must be read; these are dealt into parts.
pub(super) fn fit(mut blocks: Vec<Block>, room: usize) -> Fitted {
    let room = room.max(1);
    let height = |blocks: &[Block]| blocks.iter().map(|block| block.lines.len()).sum::<usize>();
    while height(&blocks) > room {
        let Some(worst) = blocks.iter().map(|block| block.rank).max().filter(|rank| *rank > Rank::Must) else { break };
        let Some(at) = blocks.iter().rposition(|block| block.rank == worst) else { break };
        match blocks[at].instead.take() {
            Some(line) => blocks[at] = Block { lines: vec![line], rank: Rank::Must, instead: None },
            None => {
                blocks.remove(at);
            }
        }
    }
    let mut parts: Vec<Vec<String>> = vec![Vec::new()];
    for block in blocks {
        let Some(part) = parts.last_mut() else { break };
        // What is together stays together where a part can hold it.
        if !part.is_empty() && part.len() + block.lines.len() > room {
            parts.push(Vec::new());
        }
        for line in block.lines {
            match parts.last_mut().filter(|part| part.len() < room) {
                Some(part) => part.push(line),
                None => parts.push(vec![line]),
            }
        }
    }
    Fitted { parts }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(name: &str, lines: usize, rank: Rank) -> Block {
        Block { lines: (0..lines).map(|line| format!("{name}{line}")).collect(), rank, instead: None }
    }

    #[test]
    fn what_must_be_read_is_never_lost() {
        let blocks = || {
            vec![
                block("a", 2, Rank::Must),
                Block { instead: Some("one line".to_owned()), ..block("big", 5, Rank::Large) },
                block("b", 3, Rank::Must),
                block("blank", 1, Rank::Air),
                block("table", 4, Rank::Spare),
            ]
        };
        assert_eq!(fit(blocks(), 15).parts.concat().len(), 15);
        assert_eq!(fit(blocks(), 11).parts.concat().len(), 11, "the table goes first");
        assert_eq!(fit(blocks(), 9).parts, [["a0", "a1", "one line", "b0", "b1", "b2"]], "then what is large");
        let small = fit(blocks(), 4).parts;
        assert_eq!(small, [vec!["a0", "a1", "one line"], vec!["b0", "b1", "b2"]]);
        for room in 1..20 {
            let parts = fit(blocks(), room).parts;
            assert!(parts.iter().all(|part| part.len() <= room), "{room} {parts:?}");
            let all = parts.concat();
            assert!(["a0", "a1", "b0", "b1", "b2"].iter().all(|line| all.iter().any(|shown| shown == line)), "{room}");
        }
    }
}
