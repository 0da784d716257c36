//! Multipliers of the rows as prices: what each level is worth at them, and what ware is worth
//! more than the room that it takes. At any prices the sum over a stack bounds its load.

use glost_model::load::CONE_PACK_HEIGHT;

use super::levels::Kit;
use super::pieces::Thing;
use super::rows::{KINDS, Limit};
use super::simplex::{Row, maximise};

/// Rounds of adding the rows that are broken most.
const ROUNDS: usize = 12;
const ADDED: usize = 6;

/// A stack: the class and kind of each level.
pub type Stack = Vec<(usize, usize)>;

/// Things that go together or not at all.
#[derive(Debug, Clone)]
pub struct Set {
    /// Their numbers.
    pub of: Vec<usize>,
    /// What they are worth together.
    pub value: f64,
    /// The highest class among them.
    pub class: usize,
}

/// The programme of one outline of shelves.
#[derive(Debug)]
pub struct Programme<'a> {
    /// What stacks are made of.
    pub kit: &'a Kit,
    /// The rows.
    pub limits: Vec<Limit>,
    /// The ware in sets.
    pub sets: Vec<Set>,
    /// Packs of witness cones that stacks of enough levels hold.
    packs: usize,
    /// Levels that take this class and higher can hold one.
    pack_class: usize,
    /// What each set takes of each row, in pieces of each class and higher.
    takes: Vec<Vec<Vec<f64>>>,
}

/// Prices.
#[derive(Debug, Clone)]
pub struct Prices {
    /// What ware up to each class is worth beyond its room.
    pub ware: Vec<f64>,
    /// What a level of each kind is worth that takes each class.
    pub level: [Vec<f64>; KINDS],
    /// What a level is worth less for a pack of witness cones.
    pack: f64,
    packs: usize,
    pack_class: usize,
}

impl<'a> Programme<'a> {
    /// Puts it together.
    pub fn new(
        kit: &'a Kit,
        packs: usize,
        limits: Vec<Limit>,
        things: &[Thing],
        groups: &[Option<&str>],
    ) -> Self {
        let tall = CONE_PACK_HEIGHT.to_mm();
        let class: Vec<usize> = things
            .iter()
            .map(|t| {
                let below = kit.tops_mm.iter().filter(|m| **m < t.top_mm);
                below.count()
            })
            .collect();
        let mut sets: Vec<Set> = Vec::new();
        let mut names: Vec<Option<&str>> = Vec::new();
        for (i, t) in things.iter().enumerate() {
            let old = groups[i].and_then(|g| names.iter().position(|n| *n == Some(g)));
            if let Some(k) = old {
                sets[k].of.push(i);
                sets[k].value += t.value;
                sets[k].class = sets[k].class.max(class[i]);
            } else {
                names.push(groups[i]);
                sets.push(Set {
                    of: vec![i],
                    value: t.value,
                    class: class[i],
                });
            }
        }
        sets.sort_by_key(|s| s.class);
        let take = |row: usize, from: usize, set: &Set| -> f64 {
            let high = set.of.iter().filter(|i| class[**i] >= from);
            high.map(|i| limits[row].take[*i]).sum()
        };
        let takes = (0..limits.len())
            .map(|row| {
                (0..kit.tops_mm.len())
                    .map(|from| sets.iter().map(|s| take(row, from, s)).collect())
                    .collect()
            })
            .collect();
        Self {
            kit,
            limits,
            sets,
            takes,
            packs,
            pack_class: kit.tops_mm.partition_point(|t| *t < tall),
        }
    }

