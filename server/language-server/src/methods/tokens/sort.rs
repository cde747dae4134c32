//! The sorts of words, in the protocol's own terms.

use model::{Kind, Symbol};
use tower_lsp_server::ls_types::{SemanticTokenModifier, SemanticTokenType, SemanticTokensLegend};

/// What a word is; the number is its place in the legend.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Sort {
    /// A section, and the words of logic.
    Keyword,
    /// A key of the format.
    Property,
    /// A point.
    Variable,
    /// A schedule or a calendar.
    Event,
    /// A zone.
    Struct,
    /// A unit.
    Type,
    /// A unit type.
    Class,
    /// A device.
    Namespace,
    /// An input.
    Parameter,
    /// An output.
    Function,
    /// A term.
    Macro,
    /// An option, and other names of a place's own.
    Enum,
    /// A choice, and words that the format fixes.
    EnumMember,
    /// Quantities, ranges, dates, times.
    Number,
    String,
}

/// Bits of the modifiers in the legend.
pub(super) const DECLARATION: u32 = 1;
pub(super) const LIBRARY: u32 = 2;

impl Sort {
    /// The sort of the names of a kind.
    pub(super) fn of(kind: Kind) -> Sort {
        match kind.symbol() {
            Symbol::Property => Sort::Property,
            Symbol::Event => Sort::Event,
            Symbol::Struct => Sort::Struct,
            Symbol::Object => Sort::Type,
            Symbol::Module => Sort::Namespace,
            Symbol::Variable => Sort::Variable,
            Symbol::Class => Sort::Class,
        }
    }

    /// The sort of the names that are listed behind a key.
    pub(super) fn listed(key: &str) -> Sort {
        match key {
            "inputs" => Sort::Parameter,
            "outputs" => Sort::Function,
            "terms" => Sort::Macro,
            _ => Sort::Enum,
        }
    }
}

/// The sorts and modifiers by their numbers.
pub(crate) fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: vec![
            SemanticTokenType::KEYWORD,
            SemanticTokenType::PROPERTY,
            SemanticTokenType::VARIABLE,
            SemanticTokenType::EVENT,
            SemanticTokenType::STRUCT,
            SemanticTokenType::TYPE,
            SemanticTokenType::CLASS,
            SemanticTokenType::NAMESPACE,
            SemanticTokenType::PARAMETER,
            SemanticTokenType::FUNCTION,
            SemanticTokenType::MACRO,
            SemanticTokenType::ENUM,
            SemanticTokenType::ENUM_MEMBER,
            SemanticTokenType::NUMBER,
            SemanticTokenType::STRING,
        ],
        token_modifiers: vec![SemanticTokenModifier::DECLARATION, SemanticTokenModifier::DEFAULT_LIBRARY],
    }
}
