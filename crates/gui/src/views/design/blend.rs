//! Left column, upper part: the name of the design and a row for each fat.

use super::controls::add_row;
use super::form::{BlendForm, FatForm, SupplierForm};
use super::{DesignView, Own, Scene};
use crate::keyboard;
use crate::open::OpenDesign;
use crate::theme::{self, Tokens, fat_colour};
use crate::views::figures::Figures;
use crate::views::{Changes, Request};
use crate::widgets::number_field::{Entry, NumberField, complain};
use crate::widgets::picker::Picked;
use crate::widgets::{self, cut, name, section, small, unseen};
use barwright_core::chemistry::inputs::about_saponification_value;
use barwright_core::design::blend::{Blend, FatLine};
use barwright_core::design::edit::Edit;
use barwright_core::design::shelf::ShelfEdit;
use barwright_core::design::supplier::Certificate;
use barwright_core::evaluate::effect_of_adding;
use barwright_core::library::estimates::{Estimate, Scores, largest};
use barwright_core::library::fats::Fat;
use barwright_core::library::material::MaterialId;
use barwright_core::number::{self, fixed, short, signed};
use barwright_core::quantities::{About, FatMass, Shares};
use barwright_core::units::Share;
use eframe::egui::{self, Align, CornerRadius, Id, Layout, RichText, Sense, Stroke, TextEdit, Ui, vec2};
use std::sync::Arc;

/// The share that a fat gets when it is added, percent.
const NEW_SHARE: f64 = 5.0;

/// Id of the field that adds a fat.
pub fn picker_id() -> Id {
    Id::unique("add a fat")
}

/// Draws the rows.
pub fn show(ui: &mut Ui, open: &OpenDesign, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes) {
    let (design, evaluation) = (Arc::clone(open.design()), open.evaluation(scene.library));
    let of = Figures::shown(About::new(&design, &evaluation, scene.library), scene.measures);
    let mut title = design.name.clone();
    let field = TextEdit::singleline(&mut title)
        .id(Id::unique(("design name", open.key)))
        .hint_text("Name of the design")
        .font(theme::strong(16.0))
        .frame(egui::Frame::new())
        .margin(egui::Margin::symmetric(0, 2))
        .char_limit(200)
        .desired_width(f32::INFINITY);
    let response = ui.add(field);
    name(ui, &response, "Name of the design");
    // A line under it says that it is a field, as large as it is.
    let line = Stroke::new(1.0, Tokens::of(ui).line);
    ui.painter().hline(response.rect.x_range(), response.rect.bottom(), line);
    keyboard::undo_of(ui, &response);
    if response.changed() {
        changes.gesture(Edit::Rename(title), response.id);
    }
    changes.watch(&response);

    ui.add_space(2.0);
    ui.horizontal(|ui| {
        section(ui, "Blend");
        sitting(ui, view, &design.blend);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let off = off_whole(&design.blend);
            let colour = if off.is_none() { Tokens::of(ui).quiet } else { Tokens::of(ui).stop };
            of.drawn(ui, Shares, |ui, total| {
                let text = off.map_or_else(|| total.clone(), |off| format!("{total}, {off}"));
                ui.label(RichText::new(text).font(theme::strong(12.5)).color(colour))
            });
        });
    });
    if scene.hints && !design.blend.lines().is_empty() {
        small(ui, "Move a slider: the unlocked fats give way and every number follows.");
    }
    view.held = None;
    for (index, line) in design.blend.lines().iter().enumerate() {
        row(ui, open, (index, line), of, view, scene, changes);
    }

    ui.add_space(4.0);
    let note = |fat: &Arc<Fat>| {
        if design.blend.line(&fat.id).is_some() {
            return Some("in the blend: Enter goes to its share".to_owned());
        }
        if fat.profile().is_empty() {
            return Some("its fatty acids are not tabled".to_owned());
        }
        effect_of_adding(&design, fat, Share::nearest(NEW_SHARE), scene.library).map(|e| effect_words(&e))
    };
    // Fats that only this design knows can be taken up again.
    let mut addable: Vec<_> = scene.library.fats().to_vec();
    addable.extend(design.spare.fats.iter().filter(|f| scene.library.fat(f.id.as_str()).is_none()).cloned());
    let of_shelf: Vec<_> =
        scene.own().fats.iter().filter(|f| !addable.iter().any(|known| known.id == f.id)).cloned().collect();
    addable.extend(of_shelf);
    // Who looks for a fat that is in the blend is told so, and goes on at its share.
    let is_in = |fat: &Arc<Fat>| design.blend.line(&fat.id).is_some();
    if view.picker.is_empty() {
        addable.retain(|fat| !is_in(fat));
    } else {
        let own = design.blend.lines().iter().filter(|l| !addable.iter().any(|known| known.id == l.fat.id));
        let own: Vec<_> = own.map(|line| Arc::clone(&line.fat)).collect();
        addable.extend(own);
    }
    let (chosen, list) = add_row(ui, "Type or paste a list…", |ui| {
        let own = ["a fat of your own"];
        view.picker.show_with_own(ui, picker_id(), "Add a fat…", &scene.library.names, (&addable, &own), note)
    });
    if let Some(Picked::Own(_, name)) = &chosen {
        view.open_own(Own::Fat, name.clone());
    }
    if let Some(Picked::Known(fat)) = chosen {
        // The hand goes on at its share.
        ui.memory_mut(|m| m.request_focus(share_id(open, &fat.id).with("field")));
        let (share, held) = (Share::nearest(NEW_SHARE), view.typed.clone());
        match (is_in(&fat), held.is_empty()) {
            (true, _) => {}
            (false, true) => changes.edit(Edit::AddFat(fat, share)),
            (false, false) => changes.edit(Edit::TypeFat { fat, share, held }),
        }
    }
    if list {
        view.open(BlendForm::new(scene.measures.mass));
    }
    if let Some((
        Edit::AddFat(..) | Edit::TypeFat { .. } | Edit::FillBlend | Edit::RemoveFat(_) | Edit::DefineFat(_),
        error,
    )) = &open.refused
    {
        complain(ui, &error.to_string());
    }
}

