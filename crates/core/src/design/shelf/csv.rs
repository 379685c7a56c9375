//! Lots as a table: written for a spreadsheet, and read from one with everything that is wrong told by its line.

use super::{Lot, MOST_LOTS, Papers, Shelf, Stuff};
use crate::design::log::LotId;
use crate::design::words::{Day, Line, inert, uninert};
use crate::library::Library;
use crate::library::finding::Findable;
use crate::library::material::MaterialId;
use crate::number;
use crate::units::{AmountMass, Money, PackMass, Purity, PurityMargin, SaponificationValue, SvMargin};

listed! {
    /// A column that is understood.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Column {
        /// What the lot is of: an id or a name of the library.
        Material,
        /// Fat, addition, scent, alkali or other: needed only where a name is of two kinds.
        Kind,
        /// Where it is from.
        Supplier,
        /// The supplier’s number.
        Number,
        /// When it came.
        Bought,
        /// When it was opened.
        Opened,
        /// Until when it is good.
        BestBefore,
        /// For how many days once it is open.
        DaysOnceOpen,
        /// How much came, g.
        Grams,
        /// In packs of how much, g.
        Pack,
        /// The price of a pack.
        Price,
        /// Saponification value, mg KOH/g.
        Sv,
        /// Its ±.
        SvMargin,
        /// Purity of an alkali, percent.
        Purity,
        /// Its ±.
        PurityMargin,
        /// A word about it.
        Note,
    }
    /// All, in the order in which they are written.
    ALL
}

impl Column {
    /// Its heading.
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Material => "material",
            Self::Kind => "kind",
            Self::Supplier => "supplier",
            Self::Number => "lot_number",
            Self::Bought => "bought",
            Self::Opened => "opened",
            Self::BestBefore => "best_before",
            Self::DaysOnceOpen => "days_once_open",
            Self::Grams => "grams",
            Self::Pack => "pack_g",
            Self::Price => "pack_price",
            Self::Sv => "sv_mg_koh_per_g",
            Self::SvMargin => "sv_margin",
            Self::Purity => "purity_pct",
            Self::PurityMargin => "purity_margin",
            Self::Note => "note",
        }
    }

    /// Other headings that mean the same, in small letters and without what is no letter.
    const fn others(self) -> &'static [&'static str] {
        match self {
            Self::Material => &["name", "item", "ingredient", "product", "fat", "oil", "what"],
            Self::Kind => &["type", "category"],
            Self::Supplier => &["from", "vendor", "shop", "source"],
            Self::Number => &["lot", "lotno", "batch", "batchnumber", "charge"],
            Self::Bought => &["date", "purchased", "received", "came"],
            Self::Opened => &["openedon"],
            Self::BestBefore => &["expires", "expiry", "bestby", "useby", "gooduntil"],
            Self::DaysOnceOpen => &["daysopen"],
            Self::Grams => &["g", "amount", "amountg", "quantity", "weight", "weightg", "mass"],
            Self::Pack => &["pack", "packsize"],
            Self::Price => &["price", "cost"],
            Self::Sv => &["sv", "saponificationvalue"],
            Self::SvMargin => &["svpm"],
            Self::Purity => &["purity"],
            Self::PurityMargin => &["puritypm"],
            Self::Note => &["notes", "remark", "comment"],
        }
    }

    /// The column that `heading` means.
    pub fn meant(heading: &str) -> Option<Self> {
        let plain = |text: &str| text.chars().filter(|c| c.is_alphanumeric()).collect::<String>().to_lowercase();
        let heading = plain(heading);
        Self::ALL.into_iter().find(|c| plain(c.heading()) == heading || c.others().contains(&heading.as_str()))
    }
}

/// A table that cannot be read at all.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// Not UTF-8.
    #[error("byte {0} is not UTF-8: save the table as CSV in UTF-8 and import that")]
    NotText(usize),
    /// As spreadsheets save it in two bytes a sign.
    #[error("the table is in UTF-16: save it as CSV in UTF-8 and import that")]
    Wide,
    /// Nothing in it.
    #[error("the table is empty: its first line holds the headings")]
    Empty,
    /// The headings do not say what a lot is of and how much came.
    #[error("no column says {0}: choose which one it is, or give it the heading “{1}”")]
    NoColumn(&'static str, &'static str),
    /// More lines than a shelf holds.
    #[error("the table has more than {MOST_LOTS} lines, which is what a shelf holds: import a part of it")]
    TooLong,
}

/// A line that is not taken, with what is wrong in it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, {column}: {what}", column = .column.heading())]
pub struct RowError {
    /// The line of the table, its heading being the first.
    pub line: u64,
    /// Where.
    pub column: Column,
    /// What is wrong, and what to do.
    pub what: String,
}

