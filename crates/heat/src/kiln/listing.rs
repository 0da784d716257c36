//! The equations of a kiln in words that another program can read, so that a general-purpose solver can be set
//! beside ours.

use glost_model::firing::FiringPlan;

use super::build::KilnModel;
use super::control::constants;
use super::reactions::{self, Kinetics};
use crate::network::listing_of;

impl KilnModel {
    /// The network's own lines, then:
    /// `constant NAME VALUE`;
    /// `wire PROPERTY`, its resistance;
    /// `sensor NODE OFFSET DRIFT`;
    /// `role room|vent|reactions NODE`;
    /// `group NODE`, what each group of elements is controlled by;
    /// `zone ELEMENT POWER_W GROUP WITNESS AIR`, `-` without elements, from the floor up;
    /// `ware ZONE SKIN CORE MASS`;
    /// `sink SKIN CORE HEAT_J drying HALF_M` or `... bound`;
    /// `segment RATE_K_PER_S TARGET_K HOLD_S`, rate 0 for as fast as the kiln can;
    /// `cool UNTIL_K`. Numbers in SI units.
    pub fn equations(&self, plan: &FiringPlan) -> String {
        let n = |v: f64| format!("{v:.9e}");
        let id = |node| self.net.index(node);
        let mut lines = vec![self.net.listing()];
        for (name, value) in constants().into_iter().chain(reactions::constants()) {
            lines.push(format!("constant {name} {}", n(value)));
        }
        let nameplate = n(super::materials::NAMEPLATE_K);
        lines.push(format!("constant nameplate_k {nameplate}"));
        lines.push(format!("wire {}", listing_of(&self.wire)));
        let error = &self.input.sensor_error;
        let (offset, drift) = (n(error.offset.to_k()), n(error.drift));
        lines.push(format!("sensor {} {offset} {drift}", id(self.sensor)));
        for (what, node) in [
            ("room", self.room),
            ("vent", self.vent),
            ("reactions", self.reactions),
        ] {
            lines.push(format!("role {what} {}", id(node)));
        }
        let groups = self.group_sensors.iter();
        lines.extend(groups.map(|g| format!("group {}", id(*g))));
        for (i, z) in self.zones.iter().enumerate() {
            let element = z.element.map_or("-".into(), |e| id(e).to_string());
            let group = self.group_of.get(i).copied().unwrap_or(0);
            let (power, witness, air) = (n(z.power_w), id(z.witness), id(z.air));
            lines.push(format!("zone {element} {power} {group} {witness} {air}"));
        }
        for (i, z) in self.zones.iter().enumerate() {
            for w in &z.ware {
                let (skin, core, mass) = (id(w.skin), id(w.core), n(w.mass_kg));
                lines.push(format!("ware {i} {skin} {core} {mass}"));
            }
        }
        for s in &self.sinks {
            let how = match s.kinetics {
                Kinetics::Drying(half_m) => format!("drying {}", n(half_m)),
                Kinetics::Dehydroxylation => "bound".into(),
            };
            let (skin, core) = (id(s.skin), id(s.core));
            lines.push(format!("sink {skin} {core} {} {how}", n(s.heat_j)));
        }
        for s in &plan.segments {
            let rate = s.rate.map_or(0.0, |r| r.to_k_per_s().abs());
            let (target, hold) = (n(s.target.to_k()), n(s.hold.to_s()));
            lines.push(format!("segment {} {target} {hold}", n(rate)));
        }
        let cool = self.input.opening.unload.to_k() - 1.0;
        lines.push(format!("cool {}", n(cool)));
        lines.push(String::new());
        lines.join("\n")
    }
}