/// What of a blend is still free, or too much; `None` where it is whole or empty.
pub fn off_whole(blend: &Blend) -> Option<String> {
    if blend.is_whole() || blend.lines().is_empty() {
        return None;
    }
    let free = Share::MAX - blend.total();
    let percent = short(free.abs(), 2);
    Some(if free > 0.0 { format!("{percent} % still free") } else { format!("{percent} % too much") })
}

/// That typed shares hold, with a way to let them give way again.
fn sitting(ui: &mut Ui, view: &mut DesignView, blend: &Blend) {
    view.typed.retain(|id| blend.line(id).is_some());
    let count = view.typed.len();
    if count == 0 {
        return;
    }
    let text = if count == 1 { "1 typed share holds".to_owned() } else { format!("{count} typed shares hold") };
    small(ui, text).on_hover_text(
        "What you type in one sitting holds, and the other fats give way. Moving a slider ends the sitting",
    );
    let release = ui.small_button("×");
    name(ui, &release, "Let typed shares give way again");
    if release.on_hover_text("Let them give way again").clicked() {
        view.typed.clear();
    }
}

/// The three largest changes in words: "+3 hardness, −2 keeping".
fn effect_words(effect: &Scores) -> String {
    let moves = largest(Estimate::ALL.map(|e| (e, effect.get(e))), 3, 0.05);
    let word = |(e, v): (Estimate, f64)| format!("{} {}", e.name().to_lowercase(), signed(v, e.decimals().max(1)));
    let words: Vec<String> = moves.into_iter().map(word).collect();
    if words.is_empty() { "with 5 %: next to no change".into() } else { format!("with 5 %: {}", words.join(", ")) }
}

/// The number of the fat at `index` of the blend.
pub fn number_of(index: usize) -> String {
    (index + 1).to_string()
}

fn share_id(open: &OpenDesign, fat: &MaterialId) -> Id {
    Id::unique(("share", open.key, fat.as_str()))
}

/// What is known of a fat, for the tooltip of its name.
fn about(line: &FatLine, scene: &Scene<'_>) -> String {
    let fat = &line.fat;
    let acids = &scene.library.acids;
    let range = fat.sv.value;
    let mut lines = vec![
        format!("{} ({})", fat.name, fat.kind.words()),
        format!(
            "Saponification value {} to {} mg KOH/g, {}: {}",
            short(range.min(), 1),
            short(range.max(), 1),
            fat.sv.trust.words(),
            fat.sv.source,
        ),
        match line.supplier {
            Some(s) => format!("The lye uses the supplier’s {} ± {}", short(s.sv.get(), 2), short(s.pm.get(), 2)),
            None => format!("The lye uses {}", about_saponification_value(line).value),
        },
    ];
    lines.extend(fat.calculated_sv(acids).map(|sv| format!("Calculated from its fatty acids: {}", fixed(sv, 1))));
    let mut profile: Vec<_> = fat.profile().iter().collect();
    profile.sort_by(|a, b| b.typical.total_cmp(&a.typical));
    let most: Vec<String> =
        profile.iter().take(5).map(|e| format!("{} {} %", acids.get(e.acid).name, fixed(e.typical, 0))).collect();
    if let Some(acids) = &line.acids {
        let count = acids.listed().len();
        lines.push(format!("{count} of its fatty acids are from the supplier’s certificate"));
    }
    lines.push(if most.is_empty() {
        "Its fatty acids are not tabled: the estimates leave it out".into()
    } else {
        format!("Mostly {}", most.join(", "))
    });
    lines.join("\n")
}

