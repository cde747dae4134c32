//! `workspace/executeCommand`: what the client may want done besides the protocol's own methods.
//!
//! Each takes one object: `drycall.units` and `drycall.review` take `{uri}`, any place in the job;
//! `drycall.chart` takes `{uri, unit}`, `drycall.week` `{uri, unit, week?}` with the first day as
//! `2027-06-07`, `drycall.explain` `{check}`.

use super::{chart, review, week};
use crate::outlet::Outlet;
use crate::shared::Shared;
use crate::slow::Turn;
use crate::uri;
use calendar::Date;
use serde::Deserialize;
use serde_json::{Value, json};
use std::path::PathBuf;
use tokio::sync::oneshot;
use tower_lsp_server::ls_types as lsp;

const COMMANDS: [&str; 5] =
    ["drycall.chart", "drycall.explain", "drycall.review", "drycall.units", "drycall.week"];

/// What came of a command: its answer, or why there is none, in words for the user.
pub(crate) type Done = Result<Value, String>;

/// A command as it came.
pub(crate) enum Command {
    /// Show a check's page.
    Explain(String),
    /// Something about the job that a path lies in.
    OfJob(PathBuf, Order),
}

/// Something to be done for a job, and where the answer goes.
pub(crate) struct Order {
    wanted: Wanted,
    answer: oneshot::Sender<Done>,
}

enum Wanted {
    Units,
    Review,
    Chart { unit: String },
    Week { unit: String, week: Option<Date> },
}

#[derive(Deserialize)]
struct Arguments {
    uri: Option<lsp::Uri>,
    unit: Option<String>,
    week: Option<String>,
    check: Option<String>,
}

pub(crate) fn options() -> lsp::ExecuteCommandOptions {
    let commands = COMMANDS.map(str::to_owned).to_vec();
    lsp::ExecuteCommandOptions { commands, ..lsp::ExecuteCommandOptions::default() }
}

/// Reads a command, or says what is wrong with it.
pub(crate) fn parse(
    params: lsp::ExecuteCommandParams,
    answer: oneshot::Sender<Done>,
) -> Result<Command, String> {
    let name = params.command;
    let argument = params.arguments.into_iter().next().unwrap_or_default();
    let arguments: Arguments = serde_json::from_value(argument).map_err(|why| format!("{name}: {why}"))?;
    let needs = |key: &str| format!("{name} needs `{key}`");
    let unit = || arguments.unit.clone().ok_or_else(|| needs("unit"));
    let wanted = match name.as_str() {
        "drycall.explain" => return arguments.check.map(Command::Explain).ok_or_else(|| needs("check")),
        "drycall.units" => Wanted::Units,
        "drycall.review" => Wanted::Review,
        "drycall.chart" => Wanted::Chart { unit: unit()? },
        "drycall.week" => {
            let date = |text: &String| text.parse().map_err(|_| format!("`{text}` is no date"));
            Wanted::Week { unit: unit()?, week: arguments.week.as_ref().map(date).transpose()? }
        }
        _ => return Err(format!("there is no command `{name}`")),
    };
    let path = arguments.uri.as_ref().and_then(uri::to_path).ok_or_else(|| needs("uri"))?;
    Ok(Command::OfJob(path, Order { wanted, answer }))
}

impl Order {
    /// Does it, unless nobody waits for the answer any more.
    pub(crate) fn obey(self, shared: &Shared, outlet: &Outlet) {
        if self.answer.is_closed() {
            return;
        }
        let _turn = Turn::begin("a command");
        let done = match self.wanted {
            Wanted::Units => Ok(json!(reports::unit_names(&shared.snapshot().workspace))),
            Wanted::Review => Ok(review::review(&shared.settled())),
            Wanted::Chart { unit } => chart::chart(&shared.snapshot(), &unit),
            Wanted::Week { unit, week } => week::week(&shared.snapshot(), outlet, &unit, week),
        };
        // The client may cancel meanwhile.
        let _ = self.answer.send(done);
    }
}

/// Why a unit cannot be shown.
pub(super) fn no_unit(unit: &str) -> String {
    format!("the job has no unit `{unit}` of a known type")
}