    /// The best prices for one stack; for several, those for a share of each, the shares adding up
    /// to one.
    pub fn solve(&self, stacks: &[Stack]) -> Prices {
        let tallest = stacks.iter().flatten().map(|l| l.0).max().unwrap_or(0);
        let sets = &self.sets[..self.sets.partition_point(|s| s.class <= tallest)];
        let mixed = stacks.len() > 1;
        let shares = if mixed { stacks.len() } else { 0 };
        let mut value: Vec<f64> = sets.iter().map(|s| s.value).collect();
        value.resize(sets.len() + shares, 0.0);
        let most = vec![1.0; value.len()];
        let mut classes: Vec<usize> = stacks.iter().flat_map(|s| s.iter().map(|l| l.0)).collect();
        classes.sort_unstable();
        classes.dedup();
        // Ware too high for the next lower class shares the levels from here up.
        let mut froms = vec![0];
        froms.extend(classes.iter().map(|c| c + 1));
        froms.retain(|f| sets.iter().any(|s| s.class >= *f));
        let room = |stack: &Stack, row: usize, from: usize| -> f64 {
            let high = stack.iter().filter(|l| l.0 >= from);
            let all: f64 = high.map(|l| self.limits[row].room[l.1]).sum();
            let packs = if from <= self.pack_class {
                let able = stack.iter().filter(|l| l.0 >= self.pack_class);
                able.count().min(self.packs) as f64 * self.limits[row].pack
            } else {
                0.0
            };
            (all - packs).max(0.0)
        };
        let take = |row: usize, from: usize| &self.takes[row][from][..sets.len()];
        let make = |row: usize, from: usize| {
            let mut take = take(row, from).to_vec();
            if mixed {
                take.extend(stacks.iter().map(|s| -room(s, row, from)));
                Row { take, room: 0.0 }
            } else {
                Row {
                    take,
                    room: stacks.first().map_or(0.0, |s| room(s, row, from)),
                }
            }
        };
        let mut named: Vec<(usize, usize)> = froms.iter().map(|f| (0, *f)).collect();
        let mut rows: Vec<Row> = named.iter().map(|n| make(n.0, n.1)).collect();
        // Rows that are broken join; their rooms are known.
        let mut waiting: Vec<((usize, usize), Vec<f64>)> = Vec::new();
        for row in 1..self.limits.len() {
            let rooms = |from: &usize| stacks.iter().map(|s| room(s, row, *from)).collect();
            waiting.extend(froms.iter().map(|f| ((row, *f), rooms(f))));
        }
        if mixed {
            let mut take = vec![0.0; sets.len()];
            take.resize(value.len(), 1.0);
            rows.insert(0, Row { take, room: 1.0 });
        }
        let mut found = maximise(&value, &most, &rows);
        for _ in 0..ROUNDS {
            let shares = &found.x[sets.len()..];
            let mut broken: Vec<(f64, usize)> = waiting
                .iter()
                .enumerate()
                .map(|(k, ((row, from), rooms))| {
                    let taken: f64 = take(*row, *from)
                        .iter()
                        .zip(&found.x)
                        .map(|(t, x)| t * x)
                        .sum();
                    let room = if mixed {
                        rooms.iter().zip(shares).map(|(r, s)| r * s).sum()
                    } else {
                        rooms[0]
                    };
                    (taken - room, k)
                })
                .filter(|b| b.0 > 1e-7)
                .collect();
            if broken.is_empty() {
                break;
            }
            broken.sort_by(|a, b| b.0.total_cmp(&a.0));
            broken.truncate(ADDED);
            broken.sort_by_key(|b| std::cmp::Reverse(b.1));
            for (_, k) in broken {
                let (name, _) = waiting.remove(k);
                named.push(name);
                rows.push(make(name.0, name.1));
            }
            found = maximise(&value, &most, &rows);
        }
        let skip = usize::from(mixed);
        self.prices(
            named
                .iter()
                .copied()
                .zip(found.price.into_iter().skip(skip)),
        )
    }

    fn prices(&self, of: impl Iterator<Item = ((usize, usize), f64)>) -> Prices {
        let classes = self.kit.tops_mm.len();
        let paid: Vec<((usize, usize), f64)> = of.filter(|p| p.1 > 0.0).collect();
        let mut level: [Vec<f64>; KINDS] = std::array::from_fn(|_| vec![0.0; classes]);
        for ((row, from), price) in &paid {
            for (kind, worth) in level.iter_mut().enumerate() {
                for w in &mut worth[*from..] {
                    *w += price * self.limits[*row].room[kind];
                }
            }
        }
        let low = paid.iter().filter(|p| p.0.1 <= self.pack_class);
        let pack = low
            .map(|((row, _), price)| price * self.limits[*row].pack)
            .sum();
        let mut ware = vec![0.0; classes];
        for (k, s) in self.sets.iter().enumerate() {
            let cost: f64 = paid
                .iter()
                .map(|((row, from), price)| price * self.takes[*row][*from][k])
                .sum();
            for w in &mut ware[s.class..] {
                *w += (s.value - cost).max(0.0);
            }
        }
        Prices {
            ware,
            level,
            pack,
            packs: self.packs,
            pack_class: self.pack_class,
        }
    }
}

impl Prices {
    /// What they prove of one stack.
    pub fn of(&self, stack: &Stack) -> f64 {
        let tallest = stack.iter().map(|l| l.0).max();
        self.of_levels(stack) + tallest.map_or(0.0, |t| self.ware[t])
    }

    /// What the levels of a stack are worth.
    pub fn of_levels(&self, stack: &[(usize, usize)]) -> f64 {
        (0..stack.len())
            .map(|i| self.of_next(&stack[..i], stack[i]))
            .sum()
    }

    /// What one more level is worth to those that are there.
    pub fn of_next(&self, stack: &[(usize, usize)], (class, kind): (usize, usize)) -> f64 {
        let able = |l: &&(usize, usize)| l.0 >= self.pack_class;
        let wants = class >= self.pack_class && stack.iter().filter(able).count() < self.packs;
        self.level[kind][class] - if wants { self.pack } else { 0.0 }
    }
}