fn row(
    ui: &mut Ui,
    open: &OpenDesign,
    (index, line): (usize, &FatLine),
    of: Figures<'_>,
    view: &mut DesignView,
    scene: &Scene<'_>,
    changes: &mut Changes,
) {
    const FIELD: f32 = 62.0;
    const MASS: f32 = 66.0;
    const ICON: f32 = 22.0;
    const SWATCH: f32 = 15.0;
    // What a slider needs at the least, and where there is more room.
    const SLIDER: f32 = 140.0;
    const LONG_SLIDER: f32 = 244.0;
    let fat = &line.fat;
    let tokens = Tokens::of(ui);
    let base = share_id(open, &fat.id);
    let field = NumberField {
        id: base.with("field"),
        name: &format!("Share of {}, percent", fat.name),
        shown: &format!("{} %", fixed(line.share.get(), usize::from(line.share.get() < 99.95))),
        width: FIELD,
        hint: "",
    };
    let height = 30.0;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let mut ui_row =
        ui.new_child(egui::UiBuilder::new().id_salt(base).max_rect(rect).layout(Layout::left_to_right(Align::Center)));
    let ui_row = &mut ui_row;
    ui_row.spacing_mut().item_spacing.x = 7.0;

    let (swatch, _) = ui_row.allocate_exact_size(vec2(SWATCH, 18.0), Sense::hover());
    let colour = fat_colour(fat.id.as_str());
    ui_row.painter().rect_filled(swatch, CornerRadius::same(3), colour);
    // The number by which it is found in the chart of the acids.
    cut::write_on(ui_row.painter(), swatch, colour, &number_of(index));
    // The grams stand under "To weigh" too; a narrow column does without them here.
    let with_mass = rect.width() > 430.0;
    let mass_width = if with_mass { MASS + 7.0 } else { 0.0 };
    let fixed_width = FIELD + mass_width + 2.0 * ICON + 7.0 * 5.0 + SWATCH;
    let free = (rect.width() - fixed_width).max(160.0);
    let slider_width = if with_mass { (free - 140.0).clamp(SLIDER, LONG_SLIDER) } else { SLIDER.min(free - 70.0) };
    let label_width = free - slider_width;
    let label = ui_row.allocate_ui_with_layout(vec2(label_width, height), Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_width(label_width);
        // A star: figures of a certificate.
        let star = if line.certificate() == Certificate::default() { "" } else { " *" };
        let seen = if line.supplier.is_some() { "" } else { unseen::sign(fat.sv.trust) };
        cut::two_lines(ui, &format!("{}{star}{seen}", fat.name), label_width)
    });
    label.inner.on_hover_ui(|ui| {
        ui.label(about(line, scene));
    });

    let (least, most) = open.design().blend.room(&fat.id).unwrap_or((Share::MIN, Share::MAX));
    let mut value = line.share.get();
    let enabled = !line.locked && least < most;
    let slider = widgets::slider(ui_row, enabled, slider_width, &mut value, Share::MIN..=Share::MAX, None);
    name(ui_row, &slider, &format!("Share of {}", fat.name));
    if slider.changed() {
        view.typed.clear();
        changes.gesture(Edit::Share(fat.id.clone(), Share::nearest(value.clamp(least, most))), slider.id);
    }
    if slider.dragged() {
        view.held = Some(fat.id.clone());
    }
    changes.watch(&slider);
    if line.locked {
        slider.on_disabled_hover_text("Locked: unlock it to move the slider, or type the share");
    } else if least >= most {
        slider.on_disabled_hover_text("Every other fat is locked: unlock one so that it can give way");
    }

    let read = |text: &str| {
        let value = number::parse(text, &["%"]).map_err(|e| e.to_string())?;
        Share::new(value).map_err(|e| e.to_string())
    };
    let step = |by: f64| Share::nearest(widgets::stepped(line.share.get(), by).clamp(least, most));
    let (response, entry) = field.show(ui_row, read);
    match entry {
        Entry::Typed(share) => {
            // What is typed in one sitting holds.
            view.typed.retain(|id| *id != fat.id);
            changes.edit(Edit::TypeShare { fat: fat.id.clone(), share, held: view.typed.clone() });
            view.typed.push(fat.id.clone());
        }
        Entry::Steps(steps) => {
            view.typed.clear();
            changes.gesture(Edit::Share(fat.id.clone(), step(steps)), response.id);
        }
        Entry::None => {}
    }
    changes.watch(&response);

    if with_mass {
        ui_row.allocate_ui_with_layout(vec2(MASS, height), Layout::right_to_left(Align::Center), |ui| {
            ui.set_min_width(MASS);
            of.drawn(ui, FatMass(fat.id.clone()), |ui, mass| ui.label(RichText::new(mass).color(tokens.quiet)));
        });
    }
    lock(ui_row, line, changes);
    let menu = egui::Button::new(RichText::new("…").color(tokens.quiet)).frame(false).min_size(vec2(ICON - 4.0, 22.0));
    let menu =
        egui::containers::menu::MenuButton::from_button(menu).ui(ui_row, |ui| more(ui, line, view, scene, changes)).0;
    name(ui_row, &menu, &format!("{}: more", fat.name));
    menu.on_hover_text("Replace it, its certificate, remove it");

    NumberField::complaint(ui, field.id);
    if let Some((Edit::Share(id, _) | Edit::TypeShare { fat: id, .. } | Edit::RemoveFat(id), error)) = &open.refused
        && *id == fat.id
    {
        complain(ui, &error.to_string());
    }
}

