//! The keyboard in the whole window: where Tab goes, where the focus comes back to, how it is seen.
//!
//! The toolkit goes through controls as they were drawn, forgets the focus at every Escape and
//! when its control goes, scrolls to nothing and tells focus from hover by a hair. What is done
//! about that stands here once, for all views.

mod order;

use crate::theme;
use eframe::egui::accesskit::{Action, ActionRequest, TreeId};
use eframe::egui::{
    Context, CornerRadius, Event, Id, Key, LayerId, Memory, Modifiers, Order, Plugin, Popup, RawInput, Response, Sense,
    Stroke, StrokeKind, SurrenderFocusOn, Theme, Ui, WidgetRect, containers::menu::MenuState,
};
use order::{Stop, stops};

/// What is known of the keyboard's way through the window.
#[derive(Debug, Default)]
pub struct Keyboard {
    /// The last control of each layer that had the focus, the latest last.
    trail: Vec<Stop>,
    /// Where the view begins, points from the top.
    top: f32,
    /// Whether nothing had the focus since the view was opened.
    is_new_view: bool,
    /// How many stops were before the latest of them.
    place: usize,
    /// Whether the hand is at the keyboard.
    at_keys: bool,
    /// What had the focus at the end of the pass before.
    had: Option<Id>,
    /// Whether the focus was lost by a key.
    is_lost: bool,
    /// Fields of this pass in which Enter goes on to the next.
    fields: Vec<Id>,
    /// The field that was entered in this pass.
    entered: Option<Id>,
    /// The default button of a dialog of this pass.
    default: Option<Id>,
    /// What Tab or Enter moved the focus to in this pass.
    moved_to: Option<Id>,
    /// A field with the focus whose text is as the design has it, in this pass and the one before.
    settled: [Option<Id>; 2],
    /// Where Enter or Space was pressed: a list closes then.
    pressed_in: Option<LayerId>,
    /// What has the focus as this pass begins.
    began_at: Option<Id>,
    /// The text that Enter was pressed in with Ctrl: it gives up the focus, so that what it holds is taken.
    commanded: Option<WidgetRect>,
    /// The same a pass later, if it was not refused.
    presses: Option<WidgetRect>,
    /// What is told in the next pass.
    later: Vec<Event>,
}

/// Gives the keyboard its ways; once, at the start.
pub fn install(ctx: &Context) {
    ctx.plugin_or_default::<Keyboard>();
    // Before anything that is clicked acts.
    ctx.options_mut(|o| o.input_options.surrender_focus_on = SurrenderFocusOn::Presses);
}

/// The list that a field opens, whose rows the arrow keys go through from the field: Tab passes by.
pub fn list_of(field: Id) -> Id {
    field.with("list")
}

/// Notes a field in which Enter goes on to the next, as it is drawn.
pub fn field(ui: &Ui, id: Id) {
    ui.ctx().with_plugin(|keyboard: &mut Keyboard| keyboard.fields.push(id));
}

/// Makes Enter pass by the field `id`, which is seldom typed into.
pub fn passed_by(ui: &Ui, id: Id) {
    ui.ctx().with_plugin(|keyboard: &mut Keyboard| keyboard.fields.retain(|field| *field != id));
}

/// Makes Enter go on from a line of text in a form to the next field.
pub fn goes_on(ui: &Ui, line: &Response) {
    field(ui, line.id);
    if line.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) {
        entered(ui, line.id);
    }
}

/// Goes on to the next field: what was typed into `id` is taken.
pub fn entered(ui: &Ui, id: Id) {
    ui.ctx().with_plugin(|keyboard: &mut Keyboard| keyboard.entered = Some(id));
}

/// Keeps the focus in the field of `response` once Enter took what was typed: nothing that follows goes on from it.
pub fn stays(ui: &Ui, response: &Response) {
    if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) {
        ui.ctx().with_plugin(|keyboard: &mut Keyboard| keyboard.entered = None);
        response.request_focus();
    }
}

/// Notes that the text in the field `id`, which has the focus, is as the design has it, so that
/// undo is the design's.
pub fn settled(ui: &Ui, id: Id) {
    ui.ctx().with_plugin(|keyboard: &mut Keyboard| keyboard.settled[0] = Some(id));
}

