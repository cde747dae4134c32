//! `workspace/executeCommand`: what the client may want done besides the protocol's own methods.
//!
//! Each takes one object: `drycall.units` and `drycall.review` take `{uri}`, any place in the job;
//! `drycall.chart` takes `{uri, unit}`, `drycall.week` `{uri, unit, week?}` with the first day as
//! `2027-06-07`, `drycall.unit` `{uri, unit, service?, week?, suppose?}`, `drycall.explain` `{check}`.

use super::pages::{self, Page};
use super::unit_page;
use crate::client_handle::ClientHandle;
use crate::shared::{JobState, Needs};
use crate::uri;
use calendar::Date;
use serde::Deserialize;
use serde_json::json;
use std::path::PathBuf;
use tower_lsp_server::ls_types as lsp;

const COMMANDS: [&str; 6] =
    ["drycall.chart", "drycall.explain", "drycall.review", "drycall.unit", "drycall.units", "drycall.week"];

/// A command as it came.
pub(super) enum Command {
    /// One about no job, and what comes of it.
    Done(Page),
    /// Something about the job that a path lies in.
    OfJob(PathBuf, Wanted),
}

pub(super) enum Wanted {
    Units,
    Review,
    Chart { unit: String },
    Week { unit: String, week: Option<Date> },
    UnitPage(unit_page::UnitPageQuery),
}

#[derive(Deserialize)]
struct Arguments {
    uri: Option<lsp::Uri>,
    unit: Option<String>,
    week: Option<String>,
    check: Option<String>,
    service: Option<String>,
    #[serde(default)]
    suppose: Vec<unit_page::Suppose>,
}

pub(crate) fn options() -> lsp::ExecuteCommandOptions {
    let commands = COMMANDS.map(str::to_owned).to_vec();
    lsp::ExecuteCommandOptions { commands, ..lsp::ExecuteCommandOptions::default() }
}

/// Reads a command, or says what is wrong with it.
pub(super) fn parse(params: lsp::ExecuteCommandParams) -> Result<Command, String> {
    let name = params.command;
    let argument = params.arguments.into_iter().next().unwrap_or_default();
    let arguments: Arguments = serde_json::from_value(argument).map_err(|why| format!("{name}: {why}"))?;
    let needs = |key: &str| format!("{name} needs `{key}`");
    let unit = || arguments.unit.clone().ok_or_else(|| needs("unit"));
    let wanted = match name.as_str() {
        "drycall.explain" => {
            let check = arguments.check.ok_or_else(|| needs("check"))?;
            return Ok(Command::Done(pages::explain(&check)));
        }
        "drycall.units" => Wanted::Units,
        "drycall.review" => Wanted::Review,
        "drycall.chart" => Wanted::Chart { unit: unit()? },
        "drycall.week" => Wanted::Week { unit: unit()?, week: date(arguments.week.as_ref())? },
        "drycall.unit" => Wanted::UnitPage(unit_page::UnitPageQuery {
            unit: unit()?,
            service: arguments.service,
            week: date(arguments.week.as_ref())?,
            suppose: arguments.suppose,
        }),
        _ => return Err(format!("there is no command `{name}`")),
    };
    let path = arguments.uri.as_ref().and_then(uri::to_path).ok_or_else(|| needs("uri"))?;
    Ok(Command::OfJob(path, wanted))
}

fn date(text: Option<&String>) -> Result<Option<Date>, String> {
    text.map(|text| {
        text.parse().map_err(|_| format!("`{text}` is not a date. Write year-month-day, like 2027-06-07"))
    })
    .transpose()
}

impl Wanted {
    pub(super) fn needs(&self) -> Needs {
        if matches!(self, Wanted::Review) { Needs::Findings } else { Needs::Nothing }
    }

    /// Does it for a job, if there is one.
    pub(super) fn page(self, job: Option<(&JobState, &ClientHandle)>) -> Page {
        let Some((state, client)) = job else {
            return Err("it is in no job: there is no site.yaml above it".to_owned());
        };
        match self {
            Wanted::Units => Ok(json!(state.workspace.unit_names())),
            Wanted::Review => Ok(pages::review(state)),
            Wanted::Chart { unit } => pages::chart(state, &unit),
            Wanted::Week { unit, week } => pages::week(state, client, &unit, week),
            Wanted::UnitPage(asked) => unit_page::unit_page(state, client, asked),
        }
    }
}
