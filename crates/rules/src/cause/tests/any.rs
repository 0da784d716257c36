//! Ranks of any facts, sound or not.

use glost_model::book::{Edges, FaultKind};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::piece::Foot;
use glost_model::{Length, Rate, Span, Temperature};
use proptest::prelude::*;

use super::super::*;
use super::{facts, heat, place};

fn rate() -> impl Strategy<Value = Option<Rate>> {
    proptest::option::of(any::<f64>().prop_map(Rate::c_per_h))
}

fn paces() -> impl Strategy<Value = Paces> {
    let rates = proptest::collection::vec(rate(), 6);
    let rest = proptest::option::of((any::<f64>(), any::<f64>()));
    (rates, rest).prop_map(|(r, rest)| Paces {
        damp: r[0],
        steam: r[1],
        quartz_up: r[2],
        burn_out: r[3],
        last: r[4],
        quartz_down: r[5],
        cristobalite_down: r[0],
        peak: rest.map(|x| Temperature::c(x.0)),
        hold: rest.map(|x| Span::s(x.1)),
        soak: rest.map(|x| Span::s(x.0)),
    })
}

prop_compose! {
    fn anything()(
        logged in proptest::option::of(paces()),
        planned in proptest::option::of(paces()),
        wanted in paces(),
        at in any::<f64>(),
        elsewhere in proptest::option::of(any::<f64>()),
        mm in proptest::collection::vec(any::<f64>(), 6),
        flags in proptest::collection::vec(any::<bool>(), 8),
        edges in proptest::option::of(0_usize..4),
        counts in proptest::collection::vec(0_usize..40, 6),
        half in 0_usize..38,
    ) -> Facts {
        let mut f = facts();
        f.cone = Cone::all().nth(half).unwrap();
        f.logged = logged;
        f.planned = planned;
        f.wanted = wanted;
        f.heat = flags[0].then(|| heat(at, HeatBy::Log));
        f.elsewhere = elsewhere;
        f.piece.piece.wall = Length::mm(mm[0]);
        f.piece.piece.height = Length::mm(mm[1]);
        f.piece.piece.glaze_margin = Length::mm(mm[2]);
        f.piece.piece.foot = if flags[1] { Foot::Glazed } else { Foot::Bare };
        if flags[2] {
            f.piece.clay = None;
            f.piece.glazes.clear();
            f.piece.piece.glazes.clear();
        }
        if flags[3] {
            f.place = None;
        } else if let Some(p) = &mut f.place {
            p.gap = Length::mm(mm[3]);
            p.raised = Length::mm(mm[4]);
            p.piled = flags[4];
            p.chrome = if flags[5] { Near::OnTier } else { Near::Nowhere };
        }
        f.kind = if flags[6] { FiringKind::Bisque } else { FiringKind::Glaze };
        f.opened = flags[7].then_some(Opened { at: Temperature::c(mm[5]), below: None });
        f.edges = edges.map(|i| Edges::ALL[i]);
        f.others = [Group::Firing, Group::Tier, Group::Maker].map(|group| Shared {
            group,
            with: (counts[0], counts[1]),
            without: (counts[2], counts[3]),
            before: (counts[4], counts[5]),
        }).into();
        f
    }
}

proptest! {
    /// Whatever the facts, the order stands: shares fall, add up to 1, and the same facts give the same answer.
    #[test]
    fn ranking_never_fails_and_is_stable(f in anything(), k in 0_usize..23) {
        let kind = FaultKind::ALL[k];
        let ranked = rank(&f, kind);
        let told: Vec<_> = ranked.iter().map(|r| (r.cause.id, r.share)).collect();
        let again: Vec<_> = rank(&f, kind).iter().map(|r| (r.cause.id, r.share)).collect();
        prop_assert_eq!(&told, &again);
        let sum: f64 = told.iter().map(|t| t.1).sum();
        prop_assert!((sum - 1.0).abs() < 1e-9, "{}", sum);
        let causes = &told[..told.len() - 1];
        prop_assert!(causes.windows(2).all(|w| w[0].1 >= w[1].1));
        prop_assert_eq!(told[told.len() - 1].0, SOMETHING_ELSE.id);
        let groups = common(&[ranked.clone(), ranked]);
        let mut all: Vec<usize> = groups.iter().flat_map(|g| g.explains.clone()).collect();
        all.sort_unstable();
        prop_assert_eq!(all, vec![0, 1]);
    }

    /// A faster cooling never makes it less likely that it was cooled too fast.
    #[test]
    fn faster_is_no_less_likely(slow in 1.0..800.0_f64, more in 0.0..800.0_f64) {
        let share = |c: f64| {
            let mut f = facts();
            f.logged = Some(Paces { quartz_down: Some(Rate::c_per_h(c)), ..Paces::default() });
            let all = rank(&f, FaultKind::Crack);
            all[place(&all, "fast-quartz-down")].share
        };
        prop_assert!(share(slow + more) >= share(slow) - 1e-12);
    }

    /// Any curve is read without harm.
    #[test]
    fn any_curve_is_read(points in proptest::collection::vec((any::<f64>(), any::<f64>()), 0..60)) {
        let curve: Vec<_> = points.iter().map(|p| (Span::s(p.0), Temperature::c(p.1))).collect();
        let p = Paces::of(&curve);
        for r in [p.damp, p.steam, p.quartz_up, p.burn_out, p.last, p.quartz_down, p.cristobalite_down] {
            prop_assert!(r.is_none_or(|r| r.to_c_per_h() >= 0.0));
        }
    }
}
