//! Does what stands on or in another piece stand well? Worked out from the records of the pieces.

mod fit;

use glost_model::load::{FiringKind, How, LoadPlan, Placed, Tier};
use glost_model::piece::{Delicacy, Dryness, Piece, Stage};
use glost_model::studio::Studio;
use glost_rules::RuleBook;
use glost_rules::value::{
    hollow_bears, nest_floor, pile_bears, pile_mass, pile_most, pile_slender, pile_wall, pile_wide,
};

use crate::{Breach, TOLERANCE_M, breach};

const SLACK_KG: f64 = 1e-6;

/// What a piece stands on, on its tier.
fn host<'a>(tier: &'a Tier, p: &Placed) -> Option<&'a Placed> {
    let on = p.on.as_ref()?;
    tier.pieces.iter().find(|q| q.piece == on.piece)
}

/// The piece and all beneath it, down to the one on the shelf; nothing when that is never reached.
fn beneath<'a>(tier: &'a Tier, p: &'a Placed) -> Option<Vec<&'a Placed>> {
    let mut chain = vec![p];
    while let Some(last) = chain.last().filter(|l| l.on.is_some()) {
        let next = host(tier, last)?;
        if chain.len() > tier.pieces.len() {
            return None;
        }
        chain.push(next);
    }
    Some(chain)
}

/// The piece on the shelf that carries this one; itself when nothing sound does.
pub fn lowest<'a>(tier: &'a Tier, p: &'a Placed) -> &'a str {
    let chain = beneath(tier, p);
    chain
        .and_then(|c| c.last().copied())
        .unwrap_or(p)
        .piece
        .as_str()
}

/// Judges everything that stands on or in something else.
pub fn judge(studio: &Studio, book: &RuleBook, plan: &LoadPlan, out: &mut Vec<Breach>) {
    for tier in &plan.tiers {
        let judge = Judge {
            studio,
            book,
            plan,
            tier,
        };
        for (n, p) in tier.pieces.iter().enumerate() {
            judge.place(n, p, out);
        }
        for p in tier.pieces.iter().filter(|p| p.on.is_none()) {
            judge.whole(p, out);
        }
    }
}

struct Judge<'a> {
    studio: &'a Studio,
    book: &'a RuleBook,
    plan: &'a LoadPlan,
    tier: &'a Tier,
}

impl<'a> Judge<'a> {
    fn say(
        &self,
        out: &mut Vec<Breach>,
        rule: &'static str,
        pieces: &[&str],
        what: String,
        remedy: &'static str,
    ) {
        out.push(breach(rule, Some(&self.tier.name), pieces, what, remedy));
    }

    /// One piece on or in another.
    fn place(&self, n: usize, p: &Placed, out: &mut Vec<Breach>) {
        let Some(on) = &p.on else { return };
        let ids = [p.piece.as_str(), on.piece.as_str()];
        if self.plan.kind != FiringKind::Bisque {
            let what = format!("stands {} in a glaze firing", on.words());
            self.say(out, "pile-glaze", &ids, what, "Stand it on a shelf");
        }
        let Some(at) = self.tier.pieces.iter().position(|q| q.piece == on.piece) else {
            let what = format!("stands {}, which is not on this tier", on.words());
            self.say(out, "pile-host", &ids, what, "Put both on one tier");
            return;
        };
        if beneath(self.tier, p).is_none() {
            let what = "stands on what in the end stands on itself or on nothing".to_owned();
            self.say(out, "pile-cycle", &ids, what, "Plan the load again");
            return;
        }
        let below = &self.tier.pieces[at];
        if at >= n {
            let what = "is to be placed before what it stands on".to_owned();
            self.say(out, "pile-order", &ids, what, "List the lower one first");
        }
        let off = (p.x_m - below.x_m).to_m().hypot((p.y_m - below.y_m).to_m());
        let turned = (p.rotation_rad - below.rotation_rad).to_rad().abs();
        if off > TOLERANCE_M || turned > 1e-6 {
            let what = "is not over the middle of what it stands on, turned alike".to_owned();
            self.say(out, "pile-middle", &ids, what, "Plan the load again");
        }
        if !p.supports.is_empty() || !below.supports.is_empty() {
            let what = "one of the two has supports under it".to_owned();
            self.say(out, "pile-support", &ids, what, "Stand it by itself");
        }
        let mut others = self.tier.pieces.iter().enumerate();
        if others.any(|(k, q)| k < n && q.on.as_ref().is_some_and(|o| o.piece == on.piece)) {
            let what = "is not the only one right on or in what it stands on".to_owned();
            self.say(out, "pile-one", &ids, what, "Stand one of them by itself");
        }
        let (Some(guest), Some(carrier)) =
            (self.studio.piece(&p.piece), self.studio.piece(&on.piece))
        else {
            return;
        };
        self.pair(guest, carrier, on.how, out);
        let over = below.on.as_ref().is_some_and(|o| o.how == How::RimToRim);
        if over != (on.how == How::FootToFoot) {
            let what = "what it stands on is the wrong way up for it".to_owned();
            self.say(out, "pile-way-up", &ids, what, "Plan the load again");
        }
        let lift = match on.how {
            How::Nested => carrier.wall + self.book.length(&nest_floor::RULE),
            _ => carrier.height,
        };
        let wanted = (below.raised_m + lift).to_m();
        if (p.raised_m.to_m() - wanted).abs() > TOLERANCE_M {
            let what = format!(
                "says it stands {:.1} mm up; {:.1} mm it may be",
                p.raised_m.to_mm(),
                wanted * 1e3
            );
            self.say(out, "pile-height", &ids, what, "Plan the load again");
        }
    }