/// Leaves undo to the design until something is typed into the `text`, which is taken as it is typed;
/// from then on it is the text's own.
pub fn undo_of(ui: &Ui, text: &Response) {
    let id = text.id.with("typed");
    let typed = text.has_focus() && (text.changed() || ui.data(|d| d.get_temp(id)).unwrap_or(false));
    ui.data_mut(|d| d.insert_temp(id, typed));
    if text.has_focus() && !typed {
        settled(ui, text.id);
    }
}

/// Whether the field with the focus holds text that is not taken, which undo is for first.
pub fn is_typing(ctx: &Context) -> bool {
    let settled = ctx.with_plugin(|keyboard: &mut Keyboard| keyboard.settled).unwrap_or_default();
    ctx.text_edit_focused() && ctx.memory(Memory::focused).is_some_and(|id| !settled.contains(&Some(id)))
}

/// Whether Tab or Enter moved the focus to `id` in this pass, and no click or command.
pub fn came_by_key(ui: &Ui, id: Id) -> bool {
    ui.ctx().with_plugin(|keyboard: &mut Keyboard| keyboard.moved_to == Some(id)).unwrap_or(false)
}

/// Whether the dialog that `ui` is in was not there before this pass; it may have been under another.
pub fn is_new(ui: &Ui) -> bool {
    !is_on_top(ui) && !ui.memory(|m| m.areas().visible_last_frame(&ui.layer_id()))
}

/// Whether the dialog that `ui` is in was above all others before this pass.
pub fn is_on_top(ui: &Ui) -> bool {
    ui.memory(Memory::top_modal_layer) == Some(ui.layer_id())
}

/// Whether Enter asks for the default button of the dialog that `ui` is in: it was pressed in a line
/// of text, or nowhere. A button with the focus is pressed itself, and a field may go on to the next.
pub fn enters(ui: &Ui) -> bool {
    let goes_on = ui.ctx().with_plugin(|keyboard: &mut Keyboard| keyboard.entered.is_some()).unwrap_or(false);
    let is_free = ui.memory(|m| m.focused().is_none());
    is_free && !goes_on && is_on_top(ui) && ui.input(|i| i.key_pressed(Key::Enter))
}

/// Whether Enter with Ctrl was pressed in a text beside the coloured button that is drawn in `ui`; what the text holds is
/// taken by then. In a box of many lines Enter alone is a new line.
pub fn enters_from_text(ui: &Ui) -> bool {
    let is_free = ui.memory(Memory::top_modal_layer).is_none_or(|layer| layer == ui.layer_id());
    let sight = ui.clip_rect();
    ui.ctx()
        .with_plugin(|keyboard: &mut Keyboard| {
            let is_beside = |from: &mut WidgetRect| from.layer_id == ui.layer_id() && sight.intersects(from.rect);
            is_free && keyboard.presses.take_if(is_beside).is_some()
        })
        .unwrap_or(false)
}

/// Notes the default button of a dialog, as it is drawn.
pub fn default(ui: &Ui, id: Id) {
    ui.ctx().with_plugin(|keyboard: &mut Keyboard| keyboard.default = Some(id));
}

/// Whether the focus is in the layer that `ui` is in.
pub fn is_within(ui: &Ui) -> bool {
    ui.memory(Memory::focused).and_then(|id| layer_in_this_pass(ui.ctx(), id)) == Some(ui.layer_id())
}

/// Makes what is drawn already one that can be clicked and tabbed to. The toolkit takes the focus
/// from whatever is drawn as text, so it is given back first.
pub fn sense_click(response: &Response) -> Response {
    if response.sense.senses_click() {
        return response.clone();
    }
    let began_at = response.ctx.with_plugin(|keyboard: &mut Keyboard| keyboard.began_at).flatten();
    if began_at == Some(response.id) && response.ctx.memory(|m| m.focused().is_none()) {
        response.request_focus();
    }
    response.interact(Sense::click())
}

/// Takes the focus out of a view that is left, which began `top` points below the edge of the window, and forgets where
/// it was.
pub fn leave(ctx: &Context, top: f32) {
    let focused = ctx.memory(Memory::focused);
    let is_left = |w: &WidgetRect| w.layer_id == LayerId::background() && w.rect.top() >= top;
    // What was never drawn is given the focus in the view that comes.
    if let Some(id) = focused.filter(|id| ctx.viewport(|v| v.this_pass.widgets.get(*id).is_some_and(is_left))) {
        ctx.memory_mut(|m| m.surrender_focus(id));
    }
    ctx.with_plugin(|keyboard: &mut Keyboard| {
        keyboard.trail.clear();
        keyboard.had = None;
        keyboard.is_new_view = true;
    });
}

