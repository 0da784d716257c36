//! What other programs did with the same instances when `benches/peers/run.sh` was last run and kept.

/// A figure of another program.
#[derive(Debug, Clone, PartialEq)]
pub struct Peer {
    /// Which instance.
    pub instance: String,
    /// Which program, with its version.
    pub peer: String,
    /// Density, width in m, or area in m², as the instance's task has it; of a firing the worst error, K.
    pub figure: f64,
    /// How long it was given, s.
    pub seconds: f64,
    /// On which machine.
    pub machine: String,
}

impl Peer {
    /// Whether it only asks whether outlines collide, and places one after the other.
    pub fn is_greedy(&self) -> bool {
        self.peer.contains("greedy")
    }
}

const KEPT: &str = include_str!("../../../../benches/peers/figures.csv");
const KEPT_HEAT: &str = include_str!("../../../../benches/peers/heat.csv");

/// Those kept for one instance.
pub fn kept_peers(instance: &str) -> Vec<Peer> {
    let lines = KEPT.lines().skip(1).chain(KEPT_HEAT.lines().skip(1));
    lines
        .filter_map(read)
        .filter(|p| p.instance == instance)
        .collect()
}

fn read(line: &str) -> Option<Peer> {
    let mut cells = line.splitn(5, ',');
    let mut next = || cells.next().map(|c| c.trim().to_owned());
    Some(Peer {
        instance: next()?,
        peer: next()?,
        figure: next()?.parse().ok()?,
        seconds: next()?.parse().ok()?,
        machine: next()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::{FIRING, INSTANCES};

    #[test]
    fn every_kept_line_reads_and_every_instance_has_a_peer() {
        for kept in [KEPT, KEPT_HEAT] {
            let lines = kept.lines().skip(1).count();
            assert_eq!(kept.lines().skip(1).filter_map(read).count(), lines);
        }
        for name in INSTANCES.into_iter().chain([FIRING]) {
            assert!(!kept_peers(name).is_empty(), "{name}");
        }
    }
}
