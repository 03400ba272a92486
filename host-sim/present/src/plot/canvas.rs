//! The few shapes of the picture, written as SVG.

use holdoff_files::problem::is_invisible;
use std::fmt::Write;

/// A way to draw a line.
#[derive(Clone, Copy, Debug)]
pub(super) enum Line {
    Temperature,
    Guarded,
    Bottom,
    Edge,
    Limit,
    Required,
    Served,
    Mark,
    Tick,
}

/// A way to fill an area.
#[derive(Clone, Copy, Debug)]
pub(super) enum Fill {
    Guard,
    Held,
    Unobserved,
    Allowed,
    Refused,
    Working,
    Curing,
    Colder,
}

/// A way to set text.
#[derive(Clone, Copy, Debug)]
pub(super) enum Text {
    Title,
    Plain,
    Small,
    Right,
    Middle,
}

/// An SVG picture in the making.
#[derive(Debug)]
pub(super) struct Canvas(String);

const STYLE: &str = "text{font-family:sans-serif;fill:#1a1a1a;font-size:12px}.title{font-size:22px;font-weight:bold}\
.plain,.small{paint-order:stroke;stroke:#ffffff;stroke-width:3px}.plain{font-size:13px}.small{font-size:11px}.right{text-anchor:end;font-size:11px}.middle{text-anchor:middle;font-size:11px}\
.temperature{stroke:#0b3d66;stroke-width:1.8}.guarded{stroke:#0b3d66;stroke-width:1;stroke-dasharray:2 2}\
.bottom{stroke:#7a1f1f;stroke-width:1.8;stroke-dasharray:7 3}.edge{stroke:#767676;stroke-width:.8;stroke-dasharray:5 4}.limit{stroke:#7a1f1f;stroke-width:1.6}\
.required{stroke:#7a1f1f;stroke-width:2;stroke-dasharray:8 4}.served{stroke:#0b3d66;stroke-width:2.4}\
.mark{stroke:#1a1a1a;stroke-width:1}.tick{stroke:#1a1a1a;stroke-width:1}.line{fill:none}\
.guard{fill:#0b3d66;opacity:.14}.held{fill:url(#held)}.unobserved{fill:url(#unobserved)}.allowed{fill:#cfe3cf;stroke:#2f5d2f}\
.refused{fill:url(#refused)}.working{fill:#1a1a1a}.curing{fill:#6f8fae}.colder{fill:#c9d6e3}";

const PATTERNS: &str = "<defs><pattern id=\"refused\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
patternTransform=\"rotate(45)\"><rect width=\"6\" height=\"6\" fill=\"#f3e3e0\"/><rect width=\"1.5\" height=\"6\" \
fill=\"#7a1f1f\"/></pattern><pattern id=\"held\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\" \
patternTransform=\"rotate(45)\"><rect width=\"8\" height=\"8\" fill=\"#dbe7f3\"/><rect width=\"3\" height=\"8\" \
fill=\"#9db8d2\"/></pattern><pattern id=\"unobserved\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"><rect \
width=\"6\" height=\"6\" fill=\"#f1ece2\"/><circle cx=\"3\" cy=\"3\" r=\"1.2\" fill=\"#8a7a55\"/></pattern></defs>";

/// The style of pictures that stand in a page, which carries it once: every rule limited to them.
pub(crate) fn sheet() -> String {
    STYLE.split_inclusive('}').map(|rule| format!("svg.plot {}\n", rule.replace(",.", ",svg.plot ."))).collect()
}

/// The patterns that pictures in a page are filled with, which carries them once; in a picture of their own without a size.
pub(crate) fn patterns() -> String {
    format!("<svg class=\"patterns\" width=\"0\" height=\"0\" aria-hidden=\"true\">{PATTERNS}</svg>")
}