/// Notes where the view begins, points below the edge of the window: in a new one the first Tab goes to the first control
/// of it.
pub fn begins(ctx: &Context, top: f32) {
    ctx.with_plugin(|keyboard: &mut Keyboard| keyboard.top = top);
}

impl Keyboard {
    /// The focus goes to `stop`, which comes into sight; told as a screen reader would.
    fn go(stop: &Stop, input: &mut RawInput) {
        let ask = |action| {
            let target_node = stop.id.accesskit_id();
            Event::AccessKitActionRequest(ActionRequest { action, target_node, target_tree: TreeId::ROOT, data: None })
        };
        input.events.push(ask(Action::Focus));
        if !stop.is_in_sight {
            input.events.push(ask(Action::ScrollIntoView));
        }
    }

    /// Tab and its reverse, from the control with the focus, else from where it was last.
    fn tab(&mut self, ctx: &Context, input: &mut RawInput) {
        let mut turns = Vec::new();
        input.events.retain(|event| match event {
            Event::Key { key: Key::Tab, pressed: true, modifiers, .. }
                if *modifiers == Modifiers::NONE || modifiers.shift_only() =>
            {
                turns.push(modifiers.shift);
                false
            }
            _ => true,
        });
        if turns.is_empty() {
            return;
        }
        let stops = stops(ctx);
        let at = |id: Id| stops.iter().position(|s| s.id == id);
        let focused = ctx.memory(Memory::focused);
        let mut here = focused.into_iter().chain(self.trail.iter().rev().map(|s| s.id)).find_map(at);
        let is_new_view = std::mem::take(&mut self.is_new_view);
        let first = stops.iter().position(|s| is_new_view && s.top >= self.top).unwrap_or(0);
        for back in turns {
            let last = stops.len().saturating_sub(1);
            here = Some(match (here, back) {
                (None, false) => first,
                (None, true) => first.checked_sub(1).unwrap_or(last),
                (Some(i), false) => (i + 1) % stops.len(),
                (Some(i), true) => i.checked_sub(1).unwrap_or(last),
            });
        }
        if let Some(stop) = here.and_then(|i| stops.get(i)) {
            self.moved_to = Some(stop.id);
            Self::go(stop, input);
        }
    }

    /// Where the keys of this pass move the focus.
    fn steer(&mut self, ctx: &Context, input: &mut RawInput, focused: Option<Id>) {
        for event in &input.events {
            match event {
                Event::Key { key, pressed: true, modifiers, .. } => {
                    self.at_keys = true;
                    // By the event itself: on a slow machine the keys are let go in the same frame.
                    if *key == Key::Enter && modifiers.matches_exact(Modifiers::COMMAND) && ctx.text_edit_focused() {
                        self.commanded = focused.and_then(|id| ctx.viewport(|v| v.this_pass.widgets.get(id).copied()));
                    }
                    if matches!(key, Key::Enter | Key::Space) {
                        self.pressed_in = focused.and_then(|id| layer_in_this_pass(ctx, id));
                    }
                }
                Event::PointerButton { pressed: true, .. } => self.at_keys = false,
                _ => {}
            }
        }
        let is_lost = std::mem::take(&mut self.is_lost) && focused.is_none();
        let asked = |e: &Event| matches!(e, Event::AccessKitActionRequest(r) if r.action == Action::Focus);
        if self.next_field(ctx, input) || input.events.iter().any(asked) {
            return;
        }
        self.tab(ctx, input);
        if is_lost
            && self.moved_to.is_none()
            && self.at_keys
            && let Some(home) = self.home(ctx)
        {
            self.moved_to = Some(home.id);
            Self::go(&home, input);
        }
    }

    /// The field after the one that was entered, at the end the default button; else the last keeps
    /// the focus.
    fn next_field(&mut self, ctx: &Context, input: &mut RawInput) -> bool {
        let Some(entered) = self.entered.take() else { return false };
        let stops = stops(ctx);
        let Some(at) = stops.iter().position(|s| s.id == entered) else { return false };
        let after = &stops[at + 1..];
        let next = after
            .iter()
            .find(|s| self.fields.contains(&s.id))
            .or_else(|| after.iter().find(|s| Some(s.id) == self.default));
        let next = next.unwrap_or(&stops[at]);
        self.moved_to = Some(next.id);
        Self::go(next, input);
        true
    }