/// A table before it is taken: what each column is and what each line gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    /// The headings as they stand.
    pub headings: Vec<String>,
    /// What each of them is taken for.
    pub columns: Vec<Option<Column>>,
    /// The lots, or why a line is none.
    pub rows: Vec<Result<Lot, RowError>>,
}

impl Preview {
    /// The lots of all lines that are right.
    pub fn lots(&self) -> Vec<Lot> {
        self.rows.iter().filter_map(|row| row.as_ref().ok()).cloned().collect()
    }

    /// What is wrong.
    pub fn errors(&self) -> impl Iterator<Item = &RowError> {
        self.rows.iter().filter_map(|row| row.as_ref().err())
    }
}

/// The sign between cells: the one of which the first line has most.
fn delimiter(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default();
    let count = |sign: &u8| first.bytes().filter(|b| b == sign).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(count).unwrap_or(b',')
}

/// The text of a table without the mark that some programs put before it.
fn text_of(bytes: &[u8]) -> Result<&str, TableError> {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(TableError::Wide);
    }
    let text = std::str::from_utf8(bytes).map_err(|e| TableError::NotText(e.valid_up_to()))?;
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// The headings of a table, so that its columns can be told where [`read`] cannot tell them; none if it is no table.
pub fn headings(bytes: &[u8]) -> Vec<String> {
    let Ok(text) = text_of(bytes) else { return Vec::new() };
    let mut table = ::csv::ReaderBuilder::new().delimiter(delimiter(text)).flexible(true).from_reader(text.as_bytes());
    table.headers().map(|h| h.iter().map(str::to_owned).collect()).unwrap_or_default()
}

/// Reads `bytes` as a table of lots; `columns` says what each column is where its heading does not.
///
/// # Errors
/// [`TableError`] if it is no table; what is wrong with a line is told there.
pub fn read(bytes: &[u8], columns: Option<&[Option<Column>]>, library: &Library) -> Result<Preview, TableError> {
    let text = text_of(bytes)?;
    let mut table = ::csv::ReaderBuilder::new().delimiter(delimiter(text)).flexible(true).from_reader(text.as_bytes());
    let headings: Vec<String> = table.headers().map(|h| h.iter().map(str::to_owned).collect()).unwrap_or_default();
    if headings.iter().all(|h| h.trim().is_empty()) {
        return Err(TableError::Empty);
    }
    let columns: Vec<Option<Column>> = match columns {
        Some(columns) => columns.to_vec(),
        None => headings.iter().map(|h| Column::meant(h)).collect(),
    };
    for (column, what) in [(Column::Material, "what a lot is of"), (Column::Grams, "how much came")] {
        if !columns.contains(&Some(column)) {
            return Err(TableError::NoColumn(what, column.heading()));
        }
    }
    let mut rows = Vec::new();
    for record in table.records() {
        if rows.len() >= MOST_LOTS {
            return Err(TableError::TooLong);
        }
        match record {
            Ok(record) if record.iter().all(|cell| cell.trim().is_empty()) => {}
            Ok(record) => {
                let line = record.position().map_or(0, ::csv::Position::line);
                rows.push(lot(&Row { record: &record, columns: &columns, line }, library));
            }
            Err(error) => {
                let line = error.position().map_or(0, ::csv::Position::line);
                rows.push(Err(RowError { line, column: Column::Material, what: error.to_string() }));
            }
        }
    }
    Ok(Preview { headings, columns, rows })
}

/// One line with what its cells are.
struct Row<'a> {
    record: &'a ::csv::StringRecord,
    columns: &'a [Option<Column>],
    line: u64,
}

impl Row<'_> {
    fn cell(&self, column: Column) -> &str {
        let at = self.columns.iter().position(|c| *c == Some(column));
        uninert(at.and_then(|at| self.record.get(at)).unwrap_or_default().trim())
    }

    fn wrong(&self, column: Column, what: impl std::fmt::Display) -> RowError {
        RowError { line: self.line, column, what: what.to_string() }
    }

    fn line(&self, column: Column) -> Result<Line, RowError> {
        Line::new(self.cell(column)).map_err(|e| self.wrong(column, e))
    }

    fn day(&self, column: Column) -> Result<Option<Day>, RowError> {
        match self.cell(column) {
            "" => Ok(None),
            text => Day::try_from(text.to_owned()).map(Some).map_err(|e| self.wrong(column, e)),
        }
    }

    fn number<T, E: std::fmt::Display>(
        &self,
        column: Column,
        of: impl Fn(f64) -> Result<T, E>,
    ) -> Result<Option<T>, RowError> {
        match self.cell(column) {
            "" => Ok(None),
            text => {
                let value = number::parse(text, &[]).map_err(|e| self.wrong(column, e))?;
                of(value).map(Some).map_err(|e| self.wrong(column, e))
            }
        }
    }
}

