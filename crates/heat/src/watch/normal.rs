//! Small symmetric positive systems: what is believed of a few things at once.

/// A square matrix by rows.
pub type Square = Vec<Vec<f64>>;

/// The lower triangle whose product with its mirror image is the matrix; nothing when that is not positive.
pub fn root(a: &[Vec<f64>]) -> Option<Square> {
    let n = a.len();
    let mut l = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
            let left = a.get(i)?.get(j)? - known;
            l[i][j] = if i == j {
                if left <= 0.0 || !left.is_finite() {
                    return None;
                }
                left.sqrt()
            } else {
                left / l[j][j]
            };
        }
    }
    Some(l)
}

/// x of A x = b by the root of A.
pub fn solve(root: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let n = root.len();
    let mut x = b.to_vec();
    for i in 0..n {
        let known: f64 = (0..i).map(|k| root[i][k] * x[k]).sum();
        x[i] = (x[i] - known) / root[i][i];
    }
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|k| root[k][i] * x[k]).sum();
        x[i] = (x[i] - known) / root[i][i];
    }
    x
}

/// The inverse of a matrix by its root.
pub fn inverse(root: &[Vec<f64>]) -> Square {
    let n = root.len();
    let unit = |i: usize| {
        let mut e = vec![0.0; n];
        e[i] = 1.0;
        solve(root, &e)
    };
    (0..n).map(unit).collect()
}

/// The sum of products.
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// g C g.
pub fn spread(c: &[Vec<f64>], g: &[f64]) -> f64 {
    c.iter().zip(g).map(|(row, x)| x * dot(row, g)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_what_it_was_given() {
        let a = vec![
            vec![4.0, 1.0, 0.5],
            vec![1.0, 3.0, -0.2],
            vec![0.5, -0.2, 2.0],
        ];
        let l = root(&a).unwrap();
        let x = [0.3, -1.2, 2.0];
        let b: Vec<f64> = a.iter().map(|row| dot(row, &x)).collect();
        for (found, x) in solve(&l, &b).iter().zip(x) {
            assert!((found - x).abs() < 1e-12);
        }
        let back = inverse(&l);
        assert!((dot(&back[1], &[a[0][1], a[1][1], a[2][1]]) - 1.0).abs() < 1e-12);
        assert!(root(&[vec![1.0, 0.0], vec![0.0, -1.0]]).is_none());
    }
}
