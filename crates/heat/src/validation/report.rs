//! The page for readers. It holds no times of computing, so that it is the same on every machine.

use super::{Case, Fact, Group, facts, published, whole_kiln};

/// Digits after the point so that a hundredth of the tolerance shows.
fn digits(tolerance: f64) -> usize {
    (2.0 - tolerance.abs().max(1e-9).log10())
        .ceil()
        .clamp(0.0, 8.0) as usize
}

fn number(v: f64, tolerance: f64) -> String {
    let text = format!("{v:.*}", digits(tolerance));
    // No minus before nothing.
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        _ => text,
    }
}

fn with_unit(text: &str, unit: &str) -> String {
    if unit.is_empty() {
        text.to_owned()
    } else {
        format!("{text} {unit}")
    }
}

/// A difference of temperatures is in K.
fn difference(unit: &'static str) -> &'static str {
    if unit == "°C" { "K" } else { unit }
}

fn line(c: &Case) -> String {
    let t = c.tolerance;
    let error = with_unit(&number(c.error(), t), difference(c.unit));
    let tolerance = with_unit(&number(t, t), difference(c.unit));
    format!(
        "| {} | {} | {} | {error} | {tolerance} | {} |{}",
        c.name,
        with_unit(&number(c.answer, t), c.unit),
        number(c.ours, t),
        c.source,
        if c.holds() { "" } else { " **NOT HELD** |" }
    )
}

fn section(g: &Group) -> String {
    let mut lines = vec![
        format!("## {}", g.name),
        String::new(),
        g.what.to_owned(),
        String::new(),
        "| quantity | answer | ours | error | tolerance | source |".to_owned(),
        "| - | - | - | - | - | - |".to_owned(),
    ];
    lines.extend(g.cases.iter().map(line));
    lines.push(String::new());
    lines.join("\n")
}

fn fact(f: &Fact) -> String {
    let (low, high) = f.published;
    let published = if (high - low).abs() < 1e-9 {
        format!("{low}")
    } else {
        format!("{low} to {high}")
    };
    let (from, to) = f.band();
    format!(
        "| {} | {published} {} | {:.2} | {from:.2} to {to:.2} | {} |{}",
        f.name,
        f.unit,
        f.ours,
        f.source,
        if f.holds() { "" } else { " **NOT HELD** |" }
    )
}

/// One line a group: how many cases, how many hold, the one nearest to its tolerance.
fn summary(groups: &[Group]) -> String {
    let mut lines = vec![
        "| cases | number | within tolerance | nearest to its tolerance |".to_owned(),
        "| - | - | - | - |".to_owned(),
    ];
    lines.extend(groups.iter().map(|g| {
        let held = g.cases.iter().filter(|c| c.holds()).count();
        let worst = g.worst().map_or_else(String::new, |c| {
            let (error, t) = (
                number(c.error(), c.tolerance),
                number(c.tolerance, c.tolerance),
            );
            format!(
                "{}: {} of {}",
                c.name,
                error,
                with_unit(&t, difference(c.unit))
            )
        });
        format!("| {} | {} | {held} | {worst} |", g.name, g.cases.len())
    }));
    lines.push(String::new());
    lines.join("\n")
}

/// The whole page.
pub fn markdown() -> String {
    let groups: Vec<Group> = published().into_iter().chain(whole_kiln()).collect();
    let facts = facts();
    let mut parts = vec![
        "# Validation of the heat model\n".to_owned(),
        "Written by `glost figures heat --write docs/validation.md`; a test fails when this page is not what that\n\
         command writes. 'Exact' answers were computed from the series or closed form named, apart from Glost. An\n\
         answer and its tolerance stand once, in `crates/heat/src/validation/`, for tests and page alike.\n"
            .to_owned(),
        summary(&groups),
    ];
    parts.extend(groups.iter().map(section));
    parts.push(
        "## Studio kilns\n\nFigures of real kilns are few, and none says what brick or load it was; brick of one group \
         spreads by a\nfactor of 1.7. Bands are therefore wide.\n\n| quantity | published | ours | band | source |\n| - | - | - | - | - |"
            .to_owned(),
    );
    parts.push(facts.iter().map(fact).collect::<Vec<_>>().join("\n"));
    parts.push(
        "\n## Always true\n\nTests with drawn cases (`crates/heat/tests/validation/`, `tests/validation_kiln/`) hold for any network \
         and any kiln:\nradiation in an enclosure sums to nothing; exchange areas are reciprocal and views add up to 1; \
         energy drawn is stored\nor lost to 0.1 %; nothing is hotter than the hottest element or colder than the room; \
         what is at one temperature stays\nthere; the Jacobian is the slope of the rates.\n"
            .to_owned(),
    );
    parts.join("\n")
}