fn lot(row: &Row<'_>, library: &Library) -> Result<Lot, RowError> {
    let stuff = stuff(row, library)?;
    let missing = || row.wrong(Column::Grams, "say how much came, in grams");
    let grams = row.number(Column::Grams, AmountMass::new)?.ok_or_else(missing)?;
    let sv = row.number(Column::Sv, SaponificationValue::new)?;
    let sv_margin = row.number(Column::SvMargin, SvMargin::new)?.unwrap_or(SvMargin::nearest(0.0));
    let purity = row.number(Column::Purity, Purity::new)?;
    let purity_margin = row.number(Column::PurityMargin, PurityMargin::new)?.unwrap_or(PurityMargin::nearest(0.0));
    let days = |days: f64| {
        let whole = days.fract().abs() < f64::EPSILON && (0.0..=36_500.0).contains(&days);
        // A whole number in that range is one of the type.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the range was asked for")]
        let number = days as u32;
        if whole { Ok(number) } else { Err("a whole number of days, at most 36500") }
    };
    Ok(Lot {
        supplier: row.line(Column::Supplier)?,
        number: row.line(Column::Number)?,
        bought: row.day(Column::Bought)?,
        opened: row.day(Column::Opened)?,
        best_before: row.day(Column::BestBefore)?,
        days_once_open: row.number(Column::DaysOnceOpen, days)?,
        pack: row.number(Column::Pack, PackMass::new)?,
        price: row.number(Column::Price, Money::new)?,
        papers: Papers {
            sv: sv.map(|sv| (sv, sv_margin)),
            purity: purity.map(|purity| (purity, purity_margin)),
            ..Papers::default()
        },
        note: row.line(Column::Note)?,
        ..Lot::new(LotId(0), stuff, grams)
    })
}

/// The only one of `list` that `text` names, by its id or its name.
fn named<T: Findable>(list: &[T], text: &str) -> Option<MaterialId> {
    let is = |m: &&T| m.id().as_str() == text || m.name().eq_ignore_ascii_case(text);
    list.iter().find(is).map(|m| m.id().clone())
}

fn stuff(row: &Row<'_>, library: &Library) -> Result<Stuff, RowError> {
    let text = row.cell(Column::Material);
    let kind = row.cell(Column::Kind).to_lowercase();
    if text.is_empty() {
        return Err(row.wrong(Column::Material, "say what it is"));
    }
    let may_be = |what: &str| kind.is_empty() || kind == what;
    let small = text.to_lowercase();
    if may_be("alkali") {
        if matches!(small.as_str(), "naoh" | "sodium hydroxide" | "sodium_hydroxide" | "caustic soda") {
            return Ok(Stuff::SodiumHydroxide);
        }
        if matches!(small.as_str(), "koh" | "potassium hydroxide" | "potassium_hydroxide" | "caustic potash") {
            return Ok(Stuff::PotassiumHydroxide);
        }
    }
    let fat = named(library.fats(), text).filter(|_| may_be("fat")).map(Stuff::Fat);
    let addition = named(library.additions(), text).filter(|_| may_be("addition")).map(Stuff::Addition);
    let scent = named(library.scents(), text).filter(|_| may_be("scent")).map(Stuff::Scent);
    let mut found = [fat, addition, scent].into_iter().flatten();
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (Some(_), Some(_)) => {
            Err(row.wrong(Column::Kind, format!("“{text}” is of two kinds: say fat, addition or scent")))
        }
        (None, _) if kind == "other" => Line::new(text).map(Stuff::Other).map_err(|e| row.wrong(Column::Material, e)),
        (None, _) => {
            let meant = library.names.did_you_mean(library.fats(), text);
            let what = format!(
                "“{}” is in no table{meant}; give its name there, or “other” as its kind",
                text.chars().take(60).collect::<String>()
            );
            Err(row.wrong(Column::Material, what))
        }
    }
}