/// What else can be done with a fat.
fn more(ui: &mut Ui, line: &FatLine, view: &mut DesignView, scene: &Scene<'_>, changes: &mut Changes) {
    let id = &line.fat.id;
    if ui.button(if line.locked { "Unlock the share" } else { "Lock the share" }).clicked() {
        changes.edit(Edit::Lock(id.clone(), !line.locked));
    }
    let is_own = scene.library.fat(id.as_str()).is_none();
    if is_own && ui.button("Change its figures…").clicked() {
        view.open(FatForm::of(line.published(), &scene.library.acids));
    }
    if is_own && !scene.own().fats.contains(line.published()) {
        keep(ui, ShelfEdit::OwnFat(Arc::clone(line.published())), changes);
    }
    if ui.button("Supplier’s certificate…").clicked() {
        view.open(SupplierForm::of(line));
    }
    let replace = ui.button("Replace with…");
    if replace.on_hover_text("Find the nearest blend without this fat").clicked() {
        changes.request(Request::Replace(id.clone()));
    }
    if ui.button("Remove from the blend").clicked() {
        changes.edit(Edit::RemoveFat(id.clone()));
    }
}

/// Offers to keep a material of one’s own on the shelf.
pub(super) fn keep(ui: &mut Ui, edit: ShelfEdit, changes: &mut Changes) {
    let button = ui.button("Keep on the shelf");
    if button.on_hover_text("Then it can be added to every design").clicked() {
        changes.request(Request::OnShelf(vec![edit]));
    }
}

/// The padlock: drawn by hand, since no face has both states at one size.
fn lock(ui: &mut Ui, line: &FatLine, changes: &mut Changes) {
    let tokens = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(22.0, 22.0), Sense::click());
    let label = format!("Lock {}", line.fat.name);
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::CheckBox, ui.is_enabled(), line.locked, &label));
    let colour = if line.locked { tokens.accent } else { tokens.edge };
    if response.hovered() {
        let edge = egui::Stroke::new(1.0, tokens.line);
        ui.painter().rect(rect, CornerRadius::same(4), tokens.panel, edge, egui::StrokeKind::Inside);
    }
    let stroke = egui::Stroke::new(1.5, colour);
    let body = egui::Rect::from_center_size(rect.center() + vec2(0.0, 3.0), vec2(11.0, 8.0));
    let top = body.top();
    let (left, right) = (body.left() + 2.5, body.right() - 2.5);
    let lift = if line.locked { 0.0 } else { 2.5 };
    let shackle = vec![
        egui::pos2(left, top - lift),
        egui::pos2(left, top - 3.0 - lift),
        egui::pos2(left + 1.5, top - 5.0 - lift),
        egui::pos2(right - 1.5, top - 5.0 - lift),
        egui::pos2(right, top - 3.0 - lift),
        egui::pos2(right, top - if line.locked { 0.0 } else { 2.0 }),
    ];
    ui.painter().line(shackle, stroke);
    if line.locked {
        ui.painter().rect_filled(body, CornerRadius::same(2), colour);
    } else {
        ui.painter().rect_stroke(body, CornerRadius::same(2), stroke, egui::StrokeKind::Inside);
    }
    let tip = if line.locked { "Locked: it holds its share when others move" } else { "Lock this share" };
    if response.on_hover_text(tip).clicked() {
        changes.edit(Edit::Lock(line.fat.id.clone(), !line.locked));
    }
}
