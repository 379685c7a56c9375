//! Colours, faces and spacing of both themes.

mod fats;

pub use fats::fat_colour;

use eframe::egui::{
    self, Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Rgba, Stroke, Style,
    TextStyle, Theme, Visuals,
};
use std::sync::Arc;

/// The named colours of one theme.
#[derive(Debug, Clone, Copy)]
pub struct Tokens {
    /// Behind everything.
    pub ground: Color32,
    /// Behind columns of figures, popups and fields.
    pub panel: Color32,
    /// Rules and edges.
    pub line: Color32,
    /// Edge of something that can be used.
    pub edge: Color32,
    /// Text.
    pub ink: Color32,
    /// Secondary text.
    pub quiet: Color32,
    /// What can be acted on, and this design's marks.
    pub accent: Color32,
    /// Where reference soaps lie.
    pub range: Color32,
    /// Behind what is chosen or pressed.
    pub chosen: Color32,
    /// Cautions of the middle level.
    pub care: Color32,
    /// Cautions of the highest level, and errors.
    pub stop: Color32,
    /// What is in order.
    pub fine: Color32,
    /// The mark around what has the keyboard.
    pub focus: Color32,
}

const fn hex(rgb: u32) -> Color32 {
    let [_, r, g, b] = rgb.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

/// The light theme.
pub const LIGHT: Tokens = Tokens {
    ground: hex(0x00f5_f2ec),
    panel: hex(0x00fb_f9f5),
    line: hex(0x00dc_d5c8),
    edge: hex(0x008d_8778),
    ink: hex(0x0022_282b),
    quiet: hex(0x005d_6468),
    accent: hex(0x001d_6a72),
    range: hex(0x00c4_d9cf),
    chosen: hex(0x00cf_e0d8),
    care: hex(0x008f_5300),
    stop: hex(0x00a3_2a1e),
    fine: hex(0x002c_6b3f),
    focus: hex(0x0086_2f8f),
};

/// The dark theme.
pub const DARK: Tokens = Tokens {
    ground: hex(0x0019_1c1e),
    panel: hex(0x0021_2527),
    line: hex(0x003a_4043),
    edge: hex(0x0078_8084),
    ink: hex(0x00e6_e3dc),
    quiet: hex(0x00a9_adad),
    accent: hex(0x006c_c0c4),
    range: hex(0x002f_4a42),
    chosen: hex(0x002f_4a42),
    care: hex(0x00e0_a44a),
    stop: hex(0x00f0_8a7c),
    fine: hex(0x0084_c79a),
    focus: hex(0x00e3_9be8),
};

impl Tokens {
    /// The colours of the theme that `ui` is drawn in.
    pub fn of(ui: &egui::Ui) -> &'static Self {
        if ui.visuals().dark_mode { &DARK } else { &LIGHT }
    }
}

/// Family of the heavier face.
pub fn strong_family() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// The heavier face at `size` points.
pub fn strong(size: f32) -> FontId {
    FontId::new(size, strong_family())
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    for (name, bytes) in [
        ("Inter", include_bytes!("../../../assets/fonts/Inter-Regular.ttf").as_slice()),
        ("Inter SemiBold", include_bytes!("../../../assets/fonts/Inter-SemiBold.ttf").as_slice()),
    ] {
        fonts.font_data.insert(name.into(), Arc::new(FontData::from_static(bytes)));
    }
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let family = |first: &str| {
        let mut faces = vec![first.to_owned()];
        faces.extend(fallback.iter().cloned());
        // Hack has signs that the others lack.
        faces.push("Hack".into());
        faces
    };
    fonts.families.insert(FontFamily::Proportional, family("Inter"));
    fonts.families.insert(strong_family(), family("Inter SemiBold"));
    fonts
}