    /// Where a focus that was lost comes back to: what opened the list or the dialog that is gone,
    /// the field that Escape left, the control before one that is gone.
    fn home(&self, ctx: &Context) -> Option<Stop> {
        let latest = self.trail.last()?;
        let stops = stops(ctx);
        let known = self.trail.iter().rev().find_map(|t| stops.iter().find(|s| s.id == t.id));
        let layer_stays = || stops.iter().any(|s| s.layer == latest.layer);
        if known.is_none_or(|s| s.layer != latest.layer) && layer_stays() {
            return stops.get(self.place.saturating_sub(1)).or(stops.last()).copied();
        }
        known.copied()
    }

    /// Notes the control with the focus.
    fn remember(&mut self, ctx: &Context, stop: Stop) {
        if self.trail.last().is_some_and(|t| t.id == stop.id) {
            return;
        }
        self.trail.retain(|t| t.layer != stop.layer);
        self.trail.push(stop);
        self.place = stops(ctx).iter().position(|s| s.id == stop.id).unwrap_or(0);
    }
}

/// Whether `event` goes to what has the focus.
const fn is_typed(event: &Event) -> bool {
    matches!(
        event,
        Event::Text(_) | Event::Paste(_) | Event::Copy | Event::Cut | Event::Ime(_) | Event::Key { pressed: true, .. }
    )
}

const fn is_press(event: &Event) -> bool {
    matches!(event, Event::PointerButton { pressed: true, .. })
}

/// Where `events` are to be parted between two passes: who types fast, or on a slow machine, has typed a digit and Tab
/// in one, and each must find the field that it is meant for. All that follows waits too, so that nothing overtakes.
fn apart(events: &[Event]) -> Option<usize> {
    let (mut typed, mut gone_on, mut left) = (false, false, false);
    events.iter().position(|event| {
        let (mut goes_on, mut leaves, mut gives_up) = (false, false, false);
        // Enter that is held down makes lines; nobody goes through fields with it.
        if let Event::Key { key, pressed: true, modifiers, repeat, .. } = event {
            goes_on = *key == Key::Tab && (*modifiers == Modifiers::NONE || modifiers.shift_only());
            leaves = !repeat && matches!(key, Key::Enter | Key::Escape);
            gives_up = leaves && (*key == Key::Escape || modifiers.matches_exact(Modifiers::COMMAND));
        }
        let acts = is_typed(event) || is_press(event);
        if acts && (left || gone_on && !goes_on) || typed && (goes_on || gives_up || is_press(event)) {
            return true;
        }
        gone_on |= goes_on;
        left |= leaves;
        typed |= is_typed(event) && !goes_on;
        false
    })
}

