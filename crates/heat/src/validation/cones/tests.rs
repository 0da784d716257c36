use super::*;

#[test]
fn print() {
    let r = cones();
    println!("{r}");
    let w: f64 = r.hidden.iter().map(|h| { let d = h.cell.difference().to_k(); let s = (h.cell.deviation.to_k().powi(2) - 1.0).sqrt(); (d / s).powi(2) }).sum();
    println!("z {}", (w / r.hidden.len() as f64).sqrt());
}