impl Canvas {
    pub(super) fn new(width: f64, height: f64) -> Self {
        Self(format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
             height=\"{height}\" role=\"img\">\n<style>{STYLE}</style>{PATTERNS}\n<rect width=\"{width}\" \
             height=\"{height}\" fill=\"#ffffff\"/>\n"
        ))
    }

    /// A picture that stands in a page, which carries [`sheet`] and [`patterns`] once; `label` is told to who cannot see it.
    pub(super) fn embedded(width: f64, height: f64, label: &str) -> Self {
        Self(format!(
            "<svg class=\"plot\" viewBox=\"0 0 {width} {height}\" role=\"img\" aria-label=\"{}\">\n<rect \
             width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>\n",
            escaped(label)
        ))
    }

    pub(super) fn finish(mut self) -> String {
        self.0.push_str("</svg>\n");
        self.0
    }

    pub(super) fn line(&mut self, points: &[(f64, f64)], line: Line) {
        let class = match line {
            Line::Temperature => "temperature",
            Line::Guarded => "guarded",
            Line::Bottom => "bottom",
            Line::Edge => "edge",
            Line::Limit => "limit",
            Line::Required => "required",
            Line::Served => "served",
            Line::Mark => "mark",
            Line::Tick => "tick",
        };
        if points.len() > 1 {
            let _ = writeln!(self.0, "<polyline class=\"line {class}\" points=\"{}\"/>", joined(points));
        }
    }

    pub(super) fn polygon(&mut self, points: &[(f64, f64)], fill: Fill) {
        if points.len() > 2 {
            let _ = writeln!(self.0, "<polygon class=\"{}\" points=\"{}\"/>", fill_class(fill), joined(points));
        }
    }

    pub(super) fn area(&mut self, x: f64, y: f64, width: f64, height: f64, fill: Fill) {
        let _ = writeln!(
            self.0,
            "<rect class=\"{}\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{:.1}\" height=\"{height:.1}\"/>",
            fill_class(fill),
            width.max(0.5)
        );
    }

    pub(super) fn frame(&mut self, x: f64, y: f64, width: f64, height: f64) {
        let _ = writeln!(
            self.0,
            "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" fill=\"none\" stroke=\"#767676\"/>"
        );
    }

    pub(super) fn text(&mut self, x: f64, y: f64, text: &str, kind: Text) {
        let class = match kind {
            Text::Title => "title",
            Text::Plain => "plain",
            Text::Small => "small",
            Text::Right => "right",
            Text::Middle => "middle",
        };
        let _ = writeln!(self.0, "<text class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\">{}</text>", escaped(text));
    }

    /// Text broken into lines of at most `most` characters, 14 px apart.
    pub(super) fn paragraph(&mut self, x: f64, y: f64, most: usize, text: &str, kind: Text) {
        let mut line = String::new();
        let mut y = y;
        for word in text.split_whitespace() {
            if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > most {
                self.text(x, y, &line, kind);
                line.clear();
                y += 14.0;
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        if !line.is_empty() {
            self.text(x, y, &line, kind);
        }
    }
}

fn fill_class(fill: Fill) -> &'static str {
    match fill {
        Fill::Guard => "guard",
        Fill::Held => "held",
        Fill::Unobserved => "unobserved",
        Fill::Allowed => "allowed",
        Fill::Refused => "refused",
        Fill::Working => "working",
        Fill::Curing => "curing",
        Fill::Colder => "colder",
    }
}

fn joined(points: &[(f64, f64)]) -> String {
    let mut text = String::with_capacity(points.len() * 12);
    for (x, y) in points {
        let _ = write!(text, "{x:.1},{y:.1} ");
    }
    text
}

/// Text as it may stand in XML; control characters, which XML 1.0 has no way to write, become spaces.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            control if control.is_control() => safe.push(' '),
            hidden if is_invisible(hidden) => safe.extend(hidden.escape_unicode()),
            plain => safe.push(plain),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn names_from_files_cannot_become_markup() {
        assert_eq!(escaped("<a href=\"x\">&\u{1b}"), "&lt;a href=&quot;x&quot;&gt;&amp; ");
    }
}
