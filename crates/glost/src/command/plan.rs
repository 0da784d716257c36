//! `glost plan`

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use clap::ValueEnum;
use glost_model::cone::Cone;
use glost_model::load::{FiringKind, LoadPlan, Placed};
use glost_model::plan_file::PlanFile;
use glost_model::shown::hours;
use glost_model::studio::Studio;
use glost_placing::PlanAsk;
use glost_studio::{
    OutFile, Proposal, can_write, draw, foresee_for, open_folder, propose, write_out,
};
use indicatif::{ProgressBar, ProgressStyle};

use super::wished::Wished;
use crate::clock;
use crate::say::{Trouble, answer, cone, json};

/// Plan one load: which ware goes, on which shelf, on which posts, and where each piece stands.
#[derive(Debug, clap::Args)]
pub struct Plan {
    /// Folder of the studio's text files.
    folder: PathBuf,
    /// Name of the kiln.
    #[arg(long)]
    kiln: String,
    /// Cone of the firing. Mind the zero: 06 is not 6.
    #[arg(long, value_parser = cone)]
    cone: Cone,
    /// What the firing is for.
    #[arg(long, value_enum, default_value_t = Kind::Glaze)]
    kind: Kind,
    /// The same seed and rounds give the same plan.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Improvements to try.
    #[arg(long, default_value_t = 400)]
    rounds: u32,
    /// Stop after this many seconds with the best so far.
    #[arg(long)]
    seconds: Option<f64>,
    /// Day from which due dates count; today if not given.
    #[arg(long)]
    today: Option<jiff::civil::Date>,
    #[command(flatten)]
    wished: Wished,
    /// Folder for the results.
    #[arg(long)]
    out: PathBuf,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Kind {
    Glaze,
    Bisque,
}

impl Plan {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let limit = limit(self.seconds)?;
        let (studio, book) = open_folder(&self.folder).map_err(Trouble::Input)?;
        let wishes = self.wished.wishes(studio.shown)?;
        let ask = PlanAsk {
            studio: &studio,
            book: &book,
            kiln: &self.kiln,
            cone: self.cone,
            kind: match self.kind {
                Kind::Glaze => FiringKind::Glaze,
                Kind::Bisque => FiringKind::Bisque,
            },
            today: self.today.unwrap_or_else(clock::today),
            seed: self.seed,
            rounds: self.rounds,
            worth: None,
        };
        can_write(&self.out).map_err(|e| Trouble::Words(e.to_string()))?;
        let bar = bar(self.json, "Placing ware");
        let start = Instant::now();
        let Proposal {
            load,
            spread,
            typical_best,
        } = propose(&ask, &mut |done, value| {
            bar.set_position((done * 1000.0) as u64);
            bar.set_message(format!("value {value:.0}"));
            limit.is_none_or(|l| start.elapsed() < l)
        })
        .map_err(|e| Trouble::Words(e.to_string()))?;
        bar.finish_and_clear();
        let text = summary(&studio, &load, typical_best, spread);
        let mut file = PlanFile::new(studio, load);
        foresee_for(&mut file, &wishes).map_err(|e| Trouble::Words(e.to_string()))?;
        let files = write_plan(&file, &self.out)?;
        if self.json {
            let names: Vec<_> = files
                .iter()
                .map(|f| self.out.join(&f.name).display().to_string())
                .collect();
            answer(&json(&serde_json::json!({
                "placed": file.load.placed().count(),
                "left_out": file.load.left_out,
                "worth": file.load.worth,
                "feasible": file.forecast.as_ref().map(|f| f.feasible),
                "notes": file.firing.as_ref().map(|f| &f.notes),
                "files": names,
            })));
        } else {
            answer(&text);
            answer(&firing(&file));
            answer(&format!(
                "{} files written to {}",
                files.len(),
                self.out.display()
            ));
        }
        Ok(ExitCode::SUCCESS)
    }
}

/// The time that `--seconds` allows.
pub fn limit(seconds: Option<f64>) -> Result<Option<Duration>, Trouble> {
    let Some(seconds) = seconds else {
        return Ok(None);
    };
    Duration::try_from_secs_f64(seconds)
        .ok()
        .filter(|d| !d.is_zero())
        .map(Some)
        .ok_or_else(|| {
            Trouble::Words(format!(
                "--seconds {seconds} is no time: give a number above 0"
            ))
        })
}

