//! What the user switches off: the section `drycall` of the editor's settings.
//!
//! A client that can be asked for its settings is asked at the start and at every change. One that
//! cannot says them in `initializationOptions`, or sends them along with the change.

use serde_json::Value;
use tower_lsp_server::Client;
use tower_lsp_server::ls_types::{ConfigurationItem, Registration};

/// The section's name.
const SECTION: &str = "drycall";

/// What is shown beside the text. All of it, until it is switched off.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Settings {
    /// `lens.hours`: hours of dehumidification above units and zones.
    pub(crate) lens_hours: bool,
    /// `hints.dewPoints`: dew points behind relative humidity limits.
    pub(crate) hint_dew_points: bool,
    /// `hints.hours`: hours a week behind the names of schedules.
    pub(crate) hint_hours: bool,
}

impl Settings {
    /// Reads the section, `{"lens": {"hours": false}}` and its like.
    pub(crate) fn of(section: &Value) -> Settings {
        let on = |group: &str, name: &str| {
            section.get(group).and_then(|group| group.get(name)?.as_bool()) != Some(false)
        };
        Settings {
            lens_hours: on("lens", "hours"),
            hint_dew_points: on("hints", "dewPoints"),
            hint_hours: on("hints", "hours"),
        }
    }

    /// Those that a client sends with a change, if they are among them.
    pub(crate) fn sent(settings: &Value) -> Option<Settings> {
        settings.get(SECTION).filter(|section| !section.is_null()).map(Settings::of)
    }
}

/// Asks the client for the settings; nothing where it has nothing to say of them, so that they stay as they
/// are.
pub(crate) async fn ask(client: Client) -> Option<Settings> {
    let item = ConfigurationItem { scope_uri: None, section: Some(SECTION.to_owned()) };
    match client.configuration(vec![item]).await {
        Ok(sections) => sections.first().filter(|section| !section.is_null()).map(Settings::of),
        Err(why) => {
            tracing::warn!("the client does not tell its settings: {why}");
            None
        }
    }
}

/// Asks the client to tell when the settings change.
pub(crate) async fn follow(client: Client) {
    let registration = Registration {
        id: "drycall-settings".to_owned(),
        method: "workspace/didChangeConfiguration".to_owned(),
        register_options: Some(serde_json::json!({"section": SECTION})),
    };
    if let Err(why) = client.register_capability(vec![registration]).await {
        tracing::warn!("the client does not tell when its settings change: {why}");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn everything_is_on_until_it_is_switched_off() {
        let all = Settings { lens_hours: true, hint_dew_points: true, hint_hours: true };
        for nothing in [json!(null), json!({}), json!([]), json!({"lens": 3, "hints": {"hours": "no"}})] {
            assert_eq!(Settings::of(&nothing), all);
        }
        let some = json!({"lens": {"hours": false}, "hints": {"dewPoints": true, "hours": false}});
        let wanted = Settings { lens_hours: false, hint_dew_points: true, hint_hours: false };
        assert_eq!(Settings::of(&some), wanted);
        assert_eq!(Settings::sent(&json!({"drycall": some})), Some(wanted));
        assert_eq!(Settings::sent(&json!({"other": {}})), None);
        assert_eq!(Settings::sent(&json!({"drycall": null})), None);
    }
}