/// The lots of `shelf` as a table that [`read`] takes again, with what is left of each behind.
///
/// # Errors
/// From the CSV writer; no shelf is known that makes it fail.
pub fn write(shelf: &Shelf) -> Result<String, ::csv::Error> {
    let mut out = ::csv::Writer::from_writer(Vec::new());
    let headings = Column::ALL.map(Column::heading);
    out.write_record(headings.iter().chain(&["id", "left_g"]))?;
    let stock = shelf.stock();
    for lot in &shelf.lots {
        let cells = Column::ALL.map(|column| inert(&cell(lot, column)).into_owned());
        let left = stock.left(lot.id).left.to_string();
        out.write_record(cells.iter().chain(&[lot.id.to_string(), left]))?;
    }
    let bytes = out.into_inner().map_err(|e| ::csv::Error::from(e.into_error()))?;
    // It was given strings, so strings come out.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn cell(lot: &Lot, column: Column) -> String {
    fn told<T: ToString>(value: Option<T>) -> String {
        value.map(|v| v.to_string()).unwrap_or_default()
    }
    let (material, kind) = match &lot.stuff {
        Stuff::Fat(id) => (id.to_string(), "fat"),
        Stuff::Addition(id) => (id.to_string(), "addition"),
        Stuff::Scent(id) => (id.to_string(), "scent"),
        Stuff::SodiumHydroxide => ("NaOH".into(), "alkali"),
        Stuff::PotassiumHydroxide => ("KOH".into(), "alkali"),
        Stuff::Other(name) => (name.to_string(), "other"),
    };
    match column {
        Column::Material => material,
        Column::Kind => kind.into(),
        Column::Supplier => lot.supplier.to_string(),
        Column::Number => lot.number.to_string(),
        Column::Bought => told(lot.bought),
        Column::Opened => told(lot.opened),
        Column::BestBefore => told(lot.best_before),
        Column::DaysOnceOpen => told(lot.days_once_open),
        Column::Grams => lot.grams.get().to_string(),
        Column::Pack => told(lot.pack.map(PackMass::get)),
        Column::Price => told(lot.price.map(Money::get)),
        Column::Sv => told(lot.papers.sv.map(|(sv, _)| sv.get())),
        Column::SvMargin => told(lot.papers.sv.map(|(_, pm)| pm.get())),
        Column::Purity => told(lot.papers.purity.map(|(purity, _)| purity.get())),
        Column::PurityMargin => told(lot.papers.purity.map(|(_, pm)| pm.get())),
        Column::Note => lot.note.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn library() -> Library {
        Library::embedded().expect("assets parse")
    }

    fn shelf(text: &str) -> Shelf {
        let mut shelf = Shelf::default();
        for lot in read(text.as_bytes(), None, &library()).expect("a table").lots() {
            shelf.put(lot).expect("room");
        }
        shelf
    }

    #[test]
    fn what_is_written_reads_back_and_no_cell_is_a_formula() {
        let first = shelf(
            "Name;Lot;Amount;Price;Expires;Notes\r\nolive_virgin;=SUM(A1);1 000,5;9,50;2027-03-01;\"two; cells\"\r\n\
             NaOH;N-1;1000;;;\r\nlavender;;50;;;@home\r\n",
        );
        assert_eq!(first.lots.len(), 3);
        assert_eq!((first.lots[0].grams.get(), first.lots[0].price.map(Money::get)), (1000.5, Some(9.5)));
        assert_eq!(first.lots[0].number.as_str(), "=SUM(A1)");
        let table = write(&first).expect("a table");
        assert!(table.contains("'=SUM(A1)") && table.contains("'@home"), "{table}");
        assert_eq!(shelf(&table), first, "{table}");
    }

    #[test]
    fn what_is_wrong_is_told_by_its_line_and_the_rest_is_kept() {
        let text = "material,grams,bought\nolive_virgin,500,2026-02-30\nolive_virgn,500,\nshea,-5,\nshea,1000000000,\nshea,,\n,3,\nshea,250,\n\u{1b}[2J,1,\n";
        let preview = read(text.as_bytes(), None, &library()).expect("a table");
        let told: Vec<String> = preview.errors().map(ToString::to_string).collect();
        assert_eq!(preview.lots().len(), 1);
        for (error, part) in told.iter().zip([
            "line 2, bought: “2026-02-30” is no day",
            "line 3, material: “olive_virgn” is in no table; did you mean",
            "line 4, grams: an amount must lie",
            "line 5, grams: an amount must lie",
            "line 6, grams: say how much",
            "line 7, material: say what it is",
            "line 9, material",
        ]) {
            assert!(error.starts_with(part), "{error} of {part}");
        }
        assert_eq!(told.len(), 7);
    }

    #[test]
    fn what_is_no_table_is_refused_in_words() {
        let library = library();
        let error = |bytes: &[u8]| read(bytes, None, &library).expect_err("no table");
        assert_eq!(error(b""), TableError::Empty);
        assert_eq!(error(b"\xff\xfem\0"), TableError::Wide);
        assert_eq!(error(b"material,grams\nol\xe4,5"), TableError::NotText(17));
        assert_eq!(error(b"a,b\n1,2"), TableError::NoColumn("what a lot is of", "material"));
        let long = "material,grams\n".to_owned() + &"shea,1\n".repeat(100_000);
        assert_eq!(error(long.as_bytes()), TableError::TooLong);
        let chosen = [Some(Column::Grams), Some(Column::Material)];
        let preview = read(b"a,b\n1,shea", Some(&chosen), &library).expect("as chosen");
        assert_eq!(preview.lots().len(), 1);
    }
}