fn style(style: &mut Style, theme: Theme, tokens: &Tokens) {
    style.text_styles = [
        (TextStyle::Small, FontId::proportional(11.0)),
        (TextStyle::Body, FontId::proportional(13.0)),
        (TextStyle::Button, FontId::proportional(13.0)),
        (TextStyle::Heading, strong(16.0)),
        (TextStyle::Monospace, FontId::monospace(12.0)),
    ]
    .into();
    style.spacing.item_spacing = egui::vec2(8.0, 5.0);
    style.spacing.button_padding = egui::vec2(8.0, 3.0);
    style.spacing.interact_size = egui::vec2(24.0, 24.0);
    style.spacing.slider_rail_height = 4.0;
    style.spacing.menu_margin = Margin::same(8);
    style.spacing.tooltip_width = 360.0;
    style.interaction.selectable_labels = false;

    let mut v = if theme == Theme::Dark { Visuals::dark() } else { Visuals::light() };
    v.panel_fill = tokens.ground;
    v.window_fill = tokens.panel;
    v.window_stroke = Stroke::new(1.0, tokens.line);
    v.window_corner_radius = CornerRadius::same(8);
    v.menu_corner_radius = CornerRadius::same(8);
    v.extreme_bg_color = tokens.panel;
    v.text_edit_bg_color = Some(tokens.panel);
    v.faint_bg_color = tokens.panel;
    v.hyperlink_color = tokens.accent;
    v.warn_fg_color = tokens.care;
    v.error_fg_color = tokens.stop;
    v.weak_text_color = Some(tokens.quiet);
    v.slider_trailing_fill = true;
    v.handle_shape = egui::style::HandleShape::Circle;
    // The stroke is also the edge of a field that has the focus.
    v.selection.bg_fill = tokens.chosen;
    v.selection.stroke = Stroke::new(1.0, tokens.accent);
    let radius = CornerRadius::same(5);
    let w = &mut v.widgets;
    for (widget, fill, edge, ink) in [
        (&mut w.noninteractive, tokens.ground, tokens.line, tokens.ink),
        (&mut w.inactive, tokens.line, tokens.edge, tokens.ink),
        (&mut w.hovered, tokens.line, tokens.accent, tokens.ink),
        (&mut w.active, tokens.chosen, tokens.accent, tokens.ink),
        (&mut w.open, tokens.line, tokens.accent, tokens.ink),
    ] {
        widget.bg_fill = fill;
        widget.weak_bg_fill = tokens.panel;
        widget.bg_stroke = Stroke::new(1.0, edge);
        widget.fg_stroke = Stroke::new(1.0, ink);
        widget.corner_radius = radius;
        widget.expansion = 0.0;
    }
    w.inactive.bg_stroke = Stroke::new(1.0, tokens.line);
    w.hovered.weak_bg_fill = tokens.line;
    w.active.weak_bg_fill = tokens.chosen;
    style.visuals = v;
}

/// Puts faces and both themes in place; once, at the start.
pub fn install(ctx: &Context) {
    ctx.set_fonts(fonts());
    ctx.style_mut_of(Theme::Light, |s| style(s, Theme::Light, &LIGHT));
    ctx.style_mut_of(Theme::Dark, |s| style(s, Theme::Dark, &DARK));
}

/// Black or white, as it is read better on `ground`.
pub fn ink_on(ground: Color32) -> Color32 {
    /// The relative luminance (WCAG 2.2, W3C) on which both are read equally well.
    const EQUAL: f32 = 0.179;
    let light = Rgba::from(ground);
    let luminance = 0.2126 * light.r() + 0.7152 * light.g() + 0.0722 * light.b();
    if luminance > EQUAL { Color32::BLACK } else { Color32::WHITE }
}

