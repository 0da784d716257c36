#[test]
fn tune() {
    use super::*;
    let all = published();
    let t0 = std::time::Instant::now();
    let f = Family::of(&all);
    println!("fit {:?}", t0.elapsed());
    let miss = |f: &Family, c: &Cell| f.member(c.column, c.cone).unwrap().law.end_k(c.rate_c_per_h) - 273.15 - c.end_c;
    let mut m: Vec<_> = all.iter().map(|c| (miss(&f, c), *c)).collect();
    m.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    println!("rms {:.3}", (m.iter().map(|x| x.0 * x.0).sum::<f64>() / m.len() as f64).sqrt());
    for (d, c) in m.iter().take(8) { println!("{d:+.2} {} {} {}", c.cone, c.column, c.rate_c_per_h); }
    for m in f.column(Column::SelfSupporting) {
        println!("{} {:.1} slope {:.1} b {:.2} dev {:?}", m.cone, m.law.usual_k() - 273.15, m.law.usual_k().powi(2) / m.law.activation_k(), m.law.steepness(1.0)*1.0/m.law.activation_k()-1.0, RATES_C_PER_H.map(|r| (m.deviation_k(r) * 10.0).round() / 10.0));
    }
    let mut gap = (99.0, 0.0, String::new());
    for col in [Column::SelfSupporting, Column::Large] { for r in [5.0, 10.0, 15.0, 60.0, 150.0, 300.0] { for p in f.column(col).windows(2) {
        let g = p[1].law.end_k(r) - p[0].law.end_k(r);
        if g < gap.0 { gap = (g, r, format!("{} {}", p[0].cone, col)); }
    }}}
    println!("gap {gap:?}");
    let mut sum = (0.0, 0.0, 0);
    for h in all.iter().filter(|c| c.rate_c_per_h < 20.0) {
        let rest: Vec<Cell> = all.iter().filter(|c| !(c.cone == h.cone && c.column == h.column && c.rate_c_per_h == h.rate_c_per_h)).copied().collect();
        let g = Family::of(&rest);
        let d = miss(&g, h);
        let s = (g.member(h.column, h.cone).unwrap().deviation_k(h.rate_c_per_h).powi(2) - 1.0).sqrt();
        println!("hidden {} {d:+.1} sd {s:.1}", h.cone);
        sum = (sum.0 + d * d, sum.1 + (d / s).powi(2), sum.2 + 1);
    }
    println!("cv rms {:.2} z {:.2}", (sum.0 / sum.2 as f64).sqrt(), (sum.1 / sum.2 as f64).sqrt());
}
