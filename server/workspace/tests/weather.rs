//! Weather of a job: found inside its folder only, and current when its file changes.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use std::fmt::Write as _;
use std::path::Path;
use workspace::Workspace;

const JOB: &str = "
schedules:
  staff-hours: {values: occupancy, default: unoccupied, week: {mon-fri: 08:00-17:00}}
zones:
  stacks:
    schedule: staff-hours
    occupied:   {heat-below: 68 °F, cool-above: 74 °F, dehumidify-above: 50 %RH}
    unoccupied: {heat-below: 60 °F, cool-above: 80 °F, dehumidify-above: 50 %RH}
units:
  CR-1:
    type: cooling-with-electric-reheat
    zone: stacks
    options: {unoccupied-dehumidification: locked-out}
    inputs: {cool-1: CR1-COOL1, dehumidify: CR1-DEHUM, occupied: CR1-OCC}
points:
  CR1-COOL1: {driven-by: {call: cool-1, zone: stacks}}
  CR1-DEHUM: {driven-by: {call: dehumidify, zone: stacks}}
  CR1-OCC: {driven-by: {schedule: staff-hours}}
";

fn site(weather: &str) -> String {
    format!(
        "site: {{name: Example, time-zone: UTC, review: {{from: 2027-06-01, days: 20}}, weather: {{file: {weather}}}}}\n"
    )
}

/// Twenty days of June in the form of TMY3, all at one dew point in °C.
fn june(dew_point: f64) -> String {
    let mut file = "0,SALTMARSH,,0,35,-76,3\nDate (MM/DD/YYYY),Time (HH:MM),Dry-bulb (C),Dew-point (C),RHum (%),Pressure (mbar)\n".to_owned();
    for hour in 0..480 {
        let (day, hour) = (hour / 24 + 1, hour % 24 + 1);
        writeln!(file, "06/{day:02}/1999,{hour:02}:00,29.0,{dew_point:.1},-9900,1015").unwrap();
    }
    file
}

fn found(workspace: &mut Workspace, check: &str) -> Vec<String> {
    workspace.check(&|_, _| {});
    let files = workspace.files();
    let findings = files.iter().flat_map(|(id, _)| workspace.findings(*id));
    let wanted = findings.filter(|(_, finding)| finding.check.id == check);
    wanted.map(|(_, finding)| finding.message.clone()).collect()
}

fn folder(weather: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "job/site.yaml", &site(weather));
    write(folder.path(), "job/job.yaml", JOB);
    folder
}

fn write(folder: &Path, name: &str, text: &str) {
    let path = folder.join(name);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, text).unwrap();
}

#[test]
fn predictions_follow_the_weather_file() {
    let folder = folder("weather/june.csv");
    let mut workspace = Workspace::load(&folder.path().join("job"), &|_, _| {});
    assert!(found(&mut workspace, "import-unreadable")[0].contains("there is no such file"));
    assert!(found(&mut workspace, "predicted-too-humid").is_empty());

    write(folder.path(), "job/weather/june.csv", &june(25.0));
    workspace.refresh("weather/june.csv");
    assert!(found(&mut workspace, "import-unreadable").is_empty());
    assert!(found(&mut workspace, "predicted-too-humid")[0].starts_with("Prediction: "));

    write(folder.path(), "job/weather/june.csv", &june(8.0));
    workspace.refresh("weather/june.csv");
    assert!(found(&mut workspace, "predicted-too-humid").is_empty());

    // A site that points to a damper month draws the finding again, and back.
    write(folder.path(), "job/damp.csv", &june(25.0));
    let site_file = workspace.open("site.yaml", &site("damp.csv"));
    assert_eq!(found(&mut workspace, "predicted-too-humid").len(), 1);
    workspace.set_text(site_file, &site("weather/june.csv"));
    assert!(found(&mut workspace, "predicted-too-humid").is_empty());
}

#[test]
fn a_file_named_as_windows_does_is_the_same_file() {
    let folder = folder(r".\weather\june.csv");
    let mut workspace = Workspace::load(&folder.path().join("job"), &|_, _| {});
    assert_eq!(found(&mut workspace, "import-unreadable").len(), 1);
    write(folder.path(), "job/weather/june.csv", &june(25.0).replace('\n', "\r\n"));
    workspace.refresh("weather/june.csv");
    assert!(found(&mut workspace, "import-unreadable").is_empty());
    assert_eq!(found(&mut workspace, "predicted-too-humid").len(), 1);
}

#[test]
fn weather_outside_the_job_is_not_read() {
    for name in ["../june.csv", r"..\june.csv", r"C:\june.csv", r"\\server\share\june.csv"] {
        let folder = folder(name);
        write(folder.path(), "june.csv", &june(25.0));
        let mut workspace = Workspace::load(&folder.path().join("job"), &|_, _| {});
        assert_eq!(found(&mut workspace, "import-outside-job").len(), 1, "{name}");
        assert!(found(&mut workspace, "predicted-too-humid").is_empty(), "{name}");
    }
}

#[test]
fn bad_lines_are_named_and_cost_their_own_hour() {
    let folder = folder("june.csv");
    let file = june(25.0).replacen("25.0", "damp", 1);
    // A station's name need not be UTF-8.
    let mut bytes = file.into_bytes();
    bytes[2] = 0xe9;
    std::fs::write(folder.path().join("job/june.csv"), bytes).unwrap();
    let mut workspace = Workspace::load(&folder.path().join("job"), &|_, _| {});
    let messages = found(&mut workspace, "import-unreadable");
    assert!(
        messages.iter().any(|m| m.contains("line 3") && m.contains("`damp` is not a number")),
        "{messages:?}"
    );
    assert!(messages.iter().any(|m| m.contains("no reading for Jun 1 00:00")), "{messages:?}");
    assert_eq!(found(&mut workspace, "predicted-too-humid").len(), 1);
}