    /// What two pieces must be so that one may stand on or in the other.
    fn pair(&self, guest: &Piece, host: &Piece, how: How, out: &mut Vec<Breach>) {
        let ids = [guest.id.as_str(), host.id.as_str()];
        if host.delicacy == Delicacy::Delicate {
            let what = format!("{} is delicate and carries nothing", host.id);
            self.say(out, "pile-delicate", &ids, what, "Stand it by itself");
        }
        if guest.mass.to_kg() > host.mass.to_kg() + SLACK_KG {
            let what = "is heavier than what it stands on".to_owned();
            self.say(
                out,
                "pile-heaviest",
                &ids,
                what,
                "Put the heavier one below",
            );
        }
        let (x, y) = guest.widest.extent();
        if x.max(y).to_m() > self.book.length(&pile_wide::RULE).to_m() + TOLERANCE_M {
            let what = format!("is {:.0} mm wide, too much for a pile", x.max(y).to_mm());
            self.say(out, "pile-wide", &ids, what, "Stand it by itself");
        }
        for (rule, what) in fit::faults(self.book, guest, host, how) {
            self.say(out, rule, &ids, what, "Stand it by itself");
        }
    }

    /// A pile from the shelf up.
    fn whole(&self, base: &'a Placed, out: &mut Vec<Breach>) {
        let members: Vec<(&Placed, &Piece)> = self
            .tier
            .pieces
            .iter()
            .filter(|p| lowest(self.tier, p) == base.piece)
            .filter_map(|p| Some((p, self.studio.piece(&p.piece)?)))
            .collect();
        if members.len() < 2 {
            return;
        }
        let ids: Vec<&str> = members.iter().map(|(p, _)| p.piece.as_str()).collect();
        for (_, piece) in &members {
            self.member(piece, out);
        }
        let most = self.book.count(&pile_most::RULE);
        if members.len() > most {
            let what = format!("are {} in one pile of at most {most}", members.len());
            self.say(out, "pile-most", &ids, what, "Make two piles");
        }
        let kg: f64 = members.iter().map(|(_, q)| q.mass.to_kg()).sum();
        let limit = self.book.mass(&pile_mass::RULE).to_kg();
        if kg > limit + SLACK_KG {
            let what = format!("weigh {kg:.1} kg together; {limit:.1} kg may be piled");
            self.say(out, "pile-mass", &ids, what, "Make two piles");
        }
        for (p, piece) in &members {
            self.carried(p, piece, &members, out);
        }
        self.slender(base, &members, &ids, out);
    }

    /// What a piece must be so that it may be part of a pile.
    fn member(&self, piece: &Piece, out: &mut Vec<Breach>) {
        let id = [piece.id.as_str()];
        let mut say = |rule, what: &str| {
            self.say(out, rule, &id, what.to_owned(), "Stand it by itself");
        };
        if piece.stage != Stage::Greenware || piece.dryness != Dryness::BoneDry {
            say("pile-dry", "is in a pile and no bone-dry greenware");
        }
        if !piece.glazes.is_empty() {
            say(
                "pile-sticks",
                "is in a pile and has something on it that sticks",
            );
        }
        if piece.wall.to_m() > self.book.length(&pile_wall::RULE).to_m() + TOLERANCE_M {
            say("pile-wall", "is in a pile and too thick to dry there");
        }
        if self
            .studio
            .clay(&piece.clay)
            .is_none_or(|c| c.slow_burn_out)
        {
            say(
                "pile-air",
                "is in a pile and its clay needs air to burn out",
            );
        }
    }

    /// All that stands over one piece, against what it may carry.
    fn carried(
        &self,
        p: &Placed,
        piece: &Piece,
        members: &[(&Placed, &Piece)],
        out: &mut Vec<Breach>,
    ) {
        let right_on = |q: &Placed| q.on.as_ref().filter(|o| o.piece == p.piece).map(|o| o.how);
        let Some(how) = members.iter().find_map(|(q, _)| right_on(q)) else {
            return;
        };
        let over = |q: &Placed| {
            beneath(self.tier, q).is_some_and(|c| c[1..].iter().any(|b| b.piece == p.piece))
        };
        let kg: f64 = members
            .iter()
            .filter(|(q, _)| over(q))
            .map(|(_, q)| q.mass.to_kg())
            .sum();
        let (rule, times): (&'static str, f64) = if how == How::Piled {
            ("pile-bears", self.book.times(&pile_bears::RULE))
        } else {
            ("hollow-bears", self.book.times(&hollow_bears::RULE))
        };
        if kg > times * piece.mass.to_kg() + SLACK_KG {
            let what = format!("carries {kg:.2} kg, more than {times} times its own mass");
            self.say(out, rule, &[&piece.id], what, "Take some of it away");
        }
    }

    /// A pile that is higher than its lowest piece needs a foot to stand on.
    fn slender(
        &self,
        base: &Placed,
        members: &[(&Placed, &Piece)],
        ids: &[&str],
        out: &mut Vec<Breach>,
    ) {
        let Some(foot) = self.studio.piece(&base.piece) else {
            return;
        };
        let top = members
            .iter()
            .map(|(p, q)| (p.raised_m + q.height).to_m())
            .fold(0.0, f64::max);
        let (x, y) = foot.foot_outline.extent();
        let most = self.book.times(&pile_slender::RULE) * x.min(y).to_m();
        if top > foot.height.to_m() + TOLERANCE_M && top > most + TOLERANCE_M {
            let what = format!("stand {:.0} mm high on a narrow foot", top * 1e3);
            self.say(out, "pile-slender", ids, what, "Take the highest away");
        }
    }
}
