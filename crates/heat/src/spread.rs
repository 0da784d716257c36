//! Work shared out over threads.

/// Answers of `work` for every number below `count`, in their order: each is on its own, so who works it out when does
/// not matter.
pub(crate) fn in_order<R: Send>(
    count: usize,
    threads: usize,
    work: impl Fn(usize) -> R + Sync,
) -> Vec<R> {
    let threads = threads.clamp(1, count.max(1));
    let share = |first: usize| {
        let mine = (first..count).step_by(threads);
        mine.map(|i| (i, work(i))).collect::<Vec<_>>()
    };
    let mut found = std::thread::scope(|scope| {
        let share = &share;
        let others: Vec<_> = (1..threads)
            .map(|t| scope.spawn(move || share(t)))
            .collect();
        let mut all = share(0);
        for other in others {
            all.extend(
                other
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            );
        }
        all
    });
    found.sort_by_key(|(i, _)| *i);
    found.into_iter().map(|(_, r)| r).collect()
}

#[cfg(test)]
mod tests {
    use super::in_order;

    #[test]
    fn the_order_is_that_of_the_numbers() {
        for (count, threads) in [(0, 3), (1, 8), (7, 1), (7, 3), (100, 2)] {
            let squares: Vec<usize> = (0..count).map(|i| i * i).collect();
            assert_eq!(in_order(count, threads, |i| i * i), squares);
        }
    }
}