/// Hidden with `--json`, and by the library itself when nobody watches.
pub fn bar(json: bool, what: &str) -> ProgressBar {
    if json {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(1000);
    let template = format!("{what} {{bar:30}} {{percent:>3}} %  {{msg}}");
    if let Ok(style) = ProgressStyle::with_template(&template) {
        bar.set_style(style);
    }
    bar
}

/// Every file of a plan.
pub fn files(file: &PlanFile) -> Result<Vec<OutFile>, Trouble> {
    let plan = file
        .to_json()
        .map_err(|e| Trouble::Words(format!("the plan cannot be written as JSON: {e}")))?;
    let mut files = vec![OutFile {
        name: "plan.json".to_owned(),
        bytes: plan.into_bytes(),
    }];
    files.extend(draw(file).map_err(|e| Trouble::Words(e.to_string()))?);
    Ok(files)
}

/// Writes `plan.json` and everything that is drawn of it.
pub fn write_plan(file: &PlanFile, out: &Path) -> Result<Vec<OutFile>, Trouble> {
    let files = files(file)?;
    write_out(out, &files).map_err(|e| Trouble::Words(e.to_string()))?;
    Ok(files)
}

/// The plan in words, tier by tier from the floor up.
fn summary(studio: &Studio, load: &LoadPlan, typical: f64, spread: Option<[f64; 2]>) -> String {
    let mut out = String::new();
    let length = |l| studio.shown.length(l);
    let gap = if load.worth.at_most > 0.0 {
        (1.0 - load.worth.value / load.worth.at_most) * 100.0
    } else {
        0.0
    };
    let mut line = |text: String| {
        out.push_str(&text);
        out.push('\n');
    };
    line(format!(
        "Kiln {}, cone {} ({})",
        load.kiln,
        load.cone,
        load.cone.range_name()
    ));
    // Zero, not minus zero, when nothing goes.
    line(format!(
        "{} pieces go, {} stay; value {:.0} of at most {:.0} (within {gap:.1} % of the best possible, proved by areas, counts and heights)",
        load.placed().count(),
        load.left_out.len(),
        load.worth.value + 0.0,
        load.worth.at_most + 0.0
    ));
    line(format!(
        "Not proved: shelves as full as the best packings known of mixed circles would hold about {:.0}",
        typical + 0.0
    ));
    // Nothing is said of less than is shown.
    if let Some([before, after]) = spread.filter(|s| s[0] - s[1] >= 0.01) {
        line(format!(
            "Evened out: ware changed places, so that tiers are foreseen to differ by {after:.2} cones instead of {before:.2} in one and the same firing"
        ));
    }
    for t in &load.tiers {
        let posts: Vec<String> = t
            .posts
            .iter()
            .map(|p| {
                p.lengths_m
                    .iter()
                    .map(|l| length(*l))
                    .collect::<Vec<_>>()
                    .join(" + ")
            })
            .collect();
        line(format!(
            "\nTier {}: shelf '{}' on posts of {}; {} clear above it",
            t.name,
            t.shelf,
            posts.join(", "),
            length(t.clear_m)
        ));
        let name = |p: &Placed| match &p.on {
            Some(on) => format!("{} ({})", p.piece, on.words()),
            None => p.piece.clone(),
        };
        let names: Vec<_> = t.pieces.iter().map(name).collect();
        line(format!("  {} pieces: {}", names.len(), names.join(", ")));
    }
    if !load.left_out.is_empty() {
        line("\nLeft out:".to_owned());
    }
    for group in load.left_out_by_reason() {
        let names: Vec<_> = group.iter().map(|l| l.piece.as_str()).collect();
        if let Some(l) = group.first() {
            line(format!("  {}: {}. {}.", names.join(", "), l.why, l.remedy));
        }
    }
    out
}

/// The firing in words.
pub fn firing(file: &PlanFile) -> String {
    let (Some(plan), Some(forecast)) = (&file.firing, &file.forecast) else {
        return "No firing: there is nothing to fire.".to_owned();
    };
    let shown = file.studio.shown;
    let mut lines = vec!["Set on the controller:".to_owned()];
    for (i, s) in plan.segments.iter().enumerate() {
        lines.push(format!(
            "  {}. {} to {}, hold {}: {}",
            i + 1,
            shown.ramp(s.rate),
            shown.temperature(s.target),
            hours(s.hold),
            s.reason
        ));
    }
    lines.push(format!(
        "Expect the end of the peak after {}, of the programme after {}; {:.0} kWh, {:.2} {}; hottest at the sensor {}{}",
        forecast
            .peak_over(plan)
            .map_or_else(|| "(never)".to_owned(), hours),
        hours(forecast.firing_s),
        forecast.energy_j.to_kwh(),
        forecast.cost_cents.to_units(),
        file.studio.tariff.currency,
        shown.temperature(forecast.peak_c),
        if forecast.feasible {
            ""
        } else {
            ". NOT FIT TO FIRE AS IT IS: read the notes"
        }
    ));
    if !plan.hand_steps.is_empty() {
        lines.push("By hand:".to_owned());
    }
    for h in &plan.hand_steps {
        lines.push(format!("  {}: {}", h.when(shown), h.step));
    }
    for z in &forecast.zones {
        lines.push(format!(
            "  tiers {}: cone {}, {}",
            z.tiers,
            z.cone_reached,
            shown.temperature(z.peak_c)
        ));
    }
    for c in &forecast.cooled {
        let when = c.time_s.map_or_else(
            || "later than foreseen".to_owned(),
            |t| format!("{} after the start", hours(t)),
        );
        lines.push(format!("  below {}: {when}", shown.temperature(c.below_c)));
    }
    lines.extend(
        plan.notes
            .iter()
            .chain(&forecast.notes)
            .map(|n| format!("Note: {n}")),
    );
    lines.push(
        "Glost advises; the nameplate, makers' instructions and local codes decide.".to_owned(),
    );
    lines.join("\n")
}