impl Plugin for Keyboard {
    fn debug_name(&self) -> &'static str {
        "keyboard"
    }

    fn input_hook(&mut self, ctx: &Context, input: &mut RawInput) {
        self.moved_to = None;
        self.pressed_in = None;
        // A text that was refused has the focus again.
        self.presses = self.commanded.take().filter(|_| ctx.memory(Memory::focused).is_none());
        if self.presses.is_some() {
            self.entered = None;
        }
        let mut earlier = std::mem::take(&mut self.later);
        if !earlier.is_empty() {
            earlier.append(&mut input.events);
            input.events = earlier;
        }
        // Where Enter leads on in this pass, the field has the focus and shows its number as chosen from the next.
        let parted = if self.entered.is_some() {
            input.events.iter().position(|event| is_typed(event) || is_press(event))
        } else {
            apart(&input.events)
        };
        if let Some(at) = parted {
            self.later = input.events.split_off(at);
        }
        let focused = ctx.memory(Memory::focused);
        // A field gives up the focus at the press, so a release that comes with it waits: what is
        // typed is taken before what is clicked acts, wherever either is drawn.
        let released = |e: &Event| matches!(e, Event::PointerButton { pressed: false, .. });
        if let Some(press) = input.events.iter().position(is_press)
            && focused.is_some()
            && let Some(release) = input.events.iter().skip(press).position(released)
        {
            let mut later = input.events.split_off(press + release);
            later.append(&mut self.later);
            self.later = later;
        }
        if !self.later.is_empty() {
            ctx.request_repaint();
        }
        self.steer(ctx, input, focused);
    }

    fn on_begin_pass(&mut self, ui: &mut Ui) {
        self.began_at = ui.memory(Memory::focused);
        if let Some(text) = &self.commanded {
            ui.memory_mut(|m| m.surrender_focus(text.id));
        }
        self.fields.clear();
        self.default = None;
        self.settled = [None, self.settled[0]];
    }

    fn on_end_pass(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        if let Some(layer) = self.pressed_in
            && layer.order == Order::Foreground
            && Popup::is_any_open(&ctx)
            && MenuState::is_deepest_open_sub_menu(&ctx, layer.id)
            && ctx.memory(Memory::top_modal_layer) != Some(layer)
        {
            // As a click does.
            Popup::close_all(&ctx);
        }
        if self.entered.is_some() || self.commanded.is_some() {
            ctx.request_repaint();
        }
        let focused = ctx.memory(Memory::focused);
        let widget = focused.and_then(|id| ctx.viewport(|v| v.this_pass.widgets.get(id).copied()));
        let widget = widget.filter(|w| w.enabled && w.sense.is_focusable());
        // What was never seen was given the focus in advance.
        let is_gone = focused.is_none_or(|id| widget.is_none() && self.trail.iter().any(|t| t.id == id));
        let sought = focused.is_some() && self.moved_to == focused;
        if is_gone && (self.had.is_some() || sought) && self.at_keys {
            self.is_lost = true;
            ctx.request_repaint();
        }
        self.had = focused.filter(|_| !is_gone);
        if let Some(id) = focused.filter(|_| is_gone) {
            ctx.memory_mut(|m| m.surrender_focus(id));
        }
        let Some(widget) = widget else { return };
        self.remember(&ctx, Stop::of(&widget));
        if ctx.input(|i| i.focused) && widget.interact_rect.is_positive() {
            ring(&ctx, &widget);
        }
    }
}

/// Draws the mark of the focus around `widget`.
fn ring(ctx: &Context, widget: &WidgetRect) {
    let tokens = if ctx.theme() == Theme::Dark { &theme::DARK } else { &theme::LIGHT };
    let stroke = Stroke::new(2.0, tokens.focus);
    // Whole too where the widget reaches the edge of the window.
    let at = widget.interact_rect.expand(2.0).intersect(ctx.content_rect());
    ctx.layer_painter(widget.layer_id).rect_stroke(at, CornerRadius::same(6), stroke, StrokeKind::Inside);
}

fn layer_in_this_pass(ctx: &Context, id: Id) -> Option<LayerId> {
    ctx.viewport(|v| v.this_pass.widgets.get(id).map(|w| w.layer_id))
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::{PointerButton, Pos2};

    fn key(key: Key, modifiers: Modifiers, repeat: bool) -> Event {
        Event::Key { key, physical_key: None, pressed: true, repeat, modifiers }
    }

    #[test]
    fn each_key_that_moves_the_focus_parts_what_is_typed_before_from_what_is_typed_after() {
        let text = || Event::Text("7".into());
        let (tab, enter) = (key(Key::Tab, Modifiers::NONE, false), key(Key::Enter, Modifiers::NONE, false));
        let command = key(Key::Enter, Modifiers::COMMAND, false);
        let escape = key(Key::Escape, Modifiers::NONE, false);
        let held = key(Key::Enter, Modifiers::NONE, true);
        let modifiers = Modifiers::NONE;
        let press = Event::PointerButton { pos: Pos2::ZERO, button: PointerButton::Primary, pressed: true, modifiers };
        for (events, parted) in [
            (vec![text(), text()], None),
            (vec![text(), enter.clone()], None),
            (vec![text(), tab.clone(), text()], Some(1)),
            (vec![tab.clone(), tab.clone(), text()], Some(2)),
            (vec![text(), enter.clone(), text()], Some(2)),
            (vec![enter, tab], Some(1)),
            (vec![held.clone(), held.clone(), held], None),
            (vec![text(), command], Some(1)),
            (vec![text(), escape], Some(1)),
            (vec![text(), press], Some(1)),
        ] {
            assert_eq!(apart(&events), parted, "{events:?}");
        }
    }
}