/// Contrast ratio of WCAG 2.2 (W3C): relative luminances of sRGB colours.
#[cfg(test)]
fn contrast(a: Color32, b: Color32) -> f64 {
    let luminance = |c: Color32| {
        let channel = |v: u8| {
            let v = f64::from(v) / 255.0;
            if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(c.r()) + 0.7152 * channel(c.g()) + 0.0722 * channel(c.b())
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_range_band_stands_out_from_its_ground() {
        for (theme, tokens) in [("light", LIGHT), ("dark", DARK)] {
            for ground in [tokens.ground, tokens.panel] {
                let ratio = contrast(tokens.range, ground);
                assert!(ratio >= 1.3, "{theme}: {ratio:.2}");
            }
        }
    }

    #[test]
    fn text_reaches_the_contrast_of_wcag_aa_on_every_ground() {
        for (theme, t) in [("light", LIGHT), ("dark", DARK)] {
            for (ink, name) in [
                (t.ink, "ink"),
                (t.quiet, "quiet"),
                (t.accent, "accent"),
                (t.care, "care"),
                (t.stop, "stop"),
                (t.fine, "fine"),
            ] {
                for (ground, on) in [(t.ground, "ground"), (t.panel, "panel")] {
                    let ratio = contrast(ink, ground);
                    assert!(ratio >= 4.5, "{theme}: {name} on {on} has {ratio:.2}");
                }
            }
            assert!(contrast(t.accent, t.chosen) >= 4.5, "{theme}: text that is chosen");
            assert!(contrast(t.ink, t.chosen) >= 4.5, "{theme}: text on a pressed button");
            assert!(contrast(t.edge, t.panel) >= 3.0, "{theme}: the edge of a control");
        }
    }

    #[test]
    fn what_is_written_on_a_fat_is_read() {
        let library = barwright_core::Library::embedded().expect("assets parse");
        for fat in library.fats() {
            let ground = fat_colour(fat.id.as_str());
            let ratio = contrast(ink_on(ground), ground);
            assert!(ratio >= 4.5, "{}: {ratio:.2}", fat.name);
        }
    }

    #[test]
    fn the_focus_is_seen_and_is_neither_hover_nor_choice() {
        for (theme, t) in [("light", LIGHT), ("dark", DARK)] {
            // What it may lie on: WCAG 2.2, 1.4.11 wants 3:1 of a control's state.
            for (on, ground) in [("ground", t.ground), ("panel", t.panel), ("line", t.line), ("range", t.range)] {
                let ratio = contrast(t.focus, ground);
                assert!(ratio >= 3.0, "{theme}: the focus on {on} has {ratio:.2}");
            }
            // Hover is an edge in the accent, what is chosen a fill in the range.
            let apart = |a: Color32, b: Color32| (0..3).map(|i| a[i].abs_diff(b[i])).max().unwrap_or(0);
            assert!(apart(t.focus, t.accent) >= 80, "{theme}: the focus is not the accent");
        }
    }

    #[test]
    fn every_sign_the_program_writes_has_a_glyph() {
        let ctx = Context::default();
        install(&ctx);
        let mut signs: Vec<char> = sources().iter().flat_map(|text| text.chars()).collect();
        assert!(signs.len() > 100_000, "the sources are found");
        signs.retain(|c| !c.is_ascii() && !matches!(c, '\u{202f}' | '\u{feff}'));
        signs.sort_unstable();
        signs.dedup();
        let output = ctx.run_ui(egui::RawInput::default(), |ui| {
            for font in [FontId::proportional(13.0), strong(13.0)] {
                for sign in &signs {
                    let known = ui.ctx().fonts_mut(|f| f.has_glyph(&font, *sign));
                    assert!(known, "no glyph for {sign:?} (U+{:04X}) in {font:?}", u32::from(*sign));
                }
            }
        });
        output.drop_without_applying_deltas();
    }

    /// The text of every source and table that may write on the screen.
    fn sources() -> Vec<String> {
        let crates = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("a folder of crates");
        let mut folders = vec![crates.join("gui/src"), crates.join("core/src"), crates.join("../assets/data")];
        let mut texts = Vec::new();
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(&folder).expect("a folder") {
                let path = entry.expect("a file").path();
                let is_shown = path.extension().is_some_and(|e| e == "rs" || e == "csv");
                if path.is_dir() {
                    folders.push(path);
                } else if is_shown {
                    let text = std::fs::read_to_string(&path).expect("text");
                    // What a comment says is not shown.
                    let shown = text.lines().filter(|line| !line.trim_start().starts_with("//"));
                    texts.push(shown.collect());
                }
            }
        }
        texts
    }
}
