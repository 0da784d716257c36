//! A network in words that another program can read.

use super::link::Law;
use super::property::Property;
use super::radiosity::Surface;
use super::{Network, Node, Seen};

/// Ten digits: more than any answer depends on, fewer than differ between machines.
fn n(v: f64) -> String {
    format!("{v:.9e}")
}

pub(crate) fn property(p: &Property) -> String {
    match p {
        Property::Constant(v) => format!("constant {}", n(*v)),
        Property::Formula { a, b, c } => format!("formula {} {} {}", n(*a), n(*b), n(*c)),
        Property::Table(points) => {
            let points = points.iter().map(|(t, v)| format!(" {} {}", n(*t), n(*v)));
            format!("table{}", points.collect::<String>())
        }
    }
}

impl Network {
    /// One line a thing:
    /// `body START_K MASS PROPERTY` and `held TEMP_K` number the nodes from 0;
    /// `link A B conductance|solid|natural|radiation NUMBERS`;
    /// `window AREA` numbers panes by twos; `enclosure COUNT` is followed by as many lines
    /// `node|pane NUMBER AREA EMISSIVITY VIEWS...`. Views, not exchange areas: whoever reads them has to solve for
    /// the radiosities.
    pub fn listing(&self) -> String {
        let mut lines: Vec<String> = self.nodes.iter().map(node).collect();
        for l in &self.links {
            lines.push(format!("link {} {} {}", l.from, l.to, law(&l.law)));
        }
        for r in self.rays.iter().filter(|r| !r.enclosed) {
            let area = n(r.exchange_m2);
            lines.push(format!("link {} {} radiation {area}", r.from, r.to));
        }
        let panes = self.windows.areas_m2();
        lines.extend(panes.iter().step_by(2).map(|a| format!("window {}", n(*a))));
        for (seen, exchange) in &self.enclosures {
            lines.push(format!("enclosure {}", seen.len()));
            for (i, (s, (area, kind))) in seen.iter().zip(exchange.surfaces()).enumerate() {
                let what = match s {
                    Seen::Node(id) => format!("node {}", id.0),
                    Seen::Pane(p) => format!("pane {}", p.number()),
                };
                let e = match kind {
                    Surface::Gray(e) => *e,
                    Surface::Opening(_) => f64::NAN,
                };
                let mut line = format!("{what} {} {}", n(*area), n(e));
                for j in 0..seen.len() {
                    line.push_str(&format!(" {}", n(exchange.view(i, j))));
                }
                lines.push(line);
            }
        }
        lines.join("\n")
    }
}

fn node(node: &Node) -> String {
    match node {
        Node::Body { start_k, capacity } => format!(
            "body {} {} {}",
            n(*start_k),
            n(capacity.mass_kg),
            property(&capacity.specific_heat)
        ),
        Node::Held(course) => format!("held {}", n(course(0.0))),
    }
}

fn law(law: &Law) -> String {
    match law {
        Law::Conductance(g) => format!("conductance {}", n(*g)),
        Law::Solid {
            area_over_length_m,
            conductivity,
        } => format!(
            "solid {} {}",
            n(*area_over_length_m),
            property(conductivity)
        ),
        Law::Natural {
            area_m2,
            coefficient,
            exponent,
        } => format!(
            "natural {} {} {}",
            n(*area_m2),
            n(*coefficient),
            n(*exponent)
        ),
        Law::Radiation { exchange_m2 } => format!("radiation {}", n(*exchange_m2)),
    }
}
