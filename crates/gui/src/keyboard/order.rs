//! The order in which controls are read, which Tab follows.

use super::list_of;
use eframe::egui::{Context, Id, LayerId, Rect, WidgetRect, containers::menu::SubMenu};
use std::collections::{HashMap, HashSet};

/// A control that Tab stops at.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stop {
    pub layer: LayerId,
    pub id: Id,
    pub is_in_sight: bool,
    /// Its upper edge, points from that of the window.
    pub top: f32,
}

impl Stop {
    pub(super) fn of(widget: &WidgetRect) -> Self {
        let is_in_sight = widget.interact_rect.expand(0.5).contains_rect(widget.rect);
        Self { layer: widget.layer_id, id: widget.id, is_in_sight, top: widget.rect.top() }
    }
}

/// What Tab stops at in the latest pass, as it is read. What floats comes behind what opened it.
pub(super) fn stops(ctx: &Context) -> Vec<Stop> {
    let layers: Vec<LayerId> = ctx.memory(|m| {
        let mut layers = vec![LayerId::background()];
        layers.extend(m.layer_ids().filter(|layer| *layer != LayerId::background()));
        layers.retain(|layer| m.allows_interaction(*layer));
        layers
    });
    let mut stops: Vec<Stop> = Vec::new();
    for layer in layers {
        if stops.iter().any(|s| list_of(s.id) == layer.id) {
            continue;
        }
        let opens = |s: &Stop| s.id.with("popup") == layer.id || SubMenu::id_from_widget_id(s.id) == layer.id;
        let at = stops.iter().position(opens).map_or(stops.len(), |i| i + 1);
        let widgets: Vec<WidgetRect> = ctx.viewport(|v| v.this_pass.widgets.get_layer(layer).copied().collect());
        stops.splice(at..at, read(&widgets));
    }
    stops
}

/// A control, or what stands together.
struct Group {
    rect: Rect,
    stops: Vec<Stop>,
}

impl Group {
    /// Whether it stands at the left of `other`, in the same line.
    fn is_left_of(&self, other: &Self) -> bool {
        let (line, others) = (self.rect.y_range(), other.rect.y_range());
        let in_line = line.intersection(others).span() > 0.5 * line.span().min(others.span());
        in_line && self.rect.center().x <= other.rect.left() + 1.0
    }
}

/// The stops among the `widgets` of a layer in the order of reading: what stands in one line is
/// read from the left, though a line is often drawn from its right end and a column after the one
/// at its right.
fn read(widgets: &[WidgetRect]) -> Vec<Stop> {
    let known: HashSet<Id> = widgets.iter().map(|w| w.id).collect();
    let mut within: HashMap<Option<Id>, Vec<&WidgetRect>> = HashMap::new();
    for widget in widgets {
        let parent = (widget.parent_id != widget.id && known.contains(&widget.parent_id)).then_some(widget.parent_id);
        within.entry(parent).or_default().push(widget);
    }
    read_within(None, &mut within)
}

fn read_within(parent: Option<Id>, within: &mut HashMap<Option<Id>, Vec<&WidgetRect>>) -> Vec<Stop> {
    let mut groups: Vec<Group> = Vec::new();
    for widget in within.remove(&parent).unwrap_or_default() {
        let mut stops = read_within(Some(widget.id), within);
        if widget.enabled && widget.visible && widget.sense.is_focusable() {
            stops.insert(0, Stop::of(widget));
        }
        if !stops.is_empty() {
            let group = Group { rect: widget.rect, stops };
            let after = groups.iter().rev().take_while(|other| group.is_left_of(other)).count();
            groups.insert(groups.len() - after, group);
        }
    }
    groups.into_iter().flat_map(|group| group.stops).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::{Align, CentralPanel, Layout, Panel, RawInput};

    #[test]
    fn a_line_and_a_column_drawn_from_the_right_are_read_from_the_left() {
        let ctx = Context::default();
        let mut drawn: Vec<(&str, Id)> = Vec::new();
        for _ in 0..2 {
            drawn.clear();
            let output = ctx.run_ui(RawInput::default(), |ui| {
                Panel::right("right").show(ui, |ui| drawn.push(("last", ui.button("last").id)));
                CentralPanel::default().show(ui, |ui| {
                    ui.horizontal(|ui| {
                        drawn.push(("first", ui.button("first").id));
                        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                            drawn.push(("third", ui.button("third").id));
                            drawn.push(("second", ui.button("second").id));
                        });
                    });
                    drawn.push(("fourth", ui.button("fourth").id));
                });
            });
            output.drop_without_applying_deltas();
        }
        let named = |stop: &Stop| drawn.iter().find(|(_, id)| *id == stop.id).map_or("?", |(name, _)| name);
        let mut names: Vec<&str> = stops(&ctx).iter().map(named).collect();
        names.retain(|name| *name != "?");
        assert_eq!(names, ["first", "second", "third", "fourth", "last"]);
    }
}
