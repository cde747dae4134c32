//! The logic chart of a unit: every distinct row, from calls to outputs, as wired and set.

use crate::table::{table, wrap};
use analysis::{Chart, ChartInput};
use model::Name;
use serde_json::{Value, json};
use std::fmt::Write as _;
use syntax::visible;
use unicode_width::UnicodeWidthStr;

/// Columns of a terminal.
const WIDTH: usize = 80;

/// The chart for people, readable at 80 columns.
pub fn chart_text(chart: &Chart) -> String {
    let mut text = format!("{}: {}\n", visible(&chart.unit), visible(&chart.unit_type));
    for (option, choice) in &chart.options {
        let _ = writeln!(text, "  {} is {}", visible(option), visible(choice));
    }
    for option in &chart.undecided {
        let option = visible(option);
        let _ = writeln!(text, "  {option} could not be read: the rows are those of every choice");
    }
    text.push('\n');
    text.push_str(&legend(chart));
    text.push('\n');
    let letters: String = ('a'..).take(chart.inputs.len()).flat_map(|c| [c, ' ']).collect();
    let _ = writeln!(text, "  {}   on", letters.trim_end());
    for row in &chart.rows {
        let inputs: String = row.inputs.iter().flat_map(|i| [sign(*i), ' ']).collect();
        let on = chart.outputs.iter().zip(&row.outputs).filter(|(_, on)| **on);
        let on: Vec<_> = on.map(|(output, _)| visible(output)).collect();
        let on = if on.is_empty() { "nothing".to_owned() } else { on.join(", ") };
        let indent = 2 + inputs.len().max(2) + 2;
        for (i, line) in wrap(&on, WIDTH.saturating_sub(indent)).into_iter().enumerate() {
            let head = if i == 0 { inputs.clone() } else { " ".repeat(inputs.len()) };
            let _ = writeln!(text, "  {head}  {line}");
        }
    }
    text.push_str("\n  1 on, 0 off, - either; what the wiring and the limits rule out is left out\n");
    if !chart.complete {
        text.push_str("  the chart was cut short: there are more rows than can be read\n");
    }
    text
}

/// The table of inputs: letter in the chart, name, terminal where any input has one, and what is wired to it.
fn legend(chart: &Chart) -> String {
    let lettered = chart.inputs.iter().any(|input| input.terminal.is_some());
    let row = |(input, letter): (&ChartInput, char)| {
        let mut row = vec![letter.to_string(), visible(&input.name).into_owned()];
        if lettered {
            row.push(input.terminal.as_ref().map_or_else(String::new, |t| visible(t).into_owned()));
        }
        row.push(visible(&input.wired).into_owned());
        row
    };
    wrapped(&chart.inputs.iter().zip('a'..).map(row).collect::<Vec<_>>())
}

/// A table, its last column broken where a line would be wider than a terminal.
fn wrapped(legend: &[Vec<String>]) -> String {
    let fixed = |row: &Vec<String>| {
        let fixed = row.iter().take(row.len().saturating_sub(1));
        fixed.map(|cell| cell.width() + 2).collect::<Vec<_>>()
    };
    let before = legend.iter().map(fixed).reduce(|a, b| a.iter().zip(&b).map(|(a, b)| *a.max(b)).collect());
    let room = WIDTH.saturating_sub(2 + before.unwrap_or_default().iter().sum::<usize>()).max(20);
    let mut rows = Vec::new();
    for row in legend {
        let [head @ .., wired] = row.as_slice() else { continue };
        for (i, line) in wrap(wired, room).into_iter().enumerate() {
            let mut row = if i == 0 { head.to_vec() } else { vec![String::new(); head.len()] };
            row.push(line);
            rows.push(row);
        }
    }
    table(&rows, 2, &[])
}

fn sign(input: Option<bool>) -> char {
    match input {
        Some(true) => '1',
        Some(false) => '0',
        None => '-',
    }
}

/// The chart for programs.
pub fn chart_json(chart: &Chart) -> Value {
    let rows: Vec<Value> = chart
        .rows
        .iter()
        .map(|row| {
            let inputs: serde_json::Map<String, Value> = chart
                .inputs
                .iter()
                .zip(&row.inputs)
                .filter_map(|(input, state)| Some((input.name.to_string(), json!((*state)?))))
                .collect();
            let on: Vec<&str> = chart
                .outputs
                .iter()
                .zip(&row.outputs)
                .filter(|(_, on)| **on)
                .map(|(o, _)| o.as_str())
                .collect();
            json!({"inputs": inputs, "on": on})
        })
        .collect();
    let inputs: Vec<Value> = chart
        .inputs
        .iter()
        .map(|i| json!({"name": i.name.as_str(), "terminal": i.terminal.as_deref(), "wired": i.wired}))
        .collect();
    let options: serde_json::Map<String, Value> =
        chart.options.iter().map(|(o, c)| (o.to_string(), json!(c.as_str()))).collect();
    let outputs: Vec<&str> = chart.outputs.iter().map(Name::as_str).collect();
    json!({
        "format": 1,
        "unit": chart.unit.as_str(),
        "type": chart.unit_type.as_str(),
        "options": options,
        "inputs": inputs,
        "outputs": outputs,
        "rows": rows,
        "complete": chart.complete,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::chart_text;
    use workspace::Workspace;

    /// Lines of the table of inputs, of a unit with nothing wired.
    fn legend(unit_type: &str) -> Vec<String> {
        let mut workspace = Workspace::empty(std::path::Path::new("/job"));
        workspace
            .open("site.yaml", &format!("site: {{time-zone: UTC}}\nunits: {{U: {{type: {unit_type}}}}}\n"));
        let text = chart_text(&workspace.chart("U").unwrap());
        text.lines().filter(|line| line.contains("is not wired")).map(|line| line.trim().to_owned()).collect()
    }

    #[test]
    fn an_input_without_a_letter_goes_by_its_name() {
        let starts = |line: &String, text: &str| assert!(line.starts_with(text), "{line}");
        let some = legend("air-conditioner-with-hot-gas-reheat");
        starts(&some[0], "a  cool-1      Y1  `cool-1` is not wired");
        starts(&some[2], "c  dehumidify      `dehumidify` is not wired");
        let none = legend("stand-alone-dehumidifier");
        starts(&none[0], "a  dehumidify       `dehumidify` is not wired");
        starts(&none[1], "b  occupied         `occupied` is not wired");
    }
}
