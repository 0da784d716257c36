//! The `glost` command: plans the load of a shared electric kiln. It advises; it switches nothing on.

mod clock;
mod command;
mod log;
mod say;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Plan the load of a shared electric kiln, and check it. Glost advises; it never switches a kiln on.
#[derive(Debug, Parser)]
#[command(name = "glost", version, arg_required_else_help = true)]
struct Glost {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Plan(command::plan::Plan),
    Change(command::change::Change),
    Firings(command::firings::ManyFirings),
    Check(command::check::Check),
    Cone(command::cone::ConeEnd),
    Heatwork(command::heatwork::Heatwork),
    Simulate(command::simulate::Simulate),
    Rehearse(command::rehearse::Rehearse),
    Ask(command::ask::Ask),
    Demo(command::demo::Demo),
    Serve(command::serve::Serve),
    Backup(command::backup::Backup),
    Restore(command::restore::Restore),
    Export(command::export::Export),
    Import(command::import::Import),
    Show(command::show::Show),
    Rules(command::rules::Rules),
    Schema(command::schema::Schema),
    Figures(command::figures::Figures),
}

fn main() -> ExitCode {
    let run = match Glost::parse().command {
        Command::Plan(c) => c.run(),
        Command::Change(c) => c.run(),
        Command::Firings(c) => c.run(),
        Command::Check(c) => c.run(),
        Command::Cone(c) => c.run(),
        Command::Heatwork(c) => c.run(),
        Command::Simulate(c) => c.run(),
        Command::Rehearse(c) => c.run(),
        Command::Ask(c) => c.run(),
        Command::Demo(c) => c.run(),
        Command::Serve(c) => c.run(),
        Command::Export(c) => c.run(),
        Command::Import(c) => c.run(),
        Command::Show(c) => c.run(),
        Command::Backup(c) => c.run(),
        Command::Restore(c) => c.run(),
        Command::Rules(c) => c.run(),
        Command::Schema(c) => c.run(),
        Command::Figures(c) => c.run(),
    };
    run.unwrap_or_else(say::Trouble::tell)
}
