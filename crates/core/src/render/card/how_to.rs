//! The card as data that search engines and other programs read: a `HowTo` of schema.org, in JSON-LD.

use super::{CHECK_THE_LYE, Card, SAFETY};
use serde_json::{Value, json};

impl Card {
    /// The `HowTo`. What stands against the recipe comes before everything else in its description and as its
    /// first step.
    pub fn how_to(&self) -> Value {
        let stops = self.stops.iter().map(|stop| format!("STOP: {stop} "));
        let safety = SAFETY.join(" ");
        let description: String = stops.chain([format!("{} {safety} {CHECK_THE_LYE}", self.rests_on)]).collect();
        let quantity = |grams: f64| json!({ "@type": "QuantitativeValue", "value": grams, "unitCode": "GRM" });
        let supplies = self.lines.iter().map(
            |line| json!({ "@type": "HowToSupply", "name": line.name, "requiredQuantity": quantity(line.mass.0) }),
        );
        let section = |heading: &str, steps: &[String]| {
            let steps = steps.iter().enumerate();
            let steps = steps.map(|(i, text)| json!({ "@type": "HowToStep", "position": i + 1, "text": text }));
            json!({ "@type": "HowToSection", "name": heading, "itemListElement": steps.collect::<Vec<_>>() })
        };
        let stopped = (!self.stops.is_empty()).then(|| section("STOP", &self.stops));
        let method = self.method.iter().map(|passage| section(passage.heading, &passage.steps));
        let mut how_to = json!({
            "@context": "https://schema.org",
            "@type": "HowTo",
            "name": self.title,
            "description": description,
            "yield": self.yields,
            "supply": supplies.collect::<Vec<_>>(),
            "step": stopped.into_iter().chain(method).collect::<Vec<_>>(),
        });
        if let Some(mould) = &self.mould {
            how_to["tool"] = json!([{ "@type": "HowToTool", "name": format!("Mould, {mould}") }]);
        }
        how_to
    }

    /// The same as it may stand inside `<script>`: no name can end the element or open a comment.
    pub(super) fn how_to_script(&self) -> String {
        self.how_to().to_string().replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
    }
}
